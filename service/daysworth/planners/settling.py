"""Choose among the plans that reach the same days one that breaks less of what was left out.

What a class lacks of protein weighs most. Food that must be eaten early weighs the more, the
smaller the class that eats it: the large have room for it. No days are changed by it.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np

from daysworth.planners.program import PROTEIN_SCALE_G, Layout
from daysworth.planners.solver import Floats, Program, ProgramBuilder
from daysworth.planners.supply import Positions

_LACKING_WEIGHT: Final = 1e3

Lacking = Mapping[int, tuple[int, int]]
"""For each class seated by itself the column of what it lacks, and the row that counts it."""


def lacking_rows(
    builder: ProgramBuilder, layout: Layout, *, ratios: Sequence[float]
) -> dict[int, tuple[int, int]]:
    """Add columns and rows, at first free: the protein each class lacks for a ratio.

    `ratios` are grams of protein to a kcal, by class. Where the protein of a pile is not the same
    throughout, its mean is what a class gets whose mix is that of all others.
    """
    return {c: _lacking(builder, layout, eater=c, ratio=ratios[c]) for c in _seated_alone(layout)}


def settled(
    program: Program, layout: Layout, *, lacking: Lacking, unpriced: Iterable[int]
) -> Floats:
    """Solve again, every class being held at its days, for a plan dense and late in its dates.

    The columns `unpriced` are what the program aimed at before.
    """
    for column in unpriced:
        program.price_column(column, cost=0.0)
    for column, row in lacking.values():
        program.bound_row(row, lower=0.0)
        program.price_column(column, cost=-_LACKING_WEIGHT)
    for column, cost in _haste(layout).items():
        program.price_column(column, cost=-cost)
    return program.solve().proven().values


def _seated_alone(layout: Layout) -> list[int]:
    pooled = {c for pool in layout.seating.pools for c in pool}
    return [c for c in range(layout.seating.classes) if c not in pooled]


def _lacking(
    builder: ProgramBuilder, layout: Layout, *, eater: int, ratio: float
) -> tuple[int, int]:
    need = ratio * layout.supply.classes[eater].energy_kcal / PROTEIN_SCALE_G
    terms = [
        (eaten.column, layout.piles[eaten.pile].protein_g / PROTEIN_SCALE_G)
        for eaten in layout.by_eater[eater]
    ]
    column = builder.column()
    return column, builder.row([*terms, (column, 1.0), (layout.days[eater], -need)])


def _haste(layout: Layout) -> Mapping[int, float]:
    """Say how early what a column stands for must be eaten: the mean of 1 / day over its energy.

    It is told over what one class, or pool, needs a day.
    """
    supply = layout.supply
    needs = [float(need) for need in supply.needs]
    needs += [sum(needs[c] for c in pool) for pool in layout.seating.pools]

    def mean(stacks: Iterable[Positions]) -> float:
        here = np.concatenate(list(stacks))
        energy = supply.energy[here]
        return float((energy / supply.day[here]).sum() / energy.sum())

    whole = [mean(bucket.stacks for bucket in pile.buckets) for pile in layout.piles]
    return {
        one.column: (
            whole[one.pile]
            if one.bucket is None
            else mean([layout.piles[one.pile].buckets[one.bucket].stacks])
        )
        / needs[one.eater]
        for one in layout.eaten
    }
