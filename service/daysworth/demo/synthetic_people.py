"""Make believable households: who lives together, how old they are, what they must avoid."""

import random
from datetime import date, timedelta
from typing import Final

from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.people import Household, InfantFeeding, Member, Sex
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance

_HOMES: Final[tuple[tuple[float, tuple[tuple[int, int], ...]], ...]] = (
    (0.22, ((25, 60),)),
    (0.36, ((62, 88),)),
    (0.52, ((22, 60), (22, 60))),
    (0.64, ((64, 88), (64, 88))),
    (0.70, ((26, 40), (26, 40), (0, 2))),
    (0.80, ((28, 48), (28, 48), (2, 12))),
    (0.92, ((30, 50), (30, 50), (3, 10), (8, 17))),
    (0.97, ((32, 50), (32, 50), (2, 8), (6, 12), (12, 18))),
    (1.00, ((30, 50), (30, 50), (5, 16), (66, 90), (66, 90))),
)
"""Kinds of home with the running share of each; ages are years, from and up to."""

_ALLERGIES: Final = (
    (Substance.MILK, 0.012),
    (Substance.CRUSTACEAN, 0.012),
    (Substance.PEANUT, 0.012),
    (Substance.TREE_NUT, 0.008),
    (Substance.EGG, 0.007),
    (Substance.FISH, 0.006),
    (Substance.WHEAT, 0.005),
    (Substance.SOY, 0.004),
    (Substance.SESAME, 0.002),
)
_PERSONAL_DIETS: Final = (
    (Diet.VEGETARIAN, 0.04),
    (Diet.VEGAN, 0.01),
    (Diet.GLUTEN_FREE, 0.012),
    (Diet.DIABETIC, 0.08),
    (Diet.LOW_SODIUM, 0.04),
)
_HOME_DIETS: Final = ((Diet.HALAL, 0.03), (Diet.KOSHER, 0.01), (Diet.VEGETARIAN, 0.02))
_SOFT_FROM_YEARS: Final = 75
_SOFT_SHARE: Final = 0.08
_YEAR_DAYS: Final = 365.25


def synthetic_households(
    rng: random.Random, *, count: int, taken_on: date
) -> tuple[Household, ...]:
    """Draw `count` households, each with members born before `taken_on`."""
    return tuple(_household(rng, number=n, taken_on=taken_on) for n in range(1, count + 1))


def _household(rng: random.Random, *, number: int, taken_on: date) -> Household:
    draw = rng.random()
    ages = next(ages for share, ages in _HOMES if draw < share)
    home_diet = _drawn(rng, _HOME_DIETS)
    id_ = HouseholdId(f"H{number:04}")
    members = tuple(
        _member(rng, id_=MemberId(f"{id_}-{n}"), ages=years, home_diet=home_diet, taken_on=taken_on)
        for n, years in enumerate(ages, start=1)
    )
    return Household(id=id_, members=members, pets=1 if rng.random() < 0.25 else 0)


def _member(
    rng: random.Random,
    *,
    id_: MemberId,
    ages: tuple[int, int],
    home_diet: Diet | None,
    taken_on: date,
) -> Member:
    years = ages[0] + rng.random() * (ages[1] - ages[0])
    born_on = taken_on - timedelta(days=int(years * _YEAR_DAYS))
    feeding = None
    if years < 1:
        feeding = InfantFeeding.FORMULA if rng.random() < 0.6 else InfantFeeding.MIXED
    return Member(
        id=id_,
        born_on=born_on,
        sex=Sex.FEMALE if rng.random() < 0.5 else Sex.MALE,
        infant_feeding=feeding,
        restrictions=_restrictions(rng, years=years, home_diet=home_diet),
    )


def _restrictions(
    rng: random.Random, *, years: float, home_diet: Diet | None
) -> tuple[Restriction, ...]:
    found = [Restriction(allergy=s) for s, share in _ALLERGIES if rng.random() < share]
    if years >= 1:
        if home_diet is not None:
            found.append(Restriction(diet=home_diet, reach=Reach.HOME))
        personal = _drawn(rng, _PERSONAL_DIETS)
        if personal is not None and personal is not home_diet:
            found.append(Restriction(diet=personal))
    if years >= _SOFT_FROM_YEARS and rng.random() < _SOFT_SHARE:
        found.append(Restriction(diet=Diet.SOFT))
    return tuple(found)


def _drawn(rng: random.Random, shares: tuple[tuple[Diet, float], ...]) -> Diet | None:
    draw = rng.random()
    for diet, share in shares:
        if draw < share:
            return diet
        draw -= share
    return None
