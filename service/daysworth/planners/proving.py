"""Plan, hold the plan against the whole question, and refine the program until it stands.

A program leaves out what may not matter (`program`). Its best is never below the best of the whole
question; so a plan that reaches it and breaks nothing of what was left out is proved best. Where
the plan breaks something, that is added, for the classes it concerns, and it is solved again. Each
round adds something, and with everything added the program is the whole question, so it ends.

Members whose needs differ only in the ratio of protein to energy are pooled in one class. Where
the class's plan, made as dense as the fair days allow, meets the highest ratio in it, every member
can be given the class's mix, and its days are exactly the fair days of its members: were one of
them to be raised alone, a small step of the same plan would raise the class. Otherwise the class is
split at the density that was reached, and the question put again.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import fsum, inf
from typing import Final

import numpy as np

from daysworth.domain.errors import PlanningStopped, SolverTrouble
from daysworth.planners.bounds import most_days, most_days_protein_aside
from daysworth.planners.classes import EatingClass, in_order, split_by_ratio
from daysworth.planners.dating import (
    Dated,
    Helpings,
    amounts_of,
    broken_days,
    joined,
    mixed_alike,
    part_in_time,
)
from daysworth.planners.fairness import SAME, SLACK, FairPlanner, Raised
from daysworth.planners.program import Layout
from daysworth.planners.question import Question
from daysworth.planners.raising import FurthestPlanner, Worth
from daysworth.planners.serving import served_by_room
from daysworth.planners.solver import Floats
from daysworth.planners.supply import Refinement, Supply

_ROOM: Final = 1e-8
_DROP_L: Final = 1e-6
"""Less water than this part of a litre is rounding."""


@dataclass(frozen=True, slots=True)
class ClassDays:
    """One eating class and the days for which it is fed."""

    members: EatingClass
    days: float


@dataclass(frozen=True, slots=True)
class Planned:
    """The classes with their proved days, and the positions of those fixed at the fewest.

    `helpings` gives what each class eats of each stack, in mean person-days: a plan that reaches
    the days and whose dates hold. `worth` is given for the furthest alone.
    """

    classes: tuple[ClassDays, ...]
    held: frozenset[int]
    water_binds: bool
    helpings: Callable[[], Helpings]
    worth: Worth | None = None

    @property
    def least(self) -> float | None:
        """Give the fewest days; None: nobody has a need."""
        return min((item.days for item in self.classes), default=None)


def fairest(question: Question, classes: Sequence[EatingClass], *, mean_kcal: float) -> Planned:
    """Find the fair days: the lexicographic max-min. Classes may be split on the way.

    Raises PlanningFailed where no answer could be proved.
    """
    return _proved(question, classes, mean_kcal=mean_kcal, plan=FairPlanner.fair)


def everyone(question: Question, classes: Sequence[EatingClass], *, mean_kcal: float) -> Planned:
    """Find for how many days everyone can be fed. Raises as `fairest`."""
    return _proved(question, classes, mean_kcal=mean_kcal, plan=FairPlanner.everyone)


def furthest(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    aims: Mapping[int, float],
    least: Sequence[float],
    mean_kcal: float,
    is_for_prices: bool = False,
) -> Planned:
    """Maximise the sum of `aims[c]` x days of class `c`, every class having its `least` days.

    The classes are taken as they are: none is split. What more food would be worth is told only
    where it is asked for. Raises as `fairest`, and where not every class can have its least days.
    """
    if not classes:
        return _NOTHING
    supply = Supply(question, classes, mean_kcal=mean_kcal)
    start = partial(FurthestPlanner, supply, aims=aims, least=least, is_for_prices=is_for_prices)
    found, dated, planner = _furthest(supply, start, is_enough=lambda _, __: False)
    assert dated is not None
    planned = _planned(supply, found, dated=dated)
    return replace(planned, worth=planner.worth()) if is_for_prices else planned


def highest(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    aims: Mapping[int, float],
    least: Sequence[float],
    known: float,
    mean_kcal: float,
    most_work: float = inf,
) -> "Reach":
    """Give the most that `furthest` reaches, where it is `known` that so much can be reached.

    No plan is looked for where a program shows that nothing reaches further. Where that took more
    than `most_work` columns in all, what no plan can exceed is given instead. Raises as `furthest`.
    """
    supply = Supply(question, classes, mean_kcal=mean_kcal)
    start = partial(FurthestPlanner, supply, aims=aims, least=least, is_for_prices=False)

    def reached(found: Raised) -> float:
        return fsum(aim * found.days[c] for c, aim in aims.items())

    work, at_most = 0, inf

    def is_enough(found: Raised, columns: int) -> bool:
        nonlocal work, at_most
        work += columns
        at_most = min(at_most, reached(found))
        return at_most <= known + SLACK * max(1.0, known) or work > most_work

    _, dated, _ = _furthest(supply, start, is_enough=is_enough)
    is_proved = dated is not None or at_most <= known + SLACK * max(1.0, known)
    return Reach(max(known, at_most), is_proved)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far an aim can be raised; where that is not proved, what it cannot exceed."""

    at_most: float
    is_proved: bool


