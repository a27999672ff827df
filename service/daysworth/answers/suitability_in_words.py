"""Write what was found of a food for a person or a home: reasons, and the evidence behind them."""

from dataclasses import dataclass
from datetime import date

from daysworth.domain.demands import demand_words
from daysworth.domain.labels import Evidence, Presence, Said
from daysworth.domain.offers import Offer
from daysworth.domain.verdicts import Reason
from daysworth.planners.household_fit import Finding
from daysworth.planners.shelf import DatedLot

BY_AGE = "by age"


@dataclass(frozen=True, slots=True)
class EvidenceAnswer:
    """Words on a label, or who else says so; `at` is where they stand in the label's text."""

    said: str
    presence: str
    words: str
    at: int | None


@dataclass(frozen=True, slots=True)
class FindingAnswer:
    """One finding: the need, the verdict and why; whom it is for, and what it goes by."""

    need: str
    verdict: str
    words: str
    binds_home: bool
    members: list[str]
    evidence: list[EvidenceAnswer]


@dataclass(frozen=True, slots=True)
class PackAnswer:
    """One lot: where it stands, how many, and the last day it may be eaten."""

    lot: str
    food: str
    food_name: str
    place: str
    units: int
    last_good_day: date | None


def finding_answer(finding: Finding, offer: Offer, *, tells_members: bool) -> FindingAnswer:
    """Write a finding. `tells_members`: whether the reader may know whom it is for."""
    reason = finding.reason
    return FindingAnswer(
        need=BY_AGE if reason.demand is None else demand_words(reason.demand),
        verdict=finding.shown,
        words=reason.words,
        binds_home=finding.binds_home,
        members=list(finding.members) if tells_members else [],
        evidence=[evidence_answer(one) for one in evidence_of(reason, offer)],
    )


def evidence_of(reason: Reason, offer: Offer) -> list[Evidence]:
    """Give what a reason goes by, what speaks loudest first."""
    found = [
        *reason.evidence,
        *(
            one
            for substance in sorted(reason.substances)
            for one in offer.known.evidence.get(substance, ())
        ),
    ]
    order = list(Presence)
    return sorted(
        dict.fromkeys(found),
        key=lambda one: (
            order.index(one.presence),
            one.said is Said.REFERENCE_FOOD,
            one.words,
            -1 if one.at is None else one.at,
        ),
    )


def evidence_answer(evidence: Evidence) -> EvidenceAnswer:
    """Write one piece of evidence."""
    return EvidenceAnswer(evidence.said, evidence.presence, evidence.words, evidence.at)


def pack_answer(item: DatedLot, *, places: dict[str, str]) -> PackAnswer:
    """Write a lot."""
    return PackAnswer(
        item.lot.id,
        item.food.id,
        item.food.name,
        places[item.lot.place],
        item.lot.units,
        item.last_good_day,
    )
