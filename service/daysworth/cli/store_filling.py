"""Make a store and fill it from a snapshot, through the same code that serves."""

from contextlib import suppress
from datetime import datetime
from functools import partial

from sqlalchemy import Connection, Engine

from daysworth.cli.opened import now, operator
from daysworth.db import transactions
from daysworth.db.snapshots import fill_store
from daysworth.db.stores import begin_store
from daysworth.domain.errors import StoreOccupied
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot


def make_store(
    engine: Engine,
    store: StoreId,
    *,
    name: str,
    settings: StoreSettings,
    at: datetime | None = None,
) -> None:
    """Make a store that holds nothing. Raises StoreOccupied where there is one of that id."""

    def begin(connection: Connection) -> None:
        begin_store(connection, store, name=name, settings=settings, at=at or now())

    transactions.write_beside(engine, begin, store=store)


def fill_new_store(
    engine: Engine, snapshot: Snapshot, *, store: StoreId, at: datetime | None = None
) -> None:
    """Fill a store from a snapshot, now or at an instant; make it first where it is not there.

    Raises StoreOccupied where it holds something already.
    """
    # Where it is there already, whether it holds anything is seen when it is filled.
    with suppress(StoreOccupied):
        make_store(engine, store, name=snapshot.store_name, settings=snapshot.settings, at=at)
    transactions.write(
        engine,
        partial(_fill, snapshot=snapshot),
        store=store,
        by=operator(store),
        at=at or now(),
    )


def _fill(writing: transactions.Writing, *, snapshot: Snapshot) -> None:
    fill_store(writing, snapshot)
