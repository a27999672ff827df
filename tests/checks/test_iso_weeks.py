"""Hold the weeks against ISO 8601's own rule, and against days that others have published.

S   ISO 8601, the rule itself: weeks begin on Monday, and the first week of a year is the one with
    its first Thursday in it.
K   M. Kuhn, "A summary of the international standard date and time notation".
D   IBM Db2, WEEK_ISO scalar function, the table of results.
V   Vertica, WEEK_ISO, examples.
P   PostgreSQL, date and time functions, `isoyear` and `week`.
L   Python's library reference, `date.isocalendar`.
W   Wikipedia, "ISO week date". The rows marked W are from memory, the rest were looked at.
"""

from datetime import date, timedelta

import pytest

from daysworth.domain.iso_weeks import Week


@pytest.mark.parametrize(
    ("day", "week"),
    [
        pytest.param(date(1996, 12, 30), "1997-W01", id="K, its first day"),
        pytest.param(date(1996, 12, 31), "1997-W01", id="K, a Tuesday"),
        pytest.param(date(1997, 1, 5), "1997-W01", id="K, its last day"),
        pytest.param(date(1997, 12, 28), "1997-W52", id="D"),
        pytest.param(date(1997, 12, 31), "1998-W01", id="D"),
        pytest.param(date(1998, 1, 1), "1998-W01", id="D"),
        pytest.param(date(1999, 1, 1), "1998-W53", id="D"),
        pytest.param(date(1999, 1, 4), "1999-W01", id="D"),
        pytest.param(date(1999, 12, 31), "1999-W52", id="D"),
        pytest.param(date(2000, 1, 1), "1999-W52", id="D"),
        pytest.param(date(2000, 1, 3), "2000-W01", id="D"),
        pytest.param(date(2003, 12, 29), "2004-W01", id="L, its first day"),
        pytest.param(date(2004, 1, 4), "2004-W01", id="L, its last day"),
        pytest.param(date(2005, 1, 1), "2004-W53", id="P"),
        pytest.param(date(2006, 1, 1), "2005-W52", id="P"),
        pytest.param(date(2012, 12, 31), "2013-W01", id="P"),
        pytest.param(date(2014, 12, 29), "2015-W01", id="V"),
        pytest.param(date(2016, 1, 3), "2015-W53", id="V"),
        pytest.param(date(2016, 1, 4), "2016-W01", id="V"),
        pytest.param(date(2004, 12, 31), "2004-W53", id="W"),
        pytest.param(date(2005, 1, 2), "2004-W53", id="W"),
        pytest.param(date(2005, 12, 31), "2005-W52", id="W"),
        pytest.param(date(2006, 1, 2), "2006-W01", id="W"),
        pytest.param(date(2006, 12, 31), "2006-W52", id="W"),
        pytest.param(date(2007, 1, 1), "2007-W01", id="W"),
        pytest.param(date(2007, 12, 30), "2007-W52", id="W"),
        pytest.param(date(2007, 12, 31), "2008-W01", id="W"),
        pytest.param(date(2008, 9, 26), "2008-W39", id="W"),
        pytest.param(date(2008, 12, 28), "2008-W52", id="W"),
        pytest.param(date(2008, 12, 29), "2009-W01", id="W"),
        pytest.param(date(2009, 12, 31), "2009-W53", id="W"),
        pytest.param(date(2010, 1, 1), "2009-W53", id="W"),
        pytest.param(date(2010, 1, 3), "2009-W53", id="W"),
        pytest.param(date(2010, 1, 4), "2010-W01", id="W"),
    ],
)
def test_a_day_is_in_the_week_that_was_published(day: date, week: str) -> None:
    assert str(Week.of(day)) == week
    assert Week.of(day).first_day <= day <= Week.of(day).last_day


def test_the_years_of_53_weeks_are_those_published() -> None:
    """W, from memory: years that begin or end on a Thursday have 53 weeks."""
    long = [year for year in range(2000, 2101) if Week.last_of(year).number == 53]
    assert long == [
        *(2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048),
        *(2054, 2060, 2065, 2071, 2076, 2082, 2088, 2093, 2099),
    ]


def test_71_years_in_400_have_53_weeks() -> None:
    """W: 400 years of the calendar are 20,871 whole weeks."""
    numbers = [Week.last_of(year).number for year in range(2000, 2400)]
    assert sum(number == 53 for number in numbers) == 71
    assert sum(numbers) == 20_871


def by_the_rule(day: date) -> tuple[int, int]:
    """S: a week belongs to the year of its Thursday, and is numbered by that year's Thursdays."""
    thursday = day - timedelta(days=day.weekday()) + timedelta(days=3)
    return thursday.year, (thursday - date(thursday.year, 1, 1)).days // 7 + 1


def test_every_day_of_a_century_is_in_the_week_that_the_rule_gives() -> None:
    first = date(2000, 1, 1)
    days = [first + timedelta(days=number) for number in range(36_525)]
    assert days[-1] == date(2099, 12, 31)
    found = [(Week.of(day).year, Week.of(day).number) for day in days]
    assert found == [by_the_rule(day) for day in days]
