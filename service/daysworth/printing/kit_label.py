"""Describe what stands on the label of a kit, as it is handed over to be printed."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentLine:
    """Units of one food in a kit; `unit_mass_g` is the grams of one of them."""

    units: int
    name: str
    unit_mass_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLabel:
    """What stands on a kit's label.

    `parcel_number` is for whom it was put up; None: for anybody it suits. `allergens` and
    `may_contain` are words. `not_known`, which a label in the kit that was never read makes true,
    says that there may be more of them. `may_be_warmed` says what may, and how; None: nothing.
    `waived` are rules in words, each with its reason; `wares` such as "4 forks". Cautions stand
    with the most important first. `address` is what the QR code opens.
    """

    kit_id: str
    name: str
    persons: int
    parcel_number: int | None
    pull_by_day: date
    packed_on: date
    contents: tuple[ContentLine, ...]
    steps: tuple[str, ...]
    may_be_warmed: str | None
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    not_known: bool
    needs_opener: bool
    energy_kcal_each: float
    protein_g_each: float
    mass_g: float
    waived: tuple[str, ...]
    wares: tuple[str, ...]
    cautions: tuple[str, ...]
    address: str
