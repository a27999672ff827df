"""Bound each class's days from above by what it could have were the whole store its own.

Each bound is exact for the one thing it looks at: dates, the extras' share, protein, water. None
looks at two at once, or at what others eat.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.planners.question import most_days_of_water
from daysworth.planners.supply import Floats, Supply

_SUPPLIES_REMEMBERED: Final = 2
"""One supply is planned with many times before the next."""


def most_days(supply: Supply) -> tuple[float, ...]:
    """Give for each class days that no plan can exceed."""
    return tuple(min(both) for both in _most_days(supply))


def most_days_protein_aside(supply: Supply) -> tuple[float, ...]:
    """Give for each class days that no plan can exceed, whatever protein its members need."""
    return tuple(others for others, _ in _most_days(supply))


@lru_cache(maxsize=_SUPPLIES_REMEMBERED)
def _most_days(supply: Supply) -> tuple[tuple[float, float], ...]:
    """Give the bounds by all but protein, and by protein."""
    by_day, by_density, densities = _tables(supply)
    has = np.zeros((len(supply.sets), len(supply.groups)))
    own: dict[int, list[int]] = {}
    for g, group in enumerate(supply.groups):
        has[list(group.sets), g] = 1.0
        for c in group.classes:
            own.setdefault(c, []).append(g)
    # Not by `@`: that has threads of its own, and its sums are not the same on every machine.
    days_of_set = np.einsum("sg,gkd->skd", has, by_day)
    densities_of_set = np.einsum("sg,gp->sp", has, by_density)
    found = []
    for c, one in enumerate(supply.classes):
        s, mine = supply.set_of[c], own.get(c, [])
        shelf = days_of_set[s] + by_day[mine].sum(axis=0)
        dense = densities_of_set[s] + by_density[mine].sum(axis=0)
        need = float(supply.needs[c])
        ratio = one.protein_g / one.energy_kcal * supply.mean_kcal
        others = min(
            _by_dates(shelf.sum(axis=0), need=need),
            _by_extras(float(shelf[0].sum()), supply.question.extras_share) / need,
            most_days_of_water(supply.question, one),
        )
        found.append((others, _by_protein(dense, densities, ratio=ratio) / need))
    return tuple(found)


def _tables(supply: Supply) -> tuple[Floats, Floats, Floats]:
    """Sum the energy of each group by kind and last good day, and by density in protein."""
    groups, length = len(supply.groups), supply.question.horizon_days + 1
    somebodys = supply.group_of >= 0
    group, energy = supply.group_of[somebodys], supply.energy[somebodys]
    extra = np.array(supply.is_extra, dtype=np.int64)[somebodys]
    at = (group * 2 + extra) * length + supply.day[somebodys]
    densities, level = np.unique(-supply.protein[somebodys], return_inverse=True)
    by_density = _summed(group * len(densities) + level, energy, size=groups * len(densities))
    return (
        _summed(at, energy, size=groups * 2 * length).reshape(groups, 2, length),
        by_density.reshape(groups, len(densities)),
        -densities,
    )


def _summed(at: NDArray[np.int64], energy: Floats, *, size: int) -> Floats:
    return np.bincount(at, weights=energy, minlength=size).astype(np.float64)


def _by_dates(by_day: Floats, *, need: float) -> float:
    """By day `k` no more than `k` days are eaten, and later no more than what is good longer."""
    after = by_day[::-1].cumsum()[::-1] - by_day
    return float((np.arange(len(by_day)) + after / need).min())


def _by_extras(plain: float, share: float) -> float:
    return plain / (1 - share) if share < 1 else float("inf")


def _by_protein(energy: Floats, densities: Floats, *, ratio: float) -> float:
    """Give the most energy that is as dense as need be: the densest food, and what it makes up for.

    `densities`, in grams to a mean person-day, come from the highest to the lowest.
    """
    surplus = np.concatenate(([0.0], (energy * (densities - ratio)).cumsum()))
    short = np.flatnonzero(surplus[1:] < 0)
    if not len(short):
        return float(energy.sum())
    first = int(short[0])
    # What is left over of the denser food makes up for so much of the first that falls short.
    part = float(surplus[first]) / (ratio - float(densities[first]))
    return float(energy[:first].sum()) + part
