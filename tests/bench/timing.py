"""Time commands by the wall clock, each run in a process of its own."""

import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from time import perf_counter
from typing import Final

SCRIPT: Final = str(Path(sys.executable).with_name("daysworth"))


def seconds(command: Sequence[str], *, runs: int) -> list[float]:
    """Run a command several times and give the seconds of each run. Raises where one fails."""
    return list(_timed(command, runs=runs))


def _timed(command: Sequence[str], *, runs: int) -> Iterator[float]:
    for _ in range(runs):
        began = perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
        yield perf_counter() - began
