"""Write the answer on coverage: figures rounded, households worst first, cautions with it.

The names here are the names in JSON. Days and person-days are rounded to six decimals; whoever
shows them to a person rounds down. Who holds the answer down is told by count and need, never by
name.
"""

from dataclasses import dataclass
from datetime import date

from daysworth.answers import rounding
from daysworth.answers.coverage_parts import (
    ClassMealsAnswer,
    DietMixAnswer,
    RunsOutAnswer,
    SpoilingAnswer,
    StepAnswer,
    meals_answer,
    mix_answer,
    runs_out_answer,
    spoiling_answer,
    steps_answer,
)
from daysworth.answers.needs_in_words import class_in_words
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure_or_none
from daysworth.answers.written import written
from daysworth.domain.ages import Stage, stage_of
from daysworth.domain.cautions import Topic, cautions_on, topics_of
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.classes import is_present, present_households
from daysworth.planners.coverage import Coverage, HouseholdDays, plan_coverage
from daysworth.planners.proving import ClassDays
from daysworth.planners.rotation import Rotation, plan_rotation
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import DatedLot, Standing
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True)
class ScenarioAsked:
    """The scenario as it was asked."""

    heating: bool
    running_water: bool
    stock: str
    places_lost: list[str]
    households_away: list[str]
    basis: str
    ration: float
    horizon_days: int


@dataclass(frozen=True, slots=True)
class HouseholdAnswer:
    """One household's days; null: nobody in it has a need of their own."""

    household: str
    members: int
    days: float | None
    at_least: bool


@dataclass(frozen=True, slots=True)
class ClassAnswer:
    """One eating class: how many, what they need in words, and for how many days they are fed."""

    members: int
    need: str
    days: float
    at_least: bool


@dataclass(frozen=True, slots=True)
class WaterAnswer:
    """Stored water: litres, litres a day, and the days at all of them and at drinking alone."""

    stored_l: float
    litres_a_day: float
    days: float | None
    days_drinking_only: float | None
    overdue_l: float
    overdue_days: float | None


@dataclass(frozen=True, slots=True)
class LotAnswer:
    """One lot on a list: what, how many units, where, and its last good day."""

    lot: str
    food: str
    units: int
    place: str
    last_good_day: date | None


@dataclass(frozen=True, slots=True)
class LabelToReadAnswer:
    """A label to read first: where it is, and for how many days all eat if it proves suitable."""

    food: str
    food_name: str
    units: int
    energy_kcal: float
    was_read: bool
    everyone_fed_days_if_it_suits: float
    lots: list[LotAnswer]


@dataclass(frozen=True, slots=True)
class RoundAnswer:
    """What passes its last good day before the next round."""

    next_round_day: date | None
    units: int
    energy_kcal: float
    lots: list[LotAnswer]


