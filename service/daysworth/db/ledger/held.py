"""Find a lot within a write, and change it by an entry.

The store's row is locked by then, so what was read here stays true until the write commits.
"""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Final, cast

from sqlalchemy import Row, bindparam, insert, select, update

from daysworth.db.lot_kept import LOT_KEPT, KeptLot, lot_from
from daysworth.db.pages_of_rows import MOST_A_PAGE
from daysworth.db.people_kept import Kept
from daysworth.db.tables import ENTRY, LOT
from daysworth.db.transactions import Writing, new_id
from daysworth.domain.entries import EntryKind, Role
from daysworth.domain.errors import NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.lots import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A lot as the store holds it; without a food it waits for a coordinator to name one."""

    id: str
    food: str | None
    words: str | None
    place: str
    units: int
    owner: str | None
    is_shared: bool
    units_in_kits: int
    units_promised: int
    net_mass_g: float | None
    label_kind: str
    printed: str | None
    opened_on: date | None
    repacked_on: date | None
    condition: str
    reading: str | None
    read_by: str | None
    pack_code: str | None
    revision: int

    @property
    def units_free(self) -> int:
        """Count the units that are neither in a kit nor promised."""
        return self.units - self.units_in_kits - self.units_promised


_COLUMNS: Final = tuple(field.name for field in fields(Held))
LOT_COLUMNS: Final = tuple(LOT.c[name] for name in _COLUMNS)


_FIND: Final = select(*LOT_COLUMNS).where(
    LOT.c.store == bindparam("of_store"), LOT.c.id == bindparam("lot")
)
_BEGIN: Final = insert(LOT)
_APPEND: Final = insert(ENTRY)


def held_from(row: Row[tuple[Kept, ...]]) -> Held:
    """Read a lot from a row of LOT_COLUMNS."""
    return Held(**{name: row._mapping[name] for name in _COLUMNS})


def as_planned(held: Held) -> Lot:
    """Give a lot that has a food as plans have it."""
    return lot_from(cast(KeptLot, tuple(getattr(held, column.name) for column in LOT_KEPT)))


def find(writing: Writing, lot: LotId, *, if_revision: int | None = None) -> Held:
    """Find a lot to change. Raises NotThere, also where a household does not own it; NotAsItWas."""
    row = writing.connection.execute(_FIND, {"of_store": writing.store, "lot": lot}).first()
    if row is None:
        raise NotThere(f"there is no lot {lot!r} in this store")
    found = held_from(row)
    if writing.by.role is Role.HOUSEHOLD and found.owner != writing.by.household:
        raise NotThere(f"there is no lot {lot!r} of yours in this store")
    if if_revision is not None and found.revision != if_revision:
        raise NotAsItWas(f"lot {lot!r} was changed since you looked: look again, then change it")
    return found


def find_all(writing: Writing, lots: Collection[LotId]) -> dict[LotId, Held]:
    """Find those of some lots that are there to change; for a household, its own."""
    ids, found = sorted(lots), dict[LotId, Held]()
    for first in range(0, len(ids), MOST_A_PAGE):
        some = LOT.c.id.in_(ids[first : first + MOST_A_PAGE])
        chosen = select(*LOT_COLUMNS).where(LOT.c.store == writing.store, some)
        if writing.by.role is Role.HOUSEHOLD:
            chosen = chosen.where(LOT.c.owner == writing.by.household)
        for row in writing.connection.execute(chosen):
            found[LotId(row.id)] = held_from(row)
    return found


def check_free(lot: Held, units: int) -> None:
    """Raise StockRefused where fewer units than asked are free to be taken."""
    if units > lot.units_free:
        reserved = lot.units - lot.units_free
        more = f" ({reserved} more are in kits or promised)" if reserved else ""
        raise StockRefused(
            f"{units} asked for, and {lot.units_free} are there to take from lot {lot.id!r}{more}; "
            "nothing was changed"
        )


def change(
    writing: Writing,
    lot: Held,
    *,
    kind: EntryKind,
    units: int = 0,
    why: str | None = None,
    detail: Mapping[str, Kept] | None = None,
    values: Mapping[str, Kept] | None = None,
) -> Held:
    """Append one entry, of `units` more or fewer, and bring the lot's row along."""
    changed: dict[str, Kept] = {
        **(values or {}),
        "units": lot.units + units,
        "revision": lot.revision + 1,
    }
    writing.connection.execute(
        update(LOT).where(LOT.c.store == writing.store, LOT.c.id == lot.id).values(changed)
    )
    _append(writing, kind, lot=lot.id, units=units, why=why, detail=detail)
    # The columns are the fields, of the same types.
    return replace(lot, **changed)  # type: ignore[arg-type]


def begin(
    writing: Writing,
    like: Held,
    *,
    kind: EntryKind,
    why: str | None = None,
    detail: Mapping[str, Kept] | None = None,
) -> Held:
    """Begin a lot by an entry of all its units; it gets an id of its own and its first revision."""
    lot = replace(like, id=new_id("L"), revision=1)
    writing.connection.execute(_BEGIN, {"store": writing.store, **_values(lot)})
    _append(writing, kind, lot=lot.id, units=lot.units, why=why, detail=detail)
    return lot


def _values(lot: Held) -> dict[str, Kept]:
    return {name: getattr(lot, name) for name in _COLUMNS}


def _append(
    writing: Writing,
    kind: EntryKind,
    *,
    lot: str,
    units: int,
    why: str | None,
    detail: Mapping[str, Kept] | None,
) -> None:
    entry = {
        "store": writing.store,
        "version": writing.version,
        "line": next(writing.lines),
        "kind": kind,
        "lot": lot,
        "units": units,
        "at": writing.instant,
        "credential": writing.by.id,
        "by": writing.by.signs_as,
        "why": why,
        "detail": json.dumps(dict(detail or {}), default=str, sort_keys=True),
    }
    writing.connection.execute(_APPEND, entry)
