"""Lay out the closed kits of a store, the earliest date first, and those to take along."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final, Self

from starlette.datastructures import QueryParams

from daysworth.answers.kit_list import KitSummary
from daysworth.domain.identifiers import HouseholdId, is_plain
from daysworth.pages.typed_box import Faults, whole_number
from daysworth.printing.label_sheets import LabelSheet

Names = Mapping[HouseholdId, tuple[int, str]]
"""The number of each household's parcel, and its name."""

HEAVIEST_KG: Final = 1_000.0
MOST_POSITION: Final = 100
_LONGEST_REF: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class KitShown:
    """One kit in the list. `is_due`: not good until the next round, or nobody knows until when."""

    kit: KitSummary
    household_name: str | None
    is_past: bool
    is_due: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitTotalsShown:
    """What the listed kits come to: `meals` are one for each person that each serves."""

    kits: int
    meals: int
    mass_kg: float
    due: int
    changed: int


def kits_shown(
    kits: Iterable[KitSummary], *, names: Names, today_day: date, next_round_on: date | None
) -> list[KitShown]:
    """Put closed kits in order: those without a date first, then by date, then by name."""
    shown = [
        KitShown(
            kit=kit,
            household_name=name_of(kit.household, names),
            is_past=kit.pull_by_day is not None and kit.pull_by_day < today_day,
            is_due=_is_due(kit.pull_by_day, next_round_on=next_round_on),
        )
        for kit in kits
    ]
    return sorted(shown, key=lambda one: (one.kit.pull_by_day or date.min, one.kit.name))


def _is_due(day: date | None, *, next_round_on: date | None) -> bool:
    return day is None or (next_round_on is not None and day < next_round_on)


def totals_shown(kits: Sequence[KitShown]) -> KitTotalsShown:
    """Add up the listed kits."""
    return KitTotalsShown(
        kits=len(kits),
        meals=sum(one.kit.persons for one in kits),
        mass_kg=fsum(one.kit.mass_g or 0.0 for one in kits) / 1000,
        due=sum(one.is_due for one in kits),
        changed=sum(one.kit.changed_since_packing for one in kits),
    )


def name_of(household: str | None, names: Names) -> str | None:
    """Give a household's name, its id where it has left meanwhile; None: no household."""
    if household is None:
        return None
    return names.get(HouseholdId(household), (0, household))[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedTake:
    """What was asked of kits to take along: for whom, and how many kilograms can be carried."""

    household: str = ""
    most_kg: str = ""

    @classmethod
    def of(cls, query: QueryParams) -> Self:
        """Read the question."""
        return cls(
            household=query.get("household", "").strip()[: _LONGEST_REF + 1],
            most_kg=query.get("most_kg", "").strip()[:12],
        )

    def kilograms(self, faults: Faults) -> float | None:
        """Read how many kilograms can be carried; None: as many as there are."""
        if not self.most_kg:
            return None
        try:
            found = float(self.most_kg.replace(",", "."))
        except ValueError:
            found = 0.0
        if not 0 < found <= HEAVIEST_KG:
            faults["most_kg"] = "fault-kits-kilograms"
            return None
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedLabels:
    """Which labels were asked for: on which sheet, from which place of it, of which kits."""

    sheet: str = ""
    first_position: str = "1"
    place: str = ""
    kit: str = ""

    @classmethod
    def of(cls, query: QueryParams) -> Self:
        """Read what was asked."""
        return cls(
            sheet=query.get("sheet", "")[:20],
            first_position=query.get("first_position", "1").strip()[:12],
            place=query.get("place", "")[: _LONGEST_REF + 1],
            kit=query.get("kit", "")[: _LONGEST_REF + 1],
        )

    def sheet_asked(self, faults: Faults) -> LabelSheet | None:
        """Read which sheet; None: it is none of ours."""
        try:
            return LabelSheet(self.sheet)
        except ValueError:
            faults["sheet"] = "fault-kits-sheet"
            return None

    def position(self, faults: Faults, *, sheet: LabelSheet | None) -> int:
        """Read at which label of the sheet to begin, from 1."""
        found = whole_number(self.first_position) or 0
        if not 1 <= found <= (MOST_POSITION if sheet is None else sheet.geometry.labels):
            faults["first_position"] = "fault-kits-position"
            return 1
        return found

    @property
    def is_sound(self) -> bool:
        """Tell whether the place and the kit can be ids at all."""
        return all(is_plain(one) and len(one) <= _LONGEST_REF for one in (self.place, self.kit))
