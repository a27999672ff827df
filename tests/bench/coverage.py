"""Measure the coverage question on a large synthetic store, beside one of the usual size.

The whole command is timed (start, read, plan, print), and apart from it, in this process, the
generating, the reading and the answering. A store that takes long is run once.
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
LONG_S: Final = 10
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
    """Print a table of seconds for slack and for tight dates, the command's as a median."""
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
    """Generate a store, read it and answer it, and time the command on it."""
    began = perf_counter()
    text = write_snapshot(synthetic_store(size))
    generated = perf_counter()
    snapshot = read_snapshot(text)
    read = perf_counter()
    to_json(answer_coverage(snapshot, snapshot.taken_on, scenario=Scenario()))
    answer_s = perf_counter() - read
    return Taken(
        file_mb=len(text) / 1e6,
        generate_s=generated - began,
        read_s=read - generated,
        answer_s=answer_s,
        command_s=command_s(text, runs=1 if answer_s > LONG_S else RUNS),
    )


def command_s(text: bytes, *, runs: int) -> float:
    """Give the median seconds of the whole command on a snapshot file."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "store.json")
        file.write_bytes(text)
        return median(seconds([SCRIPT, "plan", "coverage", str(file), "--json"], runs=runs))
