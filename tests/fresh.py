"""Give a test the small store as it was just put up, in a database that other tests had before it.

To make a database, to fill it and to work out its statements anew took longer than most tests do.
So a database is filled once, and what was written into it is taken back before the next test has
it: an SQLite file is copied over, and PostgreSQL's tables are emptied and filled by the rows that
were put aside. Whoever is still connected is shut out first. A database whose tables a test
changed, as migrations do, is given to no other test.
"""

import atexit
import os
import shutil
import tempfile
import time
from abc import abstractmethod
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final, Protocol

import psycopg
from sqlalchemy import Engine

from daysworth.db.engine import open_engine
from daysworth.domain.settings import StoreSettings
from tests.databases import POSTGRESQL, SQLITE, administrators_url, migrated
from tests.grounds import begin_ground, small_store

_TABLES: Final = """
    SELECT relname FROM pg_class
    WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> 'alembic_version'
"""

_SHAPE: Final = """
    SELECT md5(string_agg(row::text, ' ' ORDER BY row::text)) FROM (
        SELECT (oid, xmin)::text AS row FROM pg_class WHERE relnamespace = 'public'::regnamespace
        UNION ALL SELECT (oid, xmin)::text FROM pg_constraint
        UNION ALL SELECT (oid, xmin)::text FROM pg_trigger
        UNION ALL SELECT (oid, xmin)::text FROM pg_policy
        UNION ALL SELECT (oid, xmin)::text FROM pg_proc
            WHERE pronamespace = 'public'::regnamespace
    ) AS every
"""
"""Every statement that changes a table, or what holds of it, writes one of these rows anew."""

_SHUT_OUT: Final = """
    SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity
    WHERE datname = current_database() AND pid <> pg_backend_pid()
"""


_MEMORY: Final = "/dev/shm"
"""Where a file is in memory, on Linux: a test need not wait until the disk has what it writes."""

_LOOKS: Final = 10_000
_LOOK_S: Final = 0.002


class _Kept(Protocol):
    """A database with the small store in it, and the one engine that is opened on it."""

    engine: Engine

    @abstractmethod
    def is_put_back(self) -> bool:
        """Take back what was written since it was filled; False where that cannot be done."""

    @abstractmethod
    def let_go(self) -> None:
        """Take away what is not taken away with the rest of the databases."""


class _KeptFile:
    """An SQLite file, and a copy of it as it was filled."""

    def __init__(self, locale: str) -> None:
        filled = _filled(SQLITE, locale)
        with filled.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        filled.dispose()
        self._aside = str(filled.url.database)
        memory = _MEMORY if os.access(_MEMORY, os.W_OK) else None
        self._folder = Path(tempfile.mkdtemp(prefix="daysworth-tests-", dir=memory))
        self._file = self._folder / "store.db"
        self.engine = open_engine(f"sqlite:///{self._file}")
        atexit.register(self.let_go)

    def is_put_back(self) -> bool:
        """Put the copy in the file's place; who still has the old one open has that one alone."""
        for file in self._folder.iterdir():
            file.unlink()
        shutil.copyfile(self._aside, self._file)
        return True

    def let_go(self) -> None:
        """Take the file away."""
        shutil.rmtree(self._folder, ignore_errors=True)


class _KeptServer:
    """A PostgreSQL database, and its rows as it was filled, put aside where no test sees them."""

    def __init__(self, locale: str) -> None:
        self.engine = _filled(POSTGRESQL, locale)
        database = self.engine.url.database
        assert database is not None
        self._hand = psycopg.connect(administrators_url(database), autocommit=True)
        tables = [name for (name,) in self._hand.execute(_TABLES)]
        filled = [name for name in tables if self._has_rows(name)]
        for name in filled:
            self._hand.execute(f"CREATE TEMPORARY TABLE kept_{name} AS TABLE public.{name}")
        self._put_back = "; ".join(
            [
                "BEGIN",
                # Neither what refuses a change nor what refers to a row is asked.
                "SET LOCAL session_replication_role = replica",
                *(f"DELETE FROM public.{name}" for name in tables),
                *(f"INSERT INTO public.{name} TABLE kept_{name}" for name in filled),
                "COMMIT",
            ]
        )
        self._shape = self._now_shaped()

    def _shut_out(self) -> None:
        """Wait until nobody is connected: what somebody is doing is done, or never will be."""
        for _ in range(_LOOKS):
            if self._hand.execute(_SHUT_OUT).fetchone() == (0,):
                return
            time.sleep(_LOOK_S)
        raise AssertionError("somebody who was shut out of a database is still in it")

    def _has_rows(self, table: str) -> bool:
        found = self._hand.execute(f"SELECT EXISTS (TABLE public.{table})")
        return found.fetchone() == (True,)

    def _now_shaped(self) -> object:
        return self._hand.execute(_SHAPE).fetchone()

    def is_put_back(self) -> bool:
        """Shut out whoever is connected, and put the rows back if the tables are as they were."""
        self._shut_out()
        if self._now_shaped() != self._shape:
            self.let_go()
            return False
        self._hand.execute(self._put_back)
        return True

    def let_go(self) -> None:
        """Close the connection by which the rows are put back, and lose those put aside."""
        self._hand.close()


def _filled(kind: str, locale: str) -> Engine:
    engine = migrated(kind)
    begin_ground(engine, replace(small_store(), settings=StoreSettings(locale=locale)))
    engine.dispose()
    return engine


_at_rest: Final[defaultdict[tuple[str, str], list[_Kept]]] = defaultdict(list)


@contextmanager
def small_store_in(kind: str, *, locale: str = "en-US") -> Iterator[Engine]:
    """Open a database of a kind with the small store in it, as it was put up, until the block ends.

    `locale` (a BCP 47 tag) is the store's.
    """
    kept = _take(kind, locale)
    yield kept.engine
    kept.engine.dispose()
    _at_rest[kind, locale].append(kept)


def _take(kind: str, locale: str) -> _Kept:
    at_rest = _at_rest[kind, locale]
    while at_rest:
        kept = at_rest.pop()
        if kept.is_put_back():
            return kept
    made = _KeptFile(locale) if kind == SQLITE else _KeptServer(locale)
    assert made.is_put_back()
    return made


def let_go() -> None:
    """Take leave of the databases that no test has, before their server is stopped."""
    for at_rest in _at_rest.values():
        for kept in at_rest:
            kept.let_go()
    _at_rest.clear()
