"""Describe a lot: units of one food with one label date, in one place, from one owner."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Gt, Le, Len

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, IdLength, LotId, Name, PlaceId
from daysworth.domain.label_dates import (
    LabelKind,
    earliest_kept_day,
    label_last_good_day,
    printed_day,
)
from daysworth.domain.labels import LabelReading


class Condition(StrEnum):
    """Whether a lot may be eaten at all, its date apart.

    `damaged`: bulging, leaking, badly dented on a seam, rusted through; to be discarded.
    `quarantined`: set aside until someone decides.
    """

    SOUND = "sound"
    DAMAGED = "damaged"
    QUARANTINED = "quarantined"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where lots stand: a shelf, a closet, a home.

    Who goes round the places takes them by `walk_position`, the lowest first.
    """

    id: Annotated[PlaceId, IdLength]
    name: Name
    walk_position: Annotated[int, Ge(0), Le(10_000)] = 0


Units = Annotated[int, Ge(0), Le(1_000_000)]
"""Whole packs."""


MOST_READINGS: Final = 8
"""Readings of one label that stand beside one another before a coordinator has to settle them."""

_UNLABELLED: Final = LabelKind.UNLABELLED


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Units of one food with one label date, in one place, from one owner.

    `units` are on hand; of them `units_in_kits` are packed (and count in coverage) and
    `units_promised` are promised to a partner (and count in none). A lot without an owner is the
    store's. `printed` is the date as on the label: YYYY-MM-DD, YYYY-MM or YYYY. `readings` are
    those of this lot's own label that stand; none: not read. Where two disagree the stricter holds.
    Raises ValueError where the facts contradict one another.
    """

    id: Annotated[LotId, IdLength]
    food: Annotated[FoodId, IdLength]
    place: Annotated[PlaceId, IdLength]
    units: Units
    owner: Annotated[HouseholdId, IdLength] | None = None
    is_shared: bool = True
    units_in_kits: Units = 0
    units_promised: Units = 0
    net_mass_g: Annotated[float, Gt(0), Le(1_000_000)] | None = None
    label_kind: LabelKind = LabelKind.UNLABELLED
    printed: str | None = None
    opened_on: date | None = None
    repacked_on: date | None = None
    condition: Condition = Condition.SOUND
    readings: Annotated[tuple[LabelReading, ...], Len(0, MOST_READINGS)] = ()

    def __post_init__(self) -> None:
        if self.units_in_kits + self.units_promised > self.units:
            raise ValueError("more units are in kits or promised than there are on hand")
        if not self.is_shared and self.owner is None:
            raise ValueError("a lot that is not shared needs an owner")
        printed = self.printed
        if (self.label_kind is _UNLABELLED) != (printed is None):
            raise ValueError("a label has a kind and a printed date, or neither")
        if printed is not None:
            printed_day(printed)

    @property
    def units_to_eat(self) -> int:
        """Count the units that may feed this store's households: on hand, less those promised."""
        return self.units - self.units_promised

    @property
    def is_handled_here(self) -> bool:
        """Tell whether it was opened or repacked here, so that cross-contact is not known."""
        return self.opened_on is not None or self.repacked_on is not None

    def last_good_day(self, food: Food, *, grace_days: Mapping[FoodGroup, int]) -> date | None:
        """Give the last day, inclusive, on which this lot may be eaten; None: undated."""
        day = label_last_good_day(
            food,
            kind=self.label_kind,
            printed=self.printed,
            grace_days=grace_days,
            is_opened=self.is_handled_here,
        )
        if self.opened_on is not None:
            day = earliest_kept_day(day, since_on=self.opened_on, keeps_days=food.keeps_opened_days)
        if self.repacked_on is not None:
            day = earliest_kept_day(
                day, since_on=self.repacked_on, keeps_days=food.keeps_repacked_days
            )
        return day
