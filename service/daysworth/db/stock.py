"""Read lots and the ledger."""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from sqlalchemy import Row, Select, select, tuple_

from daysworth.db.ledger.held import LOT_COLUMNS, Held, held_from
from daysworth.db.pages_of_rows import MOST_A_PAGE, Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import ENTRY, LOT
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId


@dataclass(frozen=True, slots=True, kw_only=True)
class LotChoice:
    """Which lots are wanted; None leaves a thing open."""

    place: PlaceId | None = None
    food: FoodId | None = None
    owner: HouseholdId | None = None
    is_waiting: bool | None = None
    with_empty: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEntry:
    """One line of the ledger."""

    version: int
    line: int
    kind: str
    lot: str
    units: int
    at: str
    by: str
    why: str | None
    detail: Mapping[str, Kept]


def read_lot(reading: Reading | Writing, lot: LotId) -> Held:
    """Read a lot. Raises NotThere."""
    chosen = select(*LOT_COLUMNS).where(LOT.c.store == reading.store, LOT.c.id == lot)
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere(f"there is no lot {lot!r} in this store")
    return held_from(row)


def read_lots(reading: Reading | Writing, lots: Collection[LotId]) -> dict[LotId, Held]:
    """Read those of some lots that are there, the empty ones too."""
    ids, found = sorted(lots), dict[LotId, Held]()
    for first in range(0, len(ids), MOST_A_PAGE):
        some = LOT.c.id.in_(ids[first : first + MOST_A_PAGE])
        chosen = select(*LOT_COLUMNS).where(LOT.c.store == reading.store, some)
        for row in reading.connection.execute(chosen):
            found[LotId(row.id)] = held_from(row)
    return found


def list_lots(reading: Reading, *, choice: LotChoice, after: str, limit: int) -> Page[Held]:
    """List lots by id, those after a given one."""
    rows = reading.connection.execute(
        _chosen(reading, choice).where(LOT.c.id > after).limit(limit + 1)
    )
    lots = [held_from(row) for row in rows]
    return page_of(lots, keys=[lot.id for lot in lots], limit=limit)


def all_lots(reading: Reading, *, choice: LotChoice) -> list[Held]:
    """Give every lot of a choice, by id."""
    return [held_from(row) for row in reading.connection.execute(_chosen(reading, choice))]


def _chosen(reading: Reading, choice: LotChoice) -> Select[tuple[Kept, ...]]:
    chosen = select(*LOT_COLUMNS).where(LOT.c.store == reading.store).order_by(LOT.c.id)
    for column, wanted in (
        (LOT.c.place, choice.place),
        (LOT.c.food, choice.food),
        (LOT.c.owner, choice.owner),
    ):
        if wanted is not None:
            chosen = chosen.where(column == wanted)
    if choice.is_waiting is not None:
        waits = LOT.c.food.is_(None)
        chosen = chosen.where(waits if choice.is_waiting else ~waits)
    return chosen if choice.with_empty else chosen.where(LOT.c.units > 0)


def list_entries(
    reading: Reading, *, lot: LotId | None, after: tuple[int, int], limit: int
) -> Page[KeptEntry]:
    """List the ledger in the order it was written, from after a version and line."""
    key = tuple_(ENTRY.c.version, ENTRY.c.line)
    chosen = select(ENTRY).where(ENTRY.c.store == reading.store, key > tuple_(*after))
    if lot is not None:
        chosen = chosen.where(ENTRY.c.lot == lot)
    ordered = chosen.order_by(ENTRY.c.version, ENTRY.c.line).limit(limit + 1)
    entries = [_entry(row) for row in reading.connection.execute(ordered)]
    keys = [f"{entry.version}.{entry.line}" for entry in entries]
    return page_of(entries, keys=keys, limit=limit)


def _entry(row: Row[tuple[Kept, ...]]) -> KeptEntry:
    return KeptEntry(
        version=row.version,
        line=row.line,
        kind=row.kind,
        lot=row.lot,
        units=row.units,
        at=row.at,
        by=row.by,
        why=row.why,
        detail=json.loads(row.detail),
    )
