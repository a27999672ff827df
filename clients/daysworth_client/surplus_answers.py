"""Name the parts of what a store can spare: visits, what stays and why, and other floors."""

from typing import TypedDict

from daysworth_client.answers import CautionPart


class PackLinePart(TypedDict):
    """Units of a lot. `last_good_day` is by its label alone; None: undated."""

    lot: str
    food: str
    food_name: str
    units: int
    mass_g: float
    energy_kcal: float
    label_kind: str
    printed: str | None
    last_good_day: str | None


class PackPlacePart(TypedDict):
    """What is taken from one place, by food and date; the places stand in walking order."""

    place: str
    place_name: str
    lines: list[PackLinePart]


class PlannedVisitPart(TypedDict):
    """A visit, and what goes there. `opens_at` names it when it is promised."""

    partner: str
    partner_name: str
    window: str
    opens_at: str
    timezone: str
    visit_on: str
    words: str
    minutes: int
    promise_by_day: str
    driver: str
    appointment: str
    contact: str
    law: str | None
    free_kg: float | None
    free_units: int | None
    units: int
    mass_g: float
    energy_kcal: float
    packing: list[PackPlacePart]


class RefusedByPart(TypedDict):
    """A partner that does not take a lot, and by which rule in words."""

    partner: str
    partner_name: str
    refusal: str
    words: str


class StayingPart(TypedDict):
    """Units that could spoil and that no visit takes; `words` say why."""

    lot: str
    food: str
    food_name: str
    place: str
    place_name: str
    units: int
    mass_g: float
    energy_kcal: float
    last_good_day: str | None
    why: str
    never: str | None
    refused_by: list[RefusedByPart]
    words: str


class SurplusStagePart(TypedDict):
    """One aim of the plan: what it reaches, what no plan exceeds or goes below, and the gap."""

    aim: str
    words: str
    value: float
    bound: float
    gap: float


class SurplusTotalsPart(TypedDict):
    """All that goes."""

    visits: int
    units: int
    mass_g: float
    energy_kcal: float


class SurplusAnswer(TypedDict):
    """What can be spared before it spoils, visit by visit, and what stays and why."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    until_on: str
    floor_days: int
    is_own_floor: bool
    partners: list[str] | None
    open_visits: int
    totals: SurplusTotalsPart
    visits: list[PlannedVisitPart]
    staying: list[StayingPart]
    below_floor_on: str | None
    held_days: int
    floor_words: str
    stages: list[SurplusStagePart]
    is_proved_best: bool
    cautions: list[CautionPart]


class FloorPart(TypedDict):
    """What would go with a floor, and how much more than with the store's own; below 0: less."""

    floor_days: int
    is_own_floor: bool
    totals: SurplusTotalsPart
    more_units: int
    more_mass_g: float
    more_energy_kcal: float
    below_floor_on: str | None
    held_days: int
    words: str


class FloorsAnswer(TypedDict):
    """What could go with each of some floors, the store's own among them, the lowest first."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    until_on: str
    own_floor_days: int
    partners: list[str] | None
    floors: list[FloorPart]
