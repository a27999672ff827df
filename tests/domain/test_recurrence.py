"""What a recurrence takes and refuses, what it gives of a range, and how little it looks at."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import Final
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.recurrence import (
    MOST_LISTED,
    MOST_OCCURRENCES,
    Recurrence,
    first_that_fits,
    fits,
    next_occurrences,
    occurrences,
)
from tests.domain.looks import calls_of
from tests.planners.how_many import times

ZONE: Final = "America/New_York"
MOST_CALLS: Final = 500_000
"""About forty for each of the 11,000 days for which a rule is followed."""


def at(written: str) -> datetime:
    return datetime.fromisoformat(written)


def recurring(rule: str | None, start: str = "2026-12-01T09:00", zone: str = ZONE) -> Recurrence:
    return Recurrence(starts_at=at(start), timezone=zone, rule=rule)


def shown(found: tuple[datetime, ...]) -> list[str]:
    return [f"{one:%Y-%m-%dT%H:%M}" for one in found]


def ever(of: Recurrence, *, most: int = 20_000) -> tuple[datetime, ...]:
    return occurrences(of, from_on=date(1970, 1, 1), to_on=date(2099, 12, 31), most=most).at


NEITHER: Final = "give a daily, weekly, monthly or yearly RFC 5545 rule, such as FREQ=WEEKLY"
TOO_OFTEN: Final = "recurs daily, weekly, monthly or yearly, and not more often"
NO_DAY: Final = "this never occurs: in 30 years no day fits the rule"


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("FREQ=SECONDLY", TOO_OFTEN),
        ("FREQ=MINUTELY;INTERVAL=99", TOO_OFTEN),
        ("FREQ=DAILY;BYSECOND=0,1,2", TOO_OFTEN),
        ("", NEITHER),
        ("every Tuesday", NEITHER),
        ("FREQ=WEEKLY;", NEITHER),
        ("BYDAY=TU", NEITHER),
        ("FREQ=WEEKLY;FREQ=DAILY", NEITHER),
        ("FREQ=WEEKLY;BYDAY=TU,", NEITHER),
        ("FREQ=WEEKLY;INTERVAL=0", NEITHER),
        ("FREQ=WEEKLY;INTERVAL=100", NEITHER),
        ("FREQ=WEEKLY;X-RULE=1", NEITHER),
        ("FREQ=WEEKLY;BYDAY=TU" + ",TU" * 100_000, NEITHER),
        ("FREQ=DAILY;COUNT=99999999999999999999", "at most 1000 times"),
        ("FREQ=DAILY;COUNT=2;UNTIL=20270101", "by COUNT or by UNTIL, not both"),
        ("FREQ=WEEKLY;BYMONTHDAY=1", "a weekly rule names no days of the month"),
        ("FREQ=WEEKLY;BYDAY=1TU", "only a monthly or yearly rule numbers its weekdays"),
        ("FREQ=MONTHLY;BYDAY=6TU", "a month has at most five of a weekday"),
        ("FREQ=DAILY;BYMONTHDAY=1", "a daily rule names weekdays and months alone"),
        ("FREQ=MONTHLY;BYSETPOS=1", "BYSETPOS picks among days"),
        ("FREQ=WEEKLY;UNTIL=20270230", "there is no day '20270230' for a rule to end on"),
        ("FREQ=WEEKLY;UNTIL=20270101T250000Z", "there is no day '20270101'"),
        ("FREQ=WEEKLY;UNTIL=20261130", "the rule ends before its first date, 2026-12-01"),
        ("FREQ=WEEKLY;UNTIL=20261201T135900Z", "the rule ends before its first date"),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", NO_DAY),
        ("FREQ=MONTHLY;BYMONTH=2,4,6,9,11;BYMONTHDAY=31", NO_DAY),
        ("FREQ=YEARLY;BYMONTH=3;BYDAY=6MO", NO_DAY),
        ("FREQ=MONTHLY;BYDAY=MO,TU;BYMONTHDAY=1;BYSETPOS=2", NO_DAY),
        ("FREQ=WEEKLY;BYDAY=WE", "2026-12-01, is not one that the rule gives; .* is 2026-12-02"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_in_words(rule: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        recurring(rule)


@pytest.mark.parametrize("zone", ["", "Nowhere/Town", "../secret", "America", "localtime"])
def test_what_is_no_zone_of_the_world_is_refused_with_one_that_is(zone: str) -> None:
    with pytest.raises(ValueError, match=r"there is no time zone .* such as Europe/Berlin"):
        recurring("FREQ=WEEKLY", zone=zone)


@pytest.mark.parametrize(
    ("start", "words"),
    [
        ("2026-12-01T09:00+01:00", "without an offset"),
        ("2026-12-01T09:00:30", "in hours and minutes"),
        ("1969-12-31T09:00", "1969-12-31 is not between 1970 and 2099"),
        ("2100-01-01T09:00", "2100-01-01 is not between 1970 and 2099"),
    ],
)
def test_a_start_that_no_clock_could_show_is_refused(start: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        recurring(None, start)
    with pytest.raises(ValueError, match=words):
        replace(recurring(None), also_at=(at(start),))


def test_dates_beside_a_rule_have_a_number_and_a_reach() -> None:
    many = tuple(at("2026-12-01T09:00") + timedelta(days=n) for n in range(MOST_LISTED + 1))
    for listed in ({"also_at": many}, {"except_at": many}):
        with pytest.raises(ValueError, match="at most 200 dates"):
            Recurrence(starts_at=many[0], timezone=ZONE, rule="FREQ=DAILY", **listed)
    with pytest.raises(ValueError, match=r"2057-01-01 is too far ahead: .* for 30 years"):
        replace(recurring("FREQ=DAILY"), also_at=(at("2057-01-01T09:00"),))


def test_what_is_left_out_to_the_last_never_occurs() -> None:
    both = (at("2026-12-01T09:00"), at("2026-12-08T09:00"))
    with pytest.raises(ValueError, match="every date that it gives is left out"):
        replace(recurring("FREQ=WEEKLY;COUNT=2"), except_at=both)
    with pytest.raises(ValueError, match="every date that it gives is left out"):
        replace(recurring(None), except_at=both[:1])
    assert shown(ever(replace(recurring("FREQ=WEEKLY;COUNT=2"), except_at=both[:1]))) == [
        "2026-12-08T09:00"
    ]


def test_without_a_rule_it_occurs_once_and_on_the_dates_listed() -> None:
    listed = (at("2026-12-24T10:00"), at("2026-11-20T08:00"))
    found = ever(replace(recurring(None), also_at=listed))
    assert shown(found) == ["2026-11-20T08:00", "2026-12-01T09:00", "2026-12-24T10:00"]


def test_a_date_listed_that_the_rule_gives_too_occurs_once() -> None:
    of = replace(recurring("FREQ=WEEKLY;COUNT=2"), also_at=(at("2026-12-08T09:00"),))
    assert shown(ever(of)) == ["2026-12-01T09:00", "2026-12-08T09:00"]


def test_the_parts_of_a_rule_stand_in_any_order() -> None:
    one = recurring("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU;COUNT=3")
    assert ever(one) == ever(recurring("COUNT=3;BYDAY=TU;INTERVAL=2;FREQ=WEEKLY"))
    assert len(ever(one)) == 3


def test_an_end_on_a_day_has_that_day() -> None:
    found = ever(recurring("FREQ=WEEKLY;UNTIL=20261208"))
    assert shown(found) == ["2026-12-01T09:00", "2026-12-08T09:00"]


def test_an_end_at_an_instant_knows_which_of_two_times_a_clock_shows() -> None:
    """01:30 is first in summer time, at 05:30 UTC; the end is at the second 01:15."""
    found = ever(recurring("FREQ=DAILY;UNTIL=20271107T061500Z", "2027-11-06T01:30"))
    assert shown(found) == ["2027-11-06T01:30", "2027-11-07T01:30"]


def test_a_listed_time_that_the_clock_skips_is_the_time_after_the_gap() -> None:
    """02:30 and 03:30 on the day of the change are one instant, and a day has it once."""
    twice = (at("2027-03-14T02:30"), at("2027-03-14T03:30"))
    of = replace(recurring(None), also_at=twice)
    assert shown(ever(of)) == ["2026-12-01T09:00", "2027-03-14T03:30"]
    assert shown(ever(replace(of, except_at=twice[:1]))) == ["2026-12-01T09:00"]


def test_a_day_that_a_zone_leaves_out_is_left_out() -> None:
    """Samoa went from the 29th to the 31st of December 2011."""
    found = ever(recurring("FREQ=DAILY;COUNT=3", "2011-12-29T09:00", "Pacific/Apia"))
    assert shown(found) == ["2011-12-29T09:00", "2011-12-31T09:00", "2012-01-01T09:00"]


def test_a_start_on_a_day_that_a_zone_leaves_out_is_the_day_after_once() -> None:
    of = recurring("FREQ=DAILY;COUNT=3", "2011-12-30T09:00", "Pacific/Apia")
    assert shown(ever(of))[:2] == ["2011-12-31T09:00", "2012-01-01T09:00"]


def test_a_leap_day_waits_for_its_year() -> None:
    rule = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29"
    assert first_that_fits(rule, from_on=date(2096, 3, 1)) == date(2104, 2, 29)
    assert first_that_fits(rule, from_on=date(2025, 1, 1)) == date(2028, 2, 29)
    assert first_that_fits(f"{rule};BYDAY=MO", from_on=date(2025, 1, 1)) == date(2044, 2, 29)
    assert fits(rule, date(2028, 2, 29))
    assert not fits(rule, date(2027, 2, 28))


def test_a_search_is_cut_where_it_says_so() -> None:
    of = recurring("FREQ=DAILY")
    found = occurrences(of, from_on=date(2026, 12, 1), to_on=date(2056, 12, 31))
    assert (len(found.at), found.is_cut) == (MOST_OCCURRENCES, True)
    ten = occurrences(of, from_on=date(2027, 1, 1), to_on=date(2027, 1, 10), most=10)
    assert (len(ten.at), ten.is_cut) == (10, False)


def test_a_rule_is_followed_for_thirty_years() -> None:
    assert f"{ever(recurring('FREQ=DAILY'))[-1]:%Y-%m-%d}" == "2056-12-31"
    assert f"{ever(recurring('FREQ=DAILY', '2090-01-01T09:00'))[-1]:%Y-%m-%d}" == "2099-12-31"


def test_the_next_ones_are_after_an_instant_and_not_after_a_clock() -> None:
    """At the second 01:15 of the night, 01:30 of summer time is past."""
    of = recurring("FREQ=DAILY", "2027-11-01T01:30")
    second = at("2027-11-07T01:15").replace(tzinfo=ZoneInfo(ZONE), fold=1)
    assert shown(next_occurrences(of, after=second, most=1)) == ["2027-11-08T01:30"]
    first = second.replace(fold=0)
    assert shown(next_occurrences(of, after=first, most=1)) == ["2027-11-07T01:30"]


STRANGE: Final = [
    "FREQ=DAILY",
    "FREQ=DAILY;INTERVAL=97;BYMONTH=2;BYDAY=MO;COUNT=1000",
    "FREQ=WEEKLY;INTERVAL=99;BYDAY=MO,TU,WE,TH,FR,SA,SU;COUNT=1000",
    "FREQ=MONTHLY;INTERVAL=97;BYMONTH=2;BYMONTHDAY=29",
    "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13;BYMONTH=2;COUNT=1000",
    "FREQ=YEARLY;INTERVAL=99;BYMONTH=2;BYMONTHDAY=29",
    "FREQ=YEARLY;INTERVAL=7;BYMONTH=2;BYMONTHDAY=29;BYDAY=MO",
    "FREQ=YEARLY;BYDAY=MO,TU,WE,TH,FR,SA,SU;BYSETPOS=1,-1,31,-31",
    "FREQ=YEARLY;BYDAY=53MO,53TU,53WE,-53TH;COUNT=1000",
]


@pytest.mark.parametrize("rule", STRANGE)
def test_the_strangest_rule_is_followed_to_its_end_in_bounded_work(rule: str) -> None:
    first = first_that_fits(rule, from_on=date(2026, 1, 1))
    assert first is not None
    start = datetime.combine(first, time(9))
    made = partial(Recurrence, starts_at=start, timezone=ZONE, rule=rule)
    assert calls_of(made) < MOST_CALLS / 10
    assert calls_of(lambda: ever(made())) < MOST_CALLS
    after = datetime(2098, 1, 1, tzinfo=UTC)
    assert calls_of(lambda: next_occurrences(made(), after=after, most=5)) < MOST_CALLS


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYMONTH=3;BYDAY=53SU",
        "FREQ=MONTHLY;BYDAY=1MO;BYMONTHDAY=31",
        "FREQ=DAILY;UNTIL=19700101",
    ],
)
def test_a_rule_that_no_day_fits_is_given_up_in_bounded_work(rule: str) -> None:
    assert calls_of(lambda: first_that_fits(rule, from_on=date(2026, 1, 1))) < MOST_CALLS / 2


def test_a_year_far_ahead_is_found_without_following_all_years_before() -> None:
    of = recurring("FREQ=DAILY", "2000-01-01T09:00")
    near = partial(occurrences, of, from_on=date(2000, 1, 1), to_on=date(2000, 1, 31))
    far = partial(occurrences, of, from_on=date(2029, 1, 1), to_on=date(2029, 1, 31))
    assert calls_of(far) < 2 * calls_of(near)


WEEKDAYS: Final = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@st.composite
def rules(draw: st.DrawFn) -> str:
    freq = draw(st.sampled_from(("DAILY", "WEEKLY", "MONTHLY", "YEARLY")))
    days = draw(st.lists(st.sampled_from(WEEKDAYS), min_size=1, max_size=4, unique=True))
    parts = [f"FREQ={freq}", f"INTERVAL={draw(st.integers(1, 9))}", f"BYDAY={','.join(days)}"]
    if draw(st.booleans()):
        parts.append(f"COUNT={draw(st.integers(1, 30))}")
    return ";".join(parts)


@st.composite
def recurrences(draw: st.DrawFn) -> Recurrence:
    rule = draw(rules())
    first = first_that_fits(rule, from_on=draw(st.dates(date(2024, 1, 1), date(2027, 12, 31))))
    assert first is not None
    starts_at = datetime.combine(first, draw(st.sampled_from((time(1, 30), time(2, 30), time(9)))))
    listed = st.lists(st.integers(1, 500).map(lambda n: starts_at + timedelta(days=n)), max_size=4)
    return Recurrence(
        starts_at=starts_at,
        timezone=draw(st.sampled_from((ZONE, "Europe/Berlin", "Australia/Lord_Howe"))),
        rule=rule,
        also_at=tuple(draw(listed)),
        except_at=tuple(draw(listed)),
    )


@settings(max_examples=times(30), deadline=None)
@given(recurrences(), st.integers(-50, 900), st.integers(0, 400))
def test_a_range_has_what_all_of_it_has_there(of: Recurrence, ahead: int, days: int) -> None:
    from_on = of.starts_at.date() + timedelta(days=ahead)
    to_on = from_on + timedelta(days=days)
    found = occurrences(of, from_on=from_on, to_on=to_on, most=20_000).at
    assert found == tuple(one for one in ever(of) if from_on <= one.date() <= to_on)


@settings(max_examples=times(30), deadline=None)
@given(recurrences(), st.integers(-50, 900))
def test_the_next_few_are_the_first_after(of: Recurrence, ahead: int) -> None:
    after = of.starts_at.replace(tzinfo=UTC) + timedelta(days=ahead)
    later = tuple(one for one in ever(of) if one.astimezone(UTC) > after)
    assert next_occurrences(of, after=after, most=5) == later[:5]


@settings(max_examples=times(30), deadline=None)
@given(recurrences())
def test_instants_come_in_order_each_once_and_none_that_is_left_out(of: Recurrence) -> None:
    found = [one.astimezone(UTC) for one in ever(of)]
    assert found == sorted(set(found))
    zone = ZoneInfo(of.timezone)
    left_out = {one.replace(tzinfo=zone).astimezone(UTC) for one in of.except_at}
    assert not left_out & set(found)
