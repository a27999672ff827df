"""Find the dates of rotation rounds from a store's recurrence rule (RFC 5545, section 3.3.10).

Of the standard's rules only the calm ones are taken: yearly, monthly or weekly, on days. A rule
that never occurs is no error; it gives no round.
"""

import re
from datetime import date, datetime, time, timedelta
from typing import Final

from dateutil.rrule import rrule, rruleset, rrulestr

SPRING_AND_AUTUMN: Final = "FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1"
"""The first of March and of September, yearly: common practice."""

LOOK_AHEAD_DAYS: Final = 731
"""How far ahead a round is looked for, and how far back, the last day included: two years, leap day
or not."""

_MOST_CHARACTERS: Final = 120
_ANCHOR: Final = datetime.combine(date(2000, 1, 1), time())


def _list_of(element: str) -> re.Pattern[str]:
    return re.compile(f"(?:{element})(?:,(?:{element}))*")


_MONTHDAY: Final = "[+-]?(?:[1-9]|[12][0-9]|3[01])"
_WEEKDAY: Final = "MO|TU|WE|TH|FR|SA|SU"
_PARTS: Final = {
    "FREQ": re.compile("YEARLY|MONTHLY|WEEKLY"),
    "INTERVAL": re.compile("[1-9][0-9]?"),
    "BYMONTH": _list_of("[1-9]|1[0-2]"),
    "BYMONTHDAY": _list_of(_MONTHDAY),
    "BYDAY": _list_of(f"(?:[+-]?(?:[1-9]|[1-4][0-9]|5[0-3]))?(?:{_WEEKDAY})"),
    "BYSETPOS": _list_of(_MONTHDAY),
    "WKST": re.compile(_WEEKDAY),
}
_NOT_WEEKLY: Final = re.compile(f"BYMONTHDAY|BYSETPOS|[0-9](?:{_WEEKDAY})")
_NOT_MONTHLY: Final = re.compile(f"(?:[6-9]|[0-9][0-9])(?:{_WEEKDAY})")


def check_round_rule(rule: str) -> None:
    """Raise ValueError where a rule is not a yearly, monthly or weekly one that can be followed."""
    parts = [part.partition("=") for part in rule.split(";")]
    keys = [key for key, _, _ in parts]
    if (
        len(rule) > _MOST_CHARACTERS
        or keys[0] != "FREQ"
        or len(set(keys)) < len(keys)
        or not all(key in _PARTS and _PARTS[key].fullmatch(value) for key, _, value in parts)
    ):
        raise ValueError(
            "rounds follow a yearly, monthly or weekly RFC 5545 rule, such as " + SPRING_AND_AUTUMN
        )
    if "FREQ=WEEKLY" in rule and _NOT_WEEKLY.search(rule):
        raise ValueError("a weekly rule for rounds names weekdays, without numbers")
    if "FREQ=MONTHLY" in rule and _NOT_MONTHLY.search(rule):
        raise ValueError("a monthly rule for rounds has at most five of a weekday")
    try:
        next_round_day(rule, after=_ANCHOR.date())
    except (ValueError, IndexError) as fault:
        raise ValueError("the rule for rounds cannot be followed: no day fits it") from fault


def next_round_day(rule: str, *, after: date) -> date | None:
    """Give the first round strictly after a date, or None: the rule has none within two years."""
    until_on = after + timedelta(days=LOOK_AHEAD_DAYS)
    found = _bounded(rule, until_on=until_on).after(_midnight(after))
    return None if found is None else found.date()


def round_held_on(rule: str, *, on: date) -> date | None:
    """Give the latest round on or before a date, or None: the rule had none within two years."""
    found = _bounded(rule, until_on=on).before(_midnight(on), inc=True)
    if found is None or found.date() < on - timedelta(days=LOOK_AHEAD_DAYS):
        return None
    return found.date()


def round_days(rule: str, *, from_on: date, to_on: date) -> tuple[date, ...]:
    """List the rounds from one date to another, both included, in order.

    The rule is followed from 2000 on: before that there are none.
    """
    found = _bounded(rule, until_on=to_on).between(_midnight(from_on), _midnight(to_on), inc=True)
    return tuple(one.date() for one in found)


def _bounded(rule: str, *, until_on: date) -> rrule | rruleset:
    return rrulestr(f"{rule};UNTIL={until_on:%Y%m%d}T000000", dtstart=_ANCHOR)


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time())
