"""Lay out who eats from what for the question of what will spoil.

A class sits at a seat with others that may have the same shared food, until its dates, its protein
or its own water set it apart. How far that has gone is written in what is **finer**.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from daysworth.planners.classes import EatingClass
from daysworth.planners.question import Water, water_keepers
from daysworth.planners.solver import Floats
from daysworth.planners.supply import NOBODY, Positions, Supply

_NO_DAYS: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Finer:
    """How far a program tells classes and food apart; positions are of classes.

    The food of `dated` classes is told apart by date, and they have seats of their own. All food is
    told apart by protein if it `is_dense`, and by the water it needs if it `is_wet`.
    """

    dated: frozenset[int] = frozenset()
    is_dense: bool = False
    is_wet: bool = False


@dataclass(frozen=True, slots=True)
class Pile:
    """Food that a program need not tell apart but by its dates, in mean person-days.

    Dates ascend, and the first `can_spoil` of them fall before the horizon. `classes` are those
    who may eat it, and `seats` where they sit. `protein_g` and `water_l` are to a mean
    person-day, means where it is mixed; `protein_g_by_day` and `water_l_by_day` the same by date.
    A **bucket** is a date, where a dated class tells it apart, then all other dates that can spoil,
    then what lasts.
    """

    days: tuple[int, ...]
    person_days: tuple[float, ...]
    stacks: tuple[Positions, ...]
    can_spoil: int
    classes: frozenset[int]
    seats: tuple[int, ...]
    is_extra: bool
    protein_g: float
    water_l: float
    protein_g_by_day: tuple[float, ...]
    water_l_by_day: tuple[float, ...]
    told_apart: int

    @property
    def bucket_count(self) -> int:
        """Count the buckets: the dates that are told apart, other dates, and what lasts."""
        return self.told_apart + 2

    def bucket_of(self, place: int) -> int:
        """Give the bucket that the date at a place falls into."""
        if place < self.can_spoil:
            return min(place, self.told_apart)
        return self.told_apart + 1

    def protein_in(self, bucket: int) -> float:
        """Give the grams of protein to a mean person-day of a date told apart, or of the rest."""
        if bucket < self.told_apart:
            return self.protein_g_by_day[bucket]
        return self.protein_g

    def in_bucket(self, bucket: int) -> float:
        """Sum what is in a bucket."""
        if bucket < self.told_apart:
            return self.person_days[bucket]
        if bucket == self.told_apart:
            return sum(self.person_days[self.told_apart : self.can_spoil])
        return sum(self.person_days[self.can_spoil :])


class Table:
    """Seats and piles of one question with fixed days, as fine as is asked."""

    def __init__(self, supply: Supply, days: Sequence[float], *, finer: Finer) -> None:
        self.supply, self.finer = supply, finer
        self.classes: Sequence[EatingClass] = supply.classes
        self.horizon_days = supply.question.horizon_days
        self.extras_share = supply.question.extras_share
        self._days = np.array(days, dtype=np.float64)
        self.seats = self._seats()
        self._seat_of = {c: e for e, seat in enumerate(self.seats) for c in seat}
        self.piles = self._piles()

    @property
    def water(self) -> Water | None:
        """Give the stored water, if any is counted."""
        return self.supply.question.water

    @cached_property
    def lone_owners(self) -> dict[int, list[int]]:
        """Give by class the piles that are its alone, where it has any."""
        found: dict[int, list[int]] = {}
        for p, pile in enumerate(self.piles):
            if len(pile.classes) == 1:
                found.setdefault(next(iter(pile.classes)), []).append(p)
        return {c: found[c] for c in sorted(found)}

    def seat_of(self, c: int) -> int:
        """Give the seat of a class that is fed at all."""
        return self._seat_of[c]

    def is_dated(self, e: int) -> bool:
        """Tell whether a seat is that of a dated class."""
        return self.seats[e][0] in self.finer.dated

    def days_of(self, c: int) -> float:
        """Give the days for which a class is fed."""
        return float(self._days[c])

    def energy_of(self, c: int) -> float:
        """Give what a class eats in all, in mean person-days."""
        return float(self.supply.needs[c] * self._days[c])

    def energy_at(self, e: int) -> float:
        """Give what is eaten at a seat in all, in mean person-days."""
        return sum(self.energy_of(c) for c in self.seats[e])

    def protein_at(self, e: int) -> float:
        """Give the grams of protein that are needed at a seat in all."""
        return sum(self.classes[c].protein_g * self.days_of(c) for c in self.seats[e])

    def litres_of(self, c: int) -> float:
        """Give the litres that a class drinks in all."""
        return self.classes[c].water_l * self.days_of(c)

    def dates_of(self, c: int) -> int:
        """Count the dates of the piles that a class may eat from."""
        return sum(len(pile.days) for pile in self.piles if c in pile.classes)

    def highest_protein_at(self, e: int) -> float:
        """Give the grams there would be were all at a seat as needy as their class's neediest."""
        return sum(
            self.classes[c].highest_ratio * self.classes[c].energy_kcal * self.days_of(c)
            for c in self.seats[e]
        )

    def most_of(self, c: int, day: int) -> float:
        """Give what a class can eat at most by a day."""
        return float(self.supply.needs[c] * min(float(day), self._days[c]))

    def most_by(self, day: int) -> float:
        """Give what all classes can eat at most by a day."""
        return float((self.supply.needs * np.minimum(float(day), self._days)).sum())

    def _seats(self) -> tuple[tuple[int, ...], ...]:
        apart = self.finer.dated
        if self.finer.is_wet:
            apart |= water_keepers(self.supply.question, self.classes)
        seated: dict[tuple[int, int], list[int]] = {}
        for c, shared in enumerate(self.supply.set_of):
            if self._days[c] > _NO_DAYS:
                seated.setdefault((shared, c if c in apart else NOBODY), []).append(c)
        return tuple(tuple(seat) for _, seat in sorted(seated.items()))

    def _piles(self) -> tuple[Pile, ...]:
        supply = self.supply
        sets: dict[int, list[int]] = {}
        for c, shared in enumerate(supply.set_of):
            sets.setdefault(shared, []).append(c)
        eaters = [
            frozenset(c for s in group.sets for c in sets[s]) | frozenset(group.classes)
            for group in supply.groups
        ]
        eaters = [frozenset(c for c in group if c in self._seat_of) for group in eaters]
        merged: dict[tuple[int, bool, float, float], list[int]] = {}
        for s, g in enumerate(supply.group_of.tolist()):
            if g != NOBODY and eaters[g]:
                protein = float(supply.protein[s]) if self.finer.is_dense else 0.0
                water_l = float(supply.water_l[s]) if self.finer.is_wet else 0.0
                merged.setdefault((g, supply.is_extra[s], protein, water_l), []).append(s)
        return tuple(
            self._pile(np.array(merged[key], dtype=np.intp), eaters[key[0]], is_extra=key[1])
            for key in sorted(merged)
        )

    def _pile(self, stacks: Positions, eaters: frozenset[int], *, is_extra: bool) -> Pile:
        supply = self.supply
        stacks = stacks[np.argsort(supply.day[stacks], kind="stable")]
        days, starts = np.unique(supply.day[stacks], return_index=True)
        energy = supply.energy[stacks]
        by_day: Floats = np.add.reduceat(energy, starts)
        protein: Floats = np.add.reduceat(energy * supply.protein[stacks], starts)
        water_l: Floats = np.add.reduceat(energy * supply.water_l[stacks], starts)
        whole = float(by_day.sum())
        longest = max((self.days_of(c) for c in eaters & self.finer.dated), default=0.0)
        can_spoil = int(np.searchsorted(days, self.horizon_days))
        told_apart = int(np.searchsorted(days, longest))
        return Pile(
            tuple(days.tolist()),
            tuple(by_day.tolist()),
            tuple(np.split(stacks, starts[1:])),
            can_spoil,
            eaters,
            tuple(sorted({self._seat_of[c] for c in eaters})),
            is_extra,
            float(protein.sum()) / whole,
            float(water_l.sum()) / whole,
            tuple((protein / by_day).tolist()),
            tuple((water_l / by_day).tolist()),
            min(told_apart, can_spoil),
        )
