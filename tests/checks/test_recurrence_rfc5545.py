"""Hold recurrence to the worked cases of RFC 5545, and to what it says of clocks that change.

R   RFC 5545, section 3.8.5.3, the examples: each begins at 09:00 in America/New_York.
M   The same section's examples, from memory.
E   The errata of RFC 5545: the example of an hourly rule prints a time after its own end.
G   RFC 5545, section 3.3.10: a time that a clock skips is ignored and not counted; section 3.3.5: a
    time that is written in a gap has the offset from before it (its example is 2007-03-11, 02:30).
N   IANA time zone database, America/New_York: clocks change on the second Sunday of March and on
    the first of November, 2027-03-14 and 2027-11-07.
C   A calendar of 2027, for the last working day of each month, its last days, and its Saturdays.
"""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Final

import pytest

from daysworth.domain.recurrence import Recurrence, first_that_fits, occurrences

NEW_YORK: Final = "America/New_York"


def starting(
    rule: str | None, start: str, *, clock: str = "09:00", except_at: tuple[datetime, ...] = ()
) -> Recurrence:
    return Recurrence(
        starts_at=datetime.fromisoformat(f"{start}T{clock}"),
        timezone=NEW_YORK,
        rule=rule,
        except_at=except_at,
    )


def instants(of: Recurrence, *, to_on: str = "2099-12-31") -> tuple[datetime, ...]:
    found = occurrences(
        of, from_on=of.starts_at.date(), to_on=date.fromisoformat(to_on), most=10_000
    )
    assert not found.is_cut
    return found.at


def days(of: Recurrence, *, to_on: str = "2099-12-31") -> list[str]:
    found = instants(of, to_on=to_on)
    assert {at.time() for at in found} <= {of.starts_at.time()}
    return [f"{at:%Y-%m-%d}" for at in found]


def written(*years: str) -> list[str]:
    """Write out "1997: 09-02 09-04" as days."""
    return [f"{year[:4]}-{day}" for said in years for year in [said] for day in said[5:].split()]


@pytest.mark.parametrize(
    ("rule", "start", "given"),
    [
        (
            "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
            "1997-09-05",
            written("1997: 09-05 10-03 11-07 12-05", "1998: 01-02 02-06 03-06 04-03 05-01 06-05"),
        ),
        (
            "FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR",
            "1997-09-05",
            written("1997: 09-05 10-03 11-07 12-05"),
        ),
        (
            "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
            "1997-09-02",
            written("1997: 09-02 09-04 09-16 09-18 09-30 10-02 10-14 10-16"),
        ),
        (
            "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH",
            "1997-09-02",
            written("1997: 09-02 09-04 09-09 09-11 09-16 09-18 09-23 09-25 09-30 10-02"),
        ),
        (
            "FREQ=WEEKLY;COUNT=10",
            "1997-09-02",
            written("1997: 09-02 09-09 09-16 09-23 09-30 10-07 10-14 10-21 10-28 11-04"),
        ),
        (
            "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
            "1997-09-07",
            written("1997: 09-07 09-28 11-02 11-30", "1998: 01-04 01-25 03-01 03-29 05-03 05-31"),
        ),
        (
            "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15",
            "1997-09-02",
            written("1997: 09-02 09-15 10-02 10-15 11-02 11-15 12-02 12-15", "1998: 01-02 01-15"),
        ),
        (
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
            "1997-08-05",
            written("1997: 08-05 08-10 08-19 08-24"),
        ),
        (
            "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
            "2007-01-15",
            written("2007: 01-15 01-30 02-15 03-15 03-30"),
        ),
    ],
)
def test_a_rule_that_ends_gives_the_published_dates(
    rule: str, start: str, given: list[str]
) -> None:
    """R, all of them, to the last."""
    assert days(starting(rule, start)) == given


@pytest.mark.parametrize(
    ("rule", "start", "given"),
    [
        (
            "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
            "1997-09-02",
            written(
                "1997: 09-02 09-16 09-30 10-14 10-28 11-11 11-25 12-09 12-23",
                "1998: 01-06 01-20 02-03 02-17",
            ),
        ),
        (
            "FREQ=MONTHLY;BYMONTHDAY=-3",
            "1997-09-28",
            written("1997: 09-28 10-29 11-28 12-29", "1998: 01-29 02-26"),
        ),
        (
            "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU",
            "1997-09-02",
            written(
                "1997: 09-02 09-09 09-16 09-23 09-30 11-04 11-11 11-18 11-25",
                "1998: 01-06 01-13 01-20 01-27 03-03 03-10 03-17 03-24 03-31",
            ),
        ),
        (
            "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
            "1997-09-13",
            written("1997: 09-13 10-11 11-08 12-13", "1998: 01-10 02-07 03-07 04-11 05-09 06-13"),
        ),
        (
            "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
            "1996-11-05",
            written("1996: 11-05", "2000: 11-07", "2004: 11-02"),
        ),
    ],
)
def test_a_rule_without_an_end_gives_the_published_dates_first(
    rule: str, start: str, given: list[str]
) -> None:
    """R, as far as it prints them."""
    assert days(starting(rule, start), to_on=given[-1]) == given


