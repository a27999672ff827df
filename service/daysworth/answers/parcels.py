"""Write whether a food may go in a parcel. The household behind the number is never named."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.suitability_in_words import (
    FindingAnswer,
    PackAnswer,
    finding_answer,
    pack_answer,
)
from daysworth.answers.warnings import must_not_contain
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.offers import offer_of
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Finding, Fit, Table, table_of
from daysworth.planners.parcels import (
    Candidate,
    MayGo,
    avoids_something,
    by_words,
    candidate,
    candidates,
    together,
)
from daysworth.planners.shelf import dated_lots
from daysworth.planners.warnings import household_in, reachable
from daysworth.reference.cautions import CautionRow

LONGEST_WORDS: Final = 120


@dataclass(frozen=True, slots=True)
class CandidateAnswer:
    """One food that may be meant, as one label has it, and whether it may go in."""

    food: str
    food_name: str
    may_go: str
    was_read: bool
    findings: list[FindingAnswer]
    lots: list[PackAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class ParcelCheckAnswer:
    """May this go in parcel N? `may_go` is yes, no or not_known, and `why` says why."""

    question: str
    version: int
    as_of: date
    parcel_number: int
    asked: str
    may_go: str
    why: list[str]
    must_not_contain: list[str]
    candidates: list[CandidateAnswer]
    cautions: list[CautionRow]


@dataclass(frozen=True, slots=True, kw_only=True)
class ParcelAsked:
    """Which parcel is asked about, and what: words, the foods they may mean, or one lot.

    `is_unnamed`: the words are what a lot is called that waits for its name.
    """

    parcel_number: int
    household: HouseholdId
    asked: str
    words: str = ""
    foods: Sequence[Food] = ()
    lot: str | None = None
    is_unnamed: bool = False


def answer_parcel(snapshot: Snapshot, as_of: date, *, question: ParcelAsked) -> ParcelCheckAnswer:
    """Answer for a parcel. Raises NotThere for a household the store lacks."""
    home = household_in(snapshot, question.household)
    table = table_of(home, as_of)
    dated = dated_lots(snapshot, as_of)
    if question.lot is not None:
        found = tuple(
            candidate(offer_of(item.lot, item.food), (item,), table=table, household=home.id)
            for item in dated
            if item.lot.id == question.lot
        )
    else:
        stock = reachable(dated, home=home)
        found = candidates(question.foods, stock=stock, table=table, household=home.id)
    may_go, why = _weighed(found, question=question, table=table)
    places: dict[str, str] = {place.id: place.name for place in snapshot.places}
    return ParcelCheckAnswer(
        question="parcel",
        version=snapshot.version,
        as_of=as_of,
        parcel_number=question.parcel_number,
        asked=question.asked,
        may_go=may_go,
        why=why,
        must_not_contain=must_not_contain(table),
        candidates=[_candidate(one, places=places) for one in found],
        cautions=list(cautions_on({Topic.FOOD, Topic.ALLERGY, Topic.INFANTS})),
    )


def _weighed(
    found: Sequence[Candidate], *, question: ParcelAsked, table: Table
) -> tuple[MayGo, list[str]]:
    if question.words:
        called = by_words(question.words, table)
        if called.verdict is Verdict.UNSUITABLE:
            return MayGo.NO, _reasons(called)
    if not found:
        return MayGo.NOT_KNOWN, [_nothing_found(question)]
    may_go = together(found)
    if may_go is MayGo.NOT_KNOWN and len({one.may_go for one in found}) > 1:
        return may_go, ["it depends on which of these it is: look for its lot"]
    if may_go is MayGo.YES and question.words and avoids_something(table):
        return MayGo.NOT_KNOWN, ["words are not enough: look for its lot, or scan its barcode"]
    said = [words for one in found for words in _told(one)] or [_NOTHING_AGAINST]
    if may_go is MayGo.YES and question.lot is None:
        said.append("it is so for what is logged here: a pack that is not has a label of its own")
    return may_go, list(dict.fromkeys(said))


_NOTHING_AGAINST: Final = "nothing on its label stands against it"


def _nothing_found(question: ParcelAsked) -> str:
    if question.is_unnamed:
        return "nobody has named it yet: read its label"
    if question.words:
        return "nothing in the store is called that: read its label"
    return "nothing in the store has that barcode: read its label"


def _told(one: Candidate) -> list[str]:
    """Say what decides of a food: why none can be given, and what its label has."""
    held = [back.words for back in one.held_back] if one.is_held_back else []
    return [*held, *_reasons(one.fit)]


def _reasons(fits: Fit) -> list[str]:
    """Say what stands behind a verdict; and of what may go in, for whom it is not."""
    return [
        _NOT_FOR_ALL.format(one.reason.words) if _is_for_some(one, fits) else one.reason.words
        for one in fits.findings
        if one.reason.verdict is fits.verdict
        or one.reason.is_warning
        or (fits.verdict is Verdict.SUITABLE and not one.reason.is_by_stage)
    ]


_NOT_FOR_ALL: Final = "not for everybody there: {}"


def _is_for_some(finding: Finding, fits: Fit) -> bool:
    return fits.verdict is Verdict.SUITABLE and finding.reason.verdict is not Verdict.SUITABLE


def _candidate(one: Candidate, *, places: dict[str, str]) -> CandidateAnswer:
    return CandidateAnswer(
        one.offer.food.id,
        one.offer.food.name,
        one.may_go,
        bool(one.offer.readings),
        [finding_answer(finding, one.offer, tells_members=False) for finding in one.fit.findings],
        [pack_answer(item, places=places) for item in one.lots],
    )


def meant(snapshot: Snapshot, words: str) -> list[Food]:
    """Find the foods whose name or id has every word given; at most twenty."""
    wanted = words.casefold().split()
    found = [
        food
        for food in snapshot.foods
        if all(word in f"{food.name} {food.id}".casefold() for word in wanted)
    ]
    return found[:20] if wanted else []
