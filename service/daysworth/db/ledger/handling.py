"""Move lots, open and repack them, and put right what their labels say."""

from dataclasses import replace
from datetime import date
from typing import Final

from daysworth.db.ledger.held import Held, begin, change, check_free, find
from daysworth.db.people_kept import Kept
from daysworth.db.places import read_place
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import LotId, PlaceId
from daysworth.domain.label_dates import LabelKind, printed_day

FIRST_HANDLED_DAY: Final = date(2000, 1, 1)


def move(
    writing: Writing, lot: LotId, *, place: PlaceId, units: int | None, why: str | None = None
) -> list[Held]:
    """Move units of a lot, all of them when not given, to another place.

    Gives the lot, and the new lot in the other place where only a part was moved. What is in kits
    moves with them alone. Raises NotThere, StockRefused.
    """
    found = find(writing, lot)
    read_place(writing, place)
    if found.place == place:
        raise StockRefused(f"lot {lot!r} stands there already")
    if units is None and found.units_in_kits:
        raise StockRefused(
            f"{found.units_in_kits} units of lot {lot!r} are in kits: move those kits, and say how "
            "many of the others you move"
        )
    detail = {"from": found.place, "to": place}
    if units is None or (units == found.units and not found.units_in_kits):
        values = {"place": place}
        return [change(writing, found, kind=EntryKind.MOVED, why=why, detail=detail, values=values)]
    check_free(found, units)
    left = change(writing, found, kind=EntryKind.MOVED, units=-units, why=why, detail=detail)
    moved = part_of(found, units=units, place=place)
    new = begin(writing, moved, kind=EntryKind.MOVED, why=why, detail={**detail, "lot": found.id})
    return [left, new]


def open_units(
    writing: Writing, lot: LotId, *, units: int, opened_on: date | None, why: str | None = None
) -> list[Held]:
    """Open units of a lot, today when no day is given: they become a lot that keeps for less.

    Raises NotThere, StockRefused, FieldsRefused.
    """
    found = find(writing, lot)
    if found.opened_on is not None:
        raise StockRefused(f"lot {lot!r} was opened on {found.opened_on} already")
    check_free(found, units)
    day = handled_day(writing, opened_on, where="opened_on")
    left = change(writing, found, kind=EntryKind.OPENED, units=-units, why=why)
    opened = part_of(found, units=units, opened_on=day)
    new = begin(writing, opened, kind=EntryKind.OPENED, why=why, detail={"lot": found.id})
    return [left, new]


def repack(
    writing: Writing,
    lot: LotId,
    *,
    units: int,
    into_units: int,
    net_mass_g: float,
    repacked_on: date | None,
    why: str | None = None,
) -> list[Held]:
    """Repack units of a lot into packs of `net_mass_g` grams: they become a lot of their own.

    Raises NotThere, StockRefused, FieldsRefused.
    """
    found = find(writing, lot)
    if found.food is None:
        raise StockRefused("say first what food this is; then it can be repacked")
    check_free(found, units)
    day = handled_day(writing, repacked_on, where="repacked_on")
    left = change(writing, found, kind=EntryKind.REPACKED, units=-units, why=why)
    packs = part_of(found, units=into_units, repacked_on=day, net_mass_g=net_mass_g)
    detail: dict[str, Kept] = {"lot": found.id, "units_taken": units}
    return [left, begin(writing, packs, kind=EntryKind.REPACKED, why=why, detail=detail)]


def redate(
    writing: Writing,
    lot: LotId,
    *,
    label_kind: LabelKind,
    printed: str | None,
    if_revision: int,
    why: str | None = None,
) -> Held:
    """Put right the date on a lot's label. Raises NotThere, NotAsItWas, FieldsRefused."""
    found = find(writing, lot, if_revision=if_revision)
    if (label_kind is LabelKind.UNLABELLED) != (printed is None):
        raise FieldsRefused(
            (Fault("printed", "a label has a kind and a printed date, or neither"),)
        )
    if printed is not None:
        try:
            printed_day(printed)
        except ValueError as fault:
            raise FieldsRefused((Fault("printed", str(fault)),)) from fault
    return change(
        writing,
        found,
        kind=EntryKind.REDATED,
        why=why,
        detail={"was_kind": found.label_kind, "was_printed": found.printed},
        values={"label_kind": label_kind, "printed": printed},
    )


def part_of(lot: Held, *, units: int, **changed: str | int | float | date) -> Held:
    """Describe a lot that some units of another become, none of them in a kit unless said."""
    kept = {"units_in_kits": 0, "units_promised": 0, **changed}
    return replace(lot, units=units, **kept)  # type: ignore[arg-type]


def handled_day(writing: Writing, given_on: date | None, *, where: str) -> date:
    """Give the day on which something was done, today when not said. Raises FieldsRefused."""
    today = writing.today
    if given_on is None:
        return today
    if not FIRST_HANDLED_DAY <= given_on <= today:
        raise FieldsRefused((Fault(where, "must be a day from 2000 to today"),))
    return given_on
