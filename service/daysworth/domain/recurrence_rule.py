"""Read an RFC 5545 rule (section 3.3.10), and find the days that it gives.

Of the standard's rules only the calm ones are taken: daily, weekly, monthly or yearly. A rule is
followed day by day, by what the standard says a part expands or limits, and so in a number of
looks that the days looked at bound, whatever the rule.
"""

import re
from calendar import isleap, monthrange
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Final

MOST_COUNT: Final = 1_000
MOST_CHARACTERS: Final = 200
WEEKDAY_CODES: Final = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


class Frequency(StrEnum):
    """The period that a rule goes by."""

    DAILY = "DAILY"
    WEEKLY = "WEEKLY"
    MONTHLY = "MONTHLY"
    YEARLY = "YEARLY"


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberedWeekday:
    """A weekday (0: Monday) and which of its month or year: from 1, or from -1 at the end.

    `nth` None: each of them.
    """

    weekday: int
    nth: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecurrenceRule:
    """The parts of a rule. What is empty was not said. Days of a month below 0 are from its end.

    `until_on` is a local day that still counts, `until_at` an instant; one of them at most.
    `picks` are the rule's BYSETPOS.
    """

    frequency: Frequency
    interval: int = 1
    count: int | None = None
    until_on: date | None = None
    until_at: datetime | None = None
    months: frozenset[int] = frozenset()
    month_days: frozenset[int] = frozenset()
    weekdays: frozenset[NumberedWeekday] = frozenset()
    picks: frozenset[int] = frozenset()
    week_starts: int = 0


def _list_of(element: str) -> re.Pattern[str]:
    return re.compile(f"(?:{element})(?:,(?:{element}))*")


_MONTHDAY: Final = "[+-]?(?:0?[1-9]|[12][0-9]|3[01])"
_WEEKDAY: Final = "|".join(WEEKDAY_CODES)
_NUMBERED: Final = f"(?:[+-]?(?:0?[1-9]|[1-4][0-9]|5[0-3]))?(?:{_WEEKDAY})"
_PARTS: Final = {
    "FREQ": re.compile("|".join(Frequency)),
    "INTERVAL": re.compile("0*[1-9][0-9]?"),
    "COUNT": re.compile("[1-9][0-9]*"),
    "UNTIL": re.compile("[0-9]{8}(?:T[0-9]{6}Z)?"),
    "BYMONTH": _list_of("0?[1-9]|1[0-2]"),
    "BYMONTHDAY": _list_of(_MONTHDAY),
    "BYDAY": _list_of(_NUMBERED),
    "BYSETPOS": _list_of(_MONTHDAY),
    "WKST": re.compile(_WEEKDAY),
}
_OFTEN: Final = re.compile("FREQ=(?:SECONDLY|MINUTELY|HOURLY)|BY(?:SECOND|MINUTE|HOUR)=")


@lru_cache(maxsize=4096)
def read_rule(rule: str) -> RecurrenceRule:
    """Read the value of an RRULE. Raises ValueError, in words, for one that is not taken."""
    said = _parts_of(rule)
    until = said.get("UNTIL", "")
    read = RecurrenceRule(
        frequency=Frequency(said["FREQ"]),
        interval=int(said.get("INTERVAL", "1")),
        count=int(said["COUNT"]) if "COUNT" in said else None,
        until_on=_day(until) if len(until) == 8 else None,
        until_at=_instant(until) if len(until) > 8 else None,
        months=_numbers(said.get("BYMONTH")),
        month_days=_numbers(said.get("BYMONTHDAY")),
        weekdays=frozenset(map(_weekday, said["BYDAY"].split(","))) if "BYDAY" in said else _NONE,
        picks=_numbers(said.get("BYSETPOS")),
        week_starts=WEEKDAY_CODES.index(said.get("WKST", "MO")),
    )
    if "COUNT" in said and "UNTIL" in said:
        raise ValueError("a rule has an end by COUNT or by UNTIL, not both (RFC 5545, 3.3.10)")
    if read.count is not None and read.count > MOST_COUNT:
        raise ValueError(f"a rule counts at most {MOST_COUNT} times")
    _check_parts_together(read)
    return read


_NONE: Final[frozenset[NumberedWeekday]] = frozenset()


def _parts_of(rule: str) -> dict[str, str]:
    # What is too long is not looked at.
    if len(rule) <= MOST_CHARACTERS:
        if _OFTEN.search(rule):
            raise ValueError("a window recurs daily, weekly, monthly or yearly, and not more often")
        pairs = [part.partition("=") for part in rule.split(";")]
        said = {key: value for key, _, value in pairs}
        is_each_known = all(key in _PARTS and _PARTS[key].fullmatch(said[key]) for key in said)
        if is_each_known and "FREQ" in said and len(said) == len(pairs):
            return said
    raise ValueError(
        "give a daily, weekly, monthly or yearly RFC 5545 rule, such as "
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU"
    )


def _numbers(listed: str | None) -> frozenset[int]:
    return frozenset(map(int, listed.split(","))) if listed else frozenset()


def _weekday(one: str) -> NumberedWeekday:
    nth = int(one[:-2]) if len(one) > 2 else None
    return NumberedWeekday(weekday=WEEKDAY_CODES.index(one[-2:]), nth=nth)


def _day(until: str) -> date:
    return _instant(f"{until}T000000Z").date()


