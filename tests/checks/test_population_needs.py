"""Hold the needs of a whole population against a published mean.

U   WFP/UNHCR, Guidelines for Estimating Food and Nutritional Needs in Emergencies (1997), Annex I.
D   Dietary Guidelines for Americans 2020-2025, Appendix 2.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from math import fsum

import pytest

from daysworth.domain.identifiers import MemberId
from daysworth.domain.needs import FLAT_ENERGY_KCAL, NeedsBasis, daily_need
from daysworth.domain.people import AgeBand, Member, Sex

AS_OF = date(2026, 6, 15)


def aged(from_years: int, to_years: int | None = None, *, sex: Sex | None = None) -> Member:
    """A member in the middle of a band of years, of whom nothing more is known."""
    band = AgeBand(from_years=from_years, to_years=from_years if to_years is None else to_years)
    return Member(id=MemberId("one"), age_band=band, sex=sex)


def need_kcal(member: Member, *, basis: NeedsBasis = NeedsBasis.REFERENCE) -> float:
    return daily_need(member, as_of=AS_OF, basis=basis, ration=1.0).energy_kcal


# Ages: male percent, male kcal, female percent, female kcal, both percent, both kcal.
PUBLISHED_PROFILE = [
    (0, 0, 1.31, 850, 1.27, 780, 2.59, 820),
    (1, 1, 1.26, 1250, 1.20, 1190, 2.46, 1220),
    (2, 2, 1.25, 1430, 1.20, 1330, 2.45, 1380),
    (3, 3, 1.25, 1560, 1.19, 1440, 2.44, 1500),
    (4, 4, 1.24, 1690, 1.18, 1540, 2.43, 1620),
    (5, 9, 6.00, 1980, 5.69, 1730, 11.69, 1860),
    (10, 14, 5.39, 2370, 5.13, 2040, 10.53, 2210),
    (15, 19, 4.89, 2700, 4.64, 2120, 9.54, 2420),
    (20, 59, 24.80, 2460, 23.82, 1990, 48.63, 2230),
    (60, 80, 3.42, 2010, 3.82, 1780, 7.24, 1890),
]
PREGNANT_PERCENT, PREGNANT_KCAL = 2.4, 285
LACTATING_PERCENT, LACTATING_KCAL = 2.6, 500
PUBLISHED_MEAN_KCAL = 2070


def weighted_mean(shares: Iterable[tuple[float, float]]) -> float:
    listed = list(shares)
    return fsum(share * kcal for share, kcal in listed) / fsum(share for share, _ in listed)


def at_age(years: int, *, sex: Sex) -> Member:
    """A member of that age; the age of nought is entered as six months, the middle of the year.

    Younger infants eat only formula, which the flat figure does not cover.
    """
    return aged(0, 1, sex=sex) if years == 0 else aged(years, sex=sex)


def flat_kcal(years: int, sex: Sex, published_kcal: float) -> float:
    member = replace(at_age(years, sex=sex), appetite=published_kcal / FLAT_ENERGY_KCAL)
    return need_kcal(member, basis=NeedsBasis.FLAT)


def test_published_group_needs_average_to_the_published_mean() -> None:
    """U: the groups' needs, entered as appetites on the flat figure, average to 2,070 printed.

    The printed mean lies between ours without and with the pregnant and the nursing, each within
    15 kcal of it; the document rounds to tens and does not print how it weighted them.
    """
    both = [
        (percent, flat_kcal(years, Sex.FEMALE, kcal))
        for years, _, _, _, _, _, percent, kcal in PUBLISHED_PROFILE
    ]
    by_sex = [
        (percent, flat_kcal(years, sex, kcal))
        for years, _, m_percent, m_kcal, f_percent, f_kcal, _, _ in PUBLISHED_PROFILE
        for sex, percent, kcal in ((Sex.MALE, m_percent, m_kcal), (Sex.FEMALE, f_percent, f_kcal))
    ]
    additions_kcal = (PREGNANT_PERCENT * PREGNANT_KCAL + LACTATING_PERCENT * LACTATING_KCAL) / 100
    for shares in (both, by_sex):
        without = weighted_mean(shares)
        assert without < PUBLISHED_MEAN_KCAL < without + additions_kcal
        assert without == pytest.approx(PUBLISHED_MEAN_KCAL, abs=15)
        assert without + additions_kcal == pytest.approx(PUBLISHED_MEAN_KCAL, abs=15)


def reference_kcal(from_years: int, to_years: int, *, sex: Sex) -> float:
    """Our mean need over a group, every year of age counted alike."""
    ages = range(from_years, to_years + 1)
    return fsum(need_kcal(at_age(years, sex=sex)) for years in ages) / len(ages)


def additions_kcal_per_person() -> float:
    """Our additions over the same population: every week of pregnancy, every month of nursing."""
    woman = aged(28, sex=Sex.FEMALE)
    pregnant = [
        need_kcal(replace(woman, pregnancy_due_on=AS_OF + timedelta(weeks=left)))
        for left in range(41)
    ]
    nursing = [
        need_kcal(replace(woman, breastfeeding_since_on=AS_OF - timedelta(days=30 * months)))
        for months in range(12)
    ]
    per_pregnant_kcal = fsum(pregnant) / len(pregnant) - need_kcal(woman)
    per_nursing_kcal = fsum(nursing) / len(nursing) - need_kcal(woman)
    return (PREGNANT_PERCENT * per_pregnant_kcal + LACTATING_PERCENT * per_nursing_kcal) / 100


def test_our_reference_needs_are_of_the_size_published_for_a_population() -> None:
    """U: over the published ages our needs by D average to within 5 % of the 2,070 printed.

    The bases differ (U is basal rate times 1.55 for a lighter, younger people; D is for Americans
    of reference size, moderately active), so this shows the size to be right and no more.
    """
    by_sex = [
        (percent, reference_kcal(from_years, to_years, sex=sex))
        for from_years, to_years, m_percent, _, f_percent, _, _, _ in PUBLISHED_PROFILE
        for sex, percent in ((Sex.MALE, m_percent), (Sex.FEMALE, f_percent))
    ]
    ours = weighted_mean(by_sex) + additions_kcal_per_person()
    assert ours == pytest.approx(PUBLISHED_MEAN_KCAL, rel=0.05)
