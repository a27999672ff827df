"""Find when something recurs by RFC 5545: a start, a rule, dates beside it, and dates left out.

Times are wall-clock times in one IANA zone, and stay so across daylight saving (section 3.3.5). A
time that a rule gives and that a clock which is put forward skips is left out, and not counted
(section 3.3.10); the start, or a date beside the rule, that is skipped is read with the offset from
before the gap. A time that comes twice is the first of the two.

Nothing recurs more than once a day (`recurrence_rule`) beside the dates that are listed one by one,
and a rule is followed for no more than `MOST_YEARS` from its start. So a search ends, after at most
some 11,000 days and `MOST_LISTED` dates.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from heapq import merge
from itertools import groupby, islice, takewhile
from typing import Annotated, Final
from zoneinfo import ZoneInfo

from annotated_types import Len

from daysworth.domain.label_dates import LAST_YEAR
from daysworth.domain.recurrence_rule import RecurrenceRule, days_of, first_day, read_rule
from daysworth.domain.settings import is_zone

FIRST_YEAR: Final = 1970
"""No clock is known well before."""

MOST_YEARS: Final = 30
"""How long after its start a rule is still followed."""

MOST_OCCURRENCES: Final = 1_000
"""How many times one search gives at most, where no other number is asked for."""

MOST_LISTED: Final = 200
"""How many dates may stand beside a rule, and how many may be left out."""

_FIRST: Final = datetime.combine(date(FIRST_YEAR, 1, 1), time())


@dataclass(frozen=True, slots=True, kw_only=True)
class Recurrence:
    """When something recurs. `starts_at` and what is listed are wall-clock times in `timezone`.

    `rule` is the value of an RRULE; None: once, and on the dates listed. `also_at` are its RDATE,
    `except_at` its EXDATE: an exception takes out what is at that very time. Raises ValueError,
    in words, for a zone or a rule that cannot be, for a start that the rule does not give, for
    dates beside it that are too many or too far ahead, and where nothing ever recurs.
    """

    starts_at: datetime
    timezone: str
    rule: str | None = None
    also_at: Annotated[tuple[datetime, ...], Len(0, MOST_LISTED)] = ()
    except_at: Annotated[tuple[datetime, ...], Len(0, MOST_LISTED)] = ()

    def __post_init__(self) -> None:
        if not is_zone(self.timezone):
            raise ValueError(
                f"there is no time zone {self.timezone!r} in the IANA database: name one such as "
                "Europe/Berlin"
            )
        for at in (self.starts_at, *self.also_at, *self.except_at):
            _check_wall_clock(at)
        _check_listed(self)
        if self.rule is not None:
            _check_start(self, read_rule(self.rule))
        if next(_local_times(self, since=_FIRST, until=_last(self)), None) is None:
            raise ValueError("this never occurs: every date that it gives is left out")


@dataclass(frozen=True, slots=True)
class Occurrences:
    """Instants in order, in the recurrence's own zone; `is_cut` where there are more."""

    at: tuple[datetime, ...]
    is_cut: bool


def occurrences(
    of: Recurrence, *, from_on: date, to_on: date, most: int = MOST_OCCURRENCES
) -> Occurrences:
    """List when something recurs from one local date to another, both included."""
    first = datetime.combine(from_on, time())
    until = min(datetime.combine(to_on, time.max), _last(of))
    here = _local_times(of, since=first, until=until)
    zone = ZoneInfo(of.timezone)
    found = [local.replace(tzinfo=zone) for local in islice(here, most + 1)]
    return Occurrences(tuple(found[:most]), len(found) > most)


def next_occurrences(of: Recurrence, *, after: datetime, most: int) -> tuple[datetime, ...]:
    """Give the next few instants after one that carries an offset."""
    zone = ZoneInfo(of.timezone)
    # A day earlier is early enough, whatever the clock there did between.
    since = after.astimezone(zone).replace(tzinfo=None) - timedelta(days=1)
    instants = (
        local.replace(tzinfo=zone) for local in _local_times(of, since=since, until=_last(of))
    )
    # Two times of one zone would be compared by the clock, which shows some times twice.
    return tuple(islice((at for at in instants if at > after.astimezone(UTC)), most))


def first_that_fits(rule: str, *, from_on: date) -> date | None:
    """Give the first day from one on that a rule could begin on; None: none in 30 years.

    Raises ValueError, in words, where the rule is none.
    """
    until_on = from_on + timedelta(days=366 * MOST_YEARS)
    return first_day(read_rule(rule), from_on=from_on, until_on=until_on)


