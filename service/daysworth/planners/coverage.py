"""Answer the main question: how many days can all of us eat?

The plans are made in `proving`. Here the question is put, and the answers are read back as planners
define them: person-days, fair days of every class and household, everyone-fed days with who holds
them down, and days of water; then where the days go, what runs out first and why, what spoils.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.errors import PlanningStopped
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import Supposing, all_unknown_suits, present_households
from daysworth.planners.diet_mix import DietMix, diet_mix
from daysworth.planners.fairness import SAME
from daysworth.planners.grounds import Grounds
from daysworth.planners.labels_to_read import LabelToRead, labels_to_read
from daysworth.planners.meals import ClassMeals, complete_meals
from daysworth.planners.proving import ClassDays, everyone, everyones_days, fairest
from daysworth.planners.running_out import RunsOut, runs_out_first
from daysworth.planners.scenario import Scenario
from daysworth.planners.spoiling import Spoiling, will_spoil
from daysworth.planners.steps import StepDays, where_days_go
from daysworth.planners.water import WaterDays, water_days


@dataclass(frozen=True, slots=True)
class HouseholdDays:
    """A household's days: the fewest among its members with a need; None: it has none."""

    household: HouseholdId
    members: int
    days: float | None


@dataclass(frozen=True, slots=True)
class Days:
    """How many days: the fair plan, everyone-fed days, and what comes after. Exact, not rounded.

    `everyone_fed_days` and what hangs on it are None where nobody has a need. `held_by` are the
    classes that no plan can raise above it. `next_level_days` is the fewest days among the rest;
    None: there is no rest.
    """

    person_days: float
    members_days: float
    everyone_fed_days: float | None
    everyone_fed_days_if_unread_suit: float | None
    next_level_days: float | None
    held_by: tuple[ClassDays, ...]
    classes: tuple[ClassDays, ...]


@dataclass(frozen=True, slots=True)
class Coverage:
    """The answers for one snapshot, date and scenario. Days are exact, not rounded.

    `days` are the headlines. Person-days are over the mean need, `mean_need_kcal` a day.
    `labels_to_read` are the labels to read first, those that would add most.
    `everyone_fed_days_if_enough_to_drink` is more than everyone-fed days where the stored water
    holds them down. `steps` say where the days go, `runs_out` what runs out first and why, and
    `mix` is that of the fair plan.
    """

    as_of: date
    scenario: Scenario
    mean_need_kcal: float
    members_with_a_need: int
    days: Days
    person_days_on_paper: float
    labels_to_read: tuple[LabelToRead, ...]
    everyone_fed_days_if_enough_to_drink: float | None
    households: tuple[HouseholdDays, ...]
    water: WaterDays
    steps: tuple[StepDays, ...]
    runs_out: tuple[RunsOut, ...]
    spoiling: Spoiling
    meals: tuple[ClassMeals, ...]
    mix: DietMix

    @property
    def person_days(self) -> float:
        """Give the person-days of the fair plan."""
        return self.days.person_days

    @property
    def members_days(self) -> float:
        """Give the days of all members with a need, summed up."""
        return self.days.members_days

    @property
    def everyone_fed_days(self) -> float | None:
        """Give the days for which everyone is fed; None: nobody has a need."""
        return self.days.everyone_fed_days

    @property
    def everyone_fed_days_if_unread_suit(self) -> float | None:
        """Give the same, if every label of which it is not known proved suitable."""
        return self.days.everyone_fed_days_if_unread_suit

    @property
    def next_level_days(self) -> float | None:
        """Give the fewest days among those whom nothing holds at everyone-fed days."""
        return self.days.next_level_days

    @property
    def held_by(self) -> tuple[ClassDays, ...]:
        """Give the classes that no plan can raise above everyone-fed days."""
        return self.days.held_by

    @property
    def classes(self) -> tuple[ClassDays, ...]:
        """Give all classes with their fair days."""
        return self.days.classes


def plan_days(
    snapshot: Snapshot,
    as_of: date,
    *,
    scenario: Scenario | None = None,
    judge: Judge = suitability.judge,
) -> Days:
    """Answer with the headlines alone: how many days, for whom, and if unread labels suit.

    Raises as `plan_coverage`.
    """
    grounds = Grounds(snapshot, as_of, scenario=scenario or Scenario(), judge=judge)
    return _Coverage(grounds).days


