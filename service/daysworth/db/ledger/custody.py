"""Change whose a lot is, whether it is shared, whether it is set aside; correct a mistake."""

from collections.abc import Mapping
from dataclasses import dataclass

from daysworth.db.kept_values import facts_text
from daysworth.db.ledger.held import Held, change, find
from daysworth.db.ledger.intake import foods_named
from daysworth.db.people_kept import Kept
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.lots import Condition
from daysworth.domain.restrictions import DeclaredFacts


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
    values = {"condition": Condition.SOUND}
    return change(writing, found, kind=EntryKind.RELEASED, why=why, values=values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What a coordinator puts right about a lot; None leaves a thing as it is."""

    units: int | None = None
    food: FoodId | None = None
    net_mass_g: float | None = None
    reading: DeclaredFacts | None = None
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
    return change(
        writing,
        found,
        kind=EntryKind.CORRECTED,
        units=units - found.units,
        why=why,
        detail={f"was_{name}": getattr(found, name) for name in values},
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
        values["reading"] = facts_text(correction.reading)
    if correction.is_damaged is True:
        values["condition"] = Condition.DAMAGED
    if correction.is_damaged is False and found.condition == Condition.DAMAGED:
        values["condition"] = Condition.SOUND
    return values