def _furthest(
    supply: Supply,
    start: Callable[[Refinement], FurthestPlanner],
    *,
    is_enough: Callable[[Raised, int], bool],
) -> tuple[Raised, Dated | None, FurthestPlanner]:
    """Refine until a plan stands, or until a program shows that there is enough to go by."""
    refinement = Refinement()
    while True:
        planner = start(refinement)
        found = planner.furthest()
        if is_enough(found, planner.columns):
            return found, None, planner
        checked = _checked(planner.layout, found.values, days=found.days, highest=False)
        if not checked.is_sound:
            found = planner.settled()
            checked = _checked(planner.layout, found.values, days=found.days, highest=False)
        if checked.is_sound:
            return found, checked.dated, planner
        if not checked.is_new_to(refinement):
            raise SolverTrouble("the plan breaks what the program holds")
        refinement = _refined(refinement, checked, supply=supply)


_NOTHING: Final = Planned((), frozenset(), False, lambda: joined(()))


def _proved(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    mean_kcal: float,
    plan: Callable[[FairPlanner], Raised],
) -> Planned:
    if not classes:
        return _NOTHING
    supply = Supply(question, classes, mean_kcal=mean_kcal)
    bounds = _Bounds(at_most=min(most_days(supply)))
    try:
        return _refined_until_proved(supply, bounds, plan=plan)
    except PlanningStopped as stopped:
        raise PlanningStopped(
            str(stopped), at_least=bounds.at_least, at_most=bounds.at_most
        ) from stopped


@dataclass(slots=True)
class _Bounds:
    """Between what days for everyone the answer is proved to lie, so far."""

    at_most: float
    at_least: float = 0.0

    def learn(self, planner: FairPlanner, checked: "_Checked", *, least: float) -> None:
        """Take what a program and its plan prove: a part of a plan with late dates is a plan."""
        if planner.ceiling is not None:
            self.at_most = min(self.at_most, planner.ceiling)
        if not checked.short and not checked.is_dry:
            self.at_least = max(self.at_least, least * checked.part_in_time)


def _refined_until_proved(
    supply: Supply, bounds: _Bounds, *, plan: Callable[[FairPlanner], Raised]
) -> Planned:
    refinement = Refinement()
    while True:
        planner = FairPlanner(supply, refinement)
        found = plan(planner)
        if plan is FairPlanner.everyone and max(found.days) <= 0:
            return _planned(supply, found, dated=_nothing(supply))
        checked = _checked(planner.layout, found.values, days=found.days, highest=True)
        bounds.learn(planner, checked, least=min(found.days))
        if not checked.is_sound:
            checked = _checked(planner.layout, planner.settled(), days=found.days, highest=True)
            bounds.learn(planner, checked, least=min(found.days))
        if checked.is_sound:
            return _planned(supply, found, dated=checked.dated)
        if checked.is_new_to(refinement):
            refinement = _refined(refinement, checked, supply=supply)
        elif checked.short:
            supply, refinement = _split(supply, refinement, short=checked.short)
        else:
            raise SolverTrouble("the plan breaks what the program holds")


def _nothing(supply: Supply) -> Dated:
    """Give the plan by which nobody eats anything."""
    classes = len(supply.classes)
    by_day = np.zeros((classes, supply.question.horizon_days + 1))
    return Dated(by_day, np.zeros(classes), np.zeros(classes), lambda: joined(()))


def _planned(supply: Supply, found: Raised, *, dated: Dated) -> Planned:
    days = zip(supply.classes, found.days, strict=True)
    return Planned(
        tuple(ClassDays(*one) for one in days), found.held, found.water_binds, dated.helpings
    )


@dataclass(frozen=True, slots=True)
class _Checked:
    """A plan filled from stacks, and what it breaks of the whole question.

    `pooled` are the days broken by all together, `broken` those by class, `short` the density in
    grams to a mean person-day of the classes that lack protein. `part_in_time` is how much of
    every helping could be eaten by its date.
    """

    dated: Dated
    pooled: tuple[int, ...]
    broken: Mapping[int, tuple[int, ...]]
    short: Mapping[int, float]
    is_dry: bool
    part_in_time: float

    @property
    def is_sound(self) -> bool:
        """Tell whether the plan breaks nothing."""
        return not (self.broken or self.short or self.is_dry)

    def is_new_to(self, refinement: Refinement) -> bool:
        """Tell whether a refinement leaves out some of what is broken."""
        days = {(c, day) for c, some in self.broken.items() for day in some}
        return bool(
            days - refinement.class_days
            or self.short.keys() - refinement.dense
            or (self.is_dry and not refinement.is_wet)
        )


