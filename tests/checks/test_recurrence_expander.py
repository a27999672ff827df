"""Hold recurrence to another reader of calendars, over generated rules.

X   recurring-ical-events, on icalendar's reading of a VEVENT with DTSTART, RRULE, RDATE and EXDATE
    in a zone. It follows rules by dateutil; ours are followed by no library.
G   RFC 5545, section 3.3.10: a time that a clock skips is ignored and not counted. X gives a time
    there (03:30 in New York on 2027-03-14, for 02:30), so times in a gap are compared apart.

The rules are drawn by chance from the parts that are taken here, in zones of whole and of half
hours, north and south of the equator, and begin on a day that they give.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from typing import Final

import pytest
import recurring_ical_events
from icalendar import Calendar

from daysworth.domain.recurrence import Recurrence, first_that_fits, occurrences

ZONES: Final = (
    *("America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "Australia/Sydney"),
    *("Asia/Kolkata", "America/Santiago", "Africa/Nairobi", "UTC"),
)
WEEKDAYS: Final = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
LOOKED_AT_DAYS: Final = 1_100
GROUPS: Final = 10
RULES_EACH: Final = 32


def some(random: Random, of: tuple[str, ...] | list[str], *, most: int = 3) -> str:
    return ",".join(random.sample(of, random.randint(1, min(most, len(of)))))


def a_rule(random: Random) -> str:
    """Draw a rule of parts that may stand together; it may never occur."""
    freq = random.choice(("DAILY", "WEEKLY", "MONTHLY", "MONTHLY", "MONTHLY", "YEARLY"))
    parts = [f"FREQ={freq}"]
    if random.random() < 0.5:
        parts.append(f"INTERVAL={random.choice((1, 2, 2, 3, 4, 5, 7, 13))}")
    if random.random() < 0.3:
        parts.append(f"BYMONTH={some(random, [str(n) for n in range(1, 13)], most=6)}")
    parts.extend(_days(random, freq=freq))
    if random.random() < 0.3:
        parts.append(f"WKST={random.choice(WEEKDAYS)}")
    if random.random() < 0.25:
        parts.append(f"COUNT={random.randint(1, 40)}")
    return ";".join(parts)


def _days(random: Random, *, freq: str) -> Iterator[str]:
    plain = f"BYDAY={some(random, WEEKDAYS, most=5)}"
    if freq in ("DAILY", "WEEKLY"):
        if random.random() < 0.7:
            yield plain
        return
    nths = [str(n) for n in (1, 2, 3, 4, 5, -1, -2, -5)]
    numbered = [f"{random.choice(nths)}{day}" for day in WEEKDAYS]
    month_days = [str(n) for n in (*range(1, 32), *range(-31, 0))]
    by_month_day = f"BYMONTHDAY={some(random, month_days, most=8)}"
    match random.randrange(6):
        case 0:
            yield f"BYDAY={some(random, numbered)}"
        case 1:
            yield by_month_day
        case 2:
            yield plain
            yield by_month_day
        case 3:
            yield plain
            yield f"BYSETPOS={some(random, ['1', '2', '3', '-1', '-2'])}"
        case 4:
            yield plain
        case _:
            return


def a_recurrence(random: Random) -> Recurrence | None:
    """Draw a recurrence with dates beside it and dates left out; None: its rule never occurs."""
    rule = a_rule(random)
    drawn_on = date(2024, 1, 1) + timedelta(days=random.randrange(2_000))
    starts_on = first_that_fits(rule, from_on=drawn_on)
    if starts_on is None:
        return None
    # None of these is in a gap of any of the zones; 01:00 and 23:00 come twice in some of them.
    clock = time(random.choice((1, 4, 9, 12, 18, 23)), random.choice((0, 15, 30, 45)))
    starts_at = datetime.combine(starts_on, clock)
    if random.random() < 0.2:
        ends_at = starts_at + timedelta(days=random.randrange(2, 900), hours=random.randrange(24))
        rule = rule if "COUNT" in rule else f"{rule};UNTIL={ends_at:%Y%m%dT%H%M%S}Z"
    bare = Recurrence(starts_at=starts_at, timezone=random.choice(ZONES), rule=rule)
    return _with_listed(random, bare)


def _with_listed(random: Random, bare: Recurrence) -> Recurrence:
    given = [at.replace(tzinfo=None) for at in ours(bare)[:40]]
    ahead = [bare.starts_at + timedelta(days=random.randrange(1, 900), hours=2) for _ in range(4)]
    also = random.sample([*ahead, *given], random.randint(0, min(4, len(given))))
    # Of a few the first stays, so that something is left.
    may_go = [*ahead[:2], *(given if len(given) > 5 else given[1:])]
    left_out = random.sample(may_go, random.randint(0, min(5, len(given))))
    return Recurrence(
        starts_at=bare.starts_at,
        timezone=bare.timezone,
        rule=bare.rule,
        also_at=tuple(also),
        except_at=tuple(left_out),
    )


def ours(of: Recurrence) -> list[datetime]:
    starts_on = of.starts_at.date()
    to_on = starts_on + timedelta(days=LOOKED_AT_DAYS)
    found = occurrences(of, from_on=starts_on - timedelta(days=2), to_on=to_on, most=10_000)
    assert not found.is_cut
    return list(found.at)


def theirs(of: Recurrence) -> list[datetime]:
    event = Calendar.from_ical("\r\n".join(as_written(of)))
    starts_at = datetime.combine(of.starts_at.date(), time(), UTC)
    found = recurring_ical_events.of(event).between(
        starts_at - timedelta(days=2), starts_at + timedelta(days=LOOKED_AT_DAYS + 3)
    )
    return sorted({one.start.astimezone(UTC) for one in found})


def as_written(of: Recurrence) -> Iterator[str]:
    """Write a recurrence as one event of a calendar."""
    zone = f";TZID={of.timezone}"
    yield from ("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//check//EN", "BEGIN:VEVENT", "UID:one")
    yield from ("DTSTAMP:20240101T000000Z", "DURATION:PT1H")
    yield f"DTSTART{zone}:{of.starts_at:%Y%m%dT%H%M%S}"
    if of.rule is not None:
        yield f"RRULE:{of.rule}"
    for name, times in (("RDATE", of.also_at), ("EXDATE", of.except_at)):
        yield from (f"{name}{zone}:{at:%Y%m%dT%H%M%S}" for at in times)
    yield from ("END:VEVENT", "END:VCALENDAR", "")


def _before_end(instants: list[datetime], of: Recurrence) -> list[datetime]:
    """Keep those that both looked for: up to two days before the last day that was looked at."""
    last = datetime.combine(of.starts_at.date(), time(), UTC) + timedelta(days=LOOKED_AT_DAYS - 2)
    return [at.astimezone(UTC) for at in instants if at < last]


@pytest.mark.parametrize("group", range(GROUPS))
def test_generated_rules_give_the_instants_that_another_reader_gives(group: int) -> None:
    """X, exactly: the same instants, none more and none less."""
    random = Random(5545 + group)
    compared, instants = 0, 0
    while compared < RULES_EACH:
        of = a_recurrence(random)
        if of is None:
            continue
        found = _before_end(ours(of), of)
        assert found == _before_end(theirs(of), of), of
        compared, instants = compared + 1, instants + len(found)
    assert instants > 10 * RULES_EACH


def test_in_a_gap_the_other_reader_has_times_that_no_clock_shows_and_is_else_the_same() -> None:
    """X and G: each Sunday at 02:30, in three zones where the clock jumps from 02:00 to 03:00."""
    for timezone, skipped in (
        ("America/New_York", [date(2027, 3, 14), date(2028, 3, 12)]),
        ("Europe/Berlin", [date(2027, 3, 28), date(2028, 3, 26)]),
        ("Australia/Sydney", [date(2027, 10, 3), date(2028, 10, 1)]),
    ):
        starts_at = datetime.combine(date(2027, 1, 3), time(2, 30))
        of = Recurrence(
            starts_at=starts_at, timezone=timezone, rule="FREQ=WEEKLY;UNTIL=20281231T000000Z"
        )
        without = {at.astimezone(UTC) for at in ours(of)}
        with_them = set(theirs(of))
        assert without <= with_them
        more = sorted(with_them - without)
        shown = [at.astimezone(ours(of)[0].tzinfo) for at in more]
        assert [at.date() for at in shown] == skipped
        assert {at.hour for at in shown} == {3}
