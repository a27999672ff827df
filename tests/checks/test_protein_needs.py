"""Hold protein needs against the documents they are published in.

I   Institute of Medicine, Dietary Reference Intakes for Energy, Carbohydrate, Fiber, Fat, Fatty
    Acids, Cholesterol, Protein, and Amino Acids (2005), summary table of macronutrients.
D   Dietary Guidelines for Americans 2020-2025, Appendix 1.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import FLAT_ENERGY_KCAL, FLAT_PROTEIN_G, NeedsBasis, daily_need
from daysworth.domain.people import Member, Sex
from daysworth.domain.units import KCAL_PER_G_PROTEIN
from daysworth.reference.protein import protein_allowance, protein_allowances

AS_OF = date(2026, 6, 15)


def aged_months(months: int, *, sex: Sex) -> Member:
    return Member(id=MemberId("one"), born_on=AS_OF - relativedelta(months=months), sex=sex)


def protein_g(member: Member) -> float:
    return daily_need(member, as_of=AS_OF, basis=NeedsBasis.REFERENCE, ration=1.0).protein_g


# First month, last month: male, female grams a day.
PUBLISHED = [
    (0, 5, 9.1, 9.1),
    (6, 11, 11, 11),
    (12, 47, 13, 13),
    (48, 107, 19, 19),
    (108, 167, 34, 34),
    (168, 227, 52, 46),
    (228, 1200, 56, 46),
]


@pytest.mark.parametrize(
    ("months", "male_g", "female_g"),
    [
        (months, male_g, female_g)
        for first, last, male_g, female_g in PUBLISHED
        for months in (first, last)
    ],
)
def test_members_need_the_published_protein(months: int, male_g: float, female_g: float) -> None:
    """I: at the first and the last month of each life stage.

    The first printing (2002) had 13.5 g at 7 to 12 months; the 2005 table and D, Table A1-1, have
    11 g.
    """
    assert protein_g(aged_months(months, sex=Sex.MALE)) == male_g
    assert protein_g(aged_months(months, sex=Sex.FEMALE)) == female_g


@pytest.mark.parametrize(("months", "published_g"), [(6, 11), (11, 11), (12, 13), (23, 13)])
def test_the_guidelines_publish_the_same_for_the_first_two_years(
    months: int, published_g: float
) -> None:
    """D, Table A1-1: 11 g at 6 through 11 months, 13 g at 12 through 23 months."""
    assert protein_allowance(months, sex="female").protein_g == published_g


@pytest.mark.parametrize("years", [17, 30, 45])
def test_pregnancy_and_lactation_need_the_published_protein(years: int) -> None:
    """I: 71 g in pregnancy and in lactation. D, Tables A1-3 and A1-4: the same at every age."""
    woman = aged_months(12 * years, sex=Sex.FEMALE)
    assert protein_g(replace(woman, pregnancy_due_on=AS_OF + timedelta(weeks=12))) == 71
    assert protein_g(replace(woman, breastfeeding_since_on=AS_OF)) == 71


@pytest.mark.parametrize(
    ("months", "sex", "g_per_kg", "reference_weight_kg"),
    [
        (0, "male", 1.52, 6),
        (24, "male", 1.05, 12),
        (60, "male", 0.95, 20),
        (180, "female", 0.85, 54),
        (360, "male", 0.80, 70),
        (360, "female", 0.80, 57),
    ],
)
def test_the_allowance_is_that_per_kilogram_times_the_reference_weight(
    months: int, sex: str, g_per_kg: float, reference_weight_kg: float
) -> None:
    """I: grams per kilogram, and the reference weights of the same reports.

    The printed grams are rounded to the whole gram (under six months to the tenth).
    """
    allowance = protein_allowance(months, sex=sex)
    assert allowance.protein_g == pytest.approx(g_per_kg * reference_weight_kg, abs=0.5)


def test_only_the_figure_under_six_months_is_an_adequate_intake() -> None:
    """I: AI at 0 to 6 months; every later figure is an RDA."""
    adequate = {row.span.from_months for row in protein_allowances() if row.kind == "AI"}
    assert adequate == {0}
    assert protein_allowance(6, sex="male").kind == "RDA"


def test_the_flat_figure_is_a_tenth_of_its_energy() -> None:
    """Sphere Handbook (2011), food security: 2,100 kcal, 10 % of it from protein, which is 52.5 g.

    Its Appendix 6 prints 53 g (from memory). WHO (2000) has 46 g and Sphere (2004) 52 g.
    """
    tenth_g = 0.10 * FLAT_ENERGY_KCAL / KCAL_PER_G_PROTEIN
    assert FLAT_ENERGY_KCAL == 2100
    assert FLAT_PROTEIN_G == 53
    assert abs(FLAT_PROTEIN_G - tenth_g) <= 0.5
