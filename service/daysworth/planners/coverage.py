"""Answer the main question: how many days can all of us eat?

The plans are made in `proving`. Here the question is put, and the answers are read back as planners
define them: person-days, fair days of every class and household, everyone-fed days with who holds
them down, and days of water; then where the days go, what runs out first and why, what spoils.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import Supposing, all_unknown_suits, present_households
from daysworth.planners.fairness import SAME
from daysworth.planners.grounds import Grounds
from daysworth.planners.labels_to_read import LabelToRead, labels_to_read
from daysworth.planners.proving import ClassDays, Planned, everyone, fairest
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import energy_on_paper_kcal, is_counted
from daysworth.planners.supply import Supply
from daysworth.planners.water import WaterDays, water_days


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
    grounds = Grounds(snapshot, as_of, scenario=scenario or Scenario(), judge=judge)
    return _Coverage(grounds).answer()


class _Coverage:
    """One question, with what its several plans have in common."""

    def __init__(self, grounds: Grounds) -> None:
        self._grounds = grounds
        self._question, self._mean_kcal = grounds.question, grounds.mean_kcal

    def answer(self) -> Coverage:
        """Plan, and read the answers back."""
        grounds, mean_kcal = self._grounds, self._mean_kcal
        fair = fairest(self._question, grounds.classes(), mean_kcal=mean_kcal)
        classes = fair.classes
        if_unread_suit = self._days_if(all_unknown_suits, least=fair.least)
        rest = [item.days for c, item in enumerate(classes) if c not in fair.held]
        return Coverage(
            as_of=grounds.as_of,
            scenario=grounds.scenario,
            mean_need_kcal=mean_kcal,
            members_with_a_need=len(grounds.mouths),
            person_days=_person_days(classes, mean_kcal),
            person_days_on_paper=self._on_paper(),
            members_days=fsum(len(item.members.mouths) * item.days for item in classes),
            everyone_fed_days=fair.least,
            everyone_fed_days_if_unread_suit=if_unread_suit,
            labels_to_read=self._labels_to_read(fair, if_unread_suit=if_unread_suit),
            everyone_fed_days_if_enough_to_drink=self._if_enough_water(fair),
            next_level_days=min(rest, default=None),
            held_by=tuple(classes[c] for c in sorted(fair.held)),
            classes=classes,
            households=self._households(classes),
            water=water_days(
                grounds.snapshot,
                dated=grounds.dated,
                scenario=grounds.scenario,
                as_of=grounds.as_of,
            ),
        )

    def _days_if(self, supposing: Supposing, *, least: float | None) -> float | None:
        """Ask for how many days everyone were fed if some labels proved suitable.

        What suits can only add days to the `least` of now; and where a class could not be fed for
        longer were the whole store its own, no plan gives more.
        """
        if least is None:
            return None
        classes = self._grounds.classes(supposing)
        most = Supply(self._question, classes, mean_kcal=self._mean_kcal).most
        if min(most) <= least * (1 + SAME):
            return least
        return everyone(self._question, classes, mean_kcal=self._mean_kcal).least

    def _labels_to_read(
        self, fair: Planned, *, if_unread_suit: float | None
    ) -> tuple[LabelToRead, ...]:
        """Find the labels to read first; none where all of them together would add nothing."""
        least, grounds = fair.least, self._grounds
        if least is None or if_unread_suit is None or if_unread_suit <= least * (1 + SAME):
            return ()
        return labels_to_read(
            [fair.classes[c].members for c in sorted(fair.held)],
            stacks=self._question.stacks,
            counted=[item for item in grounds.dated if is_counted(item, grounds.scenario)],
            suits=grounds.suits,
            days_if=lambda supposing: self._days_if(supposing, least=least),
        )

    def _if_enough_water(self, fair: Planned) -> float | None:
        """Ask again without counting water, but only where its row has a price."""
        if not fair.water_binds:
            return fair.least
        wet = replace(self._question, water=None)
        return everyone(wet, self._grounds.classes(), mean_kcal=self._mean_kcal).least

    def _on_paper(self) -> float:
        grounds = self._grounds
        if not grounds.mouths:
            return 0.0
        most = len(grounds.mouths) * grounds.scenario.horizon_days
        return min(energy_on_paper_kcal(grounds.dated) / self._mean_kcal, float(most))

    def _households(self, classes: Sequence[ClassDays]) -> tuple[HouseholdDays, ...]:
        fewest: dict[HouseholdId, float] = {}
        for item in classes:
            for mouth in item.members.mouths:
                before = fewest.get(mouth.household, item.days)
                fewest[mouth.household] = min(before, item.days)
        grounds = self._grounds
        return tuple(
            HouseholdDays(household.id, len(household.members), fewest.get(household.id))
            for household in present_households(grounds.snapshot, grounds.scenario)
        )


def _person_days(classes: Sequence[ClassDays], mean_kcal: float) -> float:
    return fsum(item.members.energy_kcal * item.days / mean_kcal for item in classes)
