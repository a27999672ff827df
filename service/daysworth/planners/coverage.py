"""Answer the main question: how many days can all of us eat?

The program is in `program`, the fair days in `fairness`. Here the question is put, the classes are
found, and the answers are read back as planners define them: person-days, fair days of every
class and household, everyone-fed days with who holds them down, and days of water.

Members whose needs differ only in the ratio of protein to energy are pooled. Where the pool's
plan, made as dense as the fair days allow, meets the highest ratio in it, every member can be
given the pool's mix, and the pooled days are exactly the fair days of its members: were one of
them to be raised alone, a small step of the same plan would raise the pool. Otherwise the pool is
split at the density that was reached, and the question put again.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.errors import SolverTrouble
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import (
    EatingClass,
    Suits,
    Supposing,
    all_unknown_suits,
    classes_of,
    in_order,
    mouths_of,
    nothing_unknown_suits,
    present_households,
    split_by_ratio,
)
from daysworth.planners.fairness import SAME, FairDays, FairPlanner
from daysworth.planners.labels_to_read import LabelToRead, labels_to_read
from daysworth.planners.program import Question, most_days
from daysworth.planners.scenario import Scenario, check_scenario
from daysworth.planners.shelf import (
    dated_lots,
    energy_on_paper_kcal,
    is_counted,
    stacks_of,
)
from daysworth.planners.water import WaterDays, stored_water, water_days


@dataclass(frozen=True, slots=True)
class ClassDays:
    """One eating class and the days for which it is fed."""

    members: EatingClass
    days: float


@dataclass(frozen=True, slots=True)
class HouseholdDays:
    """A household's days: the fewest among its members with a need; None: it has none."""

    household: HouseholdId
    members: int
    days: float | None


@dataclass(frozen=True, slots=True)
class Coverage:
    """The answers for one snapshot, date and scenario. Days are exact, not rounded.

    `person_days` and `person_days_on_paper` are over the mean need, `mean_need_kcal` a day.
    `everyone_fed_days` and what hangs on it are None where nobody has a need. `labels_to_read` are
    the labels to read first, those that would add most. `held_by` are the
    classes that no plan can raise above it. `next_level_days` is the fewest days among the rest;
    None: there is no rest. `everyone_fed_days_if_enough_to_drink` is more than everyone-fed days
    where the stored water holds them down.
    """

    as_of: date
    scenario: Scenario
    mean_need_kcal: float
    members_with_a_need: int
    person_days: float
    person_days_on_paper: float
    members_days: float
    everyone_fed_days: float | None
    everyone_fed_days_if_unread_suit: float | None
    labels_to_read: tuple[LabelToRead, ...]
    everyone_fed_days_if_enough_to_drink: float | None
    next_level_days: float | None
    held_by: tuple[ClassDays, ...]
    classes: tuple[ClassDays, ...]
    households: tuple[HouseholdDays, ...]
    water: WaterDays


def plan_coverage(
    snapshot: Snapshot,
    as_of: date,
    *,
    scenario: Scenario | None = None,
    judge: Judge = suitability.judge,
) -> Coverage:
    """Answer for a snapshot and a date, which is day 1.

    Raises ScenarioRefused where the scenario names what the store lacks, PlanningFailed where no
    answer could be proved.
    """
    asked = scenario or Scenario()
    check_scenario(asked, snapshot)
    return _Coverage(snapshot, as_of, scenario=asked, judge=judge).answer()


