"""Keep an export of the store with each week's notice, for two years of weeks.

An export is under pseudonyms and compressed: the stock in one piece, and a piece for each household
with what it keeps back. So erasing a household takes its pieces out of every export, and nothing of
it stays in any. An export whose key is lost could not be rewritten, so a new key begins without the
old one's exports.
"""

import secrets
import zlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from sqlalchemy import Connection, Row, Select, delete, insert, select, update

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import HOUSEHOLD, KEPT_EXPORT, KEPT_HOME, PSEUDONYM_KEY, STORE
from daysworth.db.transactions import Reading, Writing, kept_instant
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId, StoreId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.pseudonyms import KEY_BYTES, household_pseudonym

MOST_KEPT: Final = 110
"""Weeks, of one store: two years and some; the oldest goes first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptWeek:
    """Which week was kept: at which version, as of which day, and when.

    `rewritten_at` is when a household was last taken out of it, None: it is as it was kept.
    """

    week: str
    version: int
    taken_on: date
    kept_at: str
    rewritten_at: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptExport:
    """A kept week with its stock, and each household by its pseudonym, as UTF-8 JSON."""

    kept: KeptWeek
    stock: bytes
    homes: Mapping[HouseholdId, bytes]


_WEEKS: Final[Select[tuple[Kept, ...]]] = select(
    *(KEPT_EXPORT.c[name] for name in ("week", "version", "taken_on", "kept_at", "rewritten_at"))
)


def find_key(reading: Reading | Writing) -> bytes | None:
    """Give the store's key to its pseudonyms, None before it has one."""
    return _key(reading.connection, reading.store)


def key_for_keeping(connection: Connection, store: StoreId) -> bytes:
    """Give the store's key to its pseudonyms, made if there is none. Raises NotThere.

    To be called in a write that changes the key alone; whoever comes second gets the first's.
    """
    _lock(connection, store)
    found = _key(connection, store)
    if found is None:
        found = secrets.token_bytes(KEY_BYTES)
        connection.execute(delete(KEPT_EXPORT).where(KEPT_EXPORT.c.store == store))
        connection.execute(insert(PSEUDONYM_KEY).values(store=store, key=found.hex()))
    return found


def has_all(connection: Connection, store: StoreId, *, homes: Collection[HouseholdId]) -> bool:
    """Tell whether households are all in a store still, and keep them there until the write ends.

    What is kept then holds nothing of a household that was erased while it was made.
    """
    _lock(connection, store)
    chosen = select(HOUSEHOLD.c.id).where(HOUSEHOLD.c.store == store)
    return set(homes) <= set(connection.scalars(chosen))


def keep_export(connection: Connection, store: StoreId, *, export: KeptExport) -> None:
    """Keep a week's export, unless one was kept before, and let go of what is beyond the most.

    To be called behind the lock of `has_all`.
    """
    kept = export.kept
    before = select(KEPT_EXPORT.c.week).where(KEPT_EXPORT.c.store == store)
    if connection.execute(before.where(KEPT_EXPORT.c.week == kept.week)).first() is not None:
        return
    connection.execute(
        insert(KEPT_EXPORT).values(
            store=store,
            week=kept.week,
            version=kept.version,
            taken_on=kept.taken_on,
            kept_at=kept.kept_at,
            rewritten_at=kept.rewritten_at,
            stock=zlib.compress(export.stock),
        )
    )
    of_it = {"store": store, "week": kept.week}
    homes = [
        {**of_it, "pseudonym": name, "home": zlib.compress(home)}
        for name, home in export.homes.items()
    ]
    if homes:
        connection.execute(insert(KEPT_HOME), homes)
    newest_first = before.order_by(KEPT_EXPORT.c.week.desc())
    too_old = connection.scalars(newest_first.offset(MOST_KEPT).limit(1)).first()
    if too_old is not None:
        connection.execute(
            delete(KEPT_EXPORT).where(KEPT_EXPORT.c.store == store, KEPT_EXPORT.c.week <= too_old)
        )


