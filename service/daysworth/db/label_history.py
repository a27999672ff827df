"""Tell what was ever read on a lot's label, and which labels of a food were read."""

import json
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Row, Select, bindparam, select

from daysworth.db.ledger.held import LOT_COLUMNS, Held, held_from
from daysworth.db.people_kept import Kept
from daysworth.db.readings_kept import SignedReading, ledger_readings, signed_readings
from daysworth.db.tables import ENTRY, LOT
from daysworth.db.transactions import Reading
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId
from daysworth.domain.labels import LabelReading

MOST_LABELS: Final = 20
"""Labels of one food that are shown, the newest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelEntry:
    """One entry that tells of a label: what was read, and what ceased to stand by it."""

    kind: str
    lot: str
    by: str
    at: str
    why: str | None
    readings: tuple[LabelReading, ...]
    no_longer: tuple[LabelReading, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodLabel:
    """A reading that stands on lots of a food, with one of those lots."""

    lot: LotId
    signed: SignedReading


_ENTRIES: Final[Select[tuple[Kept, ...]]] = (
    select(ENTRY)
    .where(ENTRY.c.store == bindparam("of_store"), ENTRY.c.lot == bindparam("of_lot"))
    .order_by(ENTRY.c.version, ENTRY.c.line)
)


def label_history(reading: Reading, lot: LotId) -> list[LabelEntry]:
    """Give every entry that tells of a lot's label, the oldest first.

    A lot that was taken from another has that one's label, as it was read until then.
    """
    found: list[LabelEntry] = []
    of: str | None = lot
    until = None
    while of is not None:
        rows = reading.connection.execute(_ENTRIES, {"of_store": reading.store, "of_lot": of})
        entries = [row for row in rows.all() if until is None or row.version <= until]
        found[:0] = [entry for row in entries for entry in _label_entries(row)]
        first = entries[0] if entries else None
        of = None if first is None else json.loads(first.detail).get("lot")
        until = None if first is None else first.version
    return found


def _label_entries(row: Row[tuple[Kept, ...]]) -> list[LabelEntry]:
    said = json.loads(row.detail)
    read = (*ledger_readings(said.get("reading")), *ledger_readings(said.get("readings")))
    before = ledger_readings(said.get("was_reading"))
    if not read and not before:
        return []
    return [
        LabelEntry(
            kind=row.kind,
            lot=row.lot,
            by=row.by,
            at=row.at,
            why=row.why,
            readings=read,
            no_longer=tuple(one for one in before if one not in read),
        )
    ]


def food_labels(
    reading: Reading, food: FoodId, *, owner: HouseholdId | None, most: int = MOST_LABELS
) -> list[FoodLabel]:
    """Give the different readings that stand on a food's lots, the newest first.

    `owner` None: on any of its lots; else on what that household owns.
    """
    newest: dict[LabelReading, FoodLabel] = {}
    for lot in _lots_read(reading, food, owner=owner):
        for signed in signed_readings(lot.reading, lot.read_by):
            known = newest.get(signed.reading)
            if known is None or (signed.at or "") > (known.signed.at or ""):
                newest[signed.reading] = FoodLabel(lot=LotId(lot.id), signed=signed)
    ordered = sorted(newest.values(), key=lambda one: one.lot)
    return sorted(ordered, key=lambda one: one.signed.at or "", reverse=True)[:most]


def _lots_read(reading: Reading, food: FoodId, *, owner: HouseholdId | None) -> list[Held]:
    chosen = select(*LOT_COLUMNS).where(
        LOT.c.store == reading.store, LOT.c.food == food, LOT.c.reading.is_not(None)
    )
    if owner is not None:
        chosen = chosen.where(LOT.c.owner == owner)
    return [held_from(row) for row in reading.connection.execute(chosen)]
