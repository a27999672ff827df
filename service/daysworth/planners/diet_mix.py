"""Say what the fair plan's food is made of: protein, fat and sodium, beside planning figures.

Protein and fat are shares of the energy that is eaten, by the general Atwater factors: 4 kcal to a
gram of protein and 9 kcal to a gram of fat (21 CFR 101.9(c)(1)(i)(B)). Sodium is counted for a mean
person-day, that of added salt left out. A food whose fat or sodium is not known is never taken for
free of it: the figure is that of the energy of which it is known, and what share of the energy is
without is told beside it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from daysworth.domain.foods import Food
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import Planned

PROTEIN_KCAL_G: Final = 4.0
FAT_KCAL_G: Final = 9.0

PLANNED_PROTEIN_SHARE: Final = (0.10, 0.12)
PLANNED_FAT_SHARE: Final = 0.17
# What the 2018 edition says is from memory.
PLANNED_SHARES_SOURCE: Final = (
    "Sphere Handbook: 10 % of energy from protein and 17 % from fat (2011); "
    "10 to 12 % from protein (2018)"
)
SODIUM_LIMIT_MG: Final = 2300.0
SODIUM_LIMIT_SOURCE: Final = (
    "Dietary Reference Intakes: adults lower their risk of chronic disease by eating no more "
    "than 2,300 mg a day"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DietMix:
    """What a plan's food is made of.

    `energy_kcal` is all that is eaten; where that is 0, so is the share of protein. The shares of
    energy are from 0 to 1 and, as labels round, a little above at most; `sodium_mg_per_person_day`
    is over the mean need. None: nothing is eaten of which it is known. `energy_without_…` is the
    share of the energy of which it is not.
    """

    energy_kcal: float
    protein_share: float
    fat_share: float | None
    sodium_mg_per_person_day: float | None
    energy_without_fat_figure_share: float
    energy_without_sodium_figure_share: float


def diet_mix(grounds: Grounds, planned: Planned) -> DietMix:
    """Mix what all classes eat in a plan, over all the days that it feeds them."""
    helpings = planned.helpings()
    stacks = grounds.question.stacks
    eaten = np.bincount(
        helpings.stacks, weights=helpings.person_days * grounds.mean_kcal, minlength=len(stacks)
    )
    by_food: dict[Food, float] = {}
    for position in np.flatnonzero(eaten > 0):
        food = stacks[position].offer.food
        by_food[food] = by_food.get(food, 0.0) + float(eaten[position])
    protein, _ = _per_kcal(by_food, lambda food: food.protein_g_100g)
    fat, without_fat = _per_kcal(by_food, lambda food: food.fat_g_100g)
    sodium, without_sodium = _per_kcal(by_food, lambda food: food.sodium_mg_100g)
    return DietMix(
        energy_kcal=sum(by_food.values()),
        protein_share=(protein or 0.0) * PROTEIN_KCAL_G,
        fat_share=_times(fat, FAT_KCAL_G),
        sodium_mg_per_person_day=_times(sodium, grounds.mean_kcal),
        energy_without_fat_figure_share=without_fat,
        energy_without_sodium_figure_share=without_sodium,
    )


def _per_kcal(
    by_food: dict[Food, float], figure: Callable[[Food], float | None]
) -> tuple[float | None, float]:
    """Give a figure for each kcal of which it is known, and the share of energy without it."""
    total = known = amount = 0.0
    for food, kcal in by_food.items():
        total += kcal
        in_100g = figure(food)
        if in_100g is not None:
            known += kcal
            amount += kcal * in_100g / food.energy_kcal_100g
    if known == 0:
        return None, 1.0 if total > 0 else 0.0
    return amount / known, (total - known) / total


def _times(per_kcal: float | None, kcal: float) -> float | None:
    return None if per_kcal is None else per_kcal * kcal
