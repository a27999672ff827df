"""Measure speed: `python -m tests.bench startup`, or `coverage`, `kits`, `ledger`, and so on."""

import sys
from collections.abc import Callable

from tests.bench import coverage, kits, ledger, startup, suitability, surplus

BENCHES: dict[str, Callable[[], None]] = {
    "startup": startup.measure,
    "coverage": coverage.measure,
    "kits": kits.measure,
    "ledger": ledger.measure,
    "suitability": suitability.measure,
    "surplus": surplus.measure,
}


def main() -> int:
    """Run the bench that is named; exit code 2 where none is."""
    named = sys.argv[1:]
    if len(named) != 1 or named[0] not in BENCHES:
        print(f"usage: python -m tests.bench {{{'|'.join(BENCHES)}}}", file=sys.stderr)
        return 2
    BENCHES[named[0]]()
    return 0


sys.exit(main())