def list_kept_weeks(reading: Reading, *, after: str, limit: int) -> Page[KeptWeek]:
    """List the weeks that were kept, the newest first, those before a given one."""
    chosen = _WEEKS.where(KEPT_EXPORT.c.store == reading.store)
    if after:
        chosen = chosen.where(KEPT_EXPORT.c.week < after)
    rows = reading.connection.execute(chosen.order_by(KEPT_EXPORT.c.week.desc()).limit(limit + 1))
    found = [_week(row) for row in rows]
    return page_of(found, keys=[one.week for one in found], limit=limit)


def read_kept_week(reading: Reading, week: Week) -> KeptWeek:
    """Read which week was kept, without what is in it. Raises NotThere where it was not."""
    chosen = _WEEKS.where(KEPT_EXPORT.c.store == reading.store, KEPT_EXPORT.c.week == str(week))
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise _not_kept(week)
    return _week(row)


def read_export(reading: Reading, week: Week) -> KeptExport:
    """Read the export of a week. Raises NotThere where none was kept."""
    chosen = select(KEPT_EXPORT).where(
        KEPT_EXPORT.c.store == reading.store, KEPT_EXPORT.c.week == str(week)
    )
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise _not_kept(week)
    homes = select(KEPT_HOME.c.pseudonym, KEPT_HOME.c.home).where(
        KEPT_HOME.c.store == reading.store, KEPT_HOME.c.week == str(week)
    )
    return KeptExport(
        kept=_week(row),
        stock=zlib.decompress(row.stock),
        homes={
            HouseholdId(one.pseudonym): zlib.decompress(one.home)
            for one in reading.connection.execute(homes.order_by(KEPT_HOME.c.pseudonym))
        },
    )


def erase_from_exports(writing: Writing, household: HouseholdId) -> None:
    """Take a household out of every export of its store: its members, and what it keeps back.

    Without the key nobody can tell which household is which, so all exports go.
    """
    connection, store = writing.connection, writing.store
    key = find_key(writing)
    if key is None:
        connection.execute(delete(KEPT_EXPORT).where(KEPT_EXPORT.c.store == store))
        return
    name = household_pseudonym(household, key=key)
    its_rows = (KEPT_HOME.c.store == store, KEPT_HOME.c.pseudonym == name)
    connection.execute(
        update(KEPT_EXPORT)
        .where(
            KEPT_EXPORT.c.store == store,
            KEPT_EXPORT.c.week.in_(select(KEPT_HOME.c.week).where(*its_rows)),
        )
        .values(rewritten_at=writing.instant)
    )
    connection.execute(delete(KEPT_HOME).where(*its_rows))


def _lock(connection: Connection, store: StoreId) -> None:
    """Hold the store's row until the write ends, as every write of the store does."""
    chosen = select(STORE.c.id).where(STORE.c.id == store).with_for_update()
    if connection.execute(chosen).first() is None:
        raise NotThere(f"there is no store {store!r} here")


def _key(connection: Connection, store: StoreId) -> bytes | None:
    chosen = select(PSEUDONYM_KEY.c.key).where(PSEUDONYM_KEY.c.store == store)
    found = connection.scalars(chosen).first()
    return None if found is None else bytes.fromhex(found)


def _not_kept(week: Week) -> NotThere:
    return NotThere(f"the week {week} was not kept: a week is kept when its notice is first posted")


def _week(row: Row[tuple[Kept, ...]]) -> KeptWeek:
    return KeptWeek(
        week=row.week,
        version=row.version,
        taken_on=row.taken_on,
        kept_at=row.kept_at,
        rewritten_at=row.rewritten_at,
    )


def kept_week(week: Week, *, version: int, taken_on: date, at: datetime) -> KeptWeek:
    """Describe a week that is to be kept."""
    return KeptWeek(week=str(week), version=version, taken_on=taken_on, kept_at=kept_instant(at))
