"""A week is read and written in one form, runs from Monday to Sunday, and exists in its year."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.errors import InputRefused
from daysworth.domain.iso_weeks import FIRST_READ_YEAR, LAST_READ_YEAR, Week

DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))
many = settings(max_examples=200, deadline=None, derandomize=True, database=None)


def refusal(written: str) -> str:
    with pytest.raises(InputRefused) as refused:
        Week.read(written)
    return str(refused.value)


def test_a_week_is_written_with_its_year_and_two_figures() -> None:
    assert str(Week(2026, 48)) == "2026-W48"
    assert str(Week(2027, 3)) == "2027-W03"


def test_a_week_runs_from_monday_to_sunday() -> None:
    week = Week.of(date(2026, 11, 25))
    assert week == Week(2026, 48)
    assert (week.first_day, week.last_day) == (date(2026, 11, 23), date(2026, 11, 29))


def test_the_first_days_of_january_may_be_in_the_last_week_of_the_year_before() -> None:
    assert Week.of(date(2027, 1, 1)) == Week(2026, 53)
    assert Week.of(date(2027, 1, 4)) == Week(2027, 1)


def test_the_week_before_the_first_is_the_last_of_the_year_before() -> None:
    assert Week(2027, 1).previous() == Week(2026, 53)
    assert Week(2026, 1).previous() == Week(2025, 52)
    assert Week(2026, 48).previous() == Week(2026, 47)


def test_weeks_stand_in_the_order_of_time() -> None:
    assert sorted([Week(2027, 1), Week(2026, 53), Week(2026, 9)]) == [
        Week(2026, 9),
        Week(2026, 53),
        Week(2027, 1),
    ]


@many
@given(DAYS)
def test_a_day_is_in_its_week_and_in_no_other(day: date) -> None:
    week = Week.of(day)
    assert week.first_day <= day <= week.last_day
    assert week.first_day.isoweekday() == 1
    assert week.last_day - week.first_day == timedelta(days=6)
    assert week.previous().last_day == week.first_day - timedelta(days=1)
    assert week.previous() < week


@many
@given(st.dates(date(2010, 1, 4), date(2090, 12, 31)))
def test_what_is_written_is_read_back(day: date) -> None:
    assert Week.read(str(Week.of(day))) == Week.of(day)


@pytest.mark.parametrize(("year", "number"), [(2026, 0), (2026, 54), (2025, 53), (2026, -1)])
def test_there_is_no_week_that_its_year_has_not(year: int, number: int) -> None:
    with pytest.raises(ValueError, match="week"):
        Week(year, number)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "current",
        "2026W48",
        "2026-48",
        "2026-w48",
        "2026-W4",
        "2026-W048",
        "2026-W48-3",
        " 2026-W48",
        "2026-W48\n",
        "-2026-W48",
        "26-W48",
        "2026-W4８",
        "٢٠٢٦-W48",
    ],
)
def test_another_form_is_refused_with_the_form_that_is_right(written: str) -> None:
    assert refusal(written) == "a week is written as its year and its number, such as 2026-W48"


def test_a_week_that_its_year_has_not_is_refused_with_those_it_has() -> None:
    assert refusal("2025-W53") == (
        "there is no week 2025-W53: the weeks of 2025 are 2025-W01 to 2025-W52"
    )
    assert refusal("2026-W54") == (
        "there is no week 2026-W54: the weeks of 2026 are 2026-W01 to 2026-W53"
    )
    assert refusal("2026-W00").startswith("there is no week 2026-W00")
    assert refusal("2026-W99").startswith("there is no week 2026-W99")


def test_a_year_far_from_ours_is_refused() -> None:
    assert (FIRST_READ_YEAR, LAST_READ_YEAR) == (2010, 2090)
    assert refusal("2009-W53") == "2009-W53 is not between 2010 and 2090"
    assert refusal("2091-W01") == "2091-W01 is not between 2010 and 2090"
    assert refusal("0000-W01") == "0000-W01 is not between 2010 and 2090"
    assert Week.read("2010-W01").first_day == date(2010, 1, 4)
    assert Week.read("2090-W52").last_day == date(2090, 12, 31)


@many
@given(st.text(max_size=12) | st.from_regex(r"[0-9]{4}-W[0-9]{2}", fullmatch=True))
def test_any_text_is_a_week_or_is_refused(text: str) -> None:
    try:
        week = Week.read(text)
    except InputRefused:
        return
    assert str(week) == text
