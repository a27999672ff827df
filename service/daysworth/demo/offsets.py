"""Read offsets of the calendar, so that a table can hold dates that move with the as-of date.

An offset is written "2y3m10d": years, months and days, in that order, each of them optional, with
a minus sign in front for the past. Months go by the calendar and are clipped to the month's end.
"""

import re
from typing import Final

from dateutil.relativedelta import relativedelta

_OFFSET: Final = re.compile(r"(-?)(?:([0-9]{1,3})y)?(?:([0-9]{1,4})m)?(?:([0-9]{1,5})d)?")


def offset(cell: str) -> relativedelta:
    """Read an offset such as "14m", "-12d" or "84y2m11d". Raises ValueError for anything else."""
    match = _OFFSET.fullmatch(cell)
    if match is None or not any(match.groups()[1:]):
        raise ValueError(f"{cell!r} is not an offset such as 2y3m10d")
    sign = -1 if match[1] else 1
    years, months, days = (sign * int(part or 0) for part in match.groups()[1:])
    return relativedelta(years=years, months=months, days=days)
