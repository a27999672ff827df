"""Find the dates of rotation rounds from a store's recurrence rule (RFC 5545)."""

import re
from datetime import date, datetime, time, timedelta
from typing import Final

from dateutil.rrule import rrulestr

SPRING_AND_AUTUMN: Final = "FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1"
"""The first of March and of September, yearly: common practice."""

_ANCHOR: Final = datetime.combine(date(2000, 1, 1), time())
_LOOKAHEAD: Final = timedelta(days=731)
_CALM: Final = re.compile(r"FREQ=(YEARLY|MONTHLY|WEEKLY)(;[A-Z]+=[A-Z0-9,+-]+)*")
_UNUSED: Final = re.compile(r"(COUNT|UNTIL|BYHOUR|BYMINUTE|BYSECOND|DTSTART)=")


def check_round_rule(rule: str) -> None:
    """Raise ValueError where a rule is not a yearly, monthly or weekly one that can be read."""
    if _CALM.fullmatch(rule) is None or _UNUSED.search(rule):
        raise ValueError(
            "rounds follow a yearly, monthly or weekly RFC 5545 rule, such as " + SPRING_AND_AUTUMN
        )
    try:
        rrulestr(rule, dtstart=_ANCHOR)
    except (ValueError, TypeError, KeyError) as fault:
        raise ValueError(f"the rule for rounds cannot be read: {fault}") from fault


def next_round_day(rule: str, *, after: date) -> date | None:
    """Give the first round strictly after a date, or None: the rule has none within two years."""
    midnight = datetime.combine(after, time())
    found = rrulestr(rule, dtstart=_ANCHOR).between(midnight, midnight + _LOOKAHEAD)
    return found[0].date() if found else None
