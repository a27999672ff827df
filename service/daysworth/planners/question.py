"""Hold the question that a program of coverage is built from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import EatingClass
from daysworth.planners.figures import Figures, figures_of
from daysworth.planners.shelf import Stack


@dataclass(frozen=True, slots=True)
class Water:
    """Litres of stored water inside its date: shared, and what households keep for themselves."""

    shared_l: float
    kept_l: Mapping[HouseholdId, float] = field(default_factory=dict)

    def of(self, one: EatingClass) -> float:
        """Give the litres that a class could have to itself."""
        kept_l = 0.0 if one.keeper is None else self.kept_l.get(one.keeper, 0.0)
        return self.shared_l + kept_l


@dataclass(frozen=True)
class Question:
    """All that the program is built from. `water` None: water runs, and none is counted."""

    stacks: tuple[Stack, ...]
    water: Water | None
    extras_share: float
    horizon_days: int

    @cached_property
    def figures(self) -> Figures:
        """Give the figures of the stacks, read once for all programs of the question."""
        return figures_of(self.stacks)

    def with_figures(
        self, *, energy_kcal: NDArray[np.float64], day: NDArray[np.int64], like: Figures
    ) -> "Question":
        """Ask the same with other energy in each stack and other days, all else as in `like`."""
        asked = replace(self)
        # A cached property keeps what it found under its name.
        asked.__dict__["figures"] = replace(like, energy_kcal=energy_kcal, day=day)
        return asked

    def with_one(self, stack: Stack) -> "Question":
        """Put one more stack on the shelf."""
        more = replace(self, stacks=(*self.stacks, stack))
        # A cached property keeps what it found under its name.
        more.__dict__["figures"] = self.figures.and_one(stack)
        return more


def most_days_of_water(question: Question, one: EatingClass) -> float:
    """Bound a class's days by the stored water it could have to itself; infinite: none counts."""
    if question.water is None:
        return inf
    return question.water.of(one) / one.water_l


def water_keepers(question: Question, classes: Sequence[EatingClass]) -> frozenset[int]:
    """Give the positions of classes whose households keep water of their own."""
    if question.water is None:
        return frozenset()
    kept_l = question.water.kept_l
    return frozenset(c for c, one in enumerate(classes) if one.keeper in kept_l)
