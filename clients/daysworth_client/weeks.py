"""Name the week that is asked about, as ISO 8601 writes weeks."""

import re
from datetime import date
from typing import Final, NewType

Week = NewType("Week", str)
"""A week such as "2026-W48", or "current": the one that today is in where the store is."""

CURRENT: Final = Week("current")
_WRITTEN: Final = re.compile(r"([0-9]{4})-W([0-9]{2})")


def read_week(written: str) -> Week:
    """Read "current", or a week such as "2026-W48". Raises ValueError for anything else."""
    if written == CURRENT:
        return CURRENT
    match = _WRITTEN.fullmatch(written)
    if match is None:
        raise ValueError("a week is current, or its year and number, such as 2026-W48")
    try:
        date.fromisocalendar(int(match[1]), int(match[2]), 1)
    except ValueError:
        raise ValueError(f"there is no week {written}") from None
    return Week(written)
