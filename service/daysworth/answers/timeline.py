"""Write the timeline: how the store stands later if nobody eats, and what is eaten when from today.

The names here are the names in JSON. What later dates bring is for every reader. What a class eats
tells what it must not, so the classes are for coordinators, and a household's own line is for them
and for itself.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from daysworth.answers.coverage import ScenarioAsked, scenario_asked
from daysworth.answers.needs_in_words import class_in_words
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.answers.written import written
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.cliff import Cliff, Point
from daysworth.planners.schedule import ClassSchedule, Run, household_runs
from daysworth.planners.timeline import Timeline
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True)
class PointAnswer:
    """How things stand on a date if nothing is added and nobody eats.

    `passing_kcal` passes its date from this date on and before the next point. Null: nobody has a
    need.
    """

    point_day: date
    is_round: bool
    members_with_a_need: int
    everyone_fed_days: float | None
    everyone_fed_at_least: bool
    person_days: float
    passing_kcal: float


@dataclass(frozen=True, slots=True)
class CliffAnswer:
    """The points, until when they look, and a day on which days fall below the store's floor.

    `below_floor_on` null: they are at no point below it.
    """

    last_day: date
    floor_days: int
    below_floor_on: date | None
    points: list[PointAnswer]


@dataclass(frozen=True, slots=True)
class RunAnswer:
    """One food, eaten at one rate from one moment to another.

    `starts_days` and `ends_days` count from the morning of the as-of date. `units` are of the
    food's usual size. `good_to_day` null: it keeps to the horizon or beyond.
    """

    first_day: date
    last_day: date
    starts_days: float
    ends_days: float
    food: str
    food_name: str
    units: float
    energy_kcal: float
    good_to_day: date | None


@dataclass(frozen=True, slots=True)
class ClassLineAnswer:
    """What one eating class eats, and when."""

    members: int
    need: str
    days: float
    at_least: bool
    energy_kcal_a_day: float
    runs: list[RunAnswer]


@dataclass(frozen=True, slots=True)
class HouseholdLineAnswer:
    """What one household eats, and when: the sum of its members' parts; members with a need."""

    household: str
    members: int
    runs: list[RunAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineAnswer:
    """The answer to "when is what eaten, and how long does it wait?" at one version of a store.

    `classes` is empty and `household` null for whoever may not see them.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    scenario: ScenarioAsked
    cliff: CliffAnswer
    classes: list[ClassLineAnswer]
    household: HouseholdLineAnswer | None
    cautions: list[CautionRow]


@dataclass(frozen=True, slots=True)
class PlannedTimeline:
    """A timeline with what of its store is told; answers for all readers are written from it."""

    timeline: Timeline
    store: str
    store_name: str
    version: int
    scenario: ScenarioAsked
    households: frozenset[HouseholdId]

    @property
    def runs(self) -> int:
        """Count the runs of all classes, by which its size is reckoned."""
        return sum(len(one.runs) for one in self.timeline.classes)


def planned_timeline(timeline: Timeline, snapshot: Snapshot) -> PlannedTimeline:
    """Keep of a snapshot what an answer says of it."""
    return PlannedTimeline(
        timeline,
        snapshot.store,
        snapshot.store_name,
        snapshot.version,
        scenario_asked(timeline.scenario, snapshot),
        frozenset(home.id for home in snapshot.households),
    )


def timeline_answer(planned: PlannedTimeline, *, household: HouseholdId | None) -> TimelineAnswer:
    """Write all of it; where a household is named, its line and not the classes'.

    Raises ScenarioRefused where there is no such household.
    """
    if household is not None and household not in planned.households:
        raise ScenarioRefused(f"there is no household {household!r} in this store")
    timeline = planned.timeline
    horizon = timeline.scenario.horizon_days
    classes = timeline.classes if household is None else ()
    return TimelineAnswer(
        question="timeline",
        release=release(),
        store=planned.store,
        store_name=planned.store_name,
        version=planned.version,
        as_of=timeline.as_of,
        scenario=planned.scenario,
        cliff=_cliff(timeline.cliff, horizon_days=horizon),
        classes=[_class_line(one, timeline) for one in classes],
        household=None if household is None else _household_line(household, timeline),
        # All that may apply: which of them do would tell of who is fed.
        cautions=list(cautions_on({Topic.FOOD, Topic.WATER, Topic.ALLERGY, Topic.INFANTS})),
    )


def timeline_for(
    reader: Credential, planned: PlannedTimeline, *, household: HouseholdId | None
) -> TimelineAnswer:
    """Write what a reader may see: volunteers and scripts see what later dates bring alone.

    A household sees its own line. Raises as `timeline_answer`.
    """
    if reader.role is Role.COORDINATOR:
        return timeline_answer(planned, household=household)
    if reader.role is Role.HOUSEHOLD:
        return timeline_answer(planned, household=reader.household)
    timeline = planned.timeline
    bare = Timeline(timeline.as_of, timeline.scenario, timeline.cliff, ())
    told = PlannedTimeline(
        bare,
        planned.store,
        planned.store_name,
        planned.version,
        planned.scenario,
        planned.households,
    )
    return timeline_answer(told, household=None)


def timeline_json(answer: TimelineAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=TimelineAnswer)


def _cliff(cliff: Cliff, *, horizon_days: int) -> CliffAnswer:
    points = [_point(one, horizon_days=horizon_days) for one in cliff.points]
    return CliffAnswer(cliff.last_day, cliff.floor_days, cliff.below_floor_on, points)


def _point(point: Point, *, horizon_days: int) -> PointAnswer:
    days = figure_or_none(point.everyone_fed_days)
    return PointAnswer(
        point.point_day,
        point.is_round,
        point.members_with_a_need,
        days,
        days is not None and days >= horizon_days,
        figure(point.person_days),
        figure(point.passing_kcal),
    )


def _class_line(one: ClassSchedule, timeline: Timeline) -> ClassLineAnswer:
    days = figure(one.days)
    return ClassLineAnswer(
        len(one.members.mouths),
        class_in_words(one.members),
        days,
        days >= timeline.scenario.horizon_days,
        figure(one.members.energy_kcal),
        [_run(run, timeline) for run in one.runs],
    )


def _household_line(household: HouseholdId, timeline: Timeline) -> HouseholdLineAnswer:
    fed = sum(
        mouth.household == household for one in timeline.classes for mouth in one.members.mouths
    )
    runs = household_runs(timeline.classes, household)
    return HouseholdLineAnswer(household, fed, [_run(run, timeline) for run in runs])


def _run(run: Run, timeline: Timeline) -> RunAnswer:
    can_spoil = run.keeps_days < timeline.scenario.horizon_days
    return RunAnswer(
        _on(run.first_day, timeline.as_of),
        _on(run.last_day, timeline.as_of),
        figure(run.starts),
        figure(run.ends),
        run.food.id,
        run.food.name,
        figure(run.units),
        figure(run.energy_kcal),
        _on(run.keeps_days, timeline.as_of) if can_spoil else None,
    )


def _on(day: int, as_of: date) -> date:
    return as_of + timedelta(days=day - 1)
