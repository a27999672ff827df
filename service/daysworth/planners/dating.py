"""Say which of its food a plan eats when, and hold it against the whole question.

A program gives each eater its part of each pile; a pile merges stacks with several last good days
and, where nothing told them apart, of different protein. Here the parts are filled from stacks.
What is left over is taken from the earliest dates of each bucket. There are two ways to share the
rest: to everyone the same mix, and, where that breaks a date, each day's food to those with the
most room left for food that must be eaten by then. A class can eat what it is given in time iff,
for every day `k`, what it has of food good only to day `k` fits into `k` days of eating (earliest
deadline first).

The ways are good ones, not always the best. That costs rounds and never exactness: what a plan is
found to break is added to the program, which holds it for any plan.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.planners.program import Layout
from daysworth.planners.solver import Floats
from daysworth.planners.supply import Positions, Supply

_ROOM: Final = 1e-8
_LEAST: Final = 1e-12
"""Less than this part of a mean person-day is rounding and nothing that is eaten."""
_DAYS_AT_ONCE: Final = 4
"""How many of a class's broken days are kept at a time, the worst of each run first."""


@dataclass(frozen=True, slots=True)
class Helpings:
    """What each class eats of each stack: positions of stacks and classes, mean person-days."""

    stacks: Positions
    eaters: Positions
    person_days: Floats


@dataclass(frozen=True, slots=True)
class Dated:
    """A plan filled from stacks, summed by class.

    `by_day[c, d]` is what class `c` eats of food good to day `d` in mean person-days, `protein`
    grams and `water_l` litres that its food needs.
    """

    by_day: Floats
    protein: Floats
    water_l: Floats
    helpings: Callable[[], Helpings]


@dataclass(frozen=True, slots=True)
class Amounts:
    """A solution read back: what each eater has of each pile, in mean person-days.

    `whole[g]` holds what eaters have of all of pile `g`, `parted[g][k]` what classes whose own
    days are kept have of bucket `k`; `used[g][k]` is what is eaten of the bucket in all.
    `links[j]` holds the part of each class in pool `j`, of plain food and of extras.
    """

    whole: tuple[Mapping[int, float], ...]
    parted: tuple[tuple[Mapping[int, float], ...], ...]
    used: tuple[tuple[float, ...], ...]
    links: tuple[tuple[Mapping[int, float], Mapping[int, float]], ...]

    @property
    def is_parted(self) -> bool:
        """Tell whether some class's own days are kept."""
        return any(part for parts in self.parted for part in parts)


def amounts_of(layout: Layout, values: Floats) -> Amounts:
    """Read a solution back."""
    whole: list[dict[int, float]] = [{} for _ in layout.piles]
    parted: list[tuple[dict[int, float], ...]] = [
        tuple({} for _ in pile.buckets) for pile in layout.piles
    ]
    numbers: list[float] = values.tolist()
    for one in layout.eaten:
        amount = numbers[one.column]
        if amount > _LEAST:
            into = whole[one.pile] if one.bucket is None else parted[one.pile][one.bucket]
            into[one.eater] = amount
    used = []
    for g, pile in enumerate(layout.piles):
        if layout.others[g]:
            parts = [max(numbers[column], 0.0) for column in layout.others[g]]
        elif len(pile.buckets) == 1:
            parts = [sum(whole[g].values())]
        else:
            parts = [0.0] * len(pile.buckets)
        used.append(tuple(sum(parted[g][k].values(), start=part) for k, part in enumerate(parts)))
    links: list[tuple[dict[int, float], dict[int, float]]] = [
        ({}, {}) for _ in layout.seating.pools
    ]
    for link in layout.links:
        links[link.pool][link.is_extra][link.eater] = max(numbers[link.column], 0.0)
    return Amounts(tuple(whole), tuple(parted), tuple(used), tuple(links))


def taken(supply: Supply, stacks: Positions, *, amount: float) -> Floats:
    """Give what is eaten of stacks, in the order of their dates: leftovers are the earliest."""
    energy = supply.energy[stacks]
    after = energy[::-1].cumsum()[::-1] - energy
    return np.clip(amount - after, 0.0, energy)


