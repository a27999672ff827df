"""Give what a link has just logged, and take a box of it back."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Select, and_, bindparam, select

from daysworth.db.ledger.held import LOT_COLUMNS, Held, change, find, held_from
from daysworth.db.people_kept import Kept
from daysworth.db.tables import ENTRY, LOT
from daysworth.db.transactions import Reading, Writing, kept_instant
from daysworth.domain.entries import CredentialId, EntryKind
from daysworth.domain.errors import NotThere, StockRefused
from daysworth.domain.identifiers import LotId

TAKEN_BACK: Final = "taken back by whoever logged it"
CAN_BE_TAKEN_BACK_FOR: Final = timedelta(hours=24)
MOST_LISTED: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """A box that a link logged: its lot as it is now, who gave it, how many units, and when.

    It can be taken back until anybody has done anything with the lot but read its label, or a day
    is gone.
    """

    lot: Held
    giver: str | None
    units: int
    at: str
    is_home_canned: bool
    is_label_unreadable: bool
    is_taken_back: bool
    can_be_taken_back: bool


_LOGGED: Final[Select[tuple[Kept, ...]]] = (
    select(
        *LOT_COLUMNS,
        ENTRY.c.units.label("received"),
        ENTRY.c.at.label("received_at"),
        ENTRY.c.detail.label("said"),
    )
    .join(ENTRY, and_(ENTRY.c.store == LOT.c.store, ENTRY.c.lot == LOT.c.id))
    .where(
        ENTRY.c.store == bindparam("of_store"),
        ENTRY.c.credential == bindparam("by_link"),
        ENTRY.c.kind == EntryKind.RECEIVED,
        ENTRY.c.at >= bindparam("since"),
    )
    .order_by(ENTRY.c.version.desc(), ENTRY.c.line)
    .limit(bindparam("most"))
)
_TAKEN_BACK: Final = select(ENTRY.c.lot).where(
    ENTRY.c.store == bindparam("of_store"),
    ENTRY.c.credential == bindparam("by_link"),
    ENTRY.c.kind == EntryKind.CORRECTED,
    ENTRY.c.at >= bindparam("since"),
)


def just_logged(
    reading: Reading | Writing, link: CredentialId, *, at: datetime, most: int = MOST_LISTED
) -> list[Logged]:
    """Give the boxes that a link logged within the last day, the newest first."""
    since = kept_instant(at - CAN_BE_TAKEN_BACK_FOR)
    asked = {"of_store": reading.store, "by_link": link, "since": since, "most": most}
    taken_back = set(reading.connection.scalars(_TAKEN_BACK, asked))
    rows = reading.connection.execute(_LOGGED, asked).all()
    changed = _changed(reading, [row.id for row in rows])
    found = []
    for row in rows:
        lot = held_from(row)
        said = json.loads(row.said)
        found.append(
            Logged(
                lot=lot,
                giver=said.get("giver"),
                units=row.received,
                at=row.received_at,
                is_home_canned=said.get("is_home_canned", False),
                is_label_unreadable=said.get("is_label_unreadable", False),
                is_taken_back=lot.id in taken_back,
                can_be_taken_back=lot.id not in changed,
            )
        )
    return found


def _changed(reading: Reading | Writing, lots: Sequence[str]) -> set[str]:
    """Find the lots with which more was done than to receive them and to read their labels."""
    asked = {"of_store": reading.store, "lots": list(lots)}
    return set(reading.connection.scalars(_DONE_WITH, asked)) if lots else set()


_DONE_WITH: Final = select(ENTRY.c.lot).where(
    ENTRY.c.store == bindparam("of_store"),
    ENTRY.c.lot.in_(bindparam("lots", expanding=True)),
    ENTRY.c.kind.not_in([EntryKind.RECEIVED, EntryKind.LABEL_READ, EntryKind.LABEL_SAME]),
)


def take_back(writing: Writing, lot: LotId) -> Held:
    """Take back a box, all of it, that this credential logged within the last day.

    It is an entry like any other: the ledger keeps both. Raises NotThere where the credential
    did not log it, StockRefused where the lot was changed since, or a day has gone by.
    """
    found = find(writing, lot)
    entries = select(ENTRY.c.kind, ENTRY.c.at).where(
        ENTRY.c.store == writing.store,
        ENTRY.c.lot == lot,
        ENTRY.c.kind == EntryKind.RECEIVED,
        ENTRY.c.credential == writing.by.id,
    )
    received = writing.connection.execute(entries).first()
    if received is None:
        raise NotThere("that box was not logged here")
    if _changed(writing, [found.id]):
        raise StockRefused("that box was moved, counted or changed since: ask a coordinator")
    if received.at < kept_instant(writing.at - CAN_BE_TAKEN_BACK_FOR):
        raise StockRefused("that box was logged more than a day ago: ask a coordinator")
    return change(writing, found, kind=EntryKind.CORRECTED, units=-found.units, why=TAKEN_BACK)
