"""Run one write or one read of a store in one transaction.

A write first updates its store's row, which raises the version by one and orders the writers of
one store; the rest of the write happens behind that lock. It begins, runs and commits within one
call, before its caller answers anyone. An error rolls everything back.

On PostgreSQL each transaction names its store, and row-level security shows it no other's rows.
"""

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from typing import Final, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, Engine, bindparam, text, update
from sqlalchemy.exc import DataError, IntegrityError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from daysworth.db import engine as engines
from daysworth.db.kept_values import settings_from
from daysworth.db.tables import STORE
from daysworth.domain.entries import Credential
from daysworth.domain.errors import InputRefused, NotThere, StockRefused, StoreBusy
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One read of one store, within its transaction."""

    connection: Connection
    store: StoreId


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """One write to one store, within its transaction: who writes, when, and to which version.

    `lines` numbers the entries of this write.
    """

    connection: Connection
    store: StoreId
    version: int
    by: Credential
    at: datetime
    settings: StoreSettings
    lines: Iterator[int] = field(default_factory=count)

    @property
    def instant(self) -> str:
        """Give the instant of the write as it is kept."""
        return kept_instant(self.at)

    @property
    def today(self) -> date:
        """Give the date in the store's own time zone at the instant of the write."""
        return day_there(self.settings, at=self.at)


def day_there(settings: StoreSettings, *, at: datetime) -> date:
    """Give the date in the store's own time zone at an instant."""
    return at.astimezone(ZoneInfo(settings.timezone)).date()


def end_of_day(settings: StoreSettings, *, day: date) -> datetime:
    """Give the instant, in UTC, at which a day is over where the store is."""
    next_day = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(settings.timezone))
    return next_day.astimezone(UTC)


def last_day(settings: StoreSettings, *, ends_at: datetime) -> date:
    """Give the last day, where the store is, before an instant."""
    return day_there(settings, at=ends_at - timedelta(microseconds=1))


def kept_instant(at: datetime) -> str:
    """Write an aware instant as ISO 8601 in UTC, to the microsecond, so that text order is time."""
    return at.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def new_id(prefix: str) -> str:
    """Make an id that a person can read out: a letter, a dash and ten signs (50 random bits)."""
    return f"{prefix}-" + "".join(secrets.choice(_SIGNS) for _ in range(10))


_SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ01"
"""Thirty-two signs, without I, L, O and U, which are read as others."""


_RAISE_VERSION: Final = (
    update(STORE)
    .where(STORE.c.id == bindparam("of_store"))
    .values(version=STORE.c.version + 1)
    .returning(STORE.c.version, STORE.c.settings)
)
# Statements on the way of every write are built once: building one costs more than running it.


def write(
    engine: Engine,
    work: Callable[[Writing], Result],
    *,
    store: StoreId,
    by: Credential,
    at: datetime,
) -> Result:
    """Run `work` in one transaction that raises the store's version by one.

    Raises NotThere without such a store, StoreBusy where the database does not come free,
    StockRefused where a rule of the database was about to be broken, and what `work` raises.
    """
    with troubles(), engines.writing(engine) as connection, connection.begin():
        _name_store(connection, store)
        raised = connection.execute(_RAISE_VERSION, {"of_store": store}).first()
        if raised is None:
            raise NotThere(f"there is no store {store!r} here")
        writing = Writing(
            connection=connection,
            store=store,
            version=raised.version,
            by=by,
            at=at,
            settings=settings_from(raised.settings),
        )
        return work(writing)


def write_beside(engine: Engine, work: Callable[[Connection], Result], *, store: StoreId) -> Result:
    """Run `work` in a short transaction of its own that raises no version.

    For what is in no snapshot: credentials, the log of readings.
    """
    with troubles(), engines.writing(engine) as connection, connection.begin():
        _name_store(connection, store)
        return work(connection)


def read(engine: Engine, work: Callable[[Reading], Result], *, store: StoreId) -> Result:
    """Run `work` in one read transaction, which sees one version throughout."""
    with troubles(), engines.reading(engine) as connection, connection.begin():
        _name_store(connection, store)
        return work(Reading(connection=connection, store=store))


def _name_store(connection: Connection, store: StoreId) -> None:
    name_for_security(connection, "daysworth.store", value=store)


def name_for_security(connection: Connection, setting: str, *, value: str) -> None:
    """Tell PostgreSQL's row-level security, for this transaction, whose rows may be seen."""
    if connection.dialect.name == "postgresql":
        connection.execute(_SET, {"setting": setting, "value": value})


_SET: Final = text("SELECT set_config(:setting, :value, true)")


@contextmanager
def troubles() -> Iterator[None]:
    """Turn what a database cannot do now, or will not do, into words for whoever asked."""
    try:
        yield
    except (OperationalError, PoolTimeout) as trouble:
        raise StoreBusy("the store is busy; nothing was changed, please try again") from trouble
    except DataError as unfit:
        raise InputRefused("something in this can not be kept; nothing was changed") from unfit
    except IntegrityError as broken:
        raise StockRefused(
            "a rule of the store does not allow this; nothing was changed"
        ) from broken
