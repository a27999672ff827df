"""Tell where a member stands on a date: age, feeding stage, weeks of pregnancy, months of nursing.

Ages are counted by the calendar. A month is complete on the same day of the next month, or on the
last day of a month that is too short: a child born on 29 February turns one on 28 February. A
member known by an age band stands at its middle, in completed years. A member who is not born yet
on the date counts as newborn, so that a birth date set ahead never leaves a baby out.
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache
from typing import Final

from daysworth.domain.people import AgeBand, Member

MONTHS_PER_YEAR: Final = 12
BABY_FOOD_MONTHS: Final = 6
TABLE_FOOD_MONTHS: Final = 12

# Pregnancy is dated as forty weeks that end on the due date. Trimesters as the American College
# of Obstetricians and Gynecologists divides them: to 13 weeks 6 days, to 27 weeks 6 days, beyond.
TERM_WEEKS: Final = 40
SECOND_TRIMESTER_WEEKS: Final = 14
THIRD_TRIMESTER_WEEKS: Final = 28
# A due date that lies further back is one nobody has updated after the birth.
MOST_WEEKS: Final = 43
DAYS_PER_WEEK: Final = 7

AGES_REMEMBERED: Final = 16_384
"""A member's age is asked for several times in one answer: those of a large store are kept."""


class Stage(StrEnum):
    """What a member eats by age: formula only, formula and baby food, or what is on the table."""

    FORMULA = "formula"
    BABY_FOOD = "formula_and_baby_food"
    TABLE_FOOD = "table_food"


@dataclass(frozen=True, slots=True, kw_only=True)
class Age:
    """An age in completed months, and with its fraction in years for the energy equations."""

    completed_months: int
    exact_years: float

    @property
    def completed_years(self) -> int:
        """Give the age in completed years."""
        return self.completed_months // MONTHS_PER_YEAR


def completed_months(since_on: date, as_of: date) -> int:
    """Count the completed calendar months from one date to another; negative if it lies ahead."""
    months = (as_of.year - since_on.year) * MONTHS_PER_YEAR + as_of.month - since_on.month
    turns = min(since_on.day, monthrange(as_of.year, as_of.month)[1])
    if as_of < since_on:
        return months + (turns < as_of.day)
    return months - (turns > as_of.day)


def months_after(day: date, months: int) -> date:
    """Give the same day some calendar months on, or the last one of a month that is too short."""
    year, month = divmod(day.year * MONTHS_PER_YEAR + day.month - 1 + months, MONTHS_PER_YEAR)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def age_of(member: Member, as_of: date) -> Age:
    """Count a member's age on a date, from the birth date or the middle of the age band."""
    if member.born_on is not None:
        return _age_since(member.born_on, max(member.born_on, as_of))
    # A member without a birth date has an age band: `Member` refuses to be made with neither.
    assert member.age_band is not None
    return _age_in_band(member.age_band)


def stage_of(member: Member, as_of: date) -> Stage:
    """Tell what a member eats by age: formula under 6 months, baby food too under 12 months."""
    months = age_of(member, as_of).completed_months
    if months < BABY_FOOD_MONTHS:
        return Stage.FORMULA
    return Stage.BABY_FOOD if months < TABLE_FOOD_MONTHS else Stage.TABLE_FOOD


def gestation_weeks(member: Member, as_of: date) -> float | None:
    """Count the weeks of a pregnancy on a date, 0 to 43; None when there is none on that date."""
    if member.pregnancy_due_on is None:
        return None
    weeks = TERM_WEEKS - (member.pregnancy_due_on - as_of).days / DAYS_PER_WEEK
    return weeks if 0 <= weeks <= MOST_WEEKS else None


def trimester_at(weeks: float) -> int:
    """Tell the trimester, 1 to 3, at a number of weeks of pregnancy."""
    if weeks < SECOND_TRIMESTER_WEEKS:
        return 1
    return 2 if weeks < THIRD_TRIMESTER_WEEKS else 3


def breastfeeding_months(member: Member, as_of: date) -> int | None:
    """Count the completed months that a member has breastfed on a date; None if not (yet)."""
    since_on = member.breastfeeding_since_on
    if since_on is None or as_of < since_on:
        return None
    return completed_months(since_on, as_of)


def _age_in_band(band: AgeBand) -> Age:
    both_ends_years = band.from_years + band.to_years
    return Age(
        completed_months=both_ends_years * MONTHS_PER_YEAR // 2, exact_years=both_ends_years / 2
    )


@lru_cache(maxsize=AGES_REMEMBERED)
def _age_since(born_on: date, as_of: date) -> Age:
    months = completed_months(born_on, as_of)
    begun_on, ends_on = months_after(born_on, months), months_after(born_on, months + 1)
    part = (as_of - begun_on).days / (ends_on - begun_on).days
    return Age(completed_months=months, exact_years=(months + part) / MONTHS_PER_YEAR)
