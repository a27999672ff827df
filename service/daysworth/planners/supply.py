"""Sort the shelf by who may eat what, and merge what a program need not tell apart.

A **group** is all stacks that the same eaters may have. Shared stacks are grouped by the sets of
eaters that they suit, a household's own by its classes. Within a group a program tells food apart
only as far as it must: by whether it is an extra, by protein and by the water it needs where
these may bind, and by the days that it keeps. A **refinement** says how far that is.

Classes with the same shared food, whose dates and protein bind nowhere, are pooled: the program
gives the pool its shared food, and each class its part of it. What binds is found by holding a
plan against the whole question; the classes it concerns are then seated apart.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import EatingClass
from daysworth.planners.question import Question, water_keepers

Floats = NDArray[np.float64]
Positions = NDArray[np.intp]

NOBODY: Final = -1


@dataclass(frozen=True, slots=True)
class Refinement:
    """How far a program tells food and eaters apart. Positions are of classes.

    `pooled_days` are days on which what all eat together is held to the dates, `class_days` such
    days of single classes. The protein of `dense` classes is counted food by food, and so is the
    water that food needs, if `is_wet`.
    """

    pooled_days: frozenset[int] = frozenset()
    class_days: frozenset[tuple[int, int]] = frozenset()
    dense: frozenset[int] = frozenset()
    is_wet: bool = False

    def days_of(self, c: int) -> list[int]:
        """List the days on which a class is held to its dates by itself."""
        return sorted(day for one, day in self.class_days if one == c)


UNREFINED: Final = Refinement()


@dataclass(frozen=True, slots=True)
class Seating:
    """Who eats from what: classes by themselves, and pools of classes.

    Eaters are numbered: a class by its position, pool `j` by the number of classes plus `j`.
    `of_set` gives the eaters of each set of eaters that share the same food.
    """

    classes: int
    pools: tuple[tuple[int, ...], ...]
    of_set: tuple[tuple[int, ...], ...]

    def seated(self, eater: int) -> tuple[int, ...]:
        """Give the classes that an eater stands for."""
        return (eater,) if eater < self.classes else self.pools[eater - self.classes]


@dataclass(frozen=True, slots=True)
class Bucket:
    """The stacks of a pile that keep to a day and not to the kept day before it.

    `day` is infinite where no kept day binds them; stacks stand in the order of their dates.
    """

    day: float
    person_days: float
    stacks: Positions


@dataclass(frozen=True, slots=True)
class Pile:
    """Food that a program need not tell apart but by its dates.

    `protein_g` is grams to a mean person-day, `water_l` litres to one, both means; each is the same
    for all of it where the refinement counts it.
    """

    person_days: float
    protein_g: float
    water_l: float
    is_extra: bool
    eaters: tuple[int, ...]
    buckets: tuple[Bucket, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Who may have the stacks of a group: sets of eaters, or a household's classes."""

    sets: tuple[int, ...]
    classes: tuple[int, ...]


