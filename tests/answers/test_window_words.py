"""What is said of a window: when it recurs, for how long, where, in which months, and its dates."""

from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.answers.window_words import (
    DATES_SHOWN,
    next_visits,
    recurrence_words,
    visit_words,
    window_words,
)
from daysworth.domain.identifiers import WindowId
from daysworth.domain.partners import Window
from daysworth.domain.recurrence import Recurrence, first_that_fits
from daysworth.domain.window_choices import Weekday

FROM_ON: Final = date(2026, 12, 1)
AFTER: Final = datetime(2026, 12, 1, tzinfo=UTC)


def at(written: str) -> datetime:
    return datetime.fromisoformat(written)


def recurring(rule: str | None) -> Recurrence:
    """Make a recurrence at nine that begins on the first day that its rule gives."""
    first = FROM_ON if rule is None else first_that_fits(rule, from_on=FROM_ON)
    assert first is not None
    return Recurrence(
        starts_at=datetime.combine(first, time(9)), timezone="Europe/Berlin", rule=rule
    )


def window(rule: str | None, *, minutes: int = 120) -> Window:
    return Window(id=WindowId("one"), recurrence=recurring(rule), minutes=minutes)


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("FREQ=WEEKLY;BYDAY=TU", "every Tuesday at 09:00"),
        ("FREQ=WEEKLY", "every Tuesday at 09:00"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", "every second Tuesday at 09:00"),
        ("FREQ=WEEKLY;INTERVAL=3;BYDAY=TU", "every 3 weeks on Tuesday at 09:00"),
        (
            "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,TH",
            "every second week on Tuesday and Thursday at 09:00",
        ),
        ("FREQ=DAILY;BYDAY=MO,TU,WE", "every Monday, Tuesday and Wednesday at 09:00"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU", "every day at 09:00"),
        ("FREQ=DAILY", "every day at 09:00"),
        ("FREQ=DAILY;INTERVAL=10", "every 10 days at 09:00"),
        ("FREQ=MONTHLY;BYDAY=1SA", "on the first Saturday of every month at 09:00"),
        ("FREQ=MONTHLY;BYDAY=1SA,3SA", "on the first and third Saturday of every month at 09:00"),
        (
            "FREQ=MONTHLY;INTERVAL=2;BYDAY=-1SU",
            "on the last Sunday of the month, every second month, at 09:00",
        ),
        (
            "FREQ=MONTHLY;BYDAY=5SA",
            "on the fifth Saturday of every month, where there is one, at 09:00",
        ),
        (
            "FREQ=MONTHLY;BYMONTHDAY=2,15,-1",
            "on the 2nd, the 15th and the last day of every month at 09:00",
        ),
        ("FREQ=MONTHLY;BYMONTHDAY=31", "on the 31st of every month, where there is one, at 09:00"),
        (
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
            "on the last working day of every month at 09:00",
        ),
        ("FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1", "on the 1st of March and September at 09:00"),
        ("FREQ=YEARLY", "on the 1st of December at 09:00"),
        ("FREQ=YEARLY;INTERVAL=4", "on the 1st of December, every 4 years, at 09:00"),
        ("FREQ=YEARLY;BYMONTH=11;BYDAY=2SA", "on the second Saturday of November at 09:00"),
        ("FREQ=MONTHLY;BYDAY=TU;BYMONTH=6,7", "every Tuesday, only in June and July, at 09:00"),
        ("FREQ=YEARLY;BYDAY=20MO", "by the rule FREQ=YEARLY;BYDAY=20MO at 09:00"),
        (
            "FREQ=YEARLY;INTERVAL=2;BYDAY=TU",
            "by the rule FREQ=YEARLY;INTERVAL=2;BYDAY=TU at 09:00",
        ),
        (
            "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
            "by the rule FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13 at 09:00",
        ),
        ("FREQ=WEEKLY;COUNT=8", "every Tuesday at 09:00, 8 times"),
        ("FREQ=WEEKLY;UNTIL=20271231", "every Tuesday at 09:00, until 31 December 2027"),
        (
            "FREQ=WEEKLY;UNTIL=20271231T120000Z",
            "every Tuesday at 09:00, until 31 December 2027",
        ),
        (None, "once, on Tuesday 1 December 2026 at 09:00"),
    ],
)
def test_a_rule_is_said_as_people_say_it(rule: str | None, words: str) -> None:
    assert recurrence_words(recurring(rule)) == f"{words} (Europe/Berlin)"


