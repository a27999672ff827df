"""Change whose a lot is, whether it is shared, whether it is set aside; correct a mistake."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sqlalchemy import bindparam, select

from daysworth.db.ledger.held import Held, change, find
from daysworth.db.ledger.intake import foods_named
from daysworth.db.ledger.labels import packed_fault, read_alone
from daysworth.db.people_kept import Kept
from daysworth.db.readings_kept import reading_text
from daysworth.db.tables import ENTRY
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition


def share(writing: Writing, lot: LotId, *, why: str | None = None) -> Held:
    """Let everyone eat from a household's lot. Raises NotThere, StockRefused."""
    found = find(writing, lot)
    if found.is_shared:
        raise StockRefused(f"lot {lot!r} is shared already")
    return change(writing, found, kind=EntryKind.SHARED, why=why, values={"is_shared": True})


def take_back(writing: Writing, lot: LotId, *, why: str | None = None) -> Held:
    """Keep a household's lot to itself again. Raises NotThere, StockRefused."""
    found = find(writing, lot)
    if found.owner is None:
        raise StockRefused(f"lot {lot!r} is the store's own: no household can take it back")
    if not found.is_shared:
        raise StockRefused(f"lot {lot!r} is not shared")
    if found.units_free < found.units:
        raise StockRefused(f"some of lot {lot!r} is in kits or promised: settle that first")
    return change(writing, found, kind=EntryKind.UNSHARED, why=why, values={"is_shared": False})


def quarantine(writing: Writing, lot: LotId, *, why: str) -> Held:
    """Set a lot aside, in no plan, until someone decides. Raises NotThere, StockRefused."""
    found = find(writing, lot)
    if found.condition != Condition.SOUND:
        raise StockRefused(f"lot {lot!r} is {found.condition} already")
    values = {"condition": Condition.QUARANTINED}
    return change(writing, found, kind=EntryKind.QUARANTINED, why=why, values=values)


def release(writing: Writing, lot: LotId, *, why: str) -> Held:
    """Let a lot that was set aside count again. Raises NotThere, StockRefused."""
    found = find(writing, lot)
    if found.condition != Condition.QUARANTINED:
        raise StockRefused(f"lot {lot!r} is {found.condition}, not quarantined")
    if is_home_canned(writing, found):
        raise StockRefused(
            f"lot {lot!r} is home-canned, and no home-canned food counts here: throw it out"
        )
    values = {"condition": Condition.SOUND}
    return change(writing, found, kind=EntryKind.RELEASED, why=why, values=values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What a coordinator puts right about a lot; None leaves a thing as it is.

    A reading takes the place of all that stand.
    """

    units: int | None = None
    food: FoodId | None = None
    net_mass_g: float | None = None
    reading: LabelReading | None = None
    is_damaged: bool | None = None


def correct(
    writing: Writing, lot: LotId, *, correction: Correction, why: str, if_revision: int
) -> Held:
    """Correct a mistake by an entry. Raises NotThere, NotAsItWas, StockRefused, FieldsRefused."""
    found = find(writing, lot, if_revision=if_revision)
    values = _corrected(writing, correction, found=found)
    units = found.units if correction.units is None else correction.units
    reserved = found.units - found.units_free
    if units < reserved:
        raise StockRefused(f"{reserved} units of lot {lot!r} are in kits or promised")
    detail: dict[str, Kept] = {f"was_{name}": getattr(found, name) for name in values}
    if correction.reading is not None:
        detail["reading"] = reading_text(correction.reading)
    return change(
        writing,
        found,
        kind=EntryKind.CORRECTED,
        units=units - found.units,
        why=why,
        detail=detail,
        values=values,
    )


def _corrected(writing: Writing, correction: Correction, *, found: Held) -> Mapping[str, Kept]:
    values: dict[str, Kept] = {}
    if correction.food is not None:
        if not foods_named(writing, {correction.food}):
            raise FieldsRefused((Fault("food", f"there is no food {correction.food!r}"),))
        values["food"] = correction.food
        # What was read on the label stays; it is the pack that was read, whatever we call it.
    if correction.net_mass_g is not None:
        values["net_mass_g"] = correction.net_mass_g
    if correction.reading is not None:
        if fault := packed_fault(writing, correction.reading, where="reading > packed_on"):
            raise FieldsRefused((fault,))
        values.update(read_alone(writing, correction.reading))
    if correction.is_damaged is True:
        values["condition"] = Condition.DAMAGED
    if correction.is_damaged is False and found.condition == Condition.DAMAGED:
        # What was logged as home-canned does not come to count by way of a mended dent.
        mended = Condition.QUARANTINED if is_home_canned(writing, found) else Condition.SOUND
        values["condition"] = mended
    return values


def is_home_canned(writing: Writing, lot: Held) -> bool:
    """Tell whether a lot, or the one that it was taken from, was logged as home-canned."""
    of: str | None = lot.id
    while of is not None:
        asked = {"of_store": writing.store, "of_lot": of}
        said = json.loads(writing.connection.execute(_BEGAN_WITH, asked).scalar() or "{}")
        if said.get("is_home_canned"):
            return True
        of = said.get("lot")
    return False


_BEGAN_WITH: Final = (
    select(ENTRY.c.detail)
    .where(ENTRY.c.store == bindparam("of_store"), ENTRY.c.lot == bindparam("of_lot"))
    .order_by(ENTRY.c.version, ENTRY.c.line)
    .limit(1)
)
