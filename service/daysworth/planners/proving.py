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
from math import fsum, inf, nextafter
from typing import Final

import numpy as np

from daysworth.domain.errors import PlanningStopped, SolverTrouble
from daysworth.planners.bounds import most_days
from daysworth.planners.checking import Checked, checked_against
from daysworth.planners.classes import EatingClass, in_order, split_by_ratio
from daysworth.planners.dating import Dated, Helpings, joined
from daysworth.planners.fairness import SAME, SLACK, FairPlanner, Raised
from daysworth.planners.question import Question
from daysworth.planners.raising import FurthestPlanner, Worth
from daysworth.planners.supply import UNREFINED, Floats, Refinement, Supply

_Start = Callable[[Supply, Refinement], FairPlanner]


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


def everyone_priced(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    mean_kcal: float,
    at_least: float = 0.0,
    refinement: Refinement = UNREFINED,
) -> "Priced":
    """Find for how many days everyone can be fed, and what each stack is worth.

    Where a program shows that they are fewer than `at_least`, no plan is looked for, and what it
    shows is given. It begins at a refinement, which may be any. Raises as `fairest`.
    """
    if not classes:
        return Priced(None, np.zeros(len(question.stacks)))
    planners: list[FairPlanner] = []

    def start(supply: Supply, refinement: Refinement) -> FairPlanner:
        most = (float(question.horizon_days),) * len(supply.classes)
        planners.append(FairPlanner(supply, refinement, most=most))
        return planners[-1]

    supply = Supply(question, classes, mean_kcal=mean_kcal)
    bounds = _Bounds(at_most=min(most_days(supply)))
    enough = nextafter(at_least, -inf)
    found = _until_proved(
        supply,
        bounds,
        plan=FairPlanner.everyone,
        enough=enough,
        start=start,
        refinement=refinement,
    )
    last = planners[-1]
    prices = _prices(last, stacks=len(question.stacks))
    is_split = len(last.layout.supply.classes) != len(classes)
    return Priced(
        last.ceiling if found is None else found.least,
        prices,
        is_proved=found is not None,
        refinement=refinement if is_split else last.layout.refinement,
    )


@dataclass(frozen=True, slots=True)
class Priced:
    """Days for everyone, and by how many days less of each stack lowers them at most there.

    `days` None: nobody has a need; not `is_proved`: they are no more than that, and may be fewer.
    `a_helping[s]` is days to a mean person-day of stack `s`. Days for everyone are concave in what
    is on the shelf: with less of some stacks and more of others they are no more than these days,
    and the price of each times what is more of it. `refinement` is how far food and eaters had to
    be told apart.
    """

    days: float | None
    a_helping: Floats
    is_proved: bool = True
    refinement: Refinement = UNREFINED


def _prices(planner: FairPlanner, *, stacks: int) -> Floats:
    """Read the prices of stacks; one of which there is more than can be eaten has none."""
    assert planner.row_duals is not None
    found = np.zeros(stacks)
    layout = planner.layout
    for pile, useful, rows in zip(layout.piles, layout.useful, layout.stock_rows, strict=True):
        for bucket, row in zip(pile.buckets, rows, strict=True):
            if bucket.person_days <= useful:
                found[bucket.stacks] = max(0.0, float(planner.row_duals[row]))
    return found


def everyones_days(
    question: Question, classes: Sequence[EatingClass], *, known: float, mean_kcal: float
) -> float:
    """Give for how many days everyone can be fed, being known that it is for `known` days.

    No plan is looked for where a bound or a program shows that none reaches further. Raises as
    `fairest`.
    """
    supply = Supply(question, classes, mean_kcal=mean_kcal)
    bounds = _Bounds(at_most=min(most_days(supply)), at_least=known)
    enough = known * (1 + SAME)
    if bounds.at_most <= enough:
        return known
    found = _until_proved(supply, bounds, plan=FairPlanner.everyone, enough=enough)
    return known if found is None or found.least is None else max(known, found.least)


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
        checked = checked_against(planner.layout, found.values, days=found.days, highest=False)
        if not checked.is_sound:
            found = planner.settled()
            checked = checked_against(planner.layout, found.values, days=found.days, highest=False)
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
    planned = _until_proved(supply, bounds, plan=plan, enough=None)
    assert planned is not None
    return planned


def _until_proved(
    supply: Supply,
    bounds: "_Bounds",
    *,
    plan: Callable[[FairPlanner], Raised],
    enough: float | None,
    start: _Start = FairPlanner,
    refinement: Refinement = UNREFINED,
) -> Planned | None:
    """Refine until a plan stands; None where a program shows no more than is enough already."""
    try:
        return _refined_until_proved(
            supply, bounds, plan=plan, enough=enough, start=start, refinement=refinement
        )
    except PlanningStopped as stopped:
        raise PlanningStopped(
            str(stopped), at_least=bounds.at_least, at_most=bounds.at_most
        ) from stopped


@dataclass(slots=True)
class _Bounds:
    """Between what days for everyone the answer is proved to lie, so far."""

    at_most: float
    at_least: float = 0.0

    def learn(self, planner: FairPlanner, checked: Checked, *, least: float) -> None:
        """Take what a program and its plan prove: a part of a plan with late dates is a plan."""
        if planner.ceiling is not None:
            self.at_most = min(self.at_most, planner.ceiling)
        if not checked.short and not checked.is_dry:
            self.at_least = max(self.at_least, least * checked.part_in_time)


def _refined_until_proved(
    supply: Supply,
    bounds: _Bounds,
    *,
    plan: Callable[[FairPlanner], Raised],
    enough: float | None,
    start: _Start,
    refinement: Refinement,
) -> Planned | None:
    while True:
        planner = start(supply, refinement)
        found = plan(planner)
        if enough is not None and min(found.days) <= enough:
            return None
        if plan is FairPlanner.everyone and max(found.days) <= 0:
            return _planned(supply, found, dated=_nothing(supply))
        checked = checked_against(planner.layout, found.values, days=found.days, highest=True)
        bounds.learn(planner, checked, least=min(found.days))
        if not checked.is_sound:
            values = planner.settled()
            checked = checked_against(planner.layout, values, days=found.days, highest=True)
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


def _refined(refinement: Refinement, checked: Checked, *, supply: Supply) -> Refinement:
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