def plan_coverage(
    snapshot: Snapshot,
    as_of: date,
    *,
    scenario: Scenario | None = None,
    judge: Judge = suitability.judge,
) -> Coverage:
    """Answer for a snapshot and a date, which is day 1.

    Raises ScenarioRefused where the scenario names what the store lacks, PlanningFailed where no
    answer could be proved; a plan that was stopped says what was proved of everyone-fed days.
    """
    grounds = Grounds(snapshot, as_of, scenario=scenario or Scenario(), judge=judge)
    return _Coverage(grounds).answer()


class _Coverage:
    """One question, with what its several plans have in common."""

    def __init__(self, grounds: Grounds) -> None:
        self._grounds = grounds
        self._question, self._mean_kcal = grounds.question, grounds.mean_kcal
        self._fair = fairest(self._question, grounds.classes(), mean_kcal=self._mean_kcal)
        with self._proved():
            self.days = self._days()

    def answer(self) -> Coverage:
        """Plan the rest, and read the answers back."""
        with self._proved():
            return self._answer()

    @contextmanager
    def _proved(self) -> Iterator[None]:
        """Have a stop from here on say that everyone-fed days are proved."""
        try:
            yield
        except PlanningStopped as stopped:
            least = self._fair.least
            raise PlanningStopped(str(stopped), at_least=least, at_most=least) from stopped

    def _days(self) -> Days:
        fair, classes = self._fair, self._fair.classes
        rest = [item.days for c, item in enumerate(classes) if c not in fair.held]
        return Days(
            person_days=_person_days(classes, self._mean_kcal),
            members_days=fsum(len(item.members.mouths) * item.days for item in classes),
            everyone_fed_days=fair.least,
            everyone_fed_days_if_unread_suit=self._days_if(all_unknown_suits),
            next_level_days=min(rest, default=None),
            held_by=tuple(classes[c] for c in sorted(fair.held)),
            classes=classes,
        )

    def _answer(self) -> Coverage:
        grounds, fair = self._grounds, self._fair
        steps = where_days_go(grounds, fair.classes)
        water = water_days(
            grounds.snapshot, dated=grounds.dated, scenario=grounds.scenario, as_of=grounds.as_of
        )
        return Coverage(
            as_of=grounds.as_of,
            scenario=grounds.scenario,
            mean_need_kcal=self._mean_kcal,
            members_with_a_need=len(grounds.mouths),
            days=self.days,
            person_days_on_paper=steps[0].person_days if steps else 0.0,
            labels_to_read=self._labels_to_read(),
            everyone_fed_days_if_enough_to_drink=self._if_enough_water(),
            households=self._households(fair.classes),
            water=water,
            steps=steps,
            runs_out=runs_out_first(grounds, fair.classes, held=fair.held),
            spoiling=will_spoil(grounds, fair.classes),
            meals=complete_meals(grounds, fair.classes),
            mix=diet_mix(grounds, fair),
        )

    def _days_if(self, supposing: Supposing) -> float | None:
        """Ask for how many days everyone were fed if some labels proved suitable.

        What suits can only add days to those of now.
        """
        least = self._fair.least
        if least is None:
            return None
        classes = self._grounds.classes(supposing)
        return everyones_days(self._question, classes, known=least, mean_kcal=self._mean_kcal)

    def _labels_to_read(self) -> tuple[LabelToRead, ...]:
        """Find the labels to read first; none where all of them together would add nothing."""
        fair, grounds = self._fair, self._grounds
        least, if_unread_suit = fair.least, self.days.everyone_fed_days_if_unread_suit
        if least is None or if_unread_suit is None or if_unread_suit <= least * (1 + SAME):
            return ()
        return labels_to_read(
            [fair.classes[c].members for c in sorted(fair.held)],
            stacks=self._question.stacks,
            counted=grounds.counted,
            suits=grounds.suits,
            days_if=self._days_if,
        )

    def _if_enough_water(self) -> float | None:
        """Ask again without counting water, but only where its row has a price."""
        fair = self._fair
        if not fair.water_binds:
            return fair.least
        wet = replace(self._question, water=None)
        return everyone(wet, self._grounds.classes(), mean_kcal=self._mean_kcal).least

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
