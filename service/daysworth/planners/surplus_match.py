"""State who gets what as a program in whole units.

Sets: candidates `l` with `a_l` free units of `e_l` kcal and `m_l` grams each; visits `w`; pairs
`lw` that the partner's rules allow. Variables: `x_lw >= 0` whole units that go, `z_w` whether a
visit is made.

    sum_w x_lw                                    <= a_l             each candidate
    sum_l m_l x_lw                                <= room of w       each visit with a bound
    sum_l x_lw                                    <= units of w      each visit with such a bound
    the same for the lots of one food group                          each rule with a bound
    sum_l price_l e_l sum_{w on or before D} x_lw <= most            each cut of the floor, of day D
    x_lw                                          <= a_l z_w         each pair, where visits count

The aims are, in order, the most energy, the fewest visits, and the least of the energy-weighted
days until the hand-off. Each is held by those after it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import fsum, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.foods import FoodGroup
from daysworth.planners.supply import Floats
from daysworth.planners.surplus_candidates import Candidate
from daysworth.planners.surplus_floor import Cut, GoneBy
from daysworth.planners.surplus_plan import Room, SurplusStage, Visit
from daysworth.planners.surplus_shelf import NOT_EATEN

Pair = tuple[int, int]
"""Positions of a candidate and of a visit."""

Units = Mapping[Pair, float]


@dataclass(frozen=True)
class Match:
    """What may go where.

    `stacks` gives each candidate's stack on the shelf, or NOT_EATEN; there are `all_stacks` on it.
    """

    as_of: date
    candidates: tuple[Candidate, ...]
    visits: tuple[Visit, ...]
    stacks: tuple[int, ...]
    all_stacks: int

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """List every candidate that gives energy with every visit that takes it."""
        return tuple(
            (c, w)
            for c, one in enumerate(self.candidates)
            if one.energy_kcal > 0
            for w in one.visits
            if one.mass_g <= self.rooms[w].mass_g and self.rooms[w].units >= 1
        )

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        """Give the room of each visit."""
        return tuple(visit.room for visit in self.visits)

    @cached_property
    def group_rooms(self) -> Mapping[tuple[int, FoodGroup], Room]:
        """Give the room for a food group of a visit, where a rule bounds it."""
        groups = {one.item.food.group for one in self.candidates}
        found = {
            (w, group): visit.room_of(group)
            for w, visit in enumerate(self.visits)
            for group in sorted(groups)
        }
        return {key: room for key, room in found.items() if min(room.mass_g, room.units) < inf}

    @cached_property
    def days_ahead(self) -> tuple[int, ...]:
        """Give how many days ahead each visit is."""
        return tuple((visit.on - self.as_of).days for visit in self.visits)

    def energy_kcal(self, units: Units) -> float:
        """Sum the kcal of what goes."""
        return fsum(n * self.candidates[c].energy_kcal for (c, _), n in units.items())

    def mean_days(self, units: Units) -> float:
        """Give the energy-weighted mean of the days until the hand-off; 0 where nothing goes."""
        kcal = self.energy_kcal(units)
        days = fsum(
            n * self.candidates[c].energy_kcal * self.days_ahead[w] for (c, w), n in units.items()
        )
        return days / kcal if kcal > 0 else 0.0

    def gone_by(self, units: Units) -> GoneBy:
        """Give for any day the kcal of each stack that have gone on or before it."""
        going = [
            (self.visits[w].on.toordinal(), self.stacks[c], n * self.candidates[c].energy_kcal)
            for (c, w), n in sorted(units.items())
            if self.stacks[c] != NOT_EATEN and n > 0
        ]
        days = np.array([day for day, _, _ in going], dtype=np.int64)
        stacks = np.array([stack for _, stack, _ in going], dtype=np.int64)
        kcal = np.array([each for _, _, each in going], dtype=np.float64)

        def by(day: date) -> Floats:
            is_gone = days <= day.toordinal()
            return np.bincount(
                stacks[is_gone], weights=kcal[is_gone], minlength=self.all_stacks
            ).astype(np.float64)

        return by

    def could_go_by(self) -> GoneBy:
        """Give the same were every candidate to go on the first visit that takes it."""
        first: dict[int, int] = {}
        for c, w in self.pairs:
            first[c] = min(first.get(c, w), w, key=lambda one: self.visits[one].on)
        return self.gone_by({(c, w): self.candidates[c].units for c, w in first.items()})

    @cached_property
    def _columns(self) -> "_Columns":
        return _Columns(
            np.array([self.stacks[c] for c, _ in self.pairs], dtype=np.int64),
            np.array([self.candidates[c].energy_kcal for c, _ in self.pairs], dtype=np.float64),
            np.array([self.visits[w].on.toordinal() for _, w in self.pairs], dtype=np.int64),
        )

    def cut_row(self, cut: Cut) -> tuple[NDArray[np.int32], Floats]:
        """Give the pairs in a cut, by position, and their coefficients."""
        pairs = self._columns
        is_held = (pairs.stack != NOT_EATEN) & (pairs.day <= cut.held_on.toordinal())
        price = np.where(is_held, cut.prices[pairs.stack], 0.0) * pairs.kcal
        found = np.flatnonzero(price > 0)
        return found.astype(np.int32), price[found]


class _Columns(NamedTuple):
    """For each pair the candidate's stack and kcal to a unit, and the visit's day as an ordinal."""

    stack: NDArray[np.int64]
    kcal: Floats
    day: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Reached:
    """Whole units by pair, and what they reach of each aim."""

    units: Mapping[Pair, int]
    stages: tuple[SurplusStage, ...]
