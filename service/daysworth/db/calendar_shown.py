"""Keep what a store's calendar showed, so that an event's SEQUENCE rises whenever it changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from sqlalchemy import Connection, delete, insert, select, update

from daysworth.db.tables import CALENDAR_EVENT, STORE
from daysworth.db.transactions import kept_instant
from daysworth.domain.identifiers import StoreId

KEPT_DAYS: Final = 400
"""How long after its day an event is remembered; longer than any calendar here looks back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """An event that is about to be shown: its digest, and its day."""

    uid: str
    digest: str
    on_day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """An event as it was shown last, how often it has changed, and when it did last."""

    digest: str
    sequence: int
    changed_at: datetime


def shown_before(connection: Connection, store: StoreId) -> dict[str, Shown]:
    """Give every event that a store's calendar showed, by its UID."""
    chosen = select(CALENDAR_EVENT).where(CALENDAR_EVENT.c.store == store)
    return {
        row.uid: Shown(
            digest=row.digest,
            sequence=row.sequence,
            changed_at=datetime.fromisoformat(row.changed_at),
        )
        for row in connection.execute(chosen)
    }


def is_as_shown(showing: Sequence[Showing], before: Mapping[str, Shown]) -> bool:
    """Tell whether every event was shown before just so."""
    return all(one.uid in before and before[one.uid].digest == one.digest for one in showing)


def note_shown(
    connection: Connection, showing: Sequence[Showing], *, store: StoreId, at: datetime
) -> dict[str, Shown]:
    """Keep what is about to be shown; an event that changed since has its sequence raised.

    Gives all of them by UID. It raises no version of the store: nothing in it changed.
    """
    # The store's row orders those who read at once, so that no event is kept twice.
    connection.execute(select(STORE.c.id).where(STORE.c.id == store).with_for_update())
    before = shown_before(connection, store)
    whole_second_at = at.replace(microsecond=0)
    for one in showing:
        last = before.get(one.uid)
        if last is not None and last.digest == one.digest:
            continue
        now = Shown(
            digest=one.digest,
            sequence=0 if last is None else last.sequence + 1,
            changed_at=whole_second_at,
        )
        before[one.uid] = now
        values = {
            "digest": now.digest,
            "sequence": now.sequence,
            "changed_at": kept_instant(now.changed_at),
            "on_day": one.on_day,
        }
        its_row = (CALENDAR_EVENT.c.store == store) & (CALENDAR_EVENT.c.uid == one.uid)
        connection.execute(
            insert(CALENDAR_EVENT).values(store=store, uid=one.uid, **values)
            if last is None
            else update(CALENDAR_EVENT).where(its_row).values(values)
        )
    over_on = at.date() - timedelta(days=KEPT_DAYS)
    connection.execute(
        delete(CALENDAR_EVENT).where(
            CALENDAR_EVENT.c.store == store, CALENDAR_EVENT.c.on_day < over_on
        )
    )
    return before
