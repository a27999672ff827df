"""Feed one household for longer while everybody else keeps the days of the fair plan.

Classes pool members with different ratios of protein to energy. Where a plan gives one of them a
share too poor in protein for its neediest member, the class is split at the density it reached, and
the plan is made again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import EatingClass, split_by_ratio
from daysworth.planners.proving import ClassDays, Planned, furthest
from daysworth.planners.question import Question

SAME: Final = 1e-7
"""Days nearer to one another than this, relative to their size, are one."""


@dataclass(frozen=True, slots=True)
class Seats:
    """Classes, with the days that each is to have at least."""

    classes: tuple[EatingClass, ...]
    least: tuple[float, ...]

    def split(self, densities: Sequence[float]) -> "Seats":
        """Split the classes whose share is too poor for some, at densities in grams per kcal."""
        parted = [
            (part, least)
            for one, least, density in zip(self.classes, self.least, densities, strict=True)
            for part in _parts(one, density=density, least=least)
        ]
        return Seats(tuple(one for one, _ in parted), tuple(least for _, least in parted))


def _parts(one: EatingClass, *, density: float, least: float) -> tuple[EatingClass, ...]:
    # Nothing eaten counts as no denser than they need between them.
    reached = max(density, one.protein_g / one.energy_kcal)
    if least <= 0 or reached >= one.highest_ratio * (1 - SAME):
        return (one,)
    # A hair above, so that rounding leaves neither part empty.
    return split_by_ratio(one, reached * (1 + SAME / 2))


def by_ratio(one: EatingClass) -> tuple[EatingClass, ...]:
    """Split a class until all in each part have one ratio of protein to energy."""
    parts, rest = [], one
    while rest.is_mixed:
        lowest, rest = split_by_ratio(rest, min(mouth.ratio for mouth in rest.mouths))
        parts.append(lowest)
    return (*parts, rest)


def longest_at_home(
    question: Question, seats: Seats, *, home: HouseholdId, mean_kcal: float
) -> tuple[Seats, tuple[ClassDays, ...]]:
    """Feed a household's classes longest in sum, every class having its least days.

    Raises PlanningFailed where not every class can have them.
    """
    while True:
        own = [c for c, one in enumerate(seats.classes) if one.keeper == home]
        found = furthest(
            question,
            seats.classes,
            aims=dict.fromkeys(own, 1.0),
            least=seats.least,
            mean_kcal=mean_kcal,
        )
        split = seats.split(_densities(question, found, mean_kcal=mean_kcal))
        if len(split.classes) == len(seats.classes):
            return seats, found.classes
        seats = split


def _densities(question: Question, found: Planned, *, mean_kcal: float) -> list[float]:
    """Give grams of protein to a kcal of what each class eats."""
    helpings = found.helpings()
    eaten_kcal = helpings.person_days * mean_kcal
    per_kcal = np.array([one.protein_g / one.energy_kcal for one in question.stacks])
    count = len(found.classes)
    energy = np.bincount(helpings.eaters, weights=eaten_kcal, minlength=count)
    protein = np.bincount(
        helpings.eaters, weights=eaten_kcal * per_kcal[helpings.stacks], minlength=count
    )
    return [float(p / e) if e > 0 else 0.0 for p, e in zip(protein, energy, strict=True)]
