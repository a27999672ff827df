"""Name the parts of what a store tells of whom its food suits."""

from typing import TypedDict

from daysworth_client.answers import CautionPart


class EvidencePart(TypedDict):
    """Words on a label, or who else says so."""

    said: str
    presence: str
    words: str
    at: int | None


class FindingPart(TypedDict):
    """One need, the verdict, and why."""

    need: str
    verdict: str
    words: str
    binds_home: bool
    members: list[str]
    evidence: list[EvidencePart]


class PackPart(TypedDict):
    """One lot."""

    lot: str
    food: str
    food_name: str
    place: str
    units: int
    last_good_day: str | None


class AcknowledgedPart(TypedDict):
    """Who took note, when and why."""

    by: str
    at: str
    why: str


class WarningPart(TypedDict):
    """One food, as one label has it, that is not simply suitable."""

    warning: str
    verdict: str
    food: str
    food_name: str
    units: int
    was_read: bool
    findings: list[FindingPart]
    lots: list[PackPart]
    instead: PackPart | None
    acknowledged: AcknowledgedPart | None


class SuitablePart(TypedDict):
    """A food in stock that suits everybody in the home."""

    food: str
    food_name: str
    units: int


class WarningsAnswer(TypedDict):
    """All that a household must not have, and all that nobody knows of yet."""

    store: str
    store_name: str
    version: int
    as_of: str
    household: str
    needs: list[str]
    must_not_contain: list[str]
    notes: list[str]
    unsuitable: int
    unknown: int
    to_be_read: int
    suitable: list[SuitablePart]
    ask_care_team: list[SuitablePart]
    warnings: list[WarningPart]
    cautions: list[CautionPart]