@pytest.mark.parametrize(
    ("rule", "start", "given"),
    [
        (
            "FREQ=DAILY;INTERVAL=10;COUNT=5",
            "1997-09-02",
            written("1997: 09-02 09-12 09-22 10-02 10-12"),
        ),
        (
            "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
            "1997-09-22",
            written("1997: 09-22 10-20 11-17 12-22", "1998: 01-19 02-16"),
        ),
        (
            "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
            "1997-09-30",
            written("1997: 09-30 10-01 10-31 11-01 11-30 12-01 12-31", "1998: 01-01 01-31 02-01"),
        ),
        (
            "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15",
            "1997-09-10",
            written("1997: 09-10 09-11 09-12 09-13 09-14 09-15", "1999: 03-10 03-11 03-12 03-13"),
        ),
        (
            "FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3",
            "1997-03-10",
            written(
                "1997: 03-10",
                "1999: 01-10 02-10 03-10",
                "2001: 01-10 02-10 03-10",
                "2003: 01-10 02-10 03-10",
            ),
        ),
        (
            "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3",
            "1997-09-04",
            written("1997: 09-04 10-07 11-06"),
        ),
        (
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
            "1997-09-29",
            written("1997: 09-29 10-30 11-27 12-30", "1998: 01-29 02-26 03-30"),
        ),
        (
            "FREQ=YEARLY;BYDAY=20MO",
            "1997-05-19",
            written("1997: 05-19", "1998: 05-18", "1999: 05-17"),
        ),
        (
            "FREQ=YEARLY;BYMONTH=3;BYDAY=TH",
            "1997-03-13",
            written("1997: 03-13 03-20 03-27", "1998: 03-05 03-12 03-19 03-26"),
        ),
        (
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
            "1997-08-05",
            written("1997: 08-05 08-17 08-19 08-31"),
        ),
    ],
)
def test_other_published_rules_give_their_dates(rule: str, start: str, given: list[str]) -> None:
    """M."""
    assert days(starting(rule, start), to_on=given[-1]) == given


def test_a_rule_that_does_not_give_its_start_is_refused_and_told_where_it_could_begin() -> None:
    """R, Friday the 13th: its start is a Tuesday, which it takes out again with an EXDATE."""
    rule = "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13"
    taken_out = (datetime.fromisoformat("1997-09-02T09:00"),)
    with pytest.raises(ValueError, match="not one that the rule gives; the next one is 1998-02-13"):
        starting(rule, "1997-09-02", except_at=taken_out)
    assert first_that_fits(rule, from_on=date(1997, 9, 2)) == date(1998, 2, 13)
    given = written("1998: 02-13 03-13 11-13", "1999: 08-13", "2000: 10-13")
    assert days(starting(rule, "1998-02-13"), to_on="2000-10-13") == given


def test_until_is_an_instant_and_what_comes_later_that_day_is_past_it() -> None:
    """R, daily until 1997-12-24T00:00Z: the last is on the 23rd, the 113th."""
    found = days(starting("FREQ=DAILY;UNTIL=19971224T000000Z", "1997-09-02"))
    assert (len(found), found[-1]) == (113, "1997-12-23")


@pytest.mark.parametrize(
    "rule",
    [
        pytest.param("FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T170000Z", id="E"),
        pytest.param("FREQ=MINUTELY;INTERVAL=15;COUNT=6", id="M"),
        pytest.param("FREQ=DAILY;BYHOUR=9,10,11;BYMINUTE=0,20,40", id="M, by the hour"),
    ],
)
def test_a_rule_within_a_day_is_refused_in_words(rule: str) -> None:
    """R has them; a window is a time of day on days."""
    with pytest.raises(ValueError, match="daily, weekly, monthly or yearly, and not more often"):
        starting(rule, "1997-09-02")


@pytest.mark.parametrize(
    "rule",
    [
        pytest.param("FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200", id="days of a year"),
        pytest.param("FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", id="weeks of a year"),
    ],
)
def test_a_rule_by_numbers_of_the_year_is_refused_in_words(rule: str) -> None:
    """M has them; nobody keeps a window so."""
    with pytest.raises(ValueError, match="give a daily, weekly, monthly or yearly RFC 5545 rule"):
        starting(rule, "1997-09-02")


def utc(*written_at: str) -> list[datetime]:
    return [datetime.fromisoformat(at).replace(tzinfo=UTC) for at in written_at]


