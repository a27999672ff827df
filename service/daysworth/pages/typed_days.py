"""Read the days and times that a browser's own fields send."""

import re
from datetime import date, time
from typing import Final

FIRST_YEAR: Final = 2010
LAST_YEAR: Final = 2090

_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")
_TIME: Final = re.compile("([0-9]{1,2}):([0-9]{2})(:00)?")


def read_day(text: str) -> date | None:
    """Read a day as a field for days sends it; None: it is none, or of another century."""
    if _DAY.fullmatch(text) is None:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else None


def read_time(text: str) -> time | None:
    """Read a time of day as a field for times sends it; None: it is none."""
    found = _TIME.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        return None
    return time(int(found[1]), int(found[2]))
