"""Measure how long the command takes to say how it is used, beside Python doing nothing."""

import sys
from statistics import median
from typing import Final

from tests.bench.timing import SCRIPT, seconds

RUNS: Final = 10
COMMANDS: Final = {
    "daysworth --help": [SCRIPT, "--help"],
    "daysworth plan coverage --help": [SCRIPT, "plan", "coverage", "--help"],
    "python -c pass": [sys.executable, "-c", "pass"],
}


def measure() -> None:
    """Print the median, the least and the most milliseconds of ten runs of each command."""
    print(f"{'command':<32}{'median ms':>10}{'least':>8}{'most':>8}")
    for name, command in COMMANDS.items():
        seconds(command, runs=1)  # The first run fills the disk's and the bytecode's caches.
        taken_ms = [1_000 * one for one in seconds(command, runs=RUNS)]
        print(f"{name:<32}{median(taken_ms):>10.0f}{min(taken_ms):>8.0f}{max(taken_ms):>8.0f}")
