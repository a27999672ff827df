"""How pregnancy and breastfeeding change a member's daily need, and from which day to which."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from daysworth.domain.ages import breastfeeding_months, gestation_weeks, trimester_at
from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import DailyNeed, NeedsBasis, daily_need
from daysworth.domain.people import Activity, AgeBand, Member, PrepregnancyWeight, Sex

AS_OF = date(2026, 6, 15)


def banded(from_years: int, to_years: int, *, sex: Sex | None = None) -> Member:
    band = AgeBand(from_years=from_years, to_years=to_years)
    return Member(id=MemberId("one"), age_band=band, sex=sex)


def need(member: Member) -> DailyNeed:
    return daily_need(member, as_of=AS_OF, basis=NeedsBasis.REFERENCE, ration=1.0)


WOMAN = replace(
    banded(30, 30, sex=Sex.FEMALE), height_cm=165.0, weight_kg=65.0, activity=Activity.LOW_ACTIVE
)


@pytest.mark.parametrize(
    ("days_to_due", "weeks"),
    [(281, None), (280, 0), (112, 24), (1, 40 - 1 / 7), (0, 40), (-21, 43), (-22, None)],
)
def test_a_pregnancy_is_forty_weeks_up_to_the_due_date(
    days_to_due: int, weeks: float | None
) -> None:
    member = replace(WOMAN, pregnancy_due_on=AS_OF + timedelta(days=days_to_due))
    assert gestation_weeks(member, AS_OF) == (None if weeks is None else pytest.approx(weeks))


@pytest.mark.parametrize(
    ("days", "trimester"), [(0, 1), (14 * 7 - 1, 1), (14 * 7, 2), (28 * 7 - 1, 2), (28 * 7, 3)]
)
def test_trimesters_begin_at_fourteen_and_twenty_eight_weeks(days: int, trimester: int) -> None:
    assert trimester_at(days / 7) == trimester


def test_the_first_trimester_adds_no_energy_and_later_ones_do() -> None:
    def at_weeks(weeks: int) -> float:
        due_on = AS_OF + timedelta(weeks=40 - weeks)
        return need(replace(WOMAN, pregnancy_due_on=due_on)).energy_kcal

    assert at_weeks(13) == need(WOMAN).energy_kcal
    assert at_weeks(14) > need(WOMAN).energy_kcal
    assert at_weeks(30) - at_weeks(29) == pytest.approx(9.16)


def test_the_weight_before_pregnancy_sets_what_the_equation_stores() -> None:
    pregnant = replace(WOMAN, pregnancy_due_on=AS_OF + timedelta(weeks=10))
    obese = replace(pregnant, prepregnancy_weight=PrepregnancyWeight.OBESE)
    assert need(pregnant).energy_kcal - need(obese).energy_kcal == pytest.approx(250)


def test_a_pregnancy_long_past_its_due_date_is_over() -> None:
    assert need(replace(WOMAN, pregnancy_due_on=AS_OF - timedelta(days=22))) == need(WOMAN)


@pytest.mark.parametrize(
    ("since_on", "addition_kcal"),
    [
        (date(2026, 6, 16), 0),
        (date(2026, 6, 15), 400),
        (date(2025, 12, 16), 400),
        (date(2025, 12, 15), 380),
        (date(2025, 6, 15), 380),
        (date(2024, 6, 15), 380),
    ],
)
def test_breastfeeding_adds_from_its_first_day_and_keeps_the_last_published_figure(
    since_on: date, addition_kcal: float
) -> None:
    nursing = replace(WOMAN, breastfeeding_since_on=since_on)
    added_kcal = need(nursing).energy_kcal - need(WOMAN).energy_kcal
    assert added_kcal == pytest.approx(addition_kcal)


@pytest.mark.parametrize(("months", "addition_kcal"), [(0, 330), (5, 330), (6, 400), (30, 400)])
def test_breastfeeding_adds_the_tables_own_figure_where_the_table_is_used(
    months: int, addition_kcal: float
) -> None:
    woman = banded(30, 30, sex=Sex.FEMALE)
    nursing = replace(woman, breastfeeding_since_on=AS_OF - relativedelta(months=months))
    assert need(nursing).energy_kcal - need(woman).energy_kcal == addition_kcal


def test_breastfeeding_that_has_not_begun_is_none() -> None:
    nursing = replace(WOMAN, breastfeeding_since_on=AS_OF + timedelta(days=1))
    assert breastfeeding_months(nursing, AS_OF) is None
    assert need(nursing) == need(WOMAN)


@pytest.mark.parametrize("woman", [WOMAN, banded(30, 30, sex=Sex.FEMALE)], ids=["sized", "not"])
def test_a_member_pregnant_and_breastfeeding_gets_both_energies_and_one_protein(
    woman: Member,
) -> None:
    pregnant = replace(woman, pregnancy_due_on=AS_OF + timedelta(weeks=10))
    nursing = replace(woman, breastfeeding_since_on=AS_OF)
    both = replace(pregnant, breastfeeding_since_on=AS_OF)
    added_kcal = need(nursing).energy_kcal - need(woman).energy_kcal
    assert need(both).energy_kcal == pytest.approx(need(pregnant).energy_kcal + added_kcal)
    assert need(both).protein_g == 71


def test_a_pregnant_member_whose_sex_is_not_given_takes_the_female_figures() -> None:
    pregnant = replace(banded(30, 30), pregnancy_due_on=AS_OF + timedelta(weeks=10))
    assert need(pregnant) == need(replace(pregnant, sex=Sex.FEMALE))


def test_a_pregnant_member_of_unknown_activity_goes_by_the_table_at_any_age() -> None:
    child = replace(banded(2, 2, sex=Sex.FEMALE), height_cm=85.0, weight_kg=12.0)
    pregnant = replace(child, pregnancy_due_on=AS_OF + timedelta(weeks=16))
    assert need(pregnant).energy_kcal == 1000 + 340
