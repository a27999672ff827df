"""Hold energy needs by the table against the document it is published in.

D   Dietary Guidelines for Americans 2020-2025, Appendix 2.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from math import fsum

import pytest

from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import NeedsBasis, daily_need
from daysworth.domain.people import Activity, AgeBand, Member, Sex
from daysworth.reference import energy

AS_OF = date(2026, 6, 15)


def aged(years: int, *, sex: Sex) -> Member:
    """A member of whom nothing more is known."""
    band = AgeBand(from_years=years, to_years=years)
    return Member(id=MemberId("one"), age_band=band, sex=sex)


def need_kcal(member: Member) -> float:
    return daily_need(member, as_of=AS_OF, basis=NeedsBasis.REFERENCE, ration=1.0).energy_kcal


# Ages: males sedentary, moderately active, active; females the same.
PUBLISHED_TABLE = """
2      1,000 1,000 1,000   1,000 1,000 1,000
3      1,000 1,400 1,400   1,000 1,200 1,400
4      1,200 1,400 1,600   1,200 1,400 1,400
5      1,200 1,400 1,600   1,200 1,400 1,600
6      1,400 1,600 1,800   1,200 1,400 1,600
7      1,400 1,600 1,800   1,200 1,600 1,800
8      1,400 1,600 2,000   1,400 1,600 1,800
9      1,600 1,800 2,000   1,400 1,600 1,800
10     1,600 1,800 2,200   1,400 1,800 2,000
11     1,800 2,000 2,200   1,600 1,800 2,000
12     1,800 2,200 2,400   1,600 2,000 2,200
13     2,000 2,200 2,600   1,600 2,000 2,200
14     2,000 2,400 2,800   1,800 2,000 2,400
15     2,200 2,600 3,000   1,800 2,000 2,400
16     2,400 2,800 3,200   1,800 2,000 2,400
17     2,400 2,800 3,200   1,800 2,000 2,400
18     2,400 2,800 3,200   1,800 2,000 2,400
19-20  2,600 2,800 3,000   2,000 2,200 2,400
21-25  2,400 2,800 3,000   2,000 2,200 2,400
26-30  2,400 2,600 3,000   1,800 2,000 2,400
31-35  2,400 2,600 3,000   1,800 2,000 2,200
36-40  2,400 2,600 2,800   1,800 2,000 2,200
41-45  2,200 2,600 2,800   1,800 2,000 2,200
46-50  2,200 2,400 2,800   1,800 2,000 2,200
51-55  2,200 2,400 2,800   1,600 1,800 2,200
56-60  2,200 2,400 2,600   1,600 1,800 2,200
61-65  2,000 2,400 2,600   1,600 1,800 2,000
66-70  2,000 2,200 2,600   1,600 1,800 2,000
71-75  2,000 2,200 2,600   1,600 1,800 2,000
76-120 2,000 2,200 2,400   1,600 1,800 2,000
"""
TABLE_ACTIVITIES = (Activity.INACTIVE, Activity.LOW_ACTIVE, Activity.ACTIVE)


def table_cells() -> Iterable[tuple[int, Sex, Activity, float]]:
    for line in PUBLISHED_TABLE.strip().splitlines():
        ages, *cells = line.split()
        first, _, last = ages.partition("-")
        kcal = [float(cell.replace(",", "")) for cell in cells]
        for age in sorted({int(first), int(last or first)}):
            for sex, by_activity in ((Sex.MALE, kcal[:3]), (Sex.FEMALE, kcal[3:])):
                for activity, cell in zip(TABLE_ACTIVITIES, by_activity, strict=True):
                    yield age, sex, activity, cell


@pytest.mark.parametrize(("years", "sex", "activity", "published_kcal"), list(table_cells()))
def test_a_member_of_unknown_size_needs_what_the_table_says(
    years: int, sex: Sex, activity: Activity, published_kcal: float
) -> None:
    """D, Table A2-2: every cell, at the first and the last age of its row."""
    assert need_kcal(replace(aged(years, sex=sex), activity=activity)) == published_kcal


def test_the_table_has_no_row_that_is_not_published() -> None:
    """D, Table A2-2: thirty rows for each sex."""
    assert len(energy.tabled_energies()) == 2 * len(PUBLISHED_TABLE.strip().splitlines())


@pytest.mark.parametrize(
    ("months", "male_kcal", "female_kcal"),
    [
        (12, 800, 800),
        (14, 800, 800),
        (15, 900, 800),
        (17, 900, 800),
        (18, 1000, 900),
        (20, 1000, 900),
        (21, 1000, 1000),
        (23, 1000, 1000),
    ],
)
def test_toddlers_need_what_the_table_says(
    months: int, male_kcal: float, female_kcal: float
) -> None:
    """D, Table A2-1: rows 12, 15, 18 and 21 through 23 months; a row holds until the next."""
    assert energy.toddler_kcal(months, sex="male") == male_kcal
    assert energy.toddler_kcal(months, sex="female") == female_kcal


@pytest.mark.parametrize(
    ("weeks", "addition_kcal"), [(8, 0), (20, 340), (34, 452)], ids=["first", "second", "third"]
)
def test_a_pregnant_member_of_unknown_size_needs_the_tabled_addition(
    weeks: int, addition_kcal: float
) -> None:
    """D, Table A2-3: + 0, + 340 and + 452 in the three trimesters."""
    woman = aged(28, sex=Sex.FEMALE)
    due_on = AS_OF + timedelta(weeks=40 - weeks)
    pregnant = replace(woman, pregnancy_due_on=due_on)
    assert need_kcal(pregnant) - need_kcal(woman) == addition_kcal


def test_a_household_of_four_needs_the_sum_of_its_rows() -> None:
    """D, Table A2-2, moderately active: 2,600 + 2,000 + 1,800 + 1,200 = 7,600 kcal a day."""
    household = [
        aged(40, sex=Sex.MALE),
        aged(38, sex=Sex.FEMALE),
        aged(9, sex=Sex.MALE),
        aged(3, sex=Sex.FEMALE),
    ]
    assert fsum(need_kcal(member) for member in household) == 7600
