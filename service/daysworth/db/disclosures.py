"""Log every reading of health facts: who read whose, and when."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.tables import DISCLOSURE
from daysworth.db.transactions import Reading, kept_instant, new_id
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import HouseholdId


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """One reading of health facts; `household` None: of the whole store's."""

    id: str
    at: str
    by: str
    what: str
    household: str | None


def log_disclosure(
    connection: Connection,
    by: Credential,
    *,
    what: str,
    household: HouseholdId | None,
    at: datetime,
) -> None:
    """Log one reading, before what was asked for is given."""
    instant = kept_instant(at)
    connection.execute(
        insert(DISCLOSURE).values(
            store=by.store,
            # Ordered by time, so that a list can be read on from any of them.
            id=f"{instant}-{new_id('D')}",
            at=instant,
            credential=by.id,
            by=by.signs_as,
            what=what,
            household=household,
        )
    )


def list_disclosures(reading: Reading, *, after: str, limit: int) -> Page[Disclosure]:
    """List readings of health facts in the order they were made, those after a given one."""
    chosen = select(DISCLOSURE).where(DISCLOSURE.c.store == reading.store, DISCLOSURE.c.id > after)
    rows = reading.connection.execute(chosen.order_by(DISCLOSURE.c.id).limit(limit + 1)).all()
    found = [
        Disclosure(id=row.id, at=row.at, by=row.by, what=row.what, household=row.household)
        for row in rows
    ]
    return page_of(found, keys=[one.id for one in found], limit=limit)
