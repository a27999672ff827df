"""Rounds come on the days of the store's rule, counted from a fixed day, whenever it is asked."""

from datetime import date, timedelta

import pytest

from daysworth.domain.rounds import (
    SPRING_AND_AUTUMN,
    check_round_rule,
    next_round_day,
    round_days,
    round_held_on,
)


@pytest.mark.parametrize(
    ("after", "day"),
    [
        (date(2026, 1, 1), date(2026, 3, 1)),
        (date(2026, 2, 28), date(2026, 3, 1)),
        (date(2026, 3, 1), date(2026, 9, 1)),
        (date(2026, 3, 2), date(2026, 9, 1)),
        (date(2026, 8, 31), date(2026, 9, 1)),
        (date(2026, 9, 1), date(2027, 3, 1)),
        (date(2026, 12, 31), date(2027, 3, 1)),
        (date(2028, 2, 29), date(2028, 3, 1)),
        (date(2000, 1, 1), date(2000, 3, 1)),
        (date(2099, 12, 31), date(2100, 3, 1)),
    ],
)
def test_the_default_rounds_are_the_first_of_march_and_of_september(after: date, day: date) -> None:
    assert next_round_day(SPRING_AND_AUTUMN, after=after) == day


def test_a_round_is_strictly_after_the_day_that_is_asked_about() -> None:
    day = date(2026, 1, 1)
    for _ in range(20):
        following = next_round_day(SPRING_AND_AUTUMN, after=day)
        assert following is not None
        assert following > day
        assert next_round_day(SPRING_AND_AUTUMN, after=following - timedelta(days=1)) == following
        day = following
    assert day == date(2035, 9, 1)


@pytest.mark.parametrize(
    ("rule", "day"),
    [
        ("FREQ=YEARLY", date(2027, 1, 1)),
        ("FREQ=MONTHLY", date(2026, 7, 1)),
        ("FREQ=MONTHLY;BYMONTHDAY=15", date(2026, 7, 15)),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", date(2026, 6, 30)),
        ("FREQ=MONTHLY;BYDAY=1SA", date(2026, 7, 4)),
        ("FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13", date(2026, 7, 11)),
        ("FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1", date(2026, 6, 30)),
        ("FREQ=YEARLY;BYMONTH=3,9;BYDAY=1SA", date(2026, 9, 5)),
        ("FREQ=YEARLY;BYMONTH=6;BYMONTHDAY=15", date(2027, 6, 15)),
        ("FREQ=WEEKLY;BYDAY=SA", date(2026, 6, 20)),
        ("FREQ=WEEKLY;BYDAY=MO", date(2026, 6, 22)),
    ],
)
def test_a_rule_of_rfc_5545_gives_its_next_day_after_monday_15_june_2026(
    rule: str, day: date
) -> None:
    check_round_rule(rule)
    assert next_round_day(rule, after=date(2026, 6, 15)) == day


@pytest.mark.parametrize(
    ("rule", "after", "day"),
    [
        pytest.param("FREQ=MONTHLY;INTERVAL=6", date(2026, 6, 15), date(2026, 7, 1), id="half"),
        pytest.param("FREQ=MONTHLY;INTERVAL=6", date(2026, 7, 1), date(2027, 1, 1), id="half, on"),
        pytest.param("FREQ=MONTHLY;INTERVAL=5", date(2026, 6, 15), date(2026, 9, 1), id="fifth"),
        pytest.param("FREQ=WEEKLY;INTERVAL=2", date(2026, 6, 15), date(2026, 6, 27), id="weeks"),
        pytest.param("FREQ=WEEKLY;INTERVAL=26", date(2026, 6, 15), date(2026, 11, 28), id="26"),
        pytest.param(
            "FREQ=YEARLY;INTERVAL=2;BYMONTH=9;BYMONTHDAY=1",
            date(2026, 9, 2),
            date(2028, 9, 1),
            id="even years",
        ),
        pytest.param(
            "FREQ=YEARLY;INTERVAL=2;BYMONTH=3;BYMONTHDAY=1",
            date(2026, 3, 1),
            date(2028, 3, 1),
            id="two years on, past a leap day",
        ),
        pytest.param(
            "FREQ=YEARLY;INTERVAL=3;BYMONTH=3;BYMONTHDAY=1",
            date(2026, 6, 15),
            date(2027, 3, 1),
            id="third years",
        ),
    ],
)
def test_an_interval_counts_from_the_first_of_january_2000(
    rule: str, after: date, day: date
) -> None:
    """RFC 5545, 3.3.10: intervals count from the start of the rule, here Saturday 1 January 2000.

    Worked by hand: June 2026 is month 317, September month 320, 64 fives. 15 June is day 9,662; 691
    fortnights are day 9,674, and 54 times 26 weeks are day 9,828.
    """
    assert next_round_day(rule, after=after) == day