def mixed_alike(layout: Layout, amounts: Amounts) -> Dated:
    """Give all eaters of a pile the same mix of its stacks, and all of a pool the same of its."""
    supply, seating = layout.supply, layout.seating
    length = supply.question.horizon_days + 1
    eaters = seating.classes + len(seating.pools)
    by_day = np.zeros((2, eaters, length))
    protein, water_l = np.zeros((2, eaters)), np.zeros((2, eaters))
    drawn: list[tuple[Positions, Floats, Mapping[int, float]]] = []
    for g, pile in enumerate(layout.piles):
        total = sum(amounts.whole[g].values())
        if total <= 0:
            continue
        stacks = np.concatenate([bucket.stacks for bucket in pile.buckets])
        energy = np.concatenate(
            [
                taken(supply, bucket.stacks, amount=amount)
                for bucket, amount in zip(pile.buckets, amounts.used[g], strict=True)
            ]
        )
        shares = {eater: amount / total for eater, amount in amounts.whole[g].items()}
        kind, who = int(pile.is_extra), list(shares)
        parts = np.array(list(shares.values()))
        days = np.bincount(supply.day[stacks], weights=energy, minlength=length)
        by_day[kind, who] += parts[:, None] * days
        protein[kind, who] += parts * float((energy * supply.protein[stacks]).sum())
        water_l[kind, who] += parts * float((energy * supply.water_l[stacks]).sum())
        drawn.append((stacks, energy, shares))
    split = _split(layout, amounts)
    return Dated(
        np.einsum("kce,ked->cd", split, by_day),
        np.einsum("kce,ke->c", split, protein),
        np.einsum("kce,ke->c", split, water_l),
        lambda: _alike(layout, drawn, split=split),
    )


def _split(layout: Layout, amounts: Amounts) -> Floats:
    """Give each class's part of what each eater has: all of its own, its link's of its pool's."""
    classes = layout.seating.classes
    split = np.zeros((2, classes, classes + len(layout.seating.pools)))
    alone = np.arange(classes)
    split[:, alone, alone] = 1.0
    for j, kinds in enumerate(amounts.links):
        for kind, parts in enumerate(kinds):
            total = sum(parts.values())
            for c, part in parts.items():
                split[kind, c, classes + j] = part / total if total > 0 else 0.0
    return split


def _alike(
    layout: Layout,
    drawn: Sequence[tuple[Positions, Floats, Mapping[int, float]]],
    *,
    split: Floats,
) -> Helpings:
    found: list[tuple[Positions, Positions, Floats]] = []
    extra = np.array(layout.supply.is_extra, dtype=np.intp)
    for stacks, energy, shares in drawn:
        eaten = stacks[energy > _LEAST]
        if not len(eaten):
            continue
        amount, kind = energy[energy > _LEAST], int(extra[eaten[0]])
        for eater, share in shares.items():
            for c in layout.seating.seated(eater):
                part = share * float(split[kind, c, eater])
                if part > 0:
                    found.append((eaten, np.full(len(eaten), c, dtype=np.intp), amount * part))
    return joined(found)


def joined(found: Sequence[tuple[Positions, Positions, Floats]]) -> Helpings:
    """Put lists of helpings together."""
    if not found:
        nothing = np.zeros(0, dtype=np.intp)
        return Helpings(nothing, nothing, np.zeros(0))
    stacks, eaters, energy = zip(*found, strict=True)
    return Helpings(np.concatenate(stacks), np.concatenate(eaters), np.concatenate(energy))


def broken_days(by_day: Floats, needs: Floats) -> dict[int, tuple[int, ...]]:
    """Give for each class the worst days by which more is eaten than the days before hold.

    `by_day[c, d]` is what class `c` eats of food good to day `d`, `needs[c]` its need a day.
    """
    eaten = by_day.cumsum(axis=1)
    days: NDArray[np.int64] = np.arange(by_day.shape[1])
    excess = eaten - needs[:, None] * days
    is_over = excess > _ROOM * np.maximum(1.0, eaten)
    return {c: _worst(excess[c], is_over[c]) for c in np.flatnonzero(is_over.any(axis=1)).tolist()}


def part_in_time(by_day: Floats, needs: Floats) -> float:
    """Give the largest part of a plan, up to all, of which no class eats anything past its date."""
    eaten = by_day.cumsum(axis=1)
    room = needs[:, None] * np.arange(by_day.shape[1])
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = np.where(eaten > _LEAST, room / eaten, 1.0)
    return float(min(1.0, parts.min(initial=1.0)))


def _worst(excess: Floats, is_over: NDArray[np.bool_]) -> tuple[int, ...]:
    """Give the worst day of each run of broken days, the worst few of them."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], is_over, [False])).astype(np.int8)))
    worst = [
        (float(excess[start:end].max()), int(start + excess[start:end].argmax()))
        for start, end in edges.reshape(-1, 2).tolist()
    ]
    return tuple(day for _, day in sorted(worst, reverse=True)[:_DAYS_AT_ONCE])
