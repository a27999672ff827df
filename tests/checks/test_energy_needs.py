"""Hold energy needs by the equations against the documents they are published in.

N   National Academies, Dietary Reference Intakes for Energy (2023), chapter 5.
D   Dietary Guidelines for Americans 2020-2025, Appendix 2; its table is checked on its own.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import NeedsBasis, daily_need
from daysworth.domain.people import Activity, AgeBand, Member, PrepregnancyWeight, Sex
from daysworth.reference import energy

AS_OF = date(2026, 6, 15)
ACTIVITIES = (Activity.INACTIVE, Activity.LOW_ACTIVE, Activity.ACTIVE, Activity.VERY_ACTIVE)


def aged(from_years: int, to_years: int | None = None, *, sex: Sex | None = None) -> Member:
    """A member in the middle of a band of years, of whom nothing more is known."""
    band = AgeBand(from_years=from_years, to_years=from_years if to_years is None else to_years)
    return Member(id=MemberId("one"), age_band=band, sex=sex)


def sized(member: Member, *, height_cm: float, weight_kg: float) -> Member:
    return replace(member, height_cm=height_cm, weight_kg=weight_kg)


def need_kcal(member: Member) -> float:
    return daily_need(member, as_of=AS_OF, basis=NeedsBasis.REFERENCE, ration=1.0).energy_kcal


# Group, sex, activity: intercept, per year, per cm, per kg, per week of pregnancy.
PUBLISHED_EQUATIONS = """
toddler  male   -            -716.45   -1.00  17.82  15.06  0
toddler  female -             -69.15   80.00   2.65  54.15  0
child    male   inactive     -447.51    3.68  13.01  13.15  0
child    male   low_active     19.12    3.68   8.62  20.28  0
child    male   active       -388.19    3.68  12.66  20.46  0
child    male   very_active  -671.75    3.68  15.38  23.25  0
child    female inactive       55.59  -22.25   8.43  17.07  0
child    female low_active   -297.54  -22.25  12.77  14.73  0
child    female active       -189.55  -22.25  11.74  18.34  0
child    female very_active  -709.59  -22.25  18.22  14.25  0
adult    male   inactive      753.07  -10.83   6.50  14.10  0
adult    male   low_active    581.47  -10.83   8.30  14.94  0
adult    male   active       1004.82  -10.83   6.52  15.91  0
adult    male   very_active  -517.88  -10.83  15.61  19.11  0
adult    female inactive      584.90   -7.01   5.72  11.71  0
adult    female low_active    575.77   -7.01   6.60  12.14  0
adult    female active        710.25   -7.01   6.54  12.34  0
adult    female very_active   511.83   -7.01   9.07  12.56  0
pregnant female inactive     1131.20   -2.04   0.34  12.15  9.16
pregnant female low_active    693.35   -2.04   5.73  10.20  9.16
pregnant female active       -223.84   -2.04  13.23   8.15  9.16
pregnant female very_active  -779.72   -2.04  18.45   8.73  9.16
"""


def test_every_equation_has_the_published_coefficients() -> None:
    """N: estimated energy requirements, all groups."""
    published = {}
    for line in PUBLISHED_EQUATIONS.strip().splitlines():
        group, sex, activity, *coefficients = line.split()
        published[group, sex, activity.strip("-")] = [float(each) for each in coefficients]
    ours = {
        (row.group, row.sex, row.activity): [
            row.intercept_kcal,
            row.kcal_per_year,
            row.kcal_per_cm,
            row.kcal_per_kg,
            row.kcal_per_gestation_week,
        ]
        for row in energy.eer_equations()
    }
    assert ours == published


@pytest.mark.parametrize(
    ("months", "group"),
    [
        (0, "toddler"),
        (35, "toddler"),
        (36, "child"),
        (227, "child"),
        (228, "adult"),
        (1440, "adult"),
    ],
)
def test_each_equation_holds_for_its_published_ages(months: int, group: str) -> None:
    """N: 0 to under 3 years, 3 to 18 years, 19 years and over."""
    assert energy.eer_equation_at(months, sex="female", activity="active").group == group


@pytest.mark.parametrize(
    ("sex", "from_months", "to_months", "growth_kcal"),
    [
        ("male", 0, 2, 200),
        ("male", 3, 5, 50),
        ("male", 6, 47, 20),
        ("male", 48, 107, 15),
        ("male", 108, 167, 25),
        ("male", 168, 227, 20),
        ("male", 228, 1440, 0),
        ("female", 0, 2, 180),
        ("female", 3, 5, 60),
        ("female", 6, 11, 20),
        ("female", 12, 47, 15),
        ("female", 48, 107, 15),
        ("female", 108, 167, 30),
        ("female", 168, 227, 20),
        ("female", 228, 1440, 0),
    ],
)
def test_growth_costs_what_is_published_at_both_ends_of_each_age_group(
    sex: str, from_months: int, to_months: int, growth_kcal: float
) -> None:
    """N: energy cost of growth, kcal a day."""
    assert energy.growth_kcal(from_months, sex=sex) == growth_kcal
    assert energy.growth_kcal(to_months, sex=sex) == growth_kcal


@pytest.mark.parametrize(
    ("weight", "deposition_kcal"),
    [
        (PrepregnancyWeight.UNDERWEIGHT, 300),
        (PrepregnancyWeight.NORMAL, 200),
        (PrepregnancyWeight.OVERWEIGHT, 150),
        (PrepregnancyWeight.OBESE, -50),
    ],
)
def test_pregnancy_stores_what_is_published(
    weight: PrepregnancyWeight, deposition_kcal: float
) -> None:
    """N: energy deposition in pregnancy by body mass index before it."""
    assert energy.pregnancy_deposition_kcal(weight) == deposition_kcal


@pytest.mark.parametrize(
    ("basis", "first_half_kcal", "second_half_kcal"),
    # N: 540 - 140 and 380. D, Table A2-3: 500 - 170 and 400.
    [(energy.EER_2023, 540 - 140, 380), (energy.DGA_2020, 500 - 170, 400)],
)
def test_breastfeeding_adds_what_is_published(
    basis: energy.LactationBasis, first_half_kcal: float, second_half_kcal: float
) -> None:
    """N: lactation, 0 to 6 and 7 to 12 months. D, Table A2-3: first and second six months."""
    assert [energy.lactation_kcal(basis, months=month) for month in (0, 5)] == [first_half_kcal] * 2
    assert [energy.lactation_kcal(basis, months=month) for month in (6, 11)] == [
        second_half_kcal
    ] * 2


@pytest.mark.parametrize(
    ("group", "sex", "activity", "facts", "published_kcal"),
    [
        ("adult", "male", "active", (50.3, 175.9, 83.1, 0.0), 2930),
        ("toddler", "male", "", (0.7, 68.5, 8.0, 0.0), 624),
        ("toddler", "female", "", (0.7, 68.3, 7.8, 0.0), 593),
        ("child", "female", "active", (9.6, 135.0, 37.6, 0.0), 1873),
        ("pregnant", "female", "active", (29.4, 164.1, 74.9, 19.9), 2680),
    ],
)
def test_the_equations_reproduce_the_published_expenditures(
    group: str,
    sex: str,
    activity: str,
    facts: tuple[float, float, float, float],
    published_kcal: float,
) -> None:
    """N, Table 5-8: total expenditure at the mean facts of each stratum, growth apart.

    The printed means are rounded, hence the four kcal.
    """
    age_years, height_cm, weight_kg, gestation_weeks = facts
    ours = energy.eer_equation(group, sex=sex, activity=activity).at(
        age_years=age_years,
        height_cm=height_cm,
        weight_kg=weight_kg,
        gestation_weeks=gestation_weeks,
    )
    assert ours == pytest.approx(published_kcal, abs=4)


def test_an_inactive_man_of_thirty_needs_what_another_implementation_computes() -> None:
    """N, as worked in a public unit test of the same equation: 30 y, 170 cm, 70 kg: 2520.17."""
    man = replace(
        sized(aged(30, sex=Sex.MALE), height_cm=170, weight_kg=70), activity=Activity.INACTIVE
    )
    assert need_kcal(man) == pytest.approx(2520.17, abs=0.01)


WORKED = [
    (sized(aged(40, sex=Sex.MALE), height_cm=175, weight_kg=75), (2514.87, 2721.27, None, 3213.92)),
    (sized(aged(72, sex=Sex.MALE), height_cm=172, weight_kg=78), (2191.11, 2394.63, 2587.48, None)),
    (
        sized(aged(40, sex=Sex.FEMALE), height_cm=162, weight_kg=62),
        (1957.16, None, 2254.41, 2479.49),
    ),
    (
        sized(aged(72, sex=Sex.FEMALE), height_cm=160, weight_kg=66),
        (1768.24, 1928.29, 2066.37, 2287.27),
    ),
    (sized(aged(10, sex=Sex.MALE), height_cm=140, weight_kg=33), (1869.64, 1956.96, None, 2310.50)),
    (
        sized(aged(10, sex=Sex.FEMALE), height_cm=140, weight_kg=33),
        (1606.60, 1783.85, 1866.77, 2118.96),
    ),
    (sized(aged(5, sex=Sex.MALE), height_cm=110, weight_kg=19), (None, 1386.04, 1426.55, 1495.20)),
    (
        sized(aged(16, sex=Sex.FEMALE), height_cm=163, weight_kg=55),
        (2032.53, 2258.12, 2396.77, None),
    ),
    (
        # Twenty-four weeks pregnant, of a normal weight before: 200 kcal stored.
        replace(
            sized(aged(30, sex=Sex.FEMALE), height_cm=165, weight_kg=72),
            pregnancy_due_on=AS_OF + timedelta(weeks=16),
        ),
        (2420.74, None, 2904.55, 3251.73),
    ),
    (
        replace(
            sized(aged(30, sex=Sex.FEMALE), height_cm=165, weight_kg=65),
            breastfeeding_since_on=AS_OF,
        ),
        (2479.55, 2643.57, None, 3014.48),
    ),
]


@pytest.mark.parametrize(
    ("member", "activity", "worked_kcal"),
    [
        (member, activity, kcal)
        for member, by_activity in WORKED
        for activity, kcal in zip(ACTIVITIES, by_activity, strict=True)
        if kcal is not None
    ],
)
def test_members_need_what_the_equations_work_out_to(
    member: Member, activity: Activity, worked_kcal: float
) -> None:
    """N: worked by hand from the published coefficients, growth and additions included."""
    assert need_kcal(replace(member, activity=activity)) == pytest.approx(worked_kcal, abs=0.01)


@pytest.mark.parametrize(
    ("born_on", "sex", "height_cm", "weight_kg", "worked_kcal"),
    [
        (date(2024, 12, 15), Sex.MALE, 82, 11, 928.95),
        # The age enters in years: four months are 0.333.
        (date(2026, 2, 15), Sex.MALE, 63, 7, 561.30),
        (date(2025, 10, 15), Sex.FEMALE, 69, 8, 620.23),
    ],
)
def test_infants_and_toddlers_need_what_the_equations_work_out_to(
    born_on: date, sex: Sex, height_cm: float, weight_kg: float, worked_kcal: float
) -> None:
    """N: worked by hand from the published coefficients for 0 to under 3 years, with growth."""
    child = Member(
        id=MemberId("one"), born_on=born_on, sex=sex, height_cm=height_cm, weight_kg=weight_kg
    )
    assert need_kcal(child) == pytest.approx(worked_kcal, abs=0.01)


@pytest.mark.parametrize(
    ("as_of", "worked_kcal"),
    # Ten months and 24 of 30 days into the nineteenth year is 18.9 years.
    [(date(2026, 4, 25), 2223.06), (date(2026, 6, 1), 2210.36)],
)
def test_the_equation_changes_on_the_nineteenth_birthday(as_of: date, worked_kcal: float) -> None:
    """N: worked by hand for 163 cm and 57 kg, low active, at 18.9 and 19.0 years."""
    member = Member(
        id=MemberId("one"),
        born_on=date(2007, 6, 1),
        sex=Sex.FEMALE,
        height_cm=163,
        weight_kg=57,
        activity=Activity.LOW_ACTIVE,
    )
    need = daily_need(member, as_of=as_of, basis=NeedsBasis.REFERENCE, ration=1.0)
    assert need.energy_kcal == pytest.approx(worked_kcal, abs=0.01)


@pytest.mark.parametrize(
    ("months", "height_cm", "weight_kg"),
    [(2, 62, 6), (5, 62, 6), (6, 71, 9), (11, 71, 9)],
)
def test_reference_infants_have_the_published_length_and_weight(
    months: int, height_cm: float, weight_kg: float
) -> None:
    """Institute of Medicine, Guiding Principles for Nutrition Labeling and Fortification (2003).

    Table 4-2, new reference heights and weights: 2 to 6 months, 7 to 12 months.
    """
    infant = energy.reference_infant(months)
    assert (infant.height_cm, infant.weight_kg) == (height_cm, weight_kg)