def _checked(layout: Layout, values: Floats, *, days: Sequence[float], highest: bool) -> _Checked:
    """Hold a plan against the whole question, filled in one way or the other."""
    amounts = amounts_of(layout, values)
    alike = None
    if not amounts.is_parted:
        alike = _held_against(layout, mixed_alike(layout, amounts), days=days, highest=highest)
        if not alike.broken:
            return alike
    served = _held_against(layout, served_by_room(layout, amounts), days=days, highest=highest)
    if alike is None or served.is_sound:
        return served
    # Dates are held by serving; protein is missed only where a like mix misses it as well.
    short = {c: found for c, found in served.short.items() if c in alike.short}
    return replace(served, short=short) if served.broken or short else served


def _held_against(
    layout: Layout, dated: Dated, *, days: Sequence[float], highest: bool
) -> _Checked:
    supply = layout.supply
    return _Checked(
        dated,
        broken_days(dated.by_day.sum(axis=0)[None, :], supply.needs.sum()[None]).get(0, ()),
        broken_days(dated.by_day, supply.needs),
        _short(supply, dated, highest=highest),
        _is_dry(supply, dated, days=days),
        part_in_time(dated.by_day, supply.needs),
    )


def _short(supply: Supply, dated: Dated, *, highest: bool) -> dict[int, float]:
    """Give the density of each class that lacks protein for its neediest, or on the mean."""
    short = {}
    most = most_days_protein_aside(supply)
    energy = dated.by_day.sum(axis=1)
    for c, one in enumerate(supply.classes):
        ratio = one.highest_ratio if highest else one.protein_g / one.energy_kcal
        if energy[c] > SLACK:
            density = float(dated.protein[c] / energy[c])
        elif not highest or most[c] <= SLACK:
            # Where nothing suits them, they are alike.
            continue
        else:
            # Some may be fed by what is too poor for others, so nothing eaten counts as no denser
            # than they need between them.
            density = one.protein_g / one.energy_kcal * supply.mean_kcal
        if density < ratio * supply.mean_kcal * (1 - (SAME if highest else _ROOM)):
            short[c] = density
    return short


def _is_dry(supply: Supply, dated: Dated, *, days: Sequence[float]) -> bool:
    """Tell whether a plan takes more stored water than there is."""
    water = supply.question.water
    if water is None or not dated.water_l.any():
        return False
    drawn: dict[object, float] = {}
    for c, one in enumerate(supply.classes):
        keeper = one.keeper if one.keeper in water.kept_l else None
        litres = one.water_l * days[c] + float(dated.water_l[c])
        drawn[keeper] = drawn.get(keeper, 0.0) + litres
    shared = drawn.pop(None, 0.0)
    for keeper, kept_l in water.kept_l.items():
        shared += max(0.0, drawn.get(keeper, 0.0) - kept_l)
    return shared > water.shared_l + _DROP_L * max(1.0, water.shared_l)


def _refined(refinement: Refinement, checked: _Checked, *, supply: Supply) -> Refinement:
    """Add what a plan breaks: days of all together first, and then those of single classes."""
    pooled = frozenset(checked.pooled) if len(supply.classes) > 1 else frozenset[int]()
    own = {(c, day) for c, some in checked.broken.items() for day in some}
    return Refinement(
        refinement.pooled_days | pooled,
        refinement.class_days | (frozenset() if pooled - refinement.pooled_days else own),
        refinement.dense | checked.short.keys(),
        refinement.is_wet or checked.is_dry,
    )


def _split(
    supply: Supply, refinement: Refinement, *, short: Mapping[int, float]
) -> tuple[Supply, Refinement]:
    """Split the classes that fell short of protein at the density they reached."""
    parted: list[tuple[EatingClass, int]] = []
    for c, one in enumerate(supply.classes):
        # A hair above, so that rounding leaves neither part empty.
        density = short.get(c, 0.0) / supply.mean_kcal * (1 + SAME / 2)
        parts = split_by_ratio(one, density) if c in short else (one,)
        parted.extend((part, c) for part in parts)
    ordered = in_order(part for part, _ in parted)
    before = {id(part): c for part, c in parted}
    came_of = [before[id(part)] for part in ordered]
    again = Supply(supply.question, ordered, mean_kcal=supply.mean_kcal)
    own = {(c, day) for c, old in enumerate(came_of) for day in refinement.days_of(old)}
    dense = {c for c, old in enumerate(came_of) if old in refinement.dense}
    return again, replace(refinement, class_days=frozenset(own), dense=frozenset(dense))
