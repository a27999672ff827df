"""Describe a kit: a complete meal put up in one bag, with what is in it. Kits are stock.

Units in a kit stay units of their lots, which stand where the kit stands: they count wherever the
lots do, and nothing takes them one by one.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Final

from annotated_types import Ge, Le, Len

from daysworth.domain.identifiers import (
    HouseholdId,
    IdLength,
    KitId,
    LotId,
    Name,
    PatternId,
    PlaceId,
)
from daysworth.domain.meal_patterns import Line, Persons, Served, Utensil, Waiver
from daysworth.domain.wares import WareKind

MOST_NAME: Final = 120
"""Characters of a name, as `identifiers.Name` has them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitItem:
    """Units of one lot in a kit, and from what they are eaten."""

    lot: Annotated[LotId, IdLength]
    units: Annotated[int, Ge(1), Le(1_000)]
    served: Served = Served.PLATE


@dataclass(frozen=True, slots=True, kw_only=True)
class MealKit:
    """A kit that is closed: not unpacked, not eaten.

    `household` is whom it was put up for; None: for anybody it suits. `pattern` is what it was put
    together by; None: by hand. Steps and waivers are those of the pattern as it was then. Raises
    ValueError where a lot stands in it twice.
    """

    id: Annotated[KitId, IdLength]
    name: Name
    place: Annotated[PlaceId, IdLength]
    persons: Persons
    packed_on: date
    items: Annotated[tuple[KitItem, ...], Len(1, 60)]
    household: Annotated[HouseholdId, IdLength] | None = None
    pattern: Annotated[PatternId, IdLength] | None = None
    wares: Mapping[WareKind, Annotated[int, Ge(1), Le(1_000)]] = field(default_factory=dict)
    utensil: Utensil = Utensil.FORK
    waivers: Annotated[tuple[Waiver, ...], Len(0, 10)] = ()
    steps: Annotated[tuple[Line, ...], Len(0, 12)] = ()
    may_be_warmed: Line | None = None

    def __post_init__(self) -> None:
        lots = [item.lot for item in self.items]
        if len(set(lots)) < len(lots):
            raise ValueError("a lot stands in a kit once, with all its units")


def kit_name(food_names: Iterable[str]) -> str:
    """Name a kit after what is in it, in order, each food once and without how it is packed.

    A pattern's own name tells of its first choices, and may promise what others do not hold.
    """
    first, *others = dict.fromkeys(name.partition(",")[0].strip() for name in food_names)
    named = ", ".join([first, *map(_within, others)])
    return named if len(named) <= MOST_NAME else named[: MOST_NAME - 1].rstrip() + "…"


def _within(name: str) -> str:
    """Begin a name small, unless it begins with an abbreviation."""
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


@dataclass(frozen=True, slots=True, kw_only=True)
class WareTaken:
    """Units of one ware that are taken from a place for a kit."""

    kind: WareKind
    place: Annotated[PlaceId, IdLength]
    units: Annotated[int, Ge(1), Le(1_000)]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitToPack:
    """A kit that is to be put up, from lots and wares that stand on their shelves until then.

    Its fields mean what a `MealKit`'s do. Raises ValueError where a lot, or a ware of one place,
    stands in it twice.
    """

    name: Name
    persons: Persons
    items: Annotated[tuple[KitItem, ...], Len(1, 60)]
    wares: Annotated[tuple[WareTaken, ...], Len(0, 60)] = ()
    household: Annotated[HouseholdId, IdLength] | None = None
    pattern: Annotated[PatternId, IdLength] | None = None
    utensil: Utensil = Utensil.FORK
    waivers: Annotated[tuple[Waiver, ...], Len(0, 10)] = ()
    steps: Annotated[tuple[Line, ...], Len(0, 12)] = ()
    may_be_warmed: Line | None = None

    def __post_init__(self) -> None:
        lots = [item.lot for item in self.items]
        wares = [(ware.kind, ware.place) for ware in self.wares]
        if len(set(lots)) < len(lots) or len(set(wares)) < len(wares):
            raise ValueError("a lot, or a ware of one place, stands in a kit once")