@dataclass(frozen=True, slots=True)
class SetAsideAnswer:
    """Lots that count in no plan, and why."""

    past: list[LotAnswer]
    undated: list[LotAnswer]
    damaged: list[LotAnswer]
    quarantined: list[LotAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageAnswer:
    """The answer to "how many days can all of us eat?" at one version of one store."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    scenario: ScenarioAsked
    household_count: int
    members: int
    members_with_a_need: int
    units_on_hand: int
    mean_need_kcal: float
    person_days: float
    person_days_on_paper: float
    members_days: float
    everyone_fed_days: float | None
    everyone_fed_at_least: bool
    everyone_fed_days_if_unread_suit: float | None
    labels_to_read: list[LabelToReadAnswer]
    everyone_fed_days_if_enough_to_drink: float | None
    next_level_days: float | None
    held_by: list[ClassAnswer]
    where_the_days_go: list[StepAnswer]
    runs_out_first: list[RunsOutAnswer]
    households: list[HouseholdAnswer]
    classes: list[ClassAnswer]
    complete_meals: list[ClassMealsAnswer]
    diet_mix: DietMixAnswer
    will_spoil: SpoilingAnswer
    water: WaterAnswer
    before_next_round: RoundAnswer
    set_aside: SetAsideAnswer
    cautions: list[CautionRow]


def answer_coverage(snapshot: Snapshot, as_of: date, *, scenario: Scenario) -> CoverageAnswer:
    """Plan coverage and rotation for a snapshot, a date and a scenario, and write the answer.

    Raises ScenarioRefused and PlanningFailed as `plan_coverage`.
    """
    coverage = plan_coverage(snapshot, as_of, scenario=scenario)
    rotation = plan_rotation(snapshot, as_of)
    homes = present_households(snapshot, scenario)
    days = coverage.everyone_fed_days
    return CoverageAnswer(
        question="coverage",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        scenario=scenario_asked(scenario, snapshot),
        household_count=len(homes),
        members=sum(len(home.members) for home in homes),
        members_with_a_need=coverage.members_with_a_need,
        units_on_hand=sum(lot.units for lot in snapshot.lots),
        mean_need_kcal=figure(coverage.mean_need_kcal),
        person_days=figure(coverage.person_days),
        person_days_on_paper=figure(coverage.person_days_on_paper),
        members_days=figure(coverage.members_days),
        everyone_fed_days=figure_or_none(days),
        everyone_fed_at_least=days is not None and _at_least(days, scenario),
        everyone_fed_days_if_unread_suit=figure_or_none(coverage.everyone_fed_days_if_unread_suit),
        labels_to_read=_labels(coverage, snapshot),
        everyone_fed_days_if_enough_to_drink=figure_or_none(
            coverage.everyone_fed_days_if_enough_to_drink
        ),
        next_level_days=figure_or_none(coverage.next_level_days),
        held_by=_classes(coverage.held_by, scenario),
        where_the_days_go=steps_answer(coverage.steps),
        runs_out_first=runs_out_answer(coverage.runs_out),
        households=_households(coverage.households, scenario),
        classes=_classes(coverage.classes, scenario),
        complete_meals=meals_answer(coverage.meals),
        diet_mix=mix_answer(coverage.mix),
        will_spoil=spoiling_answer(
            coverage.spoiling,
            mean_kcal=coverage.mean_need_kcal,
            places={place.id: place.name for place in snapshot.places},
        ),
        water=_water(coverage),
        before_next_round=round_answer(rotation, snapshot),
        set_aside=set_aside_answer(rotation, snapshot),
        cautions=list(cautions_on(_topics(coverage, snapshot))),
    )


def to_json(answer: CoverageAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=CoverageAnswer)


def figure(value: float) -> float:
    """Round a figure for publishing."""
    return rounding.figure(value)


def _at_least(days: float, scenario: Scenario) -> bool:
    return figure(days) >= scenario.horizon_days


def scenario_asked(scenario: Scenario, snapshot: Snapshot) -> ScenarioAsked:
    """Write the scenario as it was asked."""
    return ScenarioAsked(
        heating=scenario.heating,
        running_water=scenario.running_water,
        stock=scenario.stock,
        places_lost=sorted(scenario.places_lost),
        households_away=sorted(scenario.households_away),
        basis=scenario.basis or snapshot.settings.needs_basis,
        ration=scenario.ration,
        horizon_days=scenario.horizon_days,
    )


def _classes(classes: tuple[ClassDays, ...], scenario: Scenario) -> list[ClassAnswer]:
    written = [
        ClassAnswer(
            len(item.members.mouths),
            class_in_words(item.members),
            figure(item.days),
            _at_least(item.days, scenario),
        )
        for item in classes
    ]
    return sorted(written, key=lambda one: (one.days, -one.members, one.need))


def _labels(coverage: Coverage, snapshot: Snapshot) -> list[LabelToReadAnswer]:
    return [
        LabelToReadAnswer(
            one.offer.food.id,
            one.offer.food.name,
            sum(item.lot.units_to_eat for item in one.lots),
            figure(one.energy_kcal),
            bool(one.offer.readings),
            figure(one.everyone_fed_days),
            _lots(one.lots, snapshot, promised_too=False),
        )
        for one in coverage.labels_to_read
    ]


def _households(households: tuple[HouseholdDays, ...], scenario: Scenario) -> list[HouseholdAnswer]:
    written = [
        HouseholdAnswer(
            item.household,
            item.members,
            figure_or_none(item.days),
            item.days is not None and _at_least(item.days, scenario),
        )
        for item in households
    ]
    return sorted(written, key=lambda one: (one.days is None, one.days or 0.0, one.household))


def _water(coverage: Coverage) -> WaterAnswer:
    water = coverage.water
    return WaterAnswer(
        figure(water.stored_l),
        figure(water.litres_a_day),
        figure_or_none(water.days),
        figure_or_none(water.days_drinking_only),
        figure(water.overdue_l),
        figure_or_none(water.overdue_days),
    )


def round_answer(rotation: Rotation, snapshot: Snapshot) -> RoundAnswer:
    """Write what passes its last good day before the next round."""
    return RoundAnswer(
        rotation.next_round_day,
        rotation.due_units,
        figure(rotation.due_energy_kcal),
        _lots(rotation.due, snapshot, promised_too=False),
    )


def set_aside_answer(rotation: Rotation, snapshot: Snapshot) -> SetAsideAnswer:
    """Write which lots count in no plan, and why."""
    aside = rotation.set_aside
    return SetAsideAnswer(
        _lots(aside[Standing.PAST], snapshot, promised_too=True),
        _lots(aside[Standing.UNDATED], snapshot, promised_too=True),
        _lots(aside[Standing.DAMAGED], snapshot, promised_too=True),
        _lots(aside[Standing.QUARANTINED], snapshot, promised_too=True),
    )


def _lots(
    items: tuple[DatedLot, ...], snapshot: Snapshot, *, promised_too: bool
) -> list[LotAnswer]:
    places = {place.id: place.name for place in snapshot.places}
    return [
        LotAnswer(
            item.lot.id,
            item.food.name,
            item.lot.units if promised_too else item.lot.units_to_eat,
            places[item.lot.place],
            item.last_good_day,
        )
        for item in items
    ]


def _topics(coverage: Coverage, snapshot: Snapshot) -> frozenset[Topic]:
    homes = present_households(snapshot, coverage.scenario)
    infants = any(
        stage_of(member, coverage.as_of) is not Stage.TABLE_FOOD
        for home in homes
        for member in home.members
        if is_present(member, coverage.as_of)
    )
    always = {Topic.FOOD, Topic.FIRE, Topic.WATER}
    if coverage.scenario.places_lost:
        always.add(Topic.FLOOD)
    return topics_of(homes, infants=infants) | always
