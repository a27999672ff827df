"""Publish the energy figures that needs are counted from, each row with its source.

Two bases, never mixed. National Academies, Dietary Reference Intakes for Energy (2023), chapter 5:
equations by sex, age, height, weight and activity, with the energy costs of growth, pregnancy and
lactation. Dietary Guidelines for Americans 2020-2025, Appendix 2: a table by age, sex and
activity. Ages are completed months, energies kcal a day. The tables are read when first asked for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from math import fsum
from typing import Final, Literal

from daysworth.reference.life_stages import (
    AgeSpan,
    one_of,
    refuse_broken_spans,
    row_at,
    span_of_months,
    span_of_years,
    stated,
)
from daysworth.reference.rows import number, optional_int, read_table

LactationBasis = Literal["eer_2023", "dga_2020"]
EER_2023: Final = "eer_2023"
DGA_2020: Final = "dga_2020"

_SEXES: Final = ("female", "male")
_ACTIVITIES: Final = ("", "inactive", "low_active", "active", "very_active")
_MOST_KCAL: Final = 10_000.0

FOUND_REMEMBERED: Final = 4_096
"""Every age in months that a person reaches, for either sex."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EerEquation:
    """One equation of 2023: kcal a day from age, height, weight and, in pregnancy, weeks.

    `activity` is empty where the equation asks for none (under three years).
    """

    group: str
    sex: str
    activity: str
    span: AgeSpan
    intercept_kcal: float
    kcal_per_year: float
    kcal_per_cm: float
    kcal_per_kg: float
    kcal_per_gestation_week: float
    source: str

    def at(
        self,
        *,
        age_years: float,
        height_cm: float,
        weight_kg: float,
        gestation_weeks: float = 0.0,
    ) -> float:
        """Work the equation out, in kcal a day, without growth, deposition or lactation."""
        return fsum(
            (
                self.intercept_kcal,
                self.kcal_per_year * age_years,
                self.kcal_per_cm * height_cm,
                self.kcal_per_kg * weight_kg,
                self.kcal_per_gestation_week * gestation_weeks,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthCost:
    """The energy that a growing child stores, kcal a day."""

    sex: str
    span: AgeSpan
    growth_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PregnancyDeposition:
    """The energy stored in a pregnancy, kcal a day; below zero where body stores are drawn on."""

    prepregnancy_weight: str
    deposition_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LactationAddition:
    """The energy that breastfeeding adds, kcal a day, by completed months since it began."""

    basis: str
    span: AgeSpan
    addition_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TabledEnergy:
    """One row of the guidelines' table for two years and over, kcal a day by activity."""

    sex: str
    span: AgeSpan
    sedentary_kcal: float
    moderate_kcal: float
    active_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToddlerEnergy:
    """One row of the guidelines' table for 12 to 23 months; it holds until the next month given."""

    sex: str
    span: AgeSpan
    energy_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PregnancyAddition:
    """What the guidelines add for a trimester of pregnancy, kcal a day."""

    trimester: int
    addition_kcal: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceInfant:
    """The length and weight that stand in for an infant's own.

    None is published under two months, so the group of 2 to 6 months holds from birth.
    """

    published_group: str
    span: AgeSpan
    height_cm: float
    weight_kg: float
    source: str


@cache
def eer_equations() -> tuple[EerEquation, ...]:
    """Read the equations of 2023. Raises ReferenceDataError for a broken table."""
    filename = "energy_eer_2023.csv"
    rows = read_table(filename, _eer_equation)
    refuse_broken_spans(filename, (((row.group, row.sex, row.activity), row.span) for row in rows))
    return rows


def eer_equation(group: str, *, sex: str, activity: str) -> EerEquation:
    """Find an equation: group toddler, child, adult or pregnant. Raises LookupError if none."""
    for row in eer_equations():
        if (row.group, row.sex, row.activity) == (group, sex, activity):
            return row
    raise LookupError(f"no equation for {group}, {sex}, {activity or 'any activity'}")


def eer_equation_at(months: int, *, sex: str, activity: str) -> EerEquation:
    """Find the equation, pregnancy aside, for an age in completed months; LookupError if none.

    Under three years the activity is not asked for and is ignored.
    """
    rows = (
        row
        for row in eer_equations()
        if row.group != "pregnant" and row.sex == sex and row.activity in ("", activity)
    )
    return row_at(rows, months=months)


@cache
def growth_costs() -> tuple[GrowthCost, ...]:
    """Read the energy costs of growth. Raises ReferenceDataError for a broken table."""
    filename = "energy_growth_2023.csv"
    rows = read_table(filename, _growth_cost)
    refuse_broken_spans(filename, ((row.sex, row.span) for row in rows))
    return rows


def growth_kcal(months: int, *, sex: str) -> float:
    """Give the energy cost of growth at an age, kcal a day; grown members have none."""
    held = (row for row in growth_costs() if row.sex == sex and row.span.holds(months))
    return next((row.growth_kcal for row in held), 0.0)


@cache
def pregnancy_depositions() -> tuple[PregnancyDeposition, ...]:
    """Read the energy depositions of pregnancy. Raises ReferenceDataError for a broken table."""
    return read_table("energy_pregnancy_2023.csv", _pregnancy_deposition)


def pregnancy_deposition_kcal(prepregnancy_weight: str) -> float:
    """Give the energy stored in pregnancy, kcal a day. Raises LookupError for another class."""
    for row in pregnancy_depositions():
        if row.prepregnancy_weight == prepregnancy_weight:
            return row.deposition_kcal
    raise LookupError(f"no deposition for {prepregnancy_weight}")


@cache
def lactation_additions() -> tuple[LactationAddition, ...]:
    """Read the additions for breastfeeding. Raises ReferenceDataError for a broken table."""
    filename = "energy_lactation.csv"
    rows = read_table(filename, _lactation_addition)
    refuse_broken_spans(filename, ((row.basis, row.span) for row in rows))
    return rows


def lactation_kcal(basis: LactationBasis, *, months: int) -> float:
    """Give what breastfeeding adds, kcal a day, at completed months since it began.

    Nothing is published past twelve months; the last figure is kept, which is the cautious choice.
    """
    rows = [row for row in lactation_additions() if row.basis == basis]
    held = (row for row in rows if row.span.holds(months))
    return next(held, rows[-1]).addition_kcal


@cache
def tabled_energies() -> tuple[TabledEnergy, ...]:
    """Read the guidelines' table from two years. Raises ReferenceDataError for a broken table."""
    filename = "energy_dga_2020.csv"
    rows = read_table(filename, _tabled_energy)
    refuse_broken_spans(filename, ((row.sex, row.span) for row in rows))
    return rows


@lru_cache(maxsize=FOUND_REMEMBERED)
def tabled_energy(months: int, *, sex: str) -> TabledEnergy:
    """Find the row for an age of two years or more. Raises LookupError for a younger one."""
    return row_at((row for row in tabled_energies() if row.sex == sex), months=months)


@cache
def toddler_energies() -> tuple[ToddlerEnergy, ...]:
    """Read the guidelines' table for 12 to 23 months. Raises ReferenceDataError when broken."""
    filename = "energy_dga_2020_toddlers.csv"
    rows = read_table(filename, _toddler_energy)
    refuse_broken_spans(filename, ((row.sex, row.span) for row in rows))
    return rows


def toddler_kcal(months: int, *, sex: str) -> float:
    """Give the guidelines' kcal a day at 12 to 23 months. Raises LookupError at another age."""
    return row_at((row for row in toddler_energies() if row.sex == sex), months=months).energy_kcal


@cache
def pregnancy_additions() -> tuple[PregnancyAddition, ...]:
    """Read the guidelines' additions for pregnancy. Raises ReferenceDataError when broken."""
    return read_table("energy_dga_2020_pregnancy.csv", _pregnancy_addition)


def pregnancy_addition_kcal(trimester: int) -> float:
    """Give what the guidelines add in trimester 1, 2 or 3, kcal a day. Raises LookupError else."""
    for row in pregnancy_additions():
        if row.trimester == trimester:
            return row.addition_kcal
    raise LookupError(f"no addition for trimester {trimester}")


@cache
def reference_infants() -> tuple[ReferenceInfant, ...]:
    """Read the reference lengths and weights. Raises ReferenceDataError for a broken table."""
    filename = "reference_infants.csv"
    rows = read_table(filename, _reference_infant)
    refuse_broken_spans(filename, (("infants", row.span) for row in rows))
    return rows


def reference_infant(months: int) -> ReferenceInfant:
    """Find the reference infant under twelve months. Raises LookupError for an older child."""
    return row_at(reference_infants(), months=months)


def _energy(cell: str) -> float:
    return number(cell, most=_MOST_KCAL)


def _eer_equation(row: Mapping[str, str]) -> EerEquation:
    return EerEquation(
        group=one_of(row["group"], "toddler", "child", "adult", "pregnant"),
        sex=one_of(row["sex"], *_SEXES),
        activity=one_of(row["activity"], *_ACTIVITIES),
        span=span_of_years(row["from_years"], row["below_years"]),
        intercept_kcal=number(row["intercept_kcal"], least=-_MOST_KCAL, most=_MOST_KCAL),
        kcal_per_year=number(row["kcal_per_year"], least=-100, most=100),
        kcal_per_cm=number(row["kcal_per_cm"], most=100),
        kcal_per_kg=number(row["kcal_per_kg"], most=100),
        kcal_per_gestation_week=number(row["kcal_per_gestation_week"], most=100),
        source=stated(row["source"]),
    )


def _growth_cost(row: Mapping[str, str]) -> GrowthCost:
    return GrowthCost(
        sex=one_of(row["sex"], *_SEXES),
        span=span_of_months(row["from_months"], row["below_months"]),
        growth_kcal=_energy(row["growth_kcal"]),
        source=stated(row["source"]),
    )


def _pregnancy_deposition(row: Mapping[str, str]) -> PregnancyDeposition:
    classes = ("underweight", "normal", "overweight", "obese")
    return PregnancyDeposition(
        prepregnancy_weight=one_of(row["prepregnancy_weight"], *classes),
        deposition_kcal=number(row["deposition_kcal"], least=-1000, most=1000),
        source=stated(row["source"]),
    )


def _lactation_addition(row: Mapping[str, str]) -> LactationAddition:
    return LactationAddition(
        basis=one_of(row["basis"], EER_2023, DGA_2020),
        span=span_of_months(row["from_months"], row["below_months"]),
        addition_kcal=_energy(row["addition_kcal"]),
        source=stated(row["source"]),
    )


def _tabled_energy(row: Mapping[str, str]) -> TabledEnergy:
    to_years = optional_int(row["to_years"], most=120)
    below_years = "" if to_years is None else str(to_years + 1)
    return TabledEnergy(
        sex=one_of(row["sex"], *_SEXES),
        span=span_of_years(row["from_years"], below_years),
        sedentary_kcal=_energy(row["sedentary_kcal"]),
        moderate_kcal=_energy(row["moderate_kcal"]),
        active_kcal=_energy(row["active_kcal"]),
        source=stated(row["source"]),
    )


def _toddler_energy(row: Mapping[str, str]) -> ToddlerEnergy:
    return ToddlerEnergy(
        sex=one_of(row["sex"], *_SEXES),
        span=span_of_months(row["from_months"], row["below_months"]),
        energy_kcal=_energy(row["energy_kcal"]),
        source=stated(row["source"]),
    )


def _pregnancy_addition(row: Mapping[str, str]) -> PregnancyAddition:
    return PregnancyAddition(
        trimester=int(number(row["trimester"], least=1, most=3)),
        addition_kcal=_energy(row["addition_kcal"]),
        source=stated(row["source"]),
    )


def _reference_infant(row: Mapping[str, str]) -> ReferenceInfant:
    return ReferenceInfant(
        published_group=stated(row["published_group"]),
        span=span_of_months(row["from_months"], row["below_months"]),
        height_cm=number(row["height_cm"], least=30, most=100),
        weight_kg=number(row["weight_kg"], least=1, most=30),
        source=stated(row["source"]),
    )
