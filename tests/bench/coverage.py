"""Measure the coverage question beside the least that could do its work, in one run.

For stores from 1,000 to 100,000 lots, each in SQLite and in a process of its own: the load beside
the one SELECT of its rows; the days of all (answers 1 to 3), all eight answers, the most memory,
and the straightforward program where it finishes. Then how the time grows, and the served answer.
The targets stand beside the figures.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date
from functools import partial
from math import log
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from statistics import fmean, median
from time import perf_counter
from typing import Final

import httpx
from sqlalchemy import select

from daysworth.cli.memory import collect_rarely
from daysworth.db.engine import open_engine
from daysworth.db.snapshots import load_snapshot
from daysworth.db.tables import LOT
from daysworth.db.transactions import Reading
from daysworth.demo.synthetic import DEFAULT_TAKEN_ON, Dates, StoreSize, synthetic_store
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import PlaceId, StoreId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope
from tests.databases import SQLITE, migrated
from tests.grounds import NOON, begin_ground, box, look, put_up, someone, token_for
from tests.servers import Server, serving, url_of

RUNS: Final = 5
SEED: Final = 1
HOUSEHOLDS: Final = 500
LIMIT_S: Final = 120
GROWS_FROM: Final = 5_000
AS_OF: Final = DEFAULT_TAKEN_ON
_ROOT: Final = Path(__file__).parents[2]


@dataclass(frozen=True)
class Row:
    """One store that is measured, and the seconds that planning its days should take at most."""

    lots: int
    dates: Dates
    own_share: float = 0.0
    target_s: float | None = None
    is_served: bool = False

    @property
    def stock(self) -> StockScope:
        """Say whose stock is asked for: all of it, where households keep some."""
        return StockScope.ALL if self.own_share else StockScope.SHARED

    @property
    def size(self) -> StoreSize:
        """Give the size of the synthetic store."""
        return StoreSize(
            households=HOUSEHOLDS,
            lots=self.lots,
            seed=SEED,
            dates=self.dates,
            own_share=self.own_share,
        )


ROWS: Final = (
    Row(1_000, Dates.SLACK),
    Row(1_000, Dates.TIGHT),
    Row(5_000, Dates.SLACK),
    Row(5_000, Dates.TIGHT),
    Row(20_000, Dates.SLACK, target_s=0.3, is_served=True),
    Row(20_000, Dates.TIGHT, target_s=3.0, is_served=True),
    Row(20_000, Dates.SLACK, own_share=0.1),
    Row(20_000, Dates.TIGHT, own_share=0.1),
    Row(100_000, Dates.SLACK, target_s=1.5),
    Row(100_000, Dates.TIGHT, target_s=10.0),
)


@dataclass(frozen=True)
class Planned:
    """Seconds, each a median of several runs but for the first, which found no label read."""

    first_s: float
    select_s: float
    load_s: float
    days_s: float
    all_s: float
    peak_mb: float
    everyone_fed_days: float


@dataclass(frozen=True)
class Straight:
    """Seconds of the straightforward program, what it found, and how large it was."""

    taken_s: float
    everyone_fed_days: float
    columns: int
    rows: int


@dataclass(frozen=True)
class Served:
    """Seconds over HTTP: the first answer of a server, a cold one, and one asked for again."""

    first_s: float
    cold_s: float
    again_s: float
    unchanged_s: float


def measure() -> None:
    """Print a block for each store, then how planning grows with the lots."""
    print(
        f"{HOUSEHOLDS} households; seconds, medians of {RUNS} runs; each store in its own process"
    )
    days: dict[Row, float] = {}
    too_long: set[Dates] = set()
    for row in ROWS:
        days[row] = _measured(row, too_long=too_long)
    slack = {
        row.lots: days_s
        for row, days_s in days.items()
        if row.dates is Dates.SLACK and not row.own_share and row.lots >= GROWS_FROM
    }
    print(f"\ngrowth from {GROWS_FROM:,} to {max(slack):,} lots with slack dates, days: ", end="")
    print(f"lots to the power of {growth(slack):.2f} (target at most 1.0)")


def growth(seconds: dict[int, float]) -> float:
    """Give the exponent of growth: the slope of the logarithms, by least squares."""
    sizes, times = [log(lots) for lots in seconds], [log(taken) for taken in seconds.values()]
    middle, height = fmean(sizes), fmean(times)
    rise = sum((x - middle) * (y - height) for x, y in zip(sizes, times, strict=True))
    return rise / sum((x - middle) ** 2 for x in sizes)


def _measured(row: Row, *, too_long: set[Dates]) -> float:
    """Put a store into a database, print what is measured of it, and give the seconds for days.

    The straightforward program is not tried where it did not finish for a smaller store with such
    dates; `too_long` remembers.
    """
    own = f", {row.own_share:.0%} kept by households" if row.own_share else ""
    print(f"\n{row.lots:,} lots, {row.dates} dates{own}", flush=True)
    engine = migrated(SQLITE)
    snapshot = synthetic_store(row.size)
    begin_ground(engine, snapshot)
    token = token_for(engine, Role.COORDINATOR, store=snapshot.store)
    bump = partial(put_up, engine, box(1, place=PlaceId("P001")), by=someone(store=snapshot.store))
    bump()  # The store is changed before each cold question: it is the same store that is planned.
    where = (url_of(engine), snapshot.store, AS_OF.isoformat(), row.stock.value)
    planned = Planned(*json.loads(_asked("tests.bench.coverage", *where)))
    _print_planned(row, planned)
    if row.dates in too_long:
        print("  straightforward program: not tried, it did not finish for a smaller store")
    else:
        straight = _straight(*where)
        _print_straight(planned, straight)
        if straight is None:
            too_long.add(row.dates)
    if row.is_served:
        with serving(engine, token=token) as server:
            _print_served(planned, _served(server, snapshot.store, change=bump))
    engine.dispose()
    return planned.days_s


def _asked(module: str, *arguments: str, limit_s: float | None = None) -> str:
    command = [sys.executable, "-m", module, *arguments]
    ran = subprocess.run(
        command, stdout=subprocess.PIPE, check=True, text=True, timeout=limit_s, cwd=_ROOT
    )
    return ran.stdout


def _straight(*where: str) -> Straight | None:
    try:
        said = _asked("tests.bench.straightforward", *where, limit_s=LIMIT_S)
    except subprocess.TimeoutExpired:
        return None
    return Straight(*json.loads(said))


def _served(server: Server, store: StoreId, *, change: Callable[[], object]) -> Served:
    """Ask as a coordinator; before each cold question the store is changed."""
    path = f"/v1/stores/{store}/coverage"
    asked = {"as_of": AS_OF.isoformat()}
    with httpx.Client(base_url=server.address, headers=server.headers, timeout=600) as client:

        def seconds(**headers: str) -> float:
            began = perf_counter()
            answer = client.get(path, params=asked, headers=headers)
            taken_s = perf_counter() - began
            assert answer.status_code == (304 if headers else 200), answer.text
            return taken_s

        first_s = seconds()
        cold = []
        for _ in range(RUNS):
            change()
            cold.append(seconds())
        again = [seconds() for _ in range(RUNS * 4)]
        tag = client.get(path, params=asked).headers["ETag"]
        unchanged = [seconds(**{"If-None-Match": tag}) for _ in range(RUNS * 4)]
    return Served(first_s, median(cold), median(again), median(unchanged))


def _print_planned(row: Row, planned: Planned) -> None:
    ratio = planned.load_s / planned.select_s
    target = f" (target {row.target_s:g})" if row.target_s else ""
    print(f"  load {planned.load_s:.3f}, the SELECT of its rows {planned.select_s:.3f}", end="")
    print(f", {ratio:.1f} times; the most memory {planned.peak_mb:.0f} MB")
    print(f"  days (answers 1 to 3) {planned.days_s:.3f}{target}", end="")
    print(f"; the first, labels unread yet, {planned.first_s:.3f}")
    times = planned.all_s / planned.days_s
    print(f"  all eight {planned.all_s:.3f}, {times:.1f} times the days (target 4)", flush=True)


def _print_straight(planned: Planned, straight: Straight | None) -> None:
    if straight is None:
        print(f"  straightforward: did not finish in {LIMIT_S} s, {_at_least(planned)}", flush=True)
        return
    apart = abs(straight.everyone_fed_days - planned.everyone_fed_days)
    same = "the same days" if apart <= 1e-6 * max(1.0, planned.everyone_fed_days) else "OTHER DAYS"
    times = straight.taken_s / planned.days_s
    print(
        f"  straightforward {straight.taken_s:.2f}, {times:.0f} times (target 20), {same}", end=""
    )
    print(f"; {straight.columns:,} columns, {straight.rows:,} rows", flush=True)


def _at_least(planned: Planned) -> str:
    return f"more than {LIMIT_S / planned.days_s:.0f} times (target 20)"


def _print_served(planned: Planned, served: Served) -> None:
    own_s = planned.load_s + planned.all_s
    print(f"  served cold {served.cold_s:.3f}, {served.cold_s / own_s:.2f} times load", end="")
    print(f" and planning (target 1.5); the server's first {served.first_s:.3f}")
    print(f"  asked again {1000 * served.again_s:.1f} ms, with If-None-Match", end="")
    print(f" {1000 * served.unchanged_s:.1f} ms (target 5)", flush=True)


def loaded(url: str, store: StoreId) -> Snapshot:
    """Load a store from a database."""
    engine = open_engine(url)
    snapshot = look(engine, partial(load_snapshot, at=NOON), store=store)
    engine.dispose()
    return snapshot


def plan(url: str, store: StoreId, *, as_of: date, stock: StockScope) -> Planned:
    """Load and plan a store several times; the first plan in this process reads the labels."""
    from daysworth.planners.coverage import plan_coverage, plan_days

    engine = open_engine(url)
    scenario = Scenario(stock=stock)

    def rows(reading: Reading) -> int:
        chosen = select(LOT).where(LOT.c.store == store)
        return len(reading.connection.execute(chosen).all())

    def timed(work: Callable[[], object]) -> float:
        began = perf_counter()
        work()
        return perf_counter() - began

    snapshot = look(engine, partial(load_snapshot, at=NOON), store=store)
    first_s = timed(lambda: plan_days(snapshot, as_of, scenario=scenario))
    select_s, load_s, days_s, all_s = (
        median(timed(work) for _ in range(RUNS))
        for work in (
            lambda: look(engine, rows, store=store),
            lambda: look(engine, partial(load_snapshot, at=NOON), store=store),
            lambda: plan_days(snapshot, as_of, scenario=scenario),
            lambda: plan_coverage(snapshot, as_of, scenario=scenario),
        )
    )
    found = plan_coverage(snapshot, as_of, scenario=scenario)
    peak_mb = getrusage(RUSAGE_SELF).ru_maxrss * _maxrss_bytes() / 1e6
    engine.dispose()
    return Planned(
        first_s, select_s, load_s, days_s, all_s, peak_mb, found.everyone_fed_days or 0.0
    )


def _maxrss_bytes() -> int:
    """Give the unit of the most memory: bytes on macOS, else kibibytes."""
    return 1 if sys.platform == "darwin" else 1024


def main() -> None:
    """Plan the store that is named, and print the seconds as JSON."""
    url, store, as_of, stock = sys.argv[1:]
    collect_rarely()  # As every command of the project does, the server too.
    found = plan(url, StoreId(store), as_of=date.fromisoformat(as_of), stock=StockScope(stock))
    print(json.dumps(list(asdict(found).values())))


if __name__ == "__main__":
    main()