class _Coverage:
    """One question, with what its several plans have in common."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, scenario: Scenario, judge: Judge
    ) -> None:
        self._snapshot, self._as_of = snapshot, as_of
        self._scenario = scenario
        self._dated = dated_lots(snapshot, as_of)
        self._mouths = mouths_of(snapshot, scenario=scenario, as_of=as_of)
        stacks = stacks_of(self._dated, scenario=scenario, as_of=as_of)
        self._suits = Suits(stacks, judge=judge)
        water = stored_water(self._dated, scenario)
        self._keepers = frozenset(stack.kept_by for stack in stacks if stack.kept_by) | frozenset(
            water.kept_l
        )
        self._question = Question(
            stacks,
            None if scenario.running_water else water,
            snapshot.settings.extras_share,
            scenario.horizon_days,
        )

    def answer(self) -> Coverage:
        """Plan, and read the answers back."""
        total_kcal = fsum(mouth.energy_kcal for mouth in self._mouths)
        mean_kcal = total_kcal / len(self._mouths) if self._mouths else 0.0
        fair = self._planned(
            self._question, classes=self._classes(), mean_kcal=mean_kcal, plan=FairPlanner.fair
        )
        classes = tuple(fair.classes)
        if_unread_suit = self._days_if(all_unknown_suits, mean_kcal)
        rest = [item.days for c, item in enumerate(classes) if c not in fair.held]
        return Coverage(
            as_of=self._as_of,
            scenario=self._scenario,
            mean_need_kcal=mean_kcal,
            members_with_a_need=len(self._mouths),
            person_days=_person_days(classes, mean_kcal),
            person_days_on_paper=self._on_paper(mean_kcal),
            members_days=fsum(len(item.members.mouths) * item.days for item in classes),
            everyone_fed_days=fair.least,
            everyone_fed_days_if_unread_suit=if_unread_suit,
            labels_to_read=self._labels_to_read(fair, mean_kcal, if_unread_suit=if_unread_suit),
            everyone_fed_days_if_enough_to_drink=self._if_enough_water(fair, mean_kcal),
            next_level_days=min(rest, default=None),
            held_by=tuple(classes[c] for c in sorted(fair.held)),
            classes=classes,
            households=self._households(classes),
            water=water_days(
                self._snapshot, dated=self._dated, scenario=self._scenario, as_of=self._as_of
            ),
        )

    def _days_if(self, supposing: Supposing, mean_kcal: float) -> float | None:
        """Ask for how many days everyone were fed if some labels proved suitable."""
        return self._planned(
            self._question,
            classes=self._classes(supposing),
            mean_kcal=mean_kcal,
            plan=FairPlanner.everyone,
        ).least

    def _more_days_if(
        self, supposing: Supposing, *, mean_kcal: float, least: float
    ) -> float | None:
        """Ask the same, of days that are `least` already, planning only where there may be more.

        What suits can only add days; and where a class could not be fed for longer were the whole
        store its own, no plan gives more.
        """
        classes = self._classes(supposing)
        if min(most_days(self._question, classes), default=0.0) <= least * (1 + SAME):
            return least
        return self._planned(
            self._question, classes=classes, mean_kcal=mean_kcal, plan=FairPlanner.everyone
        ).least

    def _classes(self, supposing: Supposing = nothing_unknown_suits) -> tuple[EatingClass, ...]:
        return classes_of(
            self._mouths, suits=self._suits, keepers=self._keepers, if_suits=supposing
        )

    def _labels_to_read(
        self, fair: "_Planned", mean_kcal: float, *, if_unread_suit: float | None
    ) -> tuple[LabelToRead, ...]:
        """Find the labels to read first; none where all of them together would add nothing."""
        least = fair.least
        if least is None or if_unread_suit is None or if_unread_suit <= least * (1 + SAME):
            return ()
        return labels_to_read(
            [fair.classes[c].members for c in sorted(fair.held)],
            stacks=self._question.stacks,
            counted=[item for item in self._dated if is_counted(item, self._scenario)],
            suits=self._suits,
            days_if=lambda supposing: self._more_days_if(
                supposing, mean_kcal=mean_kcal, least=least
            ),
        )

    def _if_enough_water(self, fair: "_Planned", mean_kcal: float) -> float | None:
        """Ask again without counting water, but only where its row has a price."""
        if not fair.water_binds:
            return fair.least
        wet = replace(self._question, water=None)
        return self._planned(
            wet, classes=self._classes(), mean_kcal=mean_kcal, plan=FairPlanner.everyone
        ).least

    def _planned(
        self,
        question: Question,
        *,
        classes: tuple[EatingClass, ...],
        mean_kcal: float,
        plan: Callable[[FairPlanner], FairDays],
    ) -> "_Planned":
        """Plan for the classes until no date is broken and every pooled plan is proved exact."""
        if not self._mouths:
            return _Planned([], frozenset(), water_binds=False)
        kept: frozenset[int] = frozenset()
        while True:
            planner = FairPlanner(question, classes, kept=kept, mean_kcal=mean_kcal)
            found = plan(planner)
            if found.short:
                classes = _split(classes, found.short)
            elif found.broken - kept:
                kept |= found.broken
            elif found.broken:
                raise SolverTrouble("the plan breaks a day that the program holds")
            else:
                days = zip(classes, found.days, strict=True)
                return _Planned(
                    [ClassDays(*one) for one in days], found.held, water_binds=found.water_binds
                )

    def _on_paper(self, mean_kcal: float) -> float:
        if not self._mouths:
            return 0.0
        most = len(self._mouths) * self._scenario.horizon_days
        return min(energy_on_paper_kcal(self._dated) / mean_kcal, float(most))

    def _households(self, classes: Sequence[ClassDays]) -> tuple[HouseholdDays, ...]:
        fewest: dict[HouseholdId, float] = {}
        for item in classes:
            for mouth in item.members.mouths:
                before = fewest.get(mouth.household, item.days)
                fewest[mouth.household] = min(before, item.days)
        return tuple(
            HouseholdDays(household.id, len(household.members), fewest.get(household.id))
            for household in present_households(self._snapshot, self._scenario)
        )


@dataclass(frozen=True, slots=True)
class _Planned:
    """The classes with their proved days, and the positions of those fixed at the fewest."""

    classes: Sequence[ClassDays]
    held: frozenset[int]
    water_binds: bool

    @property
    def least(self) -> float | None:
        """Give the fewest days; None: nobody has a need."""
        return min((item.days for item in self.classes), default=None)


def _split(classes: Sequence[EatingClass], short: Mapping[int, float]) -> tuple[EatingClass, ...]:
    """Split the classes that fell short of protein at the density they reached."""
    parted: list[EatingClass] = []
    for c, one in enumerate(classes):
        # A hair above, so that rounding leaves neither part empty.
        parted.extend(split_by_ratio(one, short[c] * (1 + SAME / 2)) if c in short else (one,))
    return in_order(parted)


def _person_days(classes: Sequence[ClassDays], mean_kcal: float) -> float:
    return fsum(item.members.energy_kcal * item.days / mean_kcal for item in classes)
