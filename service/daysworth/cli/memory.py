"""Have Python look for lost cycles of objects less often than it does by itself."""

import gc
from typing import Final

_AFTER: Final = (50_000, 20, 100)
"""New objects before the youngest are looked through, and rounds of that before older ones are."""


def collect_rarely() -> None:
    """Look through new objects rarely, and through all of them hardly ever, in this process.

    A large store is hundreds of thousands of objects in no cycle, and by default they are looked
    through several times in each plan. What is lost in cycles is found among new objects still.
    """
    gc.set_threshold(*_AFTER)
