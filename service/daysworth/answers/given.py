"""Write what was given away: to partners by month, and apart from it what was at rounds.

The names here are the names in JSON.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.db.promises import GivenTotal
from daysworth.domain.identifiers import PartnerId

GRAMS_A_POUND: Final = 453.59237
"""The international avoirdupois pound, exactly (NIST Special Publication 811, Appendix B)."""

POUNDS_A_MEAL: Final = 1.2
"""USDA, What We Eat in America 2011-12 (from memory)."""

MEALS_WORDS: Final = (
    "by the published 1.2 lb = 1 meal (USDA, What We Eat in America 2011-12): a conversion of "
    "mass, not of nutrition"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenFigures:
    """What went: units, net grams, kcal, and its mass as meals by the published conversion."""

    units: int
    mass_g: float
    energy_kcal: float
    meals: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenMonthAnswer:
    """What went in one month, YYYY-MM, in how many hand-offs, or at how many rounds."""

    month: str
    times: int
    went: GivenFigures


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenPartnerAnswer:
    """What went to one partner, month by month; one that is no longer there is told too."""

    partner: str
    partner_name: str
    hand_offs: int
    went: GivenFigures
    months: list[GivenMonthAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAtRoundsAnswer:
    """What was given away at rounds, month by month, to whoever was named there."""

    rounds: int
    went: GivenFigures
    months: list[GivenMonthAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAnswer:
    """What was given away from one day to another, both included.

    `to_partners` is all that was handed off. What was given away at rounds is apart, in
    `at_rounds`, and in none of the partners' figures. `meals_words` say what a meal is here.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    from_on: date
    to_on: date
    meals_words: str
    hand_offs: int
    to_partners: GivenFigures
    months: list[GivenMonthAnswer]
    partners: list[GivenPartnerAnswer]
    at_rounds: GivenAtRoundsAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAsked:
    """Of which store, at which version, and from which day to which."""

    store: str
    store_name: str
    version: int
    from_on: date
    to_on: date


def given_answer(asked: GivenAsked, totals: Sequence[GivenTotal]) -> GivenAnswer:
    """Write what went to partners, and apart from it what went at rounds."""
    to_partners = [one for one in totals if one.partner is not None]
    at_rounds = [one for one in totals if one.partner is None]
    return GivenAnswer(
        question="given",
        release=release(),
        store=asked.store,
        store_name=asked.store_name,
        version=asked.version,
        from_on=asked.from_on,
        to_on=asked.to_on,
        meals_words=MEALS_WORDS,
        hand_offs=_times(to_partners),
        to_partners=_figures(to_partners),
        months=_months(to_partners),
        partners=_partners(to_partners),
        at_rounds=GivenAtRoundsAnswer(
            rounds=_times(at_rounds), went=_figures(at_rounds), months=_months(at_rounds)
        ),
    )


def meals_of(mass_g: float) -> float:
    """Give grams as meals, by the published conversion of mass."""
    return mass_g / (POUNDS_A_MEAL * GRAMS_A_POUND)


def _partners(totals: Iterable[GivenTotal]) -> list[GivenPartnerAnswer]:
    each: dict[PartnerId, list[GivenTotal]] = {}
    for one in totals:
        if one.partner is not None:
            each.setdefault(one.partner, []).append(one)
    found = [
        GivenPartnerAnswer(
            partner=partner,
            partner_name=theirs[-1].partner_name,
            hand_offs=_times(theirs),
            went=_figures(theirs),
            months=_months(theirs),
        )
        for partner, theirs in each.items()
    ]
    return sorted(found, key=lambda one: (one.partner_name.casefold(), one.partner))


def _months(totals: Iterable[GivenTotal]) -> list[GivenMonthAnswer]:
    each: dict[date, list[GivenTotal]] = {}
    for one in totals:
        each.setdefault(one.month, []).append(one)
    return [
        GivenMonthAnswer(
            month=f"{month:%Y-%m}", times=_times(each[month]), went=_figures(each[month])
        )
        for month in sorted(each)
    ]


def _times(totals: Iterable[GivenTotal]) -> int:
    return sum(one.hand_offs for one in totals)


def _figures(totals: Sequence[GivenTotal]) -> GivenFigures:
    mass_g = fsum(one.mass_g for one in totals)
    return GivenFigures(
        units=sum(one.units for one in totals),
        mass_g=figure(mass_g),
        energy_kcal=figure(fsum(one.energy_kcal for one in totals)),
        meals=figure(meals_of(mass_g)),
    )
