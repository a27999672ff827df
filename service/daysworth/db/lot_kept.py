"""Turn lots into rows, and rows into lots."""

from datetime import date
from sys import intern
from typing import Final

from daysworth.db.people_kept import Kept
from daysworth.db.readings_kept import readings_from, readings_text
from daysworth.db.tables import LOT
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot

KeptLot = tuple[
    str,
    str,
    str,
    int,
    str | None,
    bool,
    int,
    int,
    float | None,
    str,
    str | None,
    date | None,
    date | None,
    str,
    str | None,
]

# An enumeration's own look-up is slow for twenty thousand lots; a dictionary's is not.
_KINDS: Final = {str(kind): kind for kind in LabelKind}
_CONDITIONS: Final = {str(condition): condition for condition in Condition}


def lot_values(lot: Lot) -> dict[str, Kept]:
    """Give a lot's columns, but for the store's and those that no plan needs."""
    return {
        "id": lot.id,
        "food": lot.food,
        "place": lot.place,
        "units": lot.units,
        "owner": lot.owner,
        "is_shared": lot.is_shared,
        "units_in_kits": lot.units_in_kits,
        "units_promised": lot.units_promised,
        "net_mass_g": lot.net_mass_g,
        "label_kind": lot.label_kind,
        "printed": lot.printed,
        "opened_on": lot.opened_on,
        "repacked_on": lot.repacked_on,
        "condition": lot.condition,
        "reading": readings_text(lot.readings),
    }


LOT_KEPT: Final = tuple(
    LOT.c[name]
    for name in (
        "id",
        "food",
        "place",
        "units",
        "owner",
        "is_shared",
        "units_in_kits",
        "units_promised",
        "net_mass_g",
        "label_kind",
        "printed",
        "opened_on",
        "repacked_on",
        "condition",
        "reading",
    )
)
"""The columns that `lot_from` reads, in its order."""


def lot_from(row: KeptLot) -> Lot:
    """Read a lot that has a food from a row of LOT_KEPT.

    By position, for there may be twenty thousand of them; of few foods in few places, whose ids are
    kept once.
    """
    (
        id_,
        food,
        place,
        units,
        owner,
        is_shared,
        units_in_kits,
        units_promised,
        net_mass_g,
        label_kind,
        printed,
        opened_on,
        repacked_on,
        condition,
        reading,
    ) = row
    return Lot(
        id=LotId(id_),
        food=FoodId(intern(food)),
        place=PlaceId(intern(place)),
        units=units,
        owner=None if owner is None else HouseholdId(owner),
        is_shared=is_shared,
        units_in_kits=units_in_kits,
        units_promised=units_promised,
        net_mass_g=net_mass_g,
        label_kind=_KINDS[label_kind],
        printed=printed,
        opened_on=opened_on,
        repacked_on=repacked_on,
        condition=_CONDITIONS[condition],
        readings=readings_from(reading),
    )
