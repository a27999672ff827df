"""Measure the ledger beside the least that could do its work, in one run.

Intake through the real server at 1, 8 and 64 clients, beside a bare route that inserts one row in
SQLite as durably. The load of a snapshot of 20,000 lots beside the one SELECT of its rows.
"""

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from itertools import count
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Final

from sqlalchemy import Engine, select

from daysworth.db.snapshots import load_snapshot
from daysworth.db.tables import LOT
from daysworth.db.transactions import Reading
from daysworth.demo.synthetic import StoreSize, synthetic_store
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import StoreId
from tests.bench.load import Load, rate
from tests.databases import POSTGRESQL, SQLITE, migrated
from tests.grounds import (
    NOON,
    SALMON,
    SHELF,
    STORE_ID,
    begin_ground,
    look,
    small_store,
    token_for,
)
from tests.servers import serving

CLIENTS: Final = (1, 8, 64)
SECONDS: Final = 4.0
ROUNDS: Final = 3
LOADS: Final = 15
BOX: Final = {
    "food": SALMON,
    "place": SHELF,
    "units": 12,
    "label_kind": "best_by",
    "printed": "2028-09",
}


def measure() -> None:
    """Print requests a second and the ratio, then milliseconds and the ratio."""
    _measure_intake()
    for kind in (SQLITE, POSTGRESQL):
        _measure_load(kind)


def _measure_intake() -> None:
    numbers = count()
    print(f"intake, requests a second (median of {ROUNDS} rounds of {SECONDS:g} s)")
    print(f"{'clients':>8}{'bare route':>12}{'sqlite':>10}{'ratio':>8}{'postgresql':>12}")
    with _bare() as bare, _ours(SQLITE) as sqlite, _ours(POSTGRESQL) as postgresql:
        loads = (bare, sqlite, postgresql)
        for clients in CLIENTS:
            rates: list[list[float]] = [[], [], []]
            for _ in range(ROUNDS):
                for found, load in zip(rates, loads, strict=True):
                    found.append(rate(load, clients=clients, numbers=numbers, seconds=SECONDS))
            plain, ours, theirs = (median(found) for found in rates)
            print(f"{clients:>8}{plain:>12.0f}{ours:>10.0f}{ours / plain:>8.2f}{theirs:>12.0f}")


@contextmanager
def _bare() -> Iterator[Load]:
    with TemporaryDirectory() as folder:
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.bare_route", str(Path(folder) / "bare.db")],
            stdout=subprocess.PIPE,
            text=True,
        )
        assert process.stdout is not None
        port = int(process.stdout.readline().rpartition(":")[2])
        yield Load(port, "/boxes", "", json.dumps(BOX).encode())
        process.terminate()
        process.wait()
        process.stdout.close()


@contextmanager
def _ours(kind: str) -> Iterator[Load]:
    engine = migrated(kind)
    begin_ground(engine, small_store())
    # The server's clock is the real one, so the token must outlast today.
    token = token_for(engine, Role.VOLUNTEER)
    with serving(engine, token=token) as server:
        port = int(server.address.rpartition(":")[2])
        headers = f"Authorization: Bearer {token}\r\n"
        body = json.dumps({"lines": [BOX]}).encode()
        yield Load(port, f"/v1/stores/{STORE_ID}/intake", headers, body)
    engine.dispose()


def _measure_load(kind: str) -> None:
    engine = migrated(kind)
    made = synthetic_store(StoreSize(households=500, lots=20_000, seed=1))
    begin_ground(engine, made)

    def rows(reading: Reading) -> int:
        chosen = select(LOT).where(LOT.c.store == made.store)
        return len(reading.connection.execute(chosen).all())

    load = partial(load_snapshot, at=NOON)
    selects, loads = [], []
    for _ in range(LOADS):
        selects.append(_milliseconds(engine, rows, store=made.store))
        loads.append(_milliseconds(engine, load, store=made.store))
    select_ms, load_ms = median(selects), median(loads)
    print(
        f"snapshot of 20,000 lots and 500 households, {kind}: the SELECT {select_ms:.0f} ms, "
        f"the load {load_ms:.0f} ms, {load_ms / select_ms:.2f} times"
    )
    engine.dispose()


def _milliseconds(engine: Engine, work: Callable[[Reading], object], *, store: StoreId) -> float:
    began = perf_counter()
    look(engine, work, store=store)
    return 1_000 * (perf_counter() - began)
