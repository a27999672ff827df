"""Keep the snapshots asked of last, so that the next question of the same version need not load.

A snapshot never changes, so one that is kept is never stale: it is found by the store's version and
the day it is there.
"""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from threading import Lock
from typing import Final

from sqlalchemy import Engine

from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.identifiers import StoreId
from daysworth.domain.snapshot import Snapshot

MOST_KEPT: Final = 2
"""A large store's snapshot is some tens of megabytes."""


@dataclass(frozen=True, slots=True)
class _Key:
    store: StoreId
    version: int
    on_day: date


class KeptSnapshots:
    """Snapshots of one database, the last few that were asked for."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._kept: OrderedDict[_Key, Snapshot] = OrderedDict()
        self._lock = Lock()

    def current(self, store: StoreId, *, at: datetime) -> tuple[Snapshot, date]:
        """Give a store's current snapshot, and the day it is there. Raises as `load_snapshot`."""

        def look(reading: Reading) -> _Key:
            kept = read_store(reading)
            return _Key(kept.id, kept.version, day_there(kept.settings, at=at))

        key = read(self._engine, look, store=store)
        found = self._found(key)
        if found is None:
            found = read(self._engine, _loader(at), store=store)
            # The store may have changed between the two reads.
            self._keep(_Key(key.store, found.version, key.on_day), found)
        return found, key.on_day

    def _found(self, key: _Key) -> Snapshot | None:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def _keep(self, key: _Key, snapshot: Snapshot) -> None:
        with self._lock:
            self._kept[key] = snapshot
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)


def _loader(at: datetime) -> Callable[[Reading], Snapshot]:
    return lambda reading: load_snapshot(reading, at=at)
