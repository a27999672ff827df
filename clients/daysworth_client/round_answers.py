"""Name the parts of rounds as they stand in JSON: what is due, and what became of it."""

from typing import TypedDict

from daysworth_client.answers import CautionPart


class PortionPart(TypedDict):
    """Units for one household."""

    household: str | None
    parcel_number: int | None
    units: int


class ProposalPart(TypedDict):
    """What becomes of one lot or kit that is due; `words` say it."""

    proposal: str
    lot: str | None
    kit: str | None
    food: str | None
    name: str
    persons: int | None
    place: str
    place_name: str
    last_good_day: str | None
    units: int
    mass_g: float
    energy_kcal: float
    kept_by: str | None
    kept_by_parcel: int | None
    action: str
    action_on: str | None
    action_units: int
    portions: list[PortionPart]
    partner_name: str | None
    rest_units: int
    rest_action: str | None
    rest_on: str | None
    to_pass_on: list[str]
    words: str


class LookedAtPart(TypedDict):
    """A lot that somebody has to look at, and why."""

    lot: str
    food: str
    food_name: str
    units: int
    why: str


class WorkPlacePart(TypedDict):
    """What is to be done in one place."""

    place: str
    place_name: str
    proposals: list[ProposalPart]
    to_look_at: list[LookedAtPart]


class ActionTotalPart(TypedDict):
    """All that is proposed of one action."""

    action: str
    units: int
    mass_g: float
    energy_kcal: float


class RoundPlanAnswer(TypedDict):
    """What is due at a round, place by place; `round_on` None: there has been none yet."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    round_on: str | None
    next_round_on: str | None
    due: int
    totals: list[ActionTotalPart]
    worklist: list[WorkPlacePart]
    cautions: list[CautionPart]


class OutcomeTotalPart(TypedDict):
    """Units, mass and energy that went one way."""

    units: int
    mass_g: float
    energy_kcal: float


class RoundRecordPart(TypedDict):
    """One round: what was pulled, and how it went; the share thrown away is of the mass."""

    round_on: str
    pulled: OutcomeTotalPart
    eaten: OutcomeTotalPart
    given: OutcomeTotalPart
    discarded: OutcomeTotalPart
    unpacked: OutcomeTotalPart
    discarded_share: float | None
    round_before_on: str | None
    discarded_share_before: float | None
    discarded_share_change: float | None
    words: str


class RoundsAnswer(TypedDict):
    """The rounds to come, and the record of those there were, latest first."""

    store: str
    version: int
    as_of: str
    rounds_rule: str
    latest_on: str | None
    coming: list[str]
    records: list[RoundRecordPart]


class RoundLinePart(TypedDict):
    """Units of one lot that were settled at a round, and how they went."""

    outcome: str
    lot: str | None
    kit: str | None
    food_name: str | None
    units: int
    mass_g: float | None
    energy_kcal: float | None
    why: str | None
    by: str
    at: str


class LeftPart(TypedDict):
    """Units of an accepted proposal that stay where they are for now, and why."""

    proposal: str
    lot: str | None
    units: int
    words: str


class RoundSettledAnswer(TypedDict):
    """What was recorded at a round, what stays for now, and its record with it."""

    question: str
    store: str
    version: int
    round_on: str
    settled: list[RoundLinePart]
    left: list[LeftPart]
    record: RoundRecordPart | None