def test_a_window_says_for_how_long_where_and_in_which_months_it_opens() -> None:
    of = window("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU")
    assert window_words(of) == "every second Tuesday at 09:00, for 2 hours (Europe/Berlin)"
    for minutes, words in ((5, "5 minutes"), (60, "1 hour"), (91, "1 hour and 31 minutes")):
        assert f"for {words} (" in window_words(replace(of, minutes=minutes))


@pytest.mark.parametrize(
    ("months", "words"),
    [
        ({5, 6, 7, 8, 9}, "May to September"),
        ({11, 12, 1, 2}, "November to February"),
        ({12, 1}, "January and December"),
        ({3}, "March"),
        ({1, 3, 5}, "January, March and May"),
        (set(range(1, 13)) - {8}, "September to July"),
        ({1, 2, 3}, "January to March"),
    ],
)
def test_months_in_a_row_are_named_by_the_first_and_the_last(months: set[int], words: str) -> None:
    of = replace(window("FREQ=WEEKLY"), open_months=frozenset(months))
    assert window_words(of).endswith(f"(Europe/Berlin), only in {words}")


def test_dates_beside_and_left_out_are_named_while_they_are_few() -> None:
    also = (at("2027-01-02T10:00"), at("2026-12-24T08:30"))
    of = replace(recurring("FREQ=WEEKLY"), also_at=also, except_at=(at("2026-12-29T09:00"),))
    assert recurrence_words(of) == (
        "every Tuesday at 09:00, also on 24 December 2026 at 08:30 and 2 January 2027 at 10:00, "
        "not on 29 December 2026 at 09:00 (Europe/Berlin)"
    )
    many = tuple(at(f"2027-02-{day:02}T10:00") for day in range(1, 5))
    assert ", also on 4 listed dates (" in recurrence_words(replace(of, also_at=many, except_at=()))
    listed = replace(recurring(None), also_at=also[:1])
    assert recurrence_words(listed) == (
        "on Tuesday 1 December 2026 at 09:00, also on 2 January 2027 at 10:00 (Europe/Berlin)"
    )


def test_a_visit_is_said_by_the_clock_there() -> None:
    opens_at = at("2026-12-08T09:00")
    assert visit_words(opens_at, 90) == "Tuesday 8 December 2026, 09:00 to 10:30"
    aware = window("FREQ=WEEKLY").opens(from_on=date(2026, 12, 8), to_on=date(2026, 12, 8))
    assert visit_words(aware[0], 90) == visit_words(opens_at, 90)
    late = visit_words(at("2026-12-08T23:00"), 120)
    assert late == "Tuesday 8 December 2026, 23:00 to 01:00 on Wednesday 9 December 2026"


def test_the_next_dates_of_a_window_are_five_and_in_its_months() -> None:
    of = replace(window("FREQ=DAILY"), open_months=frozenset({2}))
    found = next_visits(of, AFTER)
    assert [f"{one:%Y-%m-%d %H:%M}" for one in found] == [
        f"2027-02-0{day} 09:00" for day in range(1, 1 + DATES_SHOWN)
    ]
    last_february_day = datetime(2027, 2, 28, 12, tzinfo=UTC)
    (then,) = next_visits(of, last_february_day, most=1)
    assert f"{then:%Y-%m-%d}" == "2028-02-01"


def test_a_window_that_ends_has_no_more_dates_than_are_left() -> None:
    assert len(next_visits(window("FREQ=WEEKLY;COUNT=3"), AFTER)) == 3
    assert next_visits(window(None), datetime(2027, 1, 1, tzinfo=UTC)) == ()


@settings(max_examples=80, deadline=None)
@given(st.frozensets(st.sampled_from(list(Weekday)), min_size=1), st.integers(1, 5))
def test_weekdays_are_named_each_and_no_other_is(days: frozenset[Weekday], every: int) -> None:
    codes = ",".join(day[:2].upper() for day in days)
    words = recurrence_words(recurring(f"FREQ=WEEKLY;INTERVAL={every};BYDAY={codes}"))
    if len(days) == 7 and every == 1:
        assert words.startswith("every day ")
    else:
        assert {day for day in Weekday if day.capitalize() in words} == days
