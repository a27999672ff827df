"""Say who eats what on which day, from what the fair plan gives each class.

What a class is given is eaten earliest last good day first, so much a day as it needs, and on its
last day a part. Food of one last good day is eaten side by side, in the same mix on every day that
it lasts, so that nobody has five days of oil. All that keeps to the horizon counts as one day.

That is a schedule whenever one exists: for every day `k` the class has of food good only to day
`k` no more than it eats in `k` days. A class shares its food among its members in proportion to
their needs, and a household's schedule is the sum of its members'.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.planners.classes import EatingClass
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import Planned

_HAIR: Final = 1e-6
"""Part of a day below which a moment is taken to be the day's end it is next to."""
_NOTHING_KCAL: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Run:
    """One food, eaten at one rate from one moment to another, in days since the first began.

    `keeps_days` is the last day on which it may be eaten, the as-of date being day 1, or the
    horizon.
    """

    food: Food
    starts: float
    ends: float
    energy_kcal: float
    keeps_days: int

    @property
    def first_day(self) -> int:
        """Give the first day on which it is eaten, the as-of date being day 1."""
        return floor(self.starts + _HAIR) + 1

    @property
    def last_day(self) -> int:
        """Give the last day on which it is eaten."""
        return max(self.first_day, ceil(self.ends - _HAIR))

    @property
    def units(self) -> float:
        """Give it in units of the food's usual size."""
        return self.energy_kcal / self.food.energy_kcal(self.food.net_mass_g)

    def kcal_on(self, day: int) -> float:
        """Give the kcal of it that are eaten on a day."""
        return self.energy_kcal * _overlap(self, day) / (self.ends - self.starts)


@dataclass(frozen=True, slots=True)
class ClassSchedule:
    """What one class eats and when, in the order of time, until its days are over."""

    members: EatingClass
    days: float
    runs: tuple[Run, ...]


def schedules(grounds: Grounds, planned: Planned) -> tuple[ClassSchedule, ...]:
    """Date what a plan gives each class."""
    given: list[dict[int, dict[FoodId, float]]] = [{} for _ in planned.classes]
    helpings = planned.helpings()
    stacks = grounds.question.stacks
    foods: dict[FoodId, Food] = {}
    for s, c, amount in zip(
        helpings.stacks.tolist(),
        helpings.eaters.tolist(),
        helpings.person_days.tolist(),
        strict=True,
    ):
        food = stacks[s].offer.food
        foods[food.id] = food
        of_day = given[c].setdefault(stacks[s].day, {})
        of_day[food.id] = of_day.get(food.id, 0.0) + amount * grounds.mean_kcal
    return tuple(
        ClassSchedule(item.members, item.days, _runs(item.members, given[c], foods=foods))
        for c, item in enumerate(planned.classes)
    )


def _runs(
    members: EatingClass,
    given: Mapping[int, Mapping[FoodId, float]],
    *,
    foods: Mapping[FoodId, Food],
) -> tuple[Run, ...]:
    runs: list[Run] = []
    so_far_kcal = 0.0
    for day in sorted(given):
        starts = so_far_kcal / members.energy_kcal
        so_far_kcal += sum(given[day].values())
        ends = so_far_kcal / members.energy_kcal
        runs.extend(
            Run(foods[food], starts, ends, kcal, day)
            for food, kcal in sorted(given[day].items())
            if kcal > _NOTHING_KCAL
        )
    return tuple(runs)


def household_runs(classes: Sequence[ClassSchedule], household: HouseholdId) -> tuple[Run, ...]:
    """Give what a household eats and when: its members' parts of their classes' food, summed up."""
    summed: dict[tuple[float, float, int, FoodId], Run] = {}
    for one in classes:
        part = share_of(one.members, household)
        for run in one.runs if part > 0 else ():
            key = (run.starts, run.ends, run.keeps_days, run.food.id)
            before = summed[key].energy_kcal if key in summed else 0.0
            summed[key] = replace(run, energy_kcal=before + run.energy_kcal * part)
    return tuple(summed[key] for key in sorted(summed))


def share_of(members: EatingClass, household: HouseholdId) -> float:
    """Give the part of a class's food that is for members of a household, from 0 to 1."""
    kcal = sum(mouth.energy_kcal for mouth in members.mouths if mouth.household == household)
    return kcal / members.energy_kcal


def energy_on(runs: Iterable[Run], day: int) -> float:
    """Sum the kcal eaten on a day."""
    return sum(run.kcal_on(day) for run in runs)


def _overlap(run: Run, day: int) -> float:
    return max(0.0, min(run.ends, float(day)) - max(run.starts, float(day - 1)))