def fits(rule: str, day: date) -> bool:
    """Tell whether a day is one that a rule gives, were it to begin on that day."""
    return first_day(read_rule(rule), from_on=day, until_on=day) is not None


def _last(of: Recurrence) -> datetime:
    year = min(of.starts_at.year + MOST_YEARS, LAST_YEAR)
    return datetime.combine(date(year, 12, 31), time.max)


def _local_times(of: Recurrence, *, since: datetime, until: datetime) -> Iterator[datetime]:
    """Give the times that the clock there shows, in order, without those left out."""
    zone = ZoneInfo(of.timezone)
    left_out = {_shown(at, zone) for at in of.except_at}
    begun = (of.starts_at,) if of.rule is None else ()
    listed = sorted({_shown(at, zone) for at in (*begun, *of.also_at)})
    ruled = iter(()) if of.rule is None else _ruled(of, since=since, until=until)
    for local, _ in groupby(merge(ruled, listed)):
        if local > until:
            return
        if local >= since and local not in left_out:
            yield local


def _ruled(of: Recurrence, *, since: datetime, until: datetime) -> Iterator[datetime]:
    """Give the times of a rule as the clock shows them. No skipped one is counted."""
    assert of.rule is not None
    zone, clock, rule = ZoneInfo(of.timezone), of.starts_at.time(), read_rule(of.rule)
    begins_on = of.starts_at.date()
    # Those that are counted are counted from the first. A clock is put forward by a day at most.
    from_on = begins_on if rule.count else since.date() - timedelta(days=2)
    days = days_of(rule, begins_on=begins_on, from_on=from_on, until_on=until.date())
    there = (datetime.combine(day, clock) for day in days)
    real = (
        shown for local in there if (shown := _shown(local, zone)) == local or local == of.starts_at
    )
    before_end = takewhile(lambda local: not _is_past_end(local, rule, zone=zone), real)
    return islice(before_end, rule.count)


def _is_past_end(local: datetime, rule: RecurrenceRule, *, zone: ZoneInfo) -> bool:
    """Tell whether an UNTIL is past: an instant (section 3.3.10), or a day that still counts."""
    if rule.until_on is not None:
        return local.date() > rule.until_on
    return rule.until_at is not None and local.replace(tzinfo=zone) > rule.until_at


def _shown(local: datetime, zone: ZoneInfo) -> datetime:
    """Give what the clock shows: itself, or where it is skipped, as late as before the gap."""
    return local.replace(tzinfo=zone).astimezone(UTC).astimezone(zone).replace(tzinfo=None)


def _check_wall_clock(at: datetime) -> None:
    if at.tzinfo is not None:
        raise ValueError("give the time on the clock there, without an offset: the zone says it")
    if not FIRST_YEAR <= at.year <= LAST_YEAR:
        raise ValueError(f"{at:%Y-%m-%d} is not between {FIRST_YEAR} and {LAST_YEAR}")
    if at.second or at.microsecond:
        raise ValueError("give a time in hours and minutes")


def _check_listed(of: Recurrence) -> None:
    if max(len(of.also_at), len(of.except_at)) > MOST_LISTED:
        raise ValueError(f"at most {MOST_LISTED} dates stand beside a rule or are left out")
    late = next((at for at in of.also_at if at > _last(of)), None)
    if late is not None:
        raise ValueError(
            f"{late:%Y-%m-%d} is too far ahead: a window is followed for {MOST_YEARS} years from "
            f"its first date, and until {LAST_YEAR}"
        )


def _check_start(of: Recurrence, rule: RecurrenceRule) -> None:
    """Raise ValueError where the rule does not give the start: what then recurs is undefined.

    A rule that gives its start gives more, or ends: the calendar is the same every 400 years.
    """
    assert of.rule is not None
    starts_on = of.starts_at.date()
    if _is_past_end(of.starts_at, rule, zone=ZoneInfo(of.timezone)):
        raise ValueError(f"the rule ends before its first date, {starts_on}")
    if fits(of.rule, starts_on):
        return
    first = first_that_fits(of.rule, from_on=starts_on)
    if first is None:
        raise ValueError(f"this never occurs: in {MOST_YEARS} years no day fits the rule")
    raise ValueError(
        f"the first date, {starts_on}, is not one that the rule gives; the next one is {first}"
    )