def in_utc(found: Iterable[datetime]) -> list[datetime]:
    return [at.astimezone(UTC) for at in found]


def test_nine_oclock_is_thirteen_utc_in_summer_time_and_fourteen_after() -> None:
    """R, the first Fridays: EDT to October, EST to April, EDT again."""
    found = in_utc(instants(starting("FREQ=MONTHLY;COUNT=10;BYDAY=1FR", "1997-09-05")))
    assert [at.hour for at in found] == [13, 13, 14, 14, 14, 14, 14, 14, 13, 13]


def test_a_weekly_window_keeps_its_clock_across_both_changes() -> None:
    """N: 09:00 all year, an hour earlier in UTC from March to November."""
    found = instants(starting("FREQ=WEEKLY", "2027-03-07"), to_on="2027-11-14")
    assert {f"{at:%H:%M}" for at in found} == {"09:00"}
    winter = {at.date() for at in in_utc(found) if at.hour == 14}
    assert winter == {date(2027, 3, 7), date(2027, 11, 7), date(2027, 11, 14)}


def test_a_time_that_a_rule_gives_and_the_clock_skips_is_ignored() -> None:
    """G 3.3.10, N: 02:30 on 2027-03-14 is never shown."""
    found = days(starting("FREQ=WEEKLY", "2027-03-07", clock="02:30"), to_on="2027-03-28")
    assert found == written("2027: 03-07 03-21 03-28")


def test_a_time_that_is_ignored_is_not_counted() -> None:
    """G 3.3.10: four of them, the skipped one beside."""
    found = days(starting("FREQ=WEEKLY;COUNT=4", "2027-03-07", clock="02:30"))
    assert found == written("2027: 03-07 03-21 03-28 04-04")


def test_a_start_that_the_clock_skips_has_the_offset_from_before() -> None:
    """G 3.3.5: 02:30 is 03:30 in summer time, and a week later 02:30 again."""
    of = starting("FREQ=WEEKLY;COUNT=2", "2007-03-11", clock="02:30")
    first, second = instants(of)
    assert first.isoformat() == "2007-03-11T03:30:00-04:00"
    assert second.isoformat() == "2007-03-18T02:30:00-04:00"
    assert in_utc([first]) == utc("2007-03-11T07:30")


def test_a_time_that_comes_twice_is_the_first() -> None:
    """G 3.3.5, N: 01:30 on 2027-11-07 is in summer time."""
    found = instants(starting("FREQ=DAILY;COUNT=2", "2027-11-06", clock="01:30"))
    assert in_utc(found) == utc("2027-11-06T05:30", "2027-11-07T05:30")


LAST_DAYS: Final = written(
    "2027: 01-31 02-28 03-31 04-30 05-31 06-30 07-31 08-31 09-30 10-31 11-30 12-31",
    "2028: 01-31 02-29",
)


@pytest.mark.parametrize(
    ("rule", "start", "given"),
    [
        pytest.param(
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
            "2026-12-31",
            written(
                "2026: 12-31",
                "2027: 01-29 02-26 03-31 04-30 05-31 06-30 07-30 08-31 09-30 10-29 11-30 12-31",
            ),
            id="last working days",
        ),
        pytest.param("FREQ=MONTHLY;BYMONTHDAY=-1", "2027-01-31", LAST_DAYS, id="last days"),
        pytest.param(
            "FREQ=MONTHLY",
            "2027-01-31",
            written("2027: 01-31 03-31 05-31 07-31 08-31 10-31 12-31"),
            id="short months are left out",
        ),
        pytest.param(
            "FREQ=MONTHLY;BYDAY=1SA,3SA",
            "2027-01-02",
            written("2027: 01-02 01-16 02-06 02-20 03-06 03-20 04-03 04-17"),
            id="first and third Saturdays",
        ),
    ],
)
def test_the_days_of_2027_are_the_calendars(rule: str, start: str, given: list[str]) -> None:
    """C."""
    assert days(starting(rule, start), to_on=given[-1]) == given


def test_an_exception_takes_out_its_own_time_and_no_other() -> None:
    """R 3.8.5.1: an EXDATE names a time; that of another hour takes out nothing."""
    rule = "FREQ=MONTHLY;COUNT=4;BYDAY=1FR"
    at_nine = (datetime.fromisoformat("1997-11-07T09:00"),)
    at_midnight = (datetime.fromisoformat("1997-11-07T00:00"),)
    all_of_them = written("1997: 09-05 10-03 11-07 12-05")
    assert days(starting(rule, "1997-09-05", except_at=at_midnight)) == all_of_them
    without = days(starting(rule, "1997-09-05", except_at=at_nine))
    assert without == written("1997: 09-05 10-03 12-05")
