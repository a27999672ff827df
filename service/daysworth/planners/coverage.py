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
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.errors import SolverTrouble
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import (
    EatingClass,
    classes_of,
    in_order,
    mouths_of,
    present_households,
    split_by_ratio,
)
from daysworth.planners.fairness import SAME, FairDays, FairPlanner
from daysworth.planners.program import Question
from daysworth.planners.scenario import Scenario, check_scenario
from daysworth.planners.shelf import (
    dated_lots,
    energy_on_paper_kcal,
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
    `everyone_fed_days` and what hangs on it are None where nobody has a need. `held_by` are the
    classes that no plan can raise above it. `next_level_days` is the fewest days among the rest;
    None: there is no rest. `held_by_water`: everyone-fed days reach the days of all stored water.
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
    next_level_days: float | None
    held_by_water: bool
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
        self._scenario, self._judge = scenario, judge
        self._dated = dated_lots(snapshot, as_of)
        self._mouths = mouths_of(snapshot, scenario=scenario, as_of=as_of)
        stacks = stacks_of(self._dated, scenario=scenario, as_of=as_of)
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
        fair = self._planned(mean_kcal, unknown_suits=False, plan=FairPlanner.fair)
        if_unread = self._planned(mean_kcal, unknown_suits=True, plan=FairPlanner.everyone)
        classes = tuple(item for item, _ in fair)
        held = tuple(item for item, is_held in fair if is_held)
        least = min((item.days for item in classes), default=None)
        water = water_days(
            self._snapshot, dated=self._dated, scenario=self._scenario, as_of=self._as_of
        )
        return Coverage(
            as_of=self._as_of,
            scenario=self._scenario,
            mean_need_kcal=mean_kcal,
            members_with_a_need=len(self._mouths),
            person_days=_person_days(classes, mean_kcal),
            person_days_on_paper=self._on_paper(mean_kcal),
            members_days=fsum(len(item.members.mouths) * item.days for item in classes),
            everyone_fed_days=least,
            everyone_fed_days_if_unread_suit=min(
                (item.days for item, _ in if_unread), default=None
            ),
            next_level_days=min((item.days for item, is_held in fair if not is_held), default=None),
            held_by_water=self._is_held_by_water(least, water),
            held_by=held,
            classes=classes,
            households=self._households(classes),
            water=water,
        )

    def _is_held_by_water(self, least: float | None, water: WaterDays) -> bool:
        if least is None or water.days is None or self._scenario.running_water:
            return False
        return least >= water.days - SAME * max(1.0, water.days)

    def _planned(
        self, mean_kcal: float, *, unknown_suits: bool, plan: Callable[[FairPlanner], FairDays]
    ) -> list[tuple[ClassDays, bool]]:
        """Plan for the classes, splitting pools until every pooled plan is proved exact."""
        if not self._mouths:
            return []
        classes = classes_of(
            self._mouths,
            stacks=self._question.stacks,
            keepers=self._keepers,
            judge=self._judge,
            unknown_suits=unknown_suits,
        )
        kept: frozenset[int] = frozenset()
        while True:
            planner = FairPlanner(self._question, classes, kept=kept, mean_kcal=mean_kcal)
            found = plan(planner)
            if found.short:
                classes = _split(classes, found.short)
            elif found.broken - kept:
                kept |= found.broken
            elif found.broken:
                raise SolverTrouble("the plan breaks a day that the program holds")
            else:
                return [
                    (ClassDays(one, days), c in found.held)
                    for c, (one, days) in enumerate(zip(classes, found.days, strict=True))
                ]

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


def _split(classes: Sequence[EatingClass], short: Mapping[int, float]) -> tuple[EatingClass, ...]:
    """Split the classes that fell short of protein at the density they reached."""
    parted: list[EatingClass] = []
    for c, one in enumerate(classes):
        parted.extend(split_by_ratio(one, short[c]) if c in short else (one,))
    return in_order(parted)


def _person_days(classes: Sequence[ClassDays], mean_kcal: float) -> float:
    return fsum(item.members.energy_kcal * item.days / mean_kcal for item in classes)
