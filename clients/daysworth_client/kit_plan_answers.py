"""Name the parts of patterns and of packing plans as they stand in JSON."""

from typing import TypedDict

from daysworth_client.answers import CautionPart
from daysworth_client.kit_answers import KitFoodPart, KitWarePart, WaiverPart


class WantedPart(TypedDict):
    """A food, or any food of a group, in words."""

    food: str | None
    group: str | None
    words: str


class SlotPart(TypedDict):
    """One part of the meal; its choices, of one or two foods each, in order of preference."""

    kind: str
    words: str
    choices: list[list[WantedPart]]
    servings_each: float
    grams_in_all: float | None
    served: str
    served_words: str


class PatternWaiverPart(TypedDict):
    """A rule that kits of a pattern are not held to, and why."""

    rule: str
    words: str
    why: str


class PatternPart(TypedDict):
    """One pattern; a built-in one has no entity tag."""

    id: str
    name: str
    is_built_in: bool
    etag: str | None
    persons: int
    slots: list[SlotPart]
    utensil: str
    waivers: list[PatternWaiverPart]
    steps: list[str]
    may_be_warmed: str | None


class KindMadePart(TypedDict):
    """One kind of kit: how many were wanted and are made; `short` None: all of them are.

    `wanted` None: a plan that was kept is of the kits that it makes.
    """

    number: int
    pattern: str | None
    name: str
    persons: int
    household: str | None
    parcel_number: int | None
    wanted: int
    made: int
    short: str | None


class KitsAlikePart(TypedDict):
    """So many kits with the same in each."""

    kind: int
    how_many: int
    name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pull_by_day: str | None
    mass_g: float
    energy_kcal: float
    energy_kcal_per_person: float
    protein_g_per_person: float
    contents: list[KitFoodPart]
    wares: list[KitWarePart]
    waivers: list[WaiverPart]


class StagePart(TypedDict):
    """One aim of the plan: what it reaches, what no plan exceeds, and the gap."""

    stage: str
    words: str
    value: float
    bound: float
    gap: float


class PickLinePart(TypedDict):
    """Units of a lot, or of a ware, taken from a place for all kits together."""

    lot: str | None
    food: str | None
    ware: str | None
    name: str
    units: int
    last_good_day: str | None


class PickPlacePart(TypedDict):
    """What is picked in one place."""

    place: str
    place_name: str
    lines: list[PickLinePart]


class KitPlanTotalsPart(TypedDict):
    """All kits of the plan; a kit counts one meal for each it serves."""

    kits: int
    person_meals: int
    person_days: float
    mass_g: float
    energy_kcal: float


class KitPlanAnswer(TypedDict):
    """A packing plan; `plan` None: it is not kept. `packed_at` None: nobody packed it."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    plan: str | None
    packed_at: str | None
    packed_by: str | None
    place: str | None
    place_name: str | None
    kinds: list[KindMadePart]
    kits: list[KitsAlikePart]
    stages: list[StagePart]
    is_proved_best: bool
    picking: list[PickPlacePart]
    totals: KitPlanTotalsPart
    cautions: list[CautionPart]