def test_the_phase_of_an_interval_does_not_hang_on_when_it_is_asked() -> None:
    rule = "FREQ=WEEKLY;INTERVAL=3"
    found = {
        next_round_day(rule, after=date(2026, 6, 15) + timedelta(days=shift)) for shift in range(63)
    }
    days = sorted(day for day in found if day is not None)
    assert len(days) == len(found) in (3, 4)
    assert all((day - date(2000, 1, 1)).days % 21 == 0 for day in days)


@pytest.mark.parametrize(
    ("rule", "after"),
    [
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", date(2024, 2, 29)),
        ("FREQ=YEARLY;INTERVAL=4", date(2026, 6, 15) - timedelta(days=365)),
        ("FREQ=YEARLY;INTERVAL=50", date(2026, 6, 15)),
    ],
)
def test_a_rule_without_a_round_in_the_coming_two_years_has_no_next_day(
    rule: str, after: date
) -> None:
    assert next_round_day(rule, after=after) is None


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYMONTH=2,4,6,9,11;BYMONTHDAY=31",
        "FREQ=YEARLY;BYMONTH=1;BYDAY=6MO",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;BYMONTHDAY=1;BYSETPOS=5",
    ],
)
def test_a_rule_that_never_occurs_has_no_next_day_and_does_not_hang(rule: str) -> None:
    check_round_rule(rule)
    assert next_round_day(rule, after=date(2026, 6, 15)) is None


def test_short_months_are_passed_over() -> None:
    """RFC 5545, 3.3.10: a day that a month does not have is ignored, and not moved."""
    rule = "FREQ=MONTHLY;BYMONTHDAY=31"
    assert next_round_day(rule, after=date(2027, 1, 31)) == date(2027, 3, 31)
    assert next_round_day(rule, after=date(2027, 5, 31)) == date(2027, 7, 31)
    assert next_round_day(rule, after=date(2027, 7, 31)) == date(2027, 8, 31)


@pytest.mark.parametrize(
    ("on", "held_on"),
    [
        (date(2026, 2, 28), date(2025, 9, 1)),
        (date(2026, 3, 1), date(2026, 3, 1)),
        (date(2026, 3, 2), date(2026, 3, 1)),
        (date(2026, 9, 1), date(2026, 9, 1)),
        (date(2000, 2, 29), None),
        (date(1999, 12, 31), None),
    ],
)
def test_the_latest_round_is_on_the_day_or_before_it(on: date, held_on: date | None) -> None:
    assert round_held_on(SPRING_AND_AUTUMN, on=on) == held_on


def test_a_latest_round_is_looked_for_two_years_back_and_no_further() -> None:
    """Worked by hand: 1 March 2024 to 2026 are 730 days, and 2 March 2026 is day 731."""
    rule = "FREQ=YEARLY;INTERVAL=6;BYMONTH=3;BYMONTHDAY=1"
    assert round_held_on(rule, on=date(2024, 3, 1)) == date(2024, 3, 1)
    assert round_held_on(rule, on=date(2026, 3, 2)) == date(2024, 3, 1)
    assert round_held_on(rule, on=date(2026, 3, 3)) is None


def test_the_rounds_of_a_time_are_those_in_it_both_ends_included() -> None:
    first, last = date(2026, 3, 1), date(2027, 3, 1)
    assert round_days(SPRING_AND_AUTUMN, from_on=first, to_on=last) == (
        first,
        date(2026, 9, 1),
        last,
    )
    day = timedelta(days=1)
    inside = round_days(SPRING_AND_AUTUMN, from_on=first + day, to_on=last - day)
    assert inside == (date(2026, 9, 1),)
    assert round_days(SPRING_AND_AUTUMN, from_on=first + day, to_on=first + day) == ()
    assert round_days(SPRING_AND_AUTUMN, from_on=last, to_on=first) == ()


@pytest.mark.parametrize(
    "rule", [SPRING_AND_AUTUMN, "FREQ=WEEKLY;INTERVAL=3", "FREQ=MONTHLY;BYMONTHDAY=-1"]
)
def test_the_next_round_the_latest_and_those_between_agree(rule: str) -> None:
    for shift in range(0, 800, 23):
        day = date(2026, 1, 3) + timedelta(days=shift)
        held_on, following = round_held_on(rule, on=day), next_round_day(rule, after=day)
        assert held_on is not None
        assert following is not None
        assert round_days(rule, from_on=held_on, to_on=following) == (held_on, following)


def test_a_rule_that_never_occurs_had_no_round_and_has_none() -> None:
    rule = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"
    assert round_held_on(rule, on=date(2026, 6, 15)) is None
    assert round_days(rule, from_on=date(2026, 1, 1), to_on=date(2027, 12, 31)) == ()
