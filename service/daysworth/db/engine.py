"""Open a database, SQLite or PostgreSQL, so that transactions mean the same on both.

SQLite: WAL, full sync, foreign keys on; the driver's own BEGIN is switched off, and every
transaction begins as what it is, a write IMMEDIATE (it waits its turn at the start, never in the
middle) and a read DEFERRED. PostgreSQL: a read is REPEATABLE READ READ ONLY.
"""

import sqlite3
from typing import Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import ConnectionPoolEntry

from daysworth.domain.errors import InputRefused

WAIT_S: Final = 30
"""How long a write waits for its turn before it gives up, in seconds."""

CONNECTIONS: Final = 16
"""How many connections one process keeps open at most: more than it has threads for."""

_IS_WRITE: Final = "daysworth_write"
_IS_READ: Final = "daysworth_read"


def open_engine(url: str) -> Engine:
    """Open the database at an SQLAlchemy URL. Nothing is connected before it is used.

    Raises InputRefused for a URL of another kind of database, or of none.
    """
    address = _address(url)
    if address.get_backend_name() == "sqlite":
        engine = create_engine(
            address,
            # Statements may be logged; what people told us may not.
            hide_parameters=True,
            pool_size=CONNECTIONS,
            pool_timeout=WAIT_S,
            connect_args={"timeout": WAIT_S, "check_same_thread": False},
        )
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    return create_engine(
        address,
        hide_parameters=True,
        pool_size=CONNECTIONS,
        max_overflow=0,
        pool_timeout=WAIT_S,
        connect_args={"options": f"-c lock_timeout={WAIT_S * 1000} -c timezone=UTC"},
    )


def _address(url: str) -> URL:
    try:
        address = make_url(url)
    except (ArgumentError, ValueError) as fault:
        raise InputRefused(
            "a database is named by a URL such as sqlite:///daysworth.db"
            " or postgresql://user@host/name"
        ) from fault
    name = address.get_backend_name()
    if name == "postgresql":
        return address.set(drivername="postgresql+psycopg")
    if name != "sqlite":
        raise InputRefused(f"a store is kept in SQLite or PostgreSQL, not in {name!r}")
    if address.database in (None, "", ":memory:"):
        raise InputRefused("name a file for the SQLite database, such as sqlite:///daysworth.db")
    return address


def is_sqlite(engine: Engine) -> bool:
    """Tell whether this is the embedded default."""
    return engine.dialect.name == "sqlite"


def writing(engine: Engine) -> Connection:
    """Give a connection whose transaction is a write."""
    return engine.connect().execution_options(**{_IS_WRITE: True})


def reading(engine: Engine) -> Connection:
    """Give a connection whose transaction reads one state of the database throughout."""
    if is_sqlite(engine):
        return engine.connect().execution_options(**{_IS_READ: True})
    return engine.connect().execution_options(
        isolation_level="REPEATABLE READ", postgresql_readonly=True
    )


def _prepare_sqlite(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
    assert isinstance(connection, sqlite3.Connection)
    # From here on the driver begins nothing by itself.
    connection.isolation_level = None
    for pragma in (
        "journal_mode = WAL",
        "synchronous = FULL",
        "foreign_keys = ON",
        f"busy_timeout = {WAIT_S * 1000}",
    ):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    options = connection.get_execution_options()
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get(_IS_WRITE) else "BEGIN DEFERRED")
