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
from daysworth.planners.household_fit import Fit, fit, table_of
from daysworth.planners.parcels import Candidate, MayGo, by_words, candidates, together
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
    """Which parcel is asked about, and what: words, the foods they may mean, or one lot."""

    parcel_number: int
    household: HouseholdId
    asked: str
    words: str = ""
    foods: Sequence[Food] = ()
    lot: str | None = None


def answer_parcel(snapshot: Snapshot, as_of: date, *, question: ParcelAsked) -> ParcelCheckAnswer:
    """Answer for a parcel. Raises NotThere for a household the store lacks."""
    home = household_in(snapshot, question.household)
    table = table_of(home, as_of)
    dated = dated_lots(snapshot, as_of)
    if question.lot is not None:
        chosen = [item for item in dated if item.lot.id == question.lot]
        found = tuple(
            Candidate(offer=offer, lots=(item,), fit=fit(offer, table))
            for item in chosen
            for offer in [offer_of(item.lot, item.food)]
        )
    else:
        stock = reachable(dated, home=home)
        found = candidates(question.foods, stock=stock, table=table)
    called = by_words(question.words, table) if question.words else None
    may_go, why = _weighed(found, called=called)
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


def _weighed(found: Sequence[Candidate], *, called: Fit | None) -> tuple[MayGo, list[str]]:
    if called is not None and called.verdict is Verdict.UNSUITABLE:
        return MayGo.NO, _reasons(called)
    if not found:
        return MayGo.NOT_KNOWN, ["nothing in the store is called that: read its label"]
    may_go = together(found)
    if may_go is MayGo.NOT_KNOWN and len({one.may_go for one in found}) > 1:
        return may_go, ["it depends on which of these it is: look for its lot"]
    reasons = [reason for one in found for reason in _reasons(one.fit)]
    return may_go, list(dict.fromkeys(reasons)) or ["nothing on its label stands against it"]


def _reasons(fits: Fit) -> list[str]:
    return [
        one.reason.words
        for one in fits.findings
        if one.reason.verdict is fits.verdict or one.reason.is_warning
    ]


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
