"""Keep weekly notices as they were when first posted, and which channel each was posted to.

A posting is begun under a claim, then reported done or undone. A claim that nobody reported on
lapses, so that a machine that died in the middle keeps nobody from posting.
"""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from sqlalchemy import ColumnElement, Connection, Row, Table, and_, delete, select, update
from sqlalchemy.dialects import postgresql, sqlite

from daysworth.db.people_kept import Kept
from daysworth.db.tables import NOTICE, POSTING
from daysworth.db.transactions import Reading, Writing, kept_instant, new_id
from daysworth.domain.errors import NotAsItWas, NotThere
from daysworth.domain.identifiers import HouseholdId, StoreId
from daysworth.domain.iso_weeks import Week

CLAIM_LASTS: Final = timedelta(minutes=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptNotice:
    """One week's notice as it was made; `body` is its JSON."""

    week: str
    version: int
    made_at: str
    body: str


class PostingState(StrEnum):
    """How far the posting of one notice to one channel is."""

    BEGUN = "begun"
    UNDER_WAY = "under_way"
    POSTED = "posted"
    UNDONE = "undone"


@dataclass(frozen=True, slots=True, kw_only=True)
class Posting:
    """Where a posting stands. `claim` is given to whoever just began it, and to nobody else."""

    state: PostingState
    claim: str | None = None
    posted_at: str | None = None


def read_notice(reading: Reading, week: Week) -> KeptNotice | None:
    """Read the notice of a week, if it was kept."""
    chosen = select(NOTICE).where(NOTICE.c.store == reading.store, NOTICE.c.week == str(week))
    row = reading.connection.execute(chosen).first()
    return None if row is None else _notice(row)


def last_notice_before(reading: Reading, week: Week) -> KeptNotice | None:
    """Read the newest notice of an earlier week, if one was kept."""
    chosen = select(NOTICE).where(NOTICE.c.store == reading.store, NOTICE.c.week < str(week))
    row = reading.connection.execute(chosen.order_by(NOTICE.c.week.desc()).limit(1)).first()
    return None if row is None else _notice(row)


def keep_notice(
    connection: Connection, store: StoreId, *, week: Week, version: int, body: str, at: datetime
) -> None:
    """Keep a week's notice, unless one was kept before: the first stands."""
    _insert_if_absent(
        connection,
        table=NOTICE,
        values={
            "store": store,
            "week": str(week),
            "version": version,
            "made_at": kept_instant(at),
            "body": body,
        },
    )


def begin_posting(
    connection: Connection, store: StoreId, *, week: Week, channel: str, label: str, at: datetime
) -> Posting:
    """Begin to post a week's notice to a channel, unless it is posted or another is at it."""
    claim = new_id("N")
    began = {"claim": claim, "begun_at": kept_instant(at)}
    of_it = _posting_of(store, week, channel=channel)
    row = {"store": store, "week": str(week), "channel": channel, "label": label}
    if _insert_if_absent(connection, table=POSTING, values={**row, **began, "posted_at": None}):
        return Posting(state=PostingState.BEGUN, claim=claim)
    found = connection.execute(select(POSTING).where(of_it)).one()
    if found.posted_at is not None:
        return Posting(state=PostingState.POSTED, posted_at=found.posted_at)
    lapsed = POSTING.c.begun_at <= kept_instant(at - CLAIM_LASTS)
    taken = update(POSTING).where(of_it, POSTING.c.claim == found.claim, lapsed).values(**began)
    if connection.execute(taken).rowcount == 1:
        return Posting(state=PostingState.BEGUN, claim=claim)
    return Posting(state=PostingState.UNDER_WAY)


def end_posting(
    connection: Connection,
    store: StoreId,
    *,
    week: Week,
    channel: str,
    claim: str,
    is_posted: bool,
    at: datetime,
) -> Posting:
    """Report a posting done or undone; undone, it can be begun again.

    Raises NotThere where none was begun, NotAsItWas where the claim has lapsed and another took it.
    """
    of_it = _posting_of(store, week, channel=channel)
    mine = and_(of_it, POSTING.c.claim == claim)
    if is_posted:
        posted = {"claim": None, "posted_at": kept_instant(at)}
        done = connection.execute(update(POSTING).where(mine).values(**posted))
    else:
        done = connection.execute(delete(POSTING).where(mine))
    if done.rowcount == 1 and not is_posted:
        return Posting(state=PostingState.UNDONE)
    found = connection.execute(select(POSTING).where(of_it)).first()
    if found is None:
        raise NotThere("no posting of this notice to this channel was begun")
    if done.rowcount == 0:
        raise NotAsItWas("this posting is not yours, or not yours any more")
    return Posting(state=PostingState.POSTED, posted_at=found.posted_at)


def forget_household(writing: Writing, household: HouseholdId) -> None:
    """Take a household out of every notice that was kept."""
    chosen = select(NOTICE).where(NOTICE.c.store == writing.store)
    for row in writing.connection.execute(chosen).all():
        body = json.loads(row.body)
        kept = [one for one in body["below_floor"] if one["household"] != household]
        if len(kept) < len(body["below_floor"]):
            body["below_floor"] = kept
            writing.connection.execute(
                update(NOTICE)
                .where(NOTICE.c.store == writing.store, NOTICE.c.week == row.week)
                .values(body=json.dumps(body, ensure_ascii=False, indent=2))
            )


def _insert_if_absent(connection: Connection, *, table: Table, values: dict[str, Kept]) -> bool:
    dialect = postgresql if connection.dialect.name == "postgresql" else sqlite
    statement = dialect.insert(table).values(values).on_conflict_do_nothing()
    return connection.execute(statement.returning(table.c.store)).first() is not None


def _posting_of(store: StoreId, week: Week, *, channel: str) -> ColumnElement[bool]:
    return and_(POSTING.c.store == store, POSTING.c.week == str(week), POSTING.c.channel == channel)


def _notice(row: Row[tuple[Kept, ...]]) -> KeptNotice:
    return KeptNotice(week=row.week, version=row.version, made_at=row.made_at, body=row.body)
