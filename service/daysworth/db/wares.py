"""Keep openers, tableware and bags: they change by entries alone, as lots do, and run out.

Those that are in a kit are the kit's; here are those that stand free.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Connection, Row, Select, insert, select, tuple_, update

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.places import read_place
from daysworth.db.tables import WARE, WARE_ENTRY
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import WareEntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import PlaceId, StoreId
from daysworth.domain.wares import WareKind, WareStock

MOST_UNITS: Final = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptWare:
    """A ware of one place as it is kept; none left is kept, too."""

    kind: WareKind
    place: PlaceId
    units: int
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WareEntry:
    """One line of the wares' ledger."""

    version: int
    line: int
    kind: WareEntryKind
    ware: WareKind
    place: PlaceId
    units: int
    at: str
    by: str
    why: str | None


def receive_wares(
    writing: Writing, kind: WareKind, *, place: PlaceId, units: int, why: str | None = None
) -> KeptWare:
    """Add so many of a ware, 1 or more, to a place. Raises NotThere, FieldsRefused."""
    read_place(writing, place)
    if not 1 <= units <= MOST_UNITS - _units(writing, kind, place=place):
        raise FieldsRefused(
            (Fault("units", f"must be 1 or more, and {MOST_UNITS} at most in all"),)
        )
    return put(writing, kind, place=place, units=units, entry=WareEntryKind.RECEIVED, why=why)


def count_wares(
    writing: Writing, kind: WareKind, *, place: PlaceId, units: int, why: str | None = None
) -> KeptWare:
    """Record how many of a ware stand in a place, 0 or more. Raises NotThere, FieldsRefused."""
    read_place(writing, place)
    if not 0 <= units <= MOST_UNITS:
        raise FieldsRefused((Fault("units", f"must be 0 or more, and {MOST_UNITS} at most"),))
    more = units - _units(writing, kind, place=place)
    return put(writing, kind, place=place, units=more, entry=WareEntryKind.COUNTED, why=why)


def list_wares(reading: Reading | Writing, *, place: PlaceId | None = None) -> list[KeptWare]:
    """Give every ware of the store, or of one place, by place and kind."""
    chosen = select(WARE).where(WARE.c.store == reading.store)
    if place is not None:
        chosen = chosen.where(WARE.c.place == place)
    rows = reading.connection.execute(chosen).all()
    return [_ware(row) for row in sorted(rows, key=lambda row: (row.place, row.kind))]


def list_ware_entries(reading: Reading, *, after: tuple[int, int], limit: int) -> Page[WareEntry]:
    """List the wares' ledger in the order it was written, from after a version and line."""
    key = tuple_(WARE_ENTRY.c.version, WARE_ENTRY.c.line)
    chosen = select(WARE_ENTRY).where(WARE_ENTRY.c.store == reading.store, key > tuple_(*after))
    ordered = chosen.order_by(WARE_ENTRY.c.version, WARE_ENTRY.c.line).limit(limit + 1)
    found = [_entry(row) for row in reading.connection.execute(ordered)]
    return page_of(found, keys=[f"{one.version}.{one.line}" for one in found], limit=limit)


def ware_stock(connection: Connection, store: StoreId) -> tuple[WareStock, ...]:
    """Load every ware of a store, by place and kind, in one query."""
    rows = connection.execute(select(WARE).where(WARE.c.store == store)).all()
    return tuple(
        WareStock(kind=WareKind(row.kind), place=PlaceId(row.place), units=row.units)
        for row in sorted(rows, key=lambda row: (row.place, row.kind))
    )


def check_wares(writing: Writing, taken: Mapping[tuple[WareKind, PlaceId], int]) -> list[str]:
    """Find the wares of which fewer stand in their place than are to be taken, in words."""
    there = {(ware.kind, ware.place): ware.units for ware in list_wares(writing)}
    return [
        f"{units} of ware {str(kind)!r} asked for, and {there.get((kind, place), 0)} are in "
        f"place {place!r}"
        for (kind, place), units in sorted(taken.items())
        if units > there.get((kind, place), 0)
    ]


def put(
    writing: Writing,
    kind: WareKind,
    *,
    place: PlaceId,
    units: int,
    entry: WareEntryKind,
    why: str | None = None,
) -> KeptWare:
    """Put so many of a ware, fewer than 0 to take them, in a place that is there, by an entry.

    Raises StockRefused where fewer are there than are to be taken.
    """
    before = _find(writing, kind, place=place)
    after = (0 if before is None else before.units) + units
    if after < 0:
        raise StockRefused(f"too few of ware {str(kind)!r} are in place {place!r}")
    kept = KeptWare(
        kind=kind, place=place, units=after, revision=1 if before is None else before.revision + 1
    )
    values = {"units": kept.units, "revision": kept.revision}
    if before is None:
        key = {"store": writing.store, "kind": kind, "place": place}
        writing.connection.execute(insert(WARE).values(**key, **values))
    else:
        of_it = (WARE.c.store == writing.store, WARE.c.kind == kind, WARE.c.place == place)
        writing.connection.execute(update(WARE).where(*of_it).values(**values))
    writing.connection.execute(
        insert(WARE_ENTRY).values(
            store=writing.store,
            version=writing.version,
            line=next(writing.lines),
            kind=entry,
            ware=kind,
            place=place,
            units=units,
            at=writing.instant,
            credential=writing.by.id,
            by=writing.by.signs_as,
            why=why,
        )
    )
    return kept


def _units(writing: Writing, kind: WareKind, *, place: PlaceId) -> int:
    found = _find(writing, kind, place=place)
    return 0 if found is None else found.units


def _find(writing: Writing, kind: WareKind, *, place: PlaceId) -> KeptWare | None:
    chosen: Select[tuple[Kept, ...]] = select(WARE).where(
        WARE.c.store == writing.store, WARE.c.kind == kind, WARE.c.place == place
    )
    row = writing.connection.execute(chosen).first()
    return None if row is None else _ware(row)


def _ware(row: Row[tuple[Kept, ...]]) -> KeptWare:
    return KeptWare(
        kind=WareKind(row.kind),
        place=PlaceId(row.place),
        units=row.units,
        revision=row.revision,
    )


def _entry(row: Row[tuple[Kept, ...]]) -> WareEntry:
    return WareEntry(
        version=row.version,
        line=row.line,
        kind=WareEntryKind(row.kind),
        ware=WareKind(row.ware),
        place=PlaceId(row.place),
        units=row.units,
        at=row.at,
        by=row.by,
        why=row.why,
    )
