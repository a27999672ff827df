"""Measure the coverage question on a large synthetic store, beside one of the usual size.

The whole command is timed (start, read, plan, print), and the reading and the planning apart.
"""

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Final

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.snapshot_file import read_snapshot, write_snapshot
from daysworth.demo.synthetic import Dates, StoreSize, synthetic_store
from daysworth.planners.scenario import Scenario
from tests.bench.timing import SCRIPT, seconds

RUNS: Final = 3
SEED: Final = 1
SIZES: Final = ((24, 400), (500, 20_000))
"""Households and lots."""


@dataclass(frozen=True)
class Taken:
    """Seconds, and the size of the file in megabytes."""

    file_mb: float
    generate_s: float
    read_s: float
    answer_s: float
    command_s: float


def measure() -> None:
    """Print a table of median seconds, of three runs each, for slack and for tight dates."""
    print(f"{'households':>10}{'lots':>8}{'dates':>7}{'MB':>7}", end="")
    print(f"{'generate s':>12}{'read s':>9}{'answer s':>10}{'command s':>11}")
    for size in sizes():
        taken = timed(size)
        print(f"{size.households:>10,}{size.lots:>8,}{size.dates:>7}{taken.file_mb:>7.1f}", end="")
        print(f"{taken.generate_s:>12.2f}{taken.read_s:>9.2f}", end="")
        print(f"{taken.answer_s:>10.2f}{taken.command_s:>11.2f}", flush=True)


def sizes() -> Iterator[StoreSize]:
    """List the stores that are measured, the usual size first."""
    for households, lots in SIZES:
        for dates in Dates:
            yield StoreSize(households=households, lots=lots, seed=SEED, dates=dates)


def timed(size: StoreSize) -> Taken:
    """Generate a store once, then read it and answer it several times."""
    began = perf_counter()
    text = write_snapshot(synthetic_store(size))
    generate_s = perf_counter() - began
    pairs = [read_and_answered(text) for _ in range(RUNS)]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "store.json")
        file.write_bytes(text)
        command_s = seconds([SCRIPT, "plan", "coverage", str(file), "--json"], runs=RUNS)
    return Taken(
        len(text) / 1e6,
        generate_s,
        median(read_s for read_s, _ in pairs),
        median(answer_s for _, answer_s in pairs),
        median(command_s),
    )


def read_and_answered(text: bytes) -> tuple[float, float]:
    """Read a snapshot and answer it; give the seconds of each."""
    began = perf_counter()
    snapshot = read_snapshot(text)
    read = perf_counter()
    to_json(answer_coverage(snapshot, snapshot.taken_on, scenario=Scenario()))
    return read - began, perf_counter() - read
