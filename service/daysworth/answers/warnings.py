"""Write a household's warnings: worst first, with the need, the words, and what to give instead."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.reference_data import release
from daysworth.answers.suitability_in_words import (
    FindingAnswer,
    PackAnswer,
    finding_answer,
    pack_answer,
)
from daysworth.answers.written import written
from daysworth.domain.ages import Stage
from daysworth.domain.cautions import Topic, cautions_on, topics_of
from daysworth.domain.demands import Demand, avoided_words, demand_words
from daysworth.domain.eaters import is_advised
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Table
from daysworth.planners.warnings import FoodWarning, HouseholdWarnings, plan_warnings
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True)
class AcknowledgedAnswer:
    """Who took note of a warning, when, and why it may stand. The warning is shown all the same."""

    by: str
    at: str
    why: str


@dataclass(frozen=True, slots=True)
class WarningAnswer:
    """One food, as one label has it. `warning` names it; an edit gives it another name."""

    warning: str
    verdict: str
    food: str
    food_name: str
    units: int
    was_read: bool
    findings: list[FindingAnswer]
    lots: list[PackAnswer]
    instead: PackAnswer | None
    acknowledged: AcknowledgedAnswer | None


@dataclass(frozen=True, slots=True)
class SuitableAnswer:
    """A food in stock that suits everybody in the home, and how many packs."""

    food: str
    food_name: str
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WarningsAnswer:
    """All that a household must not have, and all that nobody knows of yet, worst first.

    `needs`, `must_not_contain` and `notes` hold for every food there is. The three counts are of
    foods as their labels have them. `suitable` is what is in stock and suits everybody in the
    home; where somebody there keeps a medical diet nothing is called that, and it stands in
    `ask_care_team`.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    household: str
    needs: list[str]
    must_not_contain: list[str]
    notes: list[str]
    unsuitable: int
    unknown: int
    to_be_read: int
    suitable: list[SuitableAnswer]
    ask_care_team: list[SuitableAnswer]
    warnings: list[WarningAnswer]
    cautions: list[CautionRow]


def answer_warnings(
    snapshot: Snapshot,
    as_of: date,
    *,
    household: HouseholdId,
    acknowledged: Mapping[str, AcknowledgedAnswer] | None = None,
) -> WarningsAnswer:
    """List a household's warnings. Raises NotThere for a household the store lacks."""
    found = plan_warnings(snapshot, as_of, household=household)
    suiting = [SuitableAnswer(food.id, food.name, units) for food, units in found.suitable]
    advised = is_advised(found.household)
    places: dict[str, str] = {place.id: place.name for place in snapshot.places}
    warnings = [
        _warning(one, places=places, acknowledged=acknowledged or {}) for one in found.warnings
    ]
    return WarningsAnswer(
        question="warnings",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        household=household,
        needs=needs_in_words(found.table),
        must_not_contain=must_not_contain(found.table),
        notes=notes_on(found.table),
        unsuitable=_count(warnings, Verdict.UNSUITABLE),
        unknown=_count(warnings, Verdict.UNKNOWN),
        to_be_read=sum(not one.was_read and one.verdict == Verdict.UNKNOWN for one in warnings),
        suitable=[] if advised else suiting,
        ask_care_team=suiting if advised else [],
        warnings=warnings,
        cautions=list(cautions_on(_topics(found))),
    )


def warnings_json(answer: WarningsAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=WarningsAnswer)


def _count(warnings: list[WarningAnswer], verdict: Verdict) -> int:
    return sum(one.verdict == verdict for one in warnings)


def _warning(
    one: FoodWarning,
    *,
    places: dict[str, str],
    acknowledged: Mapping[str, AcknowledgedAnswer],
) -> WarningAnswer:
    return WarningAnswer(
        warning=one.mark,
        verdict=one.verdict,
        food=one.offer.food.id,
        food_name=one.offer.food.name,
        units=one.units,
        was_read=bool(one.offer.readings),
        findings=[
            finding_answer(finding, one.offer, tells_members=True) for finding in one.findings
        ],
        lots=[pack_answer(item, places=places) for item in one.lots],
        instead=None if one.instead is None else pack_answer(one.instead, places=places),
        acknowledged=acknowledged.get(one.mark),
    )


def needs_in_words(table: Table) -> list[str]:
    """Name the needs of a household, all its members' together."""
    return sorted({demand_words(demand) for demand in _binding(table)})


def _binding(table: Table) -> set[Demand]:
    demands = set(table.home).union(*(eater.demands for _, eater in table.eaters))
    return {demand for demand in demands if not demand.only_advises}


def must_not_contain(table: Table) -> list[str]:
    """Say in words what must not go to a household, all its members' needs together."""
    words = {avoided_words(demand) for demand in _binding(table)}
    infants = {
        _NOT_FOR_INFANTS[eater.stage] for _, eater in table.eaters if _is_infant(eater.stage)
    }
    return sorted(words) + sorted(infants)


def notes_on(table: Table) -> list[str]:
    """Say what holds for every food, so that it need not stand beside each."""
    notes: list[str] = []
    stages = {eater.stage for _, eater in table.eaters}
    notes.extend(_STAGE_NOTES[stage] for stage in Stage if stage in stages & _STAGE_NOTES.keys())
    if any(eater.is_under_four for _, eater in table.eaters):
        notes.append("a child under four: what can choke is marked")
    advised = {
        demand_words(demand)
        for _, eater in table.eaters
        for demand in eater.demands
        if demand.only_advises
    }
    notes.extend(
        f"{words}: nothing is cleared here; ask your care team" for words in sorted(advised)
    )
    return notes


def _is_infant(stage: Stage) -> bool:
    return stage is not Stage.TABLE_FOOD


_NOT_FOR_INFANTS: Final = {
    Stage.FORMULA: "for the infant: nothing but infant formula",
    Stage.BABY_FOOD: "for the infant: nothing but infant formula and baby food, and no honey",
}

_STAGE_NOTES: Final = {
    Stage.FORMULA: (
        "an infant under 6 months: breast milk or infant formula only, ready-to-feed first"
    ),
    Stage.BABY_FOOD: "an infant of 6 to 12 months: infant formula and baby food only, no honey",
}


def _topics(found: HouseholdWarnings) -> frozenset[Topic]:
    infants = any(_is_infant(eater.stage) for _, eater in found.table.eaters)
    topics = topics_of([found.household], infants=infants) | {Topic.FOOD, Topic.ALLERGY}
    if any(eater.is_under_four for _, eater in found.table.eaters):
        topics |= {Topic.CHILDREN}
    return topics
