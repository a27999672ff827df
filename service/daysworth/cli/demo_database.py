"""Keep the invented neighbourhood in a database that is thrown away afterwards."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy import Engine

from daysworth.cli.opened import opened
from daysworth.cli.store_filling import fill_new_store
from daysworth.domain.snapshot import Snapshot


@contextmanager
def thrown_away(neighbourhood: Snapshot, *, at: datetime) -> Iterator[Engine]:
    """Fill a new store from the neighbourhood at an instant, and give its database for a while."""
    with TemporaryDirectory(prefix="daysworth-demo-") as folder:
        engine = opened(f"sqlite:///{Path(folder) / 'demo.db'}")
        try:
            fill_new_store(engine, neighbourhood, store=neighbourhood.store, at=at)
            yield engine
        finally:
            engine.dispose()
