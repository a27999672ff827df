"""Take units away: eaten, discarded, returned to their owner; and count what is there."""

from collections.abc import Mapping

from daysworth.db.ledger.held import Held, change, check_free, find
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import LotId, PlaceId


def eat(writing: Writing, lot: LotId, *, units: int, why: str | None = None) -> Held:
    """Take units out to be eaten. Raises NotThere, StockRefused."""
    return _take(writing, lot, kind=EntryKind.EATEN, units=units, why=why)


def discard(writing: Writing, lot: LotId, *, units: int, why: str) -> Held:
    """Throw units away, and say why. Raises NotThere, StockRefused."""
    return _take(writing, lot, kind=EntryKind.DISCARDED, units=units, why=why)


def give_back(writing: Writing, lot: LotId, *, units: int, why: str | None = None) -> Held:
    """Return units to the household that owns them. Raises NotThere, StockRefused."""
    owner = find(writing, lot).owner
    if owner is None:
        raise StockRefused(f"lot {lot!r} is the store's own: there is nobody to return it to")
    return _take(writing, lot, kind=EntryKind.RETURNED, units=units, why=why)


def _take(writing: Writing, lot: LotId, *, kind: EntryKind, units: int, why: str | None) -> Held:
    found = find(writing, lot)
    check_free(found, units)
    return change(writing, found, kind=kind, units=-units, why=why)


def count_place(
    writing: Writing, place: PlaceId, *, units_by_lot: Mapping[LotId, int], why: str | None = None
) -> list[Held]:
    """Record a stock-take: what stands in a place, lot by lot, in one write.

    Raises NotThere; FieldsRefused where a lot stands elsewhere or is reserved beyond its count.
    """
    found = [(find(writing, lot), units) for lot, units in units_by_lot.items()]
    faults = tuple(
        fault
        for number, (lot, units) in enumerate(found)
        for fault in _count_faults(lot, units, place=place, number=number)
    )
    if faults:
        raise FieldsRefused(faults)
    return [
        change(
            writing,
            lot,
            kind=EntryKind.COUNTED,
            units=units - lot.units,
            why=why,
            detail={"expected": lot.units, "counted": units},
        )
        for lot, units in found
    ]


def _count_faults(lot: Held, units: int, *, place: PlaceId, number: int) -> list[Fault]:
    where = f"counts number {number + 1}"
    if lot.place != place:
        return [
            Fault(f"{where} > lot", f"lot {lot.id!r} stands in {lot.place!r}, not here: move it")
        ]
    reserved = lot.units - lot.units_free
    if units < reserved:
        return [
            Fault(f"{where} > units", f"{reserved} of them are in kits or promised: settle those")
        ]
    return []
