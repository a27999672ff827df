"""Describe the people who eat: members and households, as needs and restrictions, without names."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated

from annotated_types import Ge, Le, Len

from daysworth.domain.identifiers import HouseholdId, IdLength, MemberId, Name
from daysworth.domain.restrictions import Restriction


class Sex(StrEnum):
    """The sex whose published figures apply."""

    FEMALE = "female"
    MALE = "male"


class Activity(StrEnum):
    """A physical activity level, by the names of the National Academies (2023)."""

    INACTIVE = "inactive"
    LOW_ACTIVE = "low_active"
    ACTIVE = "active"
    VERY_ACTIVE = "very_active"


class InfantFeeding(StrEnum):
    """How a child under twelve months is fed.

    `breastfed`: by its mother alone, so it has no need of its own. `mixed`: partly, and it needs
    formula or baby food as well; from six months on most breastfed infants do.
    """

    BREASTFED = "breastfed"
    FORMULA = "formula"
    MIXED = "mixed"


class PrepregnancyWeight(StrEnum):
    """The mother's weight class before the pregnancy, which sets the energy it stores."""

    UNDERWEIGHT = "underweight"
    NORMAL = "normal"
    OVERWEIGHT = "overweight"
    OBESE = "obese"


@dataclass(frozen=True, slots=True, kw_only=True)
class AgeBand:
    """An age known only roughly: whole years, both ends included."""

    from_years: Annotated[int, Ge(0), Le(120)]
    to_years: Annotated[int, Ge(0), Le(120)]

    def __post_init__(self) -> None:
        if self.from_years > self.to_years:
            raise ValueError("an age band runs from the younger age to the older")


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One person who eats, known by what they need and must avoid.

    Either `born_on` or `age_band` is given. `dislikes` are foods in their own words: they order
    choices and exclude nothing. Raises ValueError where the facts contradict one
    another.
    """

    id: Annotated[MemberId, IdLength]
    born_on: date | None = None
    age_band: AgeBand | None = None
    sex: Sex | None = None
    height_cm: Annotated[float, Ge(30), Le(250)] | None = None
    weight_kg: Annotated[float, Ge(1), Le(350)] | None = None
    activity: Activity | None = None
    appetite: Annotated[float, Ge(0.25), Le(3)] = 1.0
    pregnancy_due_on: date | None = None
    prepregnancy_weight: PrepregnancyWeight = PrepregnancyWeight.NORMAL
    breastfeeding_since_on: date | None = None
    infant_feeding: InfantFeeding | None = None
    restrictions: tuple[Restriction, ...] = ()
    dislikes: Annotated[tuple[Name, ...], Len(0, 20)] = ()

    def __post_init__(self) -> None:
        if (self.born_on is None) == (self.age_band is None):
            raise ValueError("give a birth date or an age band, one of the two")
        if self.sex is Sex.MALE and (self.pregnancy_due_on or self.breastfeeding_since_on):
            raise ValueError("pregnancy and breastfeeding are for a member who is not male")


@dataclass(frozen=True, slots=True, kw_only=True)
class Household:
    """People who share a home and a parcel; `pets` drink from the stored water too."""

    id: Annotated[HouseholdId, IdLength]
    members: Annotated[tuple[Member, ...], Len(1, 60)]
    pets: Annotated[int, Ge(0), Le(200)] = 0
