"""Count the energy a member needs in a day, by the published equations or else the table.

With sex, age, height, weight and activity known: the equations of the National Academies, Dietary
Reference Intakes for Energy (2023); children under three need no activity. Otherwise the table of
the Dietary Guidelines for Americans 2020-2025, Appendix 2. It has no row for infants, so they
always go by the equations, with a reference length and weight for what is not known.

Height and weight can be mistyped so badly that an equation gives no energy at all (a grown man of
30 cm). Such measures are taken as not given: a small made-up floor would say that the household's
food lasts for years, and an error would keep a whole neighbourhood from its answer.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

from daysworth.domain.ages import (
    TABLE_FOOD_MONTHS,
    Age,
    age_of,
    breastfeeding_months,
    gestation_weeks,
    trimester_at,
)
from daysworth.domain.people import Activity, Member, Sex
from daysworth.reference import energy

TABLE_FROM_MONTHS: Final = 24
ACTIVITY_FROM_MONTHS: Final = 36


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measures:
    """What an equation asks for; `activity` is None only for a child under three."""

    sex: Sex
    activity: Activity | None
    height_cm: float
    weight_kg: float


def mean(figures: Iterable[float]) -> float:
    """Average at least one figure, whatever their order."""
    listed = tuple(figures)
    return fsum(listed) / len(listed)


def sexes_of(member: Member) -> tuple[Sex, ...]:
    """Tell whose figures to average: a member's own sex, or both where it is not known.

    A member said to be pregnant or breastfeeding takes the female figures, which alone have rows
    for it.
    """
    if member.sex is not None:
        return (member.sex,)
    if member.pregnancy_due_on is not None or member.breastfeeding_since_on is not None:
        return (Sex.FEMALE,)
    return (Sex.FEMALE, Sex.MALE)


def reference_energy_kcal(member: Member, as_of: date) -> float:
    """Count a member's need in kcal a day on a date, before appetite and ration; above zero.

    Sources: National Academies (2023) where the facts are known, otherwise the Dietary Guidelines
    for Americans 2020-2025 (see the module).
    """
    age = age_of(member, as_of)
    if age.completed_months < TABLE_FOOD_MONTHS:
        return mean(_infant_kcal(member, age, sex=sex) for sex in sexes_of(member))
    by_equation = _equation_kcal(member, age, as_of=as_of)
    if by_equation is not None:
        return fsum((by_equation, _lactation_kcal(member, as_of, basis=energy.EER_2023)))
    return fsum(
        (
            mean(_tabled_kcal(age, sex=sex, activity=member.activity) for sex in sexes_of(member)),
            _pregnancy_addition_kcal(member, as_of),
            _lactation_kcal(member, as_of, basis=energy.DGA_2020),
        )
    )


def _infant_kcal(member: Member, age: Age, *, sex: Sex) -> float:
    stand_in = energy.reference_infant(age.completed_months)
    given = _Measures(
        sex=sex,
        activity=None,
        height_cm=stand_in.height_cm if member.height_cm is None else member.height_cm,
        weight_kg=stand_in.weight_kg if member.weight_kg is None else member.weight_kg,
    )
    kcal = _unpregnant_kcal(given, age)
    if kcal > 0:
        return kcal
    reference = _Measures(
        sex=sex, activity=None, height_cm=stand_in.height_cm, weight_kg=stand_in.weight_kg
    )
    return _unpregnant_kcal(reference, age)


def _equation_kcal(member: Member, age: Age, *, as_of: date) -> float | None:
    """Work out the equation with pregnancy; None where a fact is missing or cannot be right."""
    measures = _measures(member, age)
    if measures is None:
        return None
    weeks = gestation_weeks(member, as_of)
    if weeks is None or trimester_at(weeks) == 1:
        kcal = _unpregnant_kcal(measures, age)
    else:
        kcal = fsum(
            (
                _pregnant_kcal(measures, age, weeks=weeks),
                energy.pregnancy_deposition_kcal(member.prepregnancy_weight),
            )
        )
    return kcal if kcal > 0 else None


def _measures(member: Member, age: Age) -> _Measures | None:
    sexes = sexes_of(member)
    if len(sexes) > 1 or member.height_cm is None or member.weight_kg is None:
        return None
    asks_activity = (
        age.completed_months >= ACTIVITY_FROM_MONTHS or member.pregnancy_due_on is not None
    )
    if asks_activity and member.activity is None:
        return None
    return _Measures(
        sex=sexes[0],
        activity=member.activity,
        height_cm=member.height_cm,
        weight_kg=member.weight_kg,
    )


def _unpregnant_kcal(measures: _Measures, age: Age) -> float:
    months = age.completed_months
    equation = energy.eer_equation_at(months, sex=measures.sex, activity=measures.activity or "")
    spent_kcal = equation.at(
        age_years=age.exact_years, height_cm=measures.height_cm, weight_kg=measures.weight_kg
    )
    return fsum((spent_kcal, energy.growth_kcal(months, sex=measures.sex)))


def _pregnant_kcal(measures: _Measures, age: Age, *, weeks: float) -> float:
    equation = energy.eer_equation("pregnant", sex=measures.sex, activity=measures.activity or "")
    return equation.at(
        age_years=age.exact_years,
        height_cm=measures.height_cm,
        weight_kg=measures.weight_kg,
        gestation_weeks=weeks,
    )


def _tabled_kcal(age: Age, *, sex: Sex, activity: Activity | None) -> float:
    months = age.completed_months
    if months < TABLE_FROM_MONTHS:
        return energy.toddler_kcal(months, sex=sex)
    row = energy.tabled_energy(months, sex=sex)
    # The table has three levels for four activities; "very active" has no column of its own.
    if activity is Activity.INACTIVE:
        return row.sedentary_kcal
    if activity in (Activity.ACTIVE, Activity.VERY_ACTIVE):
        return row.active_kcal
    return row.moderate_kcal


def _pregnancy_addition_kcal(member: Member, as_of: date) -> float:
    weeks = gestation_weeks(member, as_of)
    return 0.0 if weeks is None else energy.pregnancy_addition_kcal(trimester_at(weeks))


def _lactation_kcal(member: Member, as_of: date, *, basis: energy.LactationBasis) -> float:
    months = breastfeeding_months(member, as_of)
    return 0.0 if months is None else energy.lactation_kcal(basis, months=months)