def _instant(until: str) -> datetime:
    try:
        return datetime.strptime(until, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    except ValueError as fault:
        raise ValueError(f"there is no day {until[:8]!r} for a rule to end on") from fault


def _check_parts_together(rule: RecurrenceRule) -> None:
    """Raise ValueError for parts that the standard, or a search that stays calm, keeps apart."""
    is_weekly = rule.frequency is Frequency.WEEKLY
    is_daily = rule.frequency is Frequency.DAILY
    numbers = [one.nth for one in rule.weekdays if one.nth is not None]
    if is_weekly and rule.month_days:
        raise ValueError("a weekly rule names no days of the month (RFC 5545, 3.3.10)")
    if (is_weekly or is_daily) and numbers:
        raise ValueError("only a monthly or yearly rule numbers its weekdays (RFC 5545, 3.3.10)")
    if rule.frequency is Frequency.MONTHLY and any(abs(nth) > 5 for nth in numbers):
        raise ValueError("a month has at most five of a weekday")
    if is_daily and (rule.month_days or rule.picks):
        raise ValueError("a daily rule names weekdays and months alone; give a monthly one")
    if rule.picks and (is_weekly or not (rule.weekdays or rule.month_days)):
        raise ValueError("BYSETPOS picks among days that a monthly or yearly rule names")


def days_of(
    rule: RecurrenceRule, *, begins_on: date, from_on: date, until_on: date
) -> Iterator[date]:
    """Give the days of a rule from one to another, in order; its own end is not looked at."""
    from_start = begun(rule, begins_on)
    first = max(begins_on, from_on)
    each = _periods(from_start, begins_on, since_on=first)
    return _fitting(from_start, each, from_on=first, until_on=until_on)


def first_day(rule: RecurrenceRule, *, from_on: date, until_on: date) -> date | None:
    """Give the first day that a rule could begin on; None: there is none until then."""
    last = until_on if rule.until_on is None else min(until_on, rule.until_on)
    if rule.until_at is not None:
        # The day there may be a day ahead of the one in UTC.
        last = min(last, rule.until_at.date() + timedelta(days=1))
    each = _periods(replace(rule, interval=1), from_on, since_on=from_on)
    return next(_fitting(rule, each, from_on=from_on, until_on=last), None)


def begun(rule: RecurrenceRule, begins_on: date) -> RecurrenceRule:
    """Take from the first day what the rule leaves unsaid (section 3.3.10)."""
    if rule.month_days or rule.weekdays:
        return rule
    match rule.frequency:
        case Frequency.WEEKLY:
            weekday = NumberedWeekday(weekday=begins_on.weekday())
            return replace(rule, weekdays=frozenset({weekday}))
        case Frequency.MONTHLY:
            return replace(rule, month_days=frozenset({begins_on.day}))
        case Frequency.YEARLY:
            months = rule.months or frozenset({begins_on.month})
            return replace(rule, months=months, month_days=frozenset({begins_on.day}))
        case Frequency.DAILY:
            return rule


def _fitting(
    rule: RecurrenceRule, periods: Iterator[tuple[date, int]], *, from_on: date, until_on: date
) -> Iterator[date]:
    for first, length_days in periods:
        if first > until_on:
            return
        days = (first + timedelta(days=n) for n in range(length_days))
        fitting = [day for day in days if _fits(rule, day)]
        for number, day in enumerate(fitting):
            is_picked = not rule.picks or rule.picks & {number + 1, number - len(fitting)}
            if is_picked and from_on <= day <= until_on:
                yield day


def _periods(
    rule: RecurrenceRule, begins_on: date, *, since_on: date
) -> Iterator[tuple[date, int]]:
    """Give the first day and the days of each period that counts, from the one of a day on."""
    match rule.frequency:
        case Frequency.DAILY:
            first, step, length_days = begins_on, rule.interval, 1
        case Frequency.WEEKLY:
            gone = (begins_on.weekday() - rule.week_starts) % 7
            first, step, length_days = begins_on - timedelta(days=gone), 7 * rule.interval, 7
        case Frequency.MONTHLY | Frequency.YEARLY:
            yield from _months(rule, begins_on, since_on=since_on)
            return
    first += timedelta(days=(since_on - first).days // step * step)
    while True:
        yield first, length_days
        first += timedelta(days=step)


def _months(rule: RecurrenceRule, begins_on: date, *, since_on: date) -> Iterator[tuple[date, int]]:
    if rule.frequency is Frequency.YEARLY:
        passed = (since_on.year - begins_on.year) // rule.interval * rule.interval
        for year in range(begins_on.year + passed, date.max.year, rule.interval):
            yield date(year, 1, 1), 365 + isleap(year)
        return
    begins = 12 * begins_on.year + begins_on.month - 1
    since = 12 * since_on.year + since_on.month - 1
    passed = (since - begins) // rule.interval * rule.interval
    for month in range(begins + passed, 12 * date.max.year, rule.interval):
        first = date(month // 12, month % 12 + 1, 1)
        yield first, monthrange(first.year, first.month)[1]


def _fits(rule: RecurrenceRule, day: date) -> bool:
    if rule.months and day.month not in rule.months:
        return False
    if rule.month_days:
        from_last = day.day - monthrange(day.year, day.month)[1] - 1
        if not rule.month_days & {day.day, from_last}:
            return False
    return not rule.weekdays or _fits_weekday(rule, day)


def _fits_weekday(rule: RecurrenceRule, day: date) -> bool:
    """Tell whether a weekday is named; numbers count in the year where no month is said."""
    these = [one.nth for one in rule.weekdays if one.weekday == day.weekday()]
    if not these or None in these:
        return bool(these)
    if rule.frequency is Frequency.YEARLY and not rule.months:
        since, length_days = day.timetuple().tm_yday - 1, 365 + isleap(day.year)
    else:
        since, length_days = day.day - 1, monthrange(day.year, day.month)[1]
    return since // 7 + 1 in these or -((length_days - since - 1) // 7 + 1) in these