class Supply:
    """What stands on the shelf for whom, the same for every program of one question."""

    def __init__(
        self, question: Question, classes: Sequence[EatingClass], *, mean_kcal: float
    ) -> None:
        self.question, self.classes, self.mean_kcal = question, classes, mean_kcal
        figures = question.figures
        self.energy: Floats = figures.energy_kcal / mean_kcal
        self.day = figures.day
        self.is_extra: list[bool] = figures.is_extra.tolist()
        self._is_extra = figures.is_extra
        self.protein: Floats = figures.protein_g_kcal * mean_kcal
        self.water_l: Floats = figures.water_l_kcal * mean_kcal
        self.needs: Floats = np.array([one.energy_kcal for one in classes]) / mean_kcal
        self.sets, self.set_of = _sets(classes)
        self.groups, self.group_of = _grouped(question, classes, sets=self.sets)

    def seating(self, refinement: Refinement) -> Seating:
        """Seat the classes: pooled by shared food, those that a refinement names by themselves."""
        apart = refinement.dense | {c for c, _ in refinement.class_days}
        if refinement.is_wet:
            apart |= water_keepers(self.question, self.classes)
        by_set: list[list[int]] = [[] for _ in self.sets]
        for c, s in enumerate(self.set_of):
            by_set[s].append(c)
        pools: list[tuple[int, ...]] = []
        of_set = []
        for seated in by_set:
            pooled = tuple(c for c in seated if c not in apart)
            alone = tuple(c for c in seated if c in apart)
            if len(pooled) > 1:
                of_set.append((*alone, len(self.classes) + len(pools)))
                pools.append(pooled)
            else:
                of_set.append(tuple(seated))
        return Seating(len(self.classes), tuple(pools), tuple(of_set))

    def piles(self, refinement: Refinement, seating: Seating) -> tuple[Pile, ...]:
        """Merge the stacks that a refinement does not tell apart, ordered by content."""
        eaters = [
            tuple(sorted((*(e for s in group.sets for e in seating.of_set[s]), *group.classes)))
            for group in self.groups
        ]
        days = [
            sorted(refinement.pooled_days | {day for c, day in refinement.class_days if c in group})
            for group in map(frozenset, eaters)
        ]
        return tuple(
            self._pile(stacks, eaters=eaters[g], days=days[g])
            for g, stacks in self._alike(refinement, eaters)
        )

    def _alike(
        self, refinement: Refinement, eaters: Sequence[tuple[int, ...]]
    ) -> Iterator[tuple[int, Positions]]:
        """Give the stacks that are not told apart, each group's by quality, in order of dates."""
        is_dense = np.array([any(e in refinement.dense for e in one) for one in eaters], dtype=bool)
        stacks = np.flatnonzero(self.group_of != NOBODY)
        group = self.group_of[stacks]
        quality = (
            group,
            self._is_extra[stacks],
            np.where(is_dense[group], self.protein[stacks], 0.0),
            self.water_l[stacks] if refinement.is_wet else np.zeros(len(stacks)),
        )
        order = np.lexsort((self.day[stacks], *reversed(quality)))
        differ = np.zeros(max(len(stacks) - 1, 0), dtype=bool)
        for one in quality:
            differ |= one[order][1:] != one[order][:-1]
        for alike in np.split(order, np.flatnonzero(differ) + 1):
            if len(alike):
                yield int(group[alike[0]]), stacks[alike]

    def _pile(self, stacks: Positions, *, eaters: tuple[int, ...], days: Sequence[int]) -> Pile:
        """Make a pile of stacks that stand in the order of their dates."""
        energy = self.energy[stacks]
        total = float(energy.sum())
        buckets: tuple[Bucket, ...] = (Bucket(inf, total, stacks),)
        if days:
            cuts = np.searchsorted(self.day[stacks], days, side="right")
            buckets = tuple(
                Bucket(day, float(self.energy[part].sum()), part)
                for day, part in zip((*days, inf), np.split(stacks, cuts), strict=True)
                if len(part)
            )
        return Pile(
            total,
            float((energy * self.protein[stacks]).sum()) / total,
            float((energy * self.water_l[stacks]).sum()) / total,
            self.is_extra[int(stacks[0])],
            eaters,
            buckets,
        )


def _sets(classes: Sequence[EatingClass]) -> tuple[tuple[frozenset[int], ...], tuple[int, ...]]:
    """Number the different sets of shared stacks, in the order of the classes."""
    numbers: dict[frozenset[int], int] = {}
    known: dict[int, int] = {}
    for one in classes:
        # Classes of one set hold the same object, so few sets are ever compared.
        if id(one.shared) not in known:
            known[id(one.shared)] = numbers.setdefault(one.shared, len(numbers))
    return tuple(numbers), tuple(known[id(one.shared)] for one in classes)


def _grouped(
    question: Question, classes: Sequence[EatingClass], *, sets: Sequence[frozenset[int]]
) -> tuple[tuple[Group, ...], NDArray[np.int64]]:
    """Group the stacks by who may have them: all stacks of one kind suit alike."""
    at_home: dict[HouseholdId, list[int]] = {}
    for c, one in enumerate(classes):
        if one.keeper is not None:
            at_home.setdefault(one.keeper, []).append(c)
    figures = question.figures
    numbers: dict[Group, int] = {}
    of_kind = []
    for s in figures.first:
        keeper = question.stacks[s].kept_by
        group = _group(s, keeper, classes=classes, sets=sets, at_home=at_home)
        of_kind.append(NOBODY if group is None else numbers.setdefault(group, len(numbers)))
    group_of = np.array(of_kind, dtype=np.int64)[figures.kind]
    return tuple(numbers), group_of


def _group(
    position: int,
    kept_by: HouseholdId | None,
    *,
    classes: Sequence[EatingClass],
    sets: Sequence[frozenset[int]],
    at_home: Mapping[HouseholdId, Sequence[int]],
) -> Group | None:
    if kept_by is None:
        suited = tuple(s for s, one in enumerate(sets) if position in one)
        return Group(suited, ()) if suited else None
    own = tuple(c for c in at_home.get(kept_by, ()) if position in classes[c].own)
    return Group((), own) if own else None
