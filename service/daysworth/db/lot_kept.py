"""Turn lots into rows, and rows into lots."""

from functools import lru_cache

from sqlalchemy import Row

from daysworth.db.kept_values import facts_from, facts_text
from daysworth.db.people_kept import Kept
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot

# An enumeration's own look-up is slow for twenty thousand lots; a remembered one is not.
_kind = lru_cache(maxsize=None)(LabelKind)
_condition = lru_cache(maxsize=None)(Condition)


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
        "reading": None if lot.reading is None else facts_text(lot.reading),
    }


def lot_from(row: Row[tuple[Kept, ...]]) -> Lot:
    """Read a lot that has a food."""
    return Lot(
        id=LotId(row.id),
        food=FoodId(row.food),
        place=PlaceId(row.place),
        units=row.units,
        owner=None if row.owner is None else HouseholdId(row.owner),
        is_shared=bool(row.is_shared),
        units_in_kits=row.units_in_kits,
        units_promised=row.units_promised,
        net_mass_g=row.net_mass_g,
        label_kind=_kind(row.label_kind),
        printed=row.printed,
        opened_on=row.opened_on,
        repacked_on=row.repacked_on,
        condition=_condition(row.condition),
        reading=None if row.reading is None else facts_from(row.reading),
    )
