"""Name the parts of what a store tells of its kits: a check, a list, what to take along."""

from typing import TypedDict

from daysworth_client.answers import CautionPart
from daysworth_client.suitability_answers import FindingPart, PackPart


class KitFoodPart(TypedDict):
    """Units of a food in a kit; `lot` None: it is not stock. `trouble` None: it may be eaten."""

    lot: str | None
    food: str
    food_name: str
    units: int
    unit_mass_g: float
    mass_g: float
    energy_kcal: float
    servings: float
    last_good_day: str | None
    served: str
    needs_opener: bool
    trouble: str | None


class KitWarePart(TypedDict):
    """So many of a ware, named in words."""

    kind: str
    name: str
    units: int


class RuleFigurePart(TypedDict):
    """What there is of something, and what is asked for."""

    of: str
    found: float
    asked: float
    unit: str


class RulePart(TypedDict):
    """How a kit stands by one rule: passed, failed or waived."""

    rule: str
    title: str
    status: str
    words: str
    figures: list[RuleFigurePart]
    foods: list[str]
    why_waived: str | None


class KitWarningPart(TypedDict):
    """A food in a kit that does not simply suit those it is for."""

    warning: str
    verdict: str
    food: str
    food_name: str
    lots: list[str]
    was_read: bool
    findings: list[FindingPart]
    instead: PackPart | None


class WaiverPart(TypedDict):
    """A rule that a kit is not held to, and why."""

    rule: str
    title: str
    why: str


class KitAllergensPart(TypedDict):
    """The allergens in a kit: in it, perhaps in it, and of which nobody knows."""

    present: list[str]
    may_be_present: list[str]
    not_known: list[str]
    is_read: bool


class KitCheckAnswer(TypedDict):
    """Whether items are a complete meal for those served, and whether they may eat it."""

    question: str
    release: str
    store: str
    version: int
    as_of: str
    household: str | None
    parcel_number: int | None
    persons: int
    is_sound: bool
    asks_care_team: bool
    rules: list[RulePart]
    warnings: list[KitWarningPart]
    pull_by_day: str | None
    mass_g: float
    volume_l: float
    energy_kcal: float
    energy_kcal_per_person: float
    protein_g_per_person: float
    needs_opener: bool
    allergens: KitAllergensPart
    contents: list[KitFoodPart]
    wares: list[KitWarePart]
    cautions: list[CautionPart]


class KitInListPart(TypedDict):
    """One kit in a list; `pull_by_day` None: undated, or the kit has ended."""

    id: str
    etag: str
    name: str
    state: str
    place: str
    place_name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pattern: str | None
    packed_on: str
    ended_at: str | None
    pull_by_day: str | None
    mass_g: float | None
    energy_kcal: float | None
    needs_opener: bool | None
    changed_since_packing: bool


class KitPagePart(TypedDict):
    """One page of a list of kits; `next` None: it is the last."""

    items: list[KitInListPart]
    next: str | None


class TakenKitPart(TypedDict):
    """One kit to take, and what all to this one weigh, net."""

    kit: str
    name: str
    place: str
    place_name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pull_by_day: str | None
    mass_g: float
    energy_kcal: float
    needs_opener: bool
    has_opener: bool
    mass_g_so_far: float


class LeftKitPart(TypedDict):
    """One kit that is left behind, and why."""

    kit: str
    name: str
    place_name: str
    parcel_number: int | None
    why: str
    words: str


class TakeAlongAnswer(TypedDict):
    """The kits to take, in order, and those that are left."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    household: str | None
    parcel_number: int | None
    most_kg: float | None
    kits: list[TakenKitPart]
    mass_g: float
    energy_kcal: float
    person_meals: int
    person_days: float
    left: list[LeftKitPart]
    cautions: list[CautionPart]
