"""How ages, stages and daily needs behave, at their boundaries and where facts are missing."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from daysworth.domain.ages import (
    Stage,
    age_of,
    completed_months,
    months_after,
    stage_of,
)
from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import DailyNeed, NeedsBasis, daily_need
from daysworth.domain.people import (
    Activity,
    AgeBand,
    InfantFeeding,
    Member,
    Sex,
)

AS_OF = date(2026, 6, 15)
DATES = st.dates(min_value=date(1900, 1, 1), max_value=date(2100, 1, 1))
FLAT = DailyNeed(energy_kcal=2100, protein_g=53)


def born(on: date, *, sex: Sex | None = None) -> Member:
    return Member(id=MemberId("one"), born_on=on, sex=sex)


def aged_months(months: int, *, sex: Sex | None = None) -> Member:
    return born(AS_OF - relativedelta(months=months), sex=sex)


def banded(from_years: int, to_years: int, *, sex: Sex | None = None) -> Member:
    band = AgeBand(from_years=from_years, to_years=to_years)
    return Member(id=MemberId("one"), age_band=band, sex=sex)


def need(
    member: Member, *, basis: NeedsBasis = NeedsBasis.REFERENCE, ration: float = 1.0
) -> DailyNeed:
    return daily_need(member, as_of=AS_OF, basis=basis, ration=ration)


WOMAN = replace(
    banded(30, 30, sex=Sex.FEMALE), height_cm=165.0, weight_kg=65.0, activity=Activity.LOW_ACTIVE
)


# --- Ages and stages ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("born_on", "as_of", "years"),
    [
        (date(2000, 6, 16), date(2026, 6, 15), 25),
        (date(2000, 6, 15), date(2026, 6, 15), 26),
        (date(2024, 2, 29), date(2025, 2, 27), 0),
        (date(2024, 2, 29), date(2025, 2, 28), 1),
        (date(2024, 2, 29), date(2028, 2, 28), 3),
        (date(2024, 2, 29), date(2028, 2, 29), 4),
    ],
)
def test_a_year_is_complete_on_the_birthday(born_on: date, as_of: date, years: int) -> None:
    assert age_of(born(born_on), as_of).completed_years == years


@pytest.mark.parametrize(
    ("as_of", "months"),
    [
        (date(2026, 2, 27), 0),
        (date(2026, 2, 28), 1),
        (date(2026, 3, 30), 1),
        (date(2026, 3, 31), 2),
        (date(2026, 4, 30), 3),
    ],
)
def test_a_month_is_complete_on_the_last_day_of_a_month_that_is_too_short(
    as_of: date, months: int
) -> None:
    assert age_of(born(date(2026, 1, 31)), as_of).completed_months == months


@given(since_on=DATES, as_of=DATES)
def test_completed_months_have_passed_and_the_next_has_not(since_on: date, as_of: date) -> None:
    earlier, later = sorted((since_on, as_of))
    months = completed_months(earlier, later)
    assert earlier + relativedelta(months=months) <= later
    assert later < earlier + relativedelta(months=months + 1)


@given(since_on=DATES, as_of=DATES)
def test_months_are_counted_as_the_calendar_library_counts_them(
    since_on: date, as_of: date
) -> None:
    gap = relativedelta(as_of, since_on)
    assert completed_months(since_on, as_of) == 12 * gap.years + gap.months


@given(day=DATES, months=st.integers(min_value=-1_200, max_value=1_200))
def test_months_after_a_day_are_those_of_the_calendar_library(day: date, months: int) -> None:
    assert months_after(day, months) == day + relativedelta(months=months)


@pytest.mark.parametrize("since_on", [date(2024, 2, 29), date(2023, 2, 28), date(2023, 1, 31)])
def test_every_day_around_the_end_of_february_is_counted_as_the_library_does(
    since_on: date,
) -> None:
    for days in range(-800, 1_600):
        as_of = since_on + timedelta(days=days)
        gap = relativedelta(as_of, since_on)
        assert completed_months(since_on, as_of) == 12 * gap.years + gap.months


@given(born_on=DATES, days=st.integers(min_value=0, max_value=40_000))
def test_the_exact_age_grows_every_day_and_agrees_with_the_completed_months(
    born_on: date, days: int
) -> None:
    member = born(born_on)
    today = age_of(member, born_on + timedelta(days=days))
    tomorrow = age_of(member, born_on + timedelta(days=days + 1))
    assert today.exact_years < tomorrow.exact_years
    assert today.completed_months / 12 <= today.exact_years < (today.completed_months + 1) / 12


def test_the_exact_age_of_a_birthday_is_whole() -> None:
    assert age_of(born(date(2007, 6, 15)), AS_OF).exact_years == 19
    assert age_of(aged_months(4), AS_OF).exact_years == pytest.approx(4 / 12)


@pytest.mark.parametrize(
    ("from_years", "to_years", "months", "exact_years"),
    [(0, 0, 0, 0.0), (0, 1, 6, 0.5), (3, 4, 42, 3.5), (20, 29, 294, 24.5), (40, 40, 480, 40.0)],
)
def test_an_age_band_stands_at_its_middle(
    from_years: int, to_years: int, months: int, exact_years: float
) -> None:
    age = age_of(banded(from_years, to_years), AS_OF)
    assert (age.completed_months, age.exact_years) == (months, exact_years)


def test_a_band_reads_the_row_of_its_middle_in_completed_years() -> None:
    assert need(banded(20, 29, sex=Sex.MALE)) == need(banded(24, 24, sex=Sex.MALE))


@pytest.mark.parametrize(
    ("born_on", "stage"),
    [
        (date(2026, 6, 15), Stage.FORMULA),
        (date(2025, 12, 16), Stage.FORMULA),
        (date(2025, 12, 15), Stage.BABY_FOOD),
        (date(2025, 6, 16), Stage.BABY_FOOD),
        (date(2025, 6, 15), Stage.TABLE_FOOD),
        (date(1926, 6, 15), Stage.TABLE_FOOD),
    ],
)
def test_the_stage_changes_at_six_and_at_twelve_months(born_on: date, stage: Stage) -> None:
    assert stage_of(born(born_on), AS_OF) is stage


def test_six_months_from_the_end_of_august_are_complete_at_the_end_of_february() -> None:
    child = born(date(2025, 8, 31))
    assert stage_of(child, date(2026, 2, 27)) is Stage.FORMULA
    assert stage_of(child, date(2026, 2, 28)) is Stage.BABY_FOOD


def test_a_child_not_born_yet_counts_as_newborn() -> None:
    assert need(born(date(2026, 9, 1))) == need(born(AS_OF))
    assert stage_of(born(date(2026, 9, 1)), AS_OF) is Stage.FORMULA


# --- Facts that are missing ---------------------------------------------------------------------


@pytest.mark.parametrize("months", [0, 8, 13, 30, 90, 200, 480])
def test_a_member_whose_sex_is_not_given_needs_the_mean_of_the_two(months: int) -> None:
    unknown, female, male = (need(aged_months(months, sex=sex)) for sex in (None, *Sex))
    mean_kcal = (female.energy_kcal + male.energy_kcal) / 2
    assert unknown.energy_kcal == pytest.approx(mean_kcal)
    assert unknown.protein_g == pytest.approx((female.protein_g + male.protein_g) / 2)


@pytest.mark.parametrize(
    ("activity", "male_kcal"),
    [
        (Activity.INACTIVE, 2400),
        (Activity.LOW_ACTIVE, 2600),
        (None, 2600),
        (Activity.ACTIVE, 2800),
        (Activity.VERY_ACTIVE, 2800),
    ],
)
def test_four_activities_read_three_columns_and_none_given_reads_the_middle_one(
    activity: Activity | None, male_kcal: float
) -> None:
    assert need(replace(banded(38, 38, sex=Sex.MALE), activity=activity)).energy_kcal == male_kcal


@pytest.mark.parametrize(
    "member",
    [
        replace(WOMAN, sex=None),
        replace(WOMAN, height_cm=None),
        replace(WOMAN, weight_kg=None),
        replace(WOMAN, activity=None),
    ],
    ids=["sex", "height", "weight", "activity"],
)
def test_one_missing_fact_sends_a_grown_member_to_the_table(member: Member) -> None:
    tabled = need(replace(member, height_cm=None, weight_kg=None))
    assert need(member) == tabled
    assert need(WOMAN).energy_kcal != tabled.energy_kcal


@pytest.mark.parametrize("months", [12, 23, 24, 35])
def test_a_child_under_three_needs_no_activity_for_the_equation(months: int) -> None:
    child = replace(aged_months(months, sex=Sex.FEMALE), height_cm=85.0, weight_kg=12.0)
    active = replace(child, activity=Activity.VERY_ACTIVE)
    assert need(child) == need(active)
    assert need(child).energy_kcal != need(aged_months(months, sex=Sex.FEMALE)).energy_kcal


def test_a_child_of_three_without_an_activity_goes_by_the_table() -> None:
    child = replace(aged_months(36, sex=Sex.FEMALE), height_cm=95.0, weight_kg=14.0)
    assert need(child).energy_kcal == 1200


def test_an_infant_takes_the_reference_length_or_weight_that_is_missing() -> None:
    infant = aged_months(8, sex=Sex.MALE)
    full = replace(infant, height_cm=71.0, weight_kg=9.0)
    assert need(infant) == need(full)
    assert need(replace(infant, weight_kg=8.0)) == need(replace(full, weight_kg=8.0))
    assert need(replace(infant, height_cm=69.0)) == need(replace(full, height_cm=69.0))


@pytest.mark.parametrize(
    "member",
    [
        aged_months(4, sex=Sex.MALE),
        replace(banded(30, 30, sex=Sex.MALE), activity=Activity.VERY_ACTIVE),
    ],
    ids=["infant", "grown"],
)
def test_measures_that_leave_no_energy_are_taken_as_not_given(member: Member) -> None:
    mistyped = replace(member, height_cm=30.0, weight_kg=1.0)
    assert need(mistyped) == need(member)


@given(
    member=st.builds(
        Member,
        id=st.just(MemberId("one")),
        born_on=st.dates(min_value=date(1906, 1, 1), max_value=date(2027, 1, 1)),
        sex=st.sampled_from([None, Sex.FEMALE]),
        activity=st.sampled_from([None, *Activity]),
        height_cm=st.none() | st.floats(min_value=30, max_value=250),
        weight_kg=st.none() | st.floats(min_value=1, max_value=350),
        pregnancy_due_on=st.none() | st.dates(date(2026, 1, 1), date(2027, 6, 1)),
        breastfeeding_since_on=st.none() | st.dates(date(2023, 1, 1), date(2027, 1, 1)),
    )
)
def test_every_member_who_is_fed_needs_some_energy_and_protein(member: Member) -> None:
    assert need(member).energy_kcal > 0
    assert need(member).protein_g > 0
    if member.pregnancy_due_on is None and member.breastfeeding_since_on is None:
        assert need(replace(member, sex=Sex.MALE)).energy_kcal > 0


# --- Infants at the breast, the flat figure, ration and appetite --------------------------------


@pytest.mark.parametrize("basis", NeedsBasis)
@pytest.mark.parametrize("months", [0, 6, 11])
def test_a_breastfed_infant_has_no_need(basis: NeedsBasis, months: int) -> None:
    infant = replace(aged_months(months), infant_feeding=InfantFeeding.BREASTFED)
    assert need(infant, basis=basis) == DailyNeed(energy_kcal=0, protein_g=0)
    assert need(infant, basis=basis).is_none


@pytest.mark.parametrize("feeding", [InfantFeeding.FORMULA, InfantFeeding.MIXED])
def test_any_other_infant_has_its_whole_need(feeding: InfantFeeding) -> None:
    infant = aged_months(4)
    assert need(replace(infant, infant_feeding=feeding)) == need(infant)
    assert not need(infant).is_none


def test_how_an_infant_was_fed_is_ignored_from_twelve_months() -> None:
    child = aged_months(12)
    assert need(replace(child, infant_feeding=InfantFeeding.BREASTFED)) == need(child)


@pytest.mark.parametrize(
    "member",
    [
        aged_months(6),
        banded(90, 90),
        replace(WOMAN, pregnancy_due_on=AS_OF + timedelta(weeks=4)),
        replace(WOMAN, breastfeeding_since_on=AS_OF),
    ],
    ids=["six months", "old", "pregnant", "nursing"],
)
def test_the_flat_figure_is_the_same_for_everyone_from_six_months(member: Member) -> None:
    assert need(member, basis=NeedsBasis.FLAT) == FLAT


def test_an_infant_under_six_months_has_its_own_need_on_the_flat_basis_too() -> None:
    infant = aged_months(5)
    assert need(infant, basis=NeedsBasis.FLAT) == need(infant)


@pytest.mark.parametrize("basis", NeedsBasis)
def test_appetite_multiplies_energy_alone_and_ration_multiplies_both(basis: NeedsBasis) -> None:
    usual = need(WOMAN, basis=basis)
    hungry = need(replace(WOMAN, appetite=1.5), basis=basis, ration=0.5)
    assert hungry.energy_kcal == pytest.approx(usual.energy_kcal * 0.75)
    assert hungry.protein_g == pytest.approx(usual.protein_g * 0.5)


@pytest.mark.parametrize("ration", [0.0, -0.5, 1.01, float("nan"), float("inf")])
def test_a_ration_outside_nought_to_one_is_refused(ration: float) -> None:
    with pytest.raises(ValueError, match="ration"):
        need(WOMAN, ration=ration)
