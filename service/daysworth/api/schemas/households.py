"""Say how households, members and restrictions come in and go out."""

from datetime import date
from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.api.schemas.plain import Day, FewWords, Input, Output, Words
from daysworth.api.schemas.words_of_lists import (
    ActivityIn,
    DietIn,
    DietLevelIn,
    FormulaKindIn,
    InfantFeedingIn,
    PrepregnancyWeightIn,
    ReachIn,
    SexIn,
    SubstanceIn,
)
from daysworth.db.households import KeptHousehold, KeptMember
from daysworth.domain.identifiers import MemberId
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR
from daysworth.domain.people import (
    Activity,
    AgeBand,
    InfantFeeding,
    Member,
    PrepregnancyWeight,
    Sex,
)
from daysworth.domain.restrictions import (
    Diet,
    DietLevel,
    FormulaKind,
    Reach,
    Restriction,
    Substance,
)
from daysworth.domain.snapshot import EARLIEST_BIRTH

Years = Annotated[int, Field(ge=0, le=120)]


class RestrictionIn(Input):
    """One thing a member must not eat: an allergy, a diet, words or a formula, one of them.

    `words` is any other ingredient in the household's own words, avoided as an allergy is.
    `formula` is the one kind of infant formula that an infant is fed. An allergy and words bind the
    whole home unless told otherwise, a diet and a formula this person. `accepts_may_contain` is for
    an allergy or words, on a clinician's advice. `level` is how strictly halal or kosher is kept,
    by ingredients where it is left out. `is_excluding` lets low sodium, which else only advises,
    exclude.
    """

    allergy: SubstanceIn | None = None
    diet: DietIn | None = None
    words: Annotated[FewWords | None, Field(examples=["red dye"])] = None
    formula: FormulaKindIn | None = None
    reach: ReachIn | None = None
    accepts_may_contain: bool = False
    level: DietLevelIn | None = None
    is_excluding: bool = False

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.restriction()
        return self

    def restriction(self) -> Restriction:
        """Give the restriction. Raises ValueError where it is none, or more than one."""
        return Restriction(
            allergy=self.allergy,
            diet=self.diet,
            words=self.words,
            formula=self.formula,
            reach=self.reach,
            accepts_may_contain=self.accepts_may_contain,
            level=self.level,
            is_excluding=self.is_excluding,
        )


class AgeBandIn(Input):
    """An age known only roughly: whole years, both ends included."""

    from_years: Years
    to_years: Years


class MemberIn(Input):
    """One person who eats: a birth date or an age band, and whatever else is known."""

    name: Words | None = None
    born_on: Day | None = None
    age_band: AgeBandIn | None = None
    sex: SexIn | None = None
    height_cm: Annotated[float, Field(ge=30, le=250)] | None = None
    weight_kg: Annotated[float, Field(ge=1, le=350)] | None = None
    activity: ActivityIn | None = None
    appetite: Annotated[float, Field(ge=0.25, le=3)] = 1.0
    pregnancy_due_on: Day | None = None
    prepregnancy_weight: PrepregnancyWeightIn = PrepregnancyWeight.NORMAL
    breastfeeding_since_on: Day | None = None
    infant_feeding: InfantFeedingIn | None = None
    restrictions: Annotated[list[RestrictionIn], Field(max_length=40)] = Field(default_factory=list)
    dislikes: Annotated[
        list[Words],
        Field(
            max_length=20,
            description="Foods in their own words: they order choices and exclude nothing.",
        ),
    ] = Field(default_factory=list)

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.kept(MemberId("new"))
        if self.born_on is not None and self.born_on < EARLIEST_BIRTH:
            raise ValueError("the birth date is before 1900")
        for day in (self.pregnancy_due_on, self.breastfeeding_since_on):
            if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
                raise ValueError(f"a date is not between {FIRST_YEAR} and {LAST_YEAR}")
        return self

    def kept(self, member: MemberId) -> KeptMember:
        """Give the member under an id. Raises ValueError where the facts contradict."""
        band = self.age_band
        facts = Member(
            id=member,
            born_on=self.born_on,
            age_band=AgeBand(from_years=band.from_years, to_years=band.to_years) if band else None,
            sex=self.sex,
            height_cm=self.height_cm,
            weight_kg=self.weight_kg,
            activity=self.activity,
            appetite=self.appetite,
            pregnancy_due_on=self.pregnancy_due_on,
            prepregnancy_weight=self.prepregnancy_weight,
            breastfeeding_since_on=self.breastfeeding_since_on,
            infant_feeding=self.infant_feeding,
            restrictions=tuple(one.restriction() for one in self.restrictions),
            dislikes=tuple(self.dislikes),
        )
        return KeptMember(facts=facts, name=self.name)


class HouseholdChangeIn(Input):
    """A household's new name and number of pets."""

    name: Words
    pets: Annotated[int, Field(ge=0, le=200)] = 0


class HouseholdIn(HouseholdChangeIn):
    """A household with its members."""

    members: Annotated[list[MemberIn], Field(min_length=1, max_length=60)]


class RestrictionOut(Output):
    """One thing a member must not eat."""

    allergy: Substance | None
    diet: Diet | None
    words: str | None
    formula: FormulaKind | None
    reach: Reach | None
    accepts_may_contain: bool
    level: DietLevel | None
    is_excluding: bool


class AgeBandOut(Output):
    """An age known only roughly."""

    from_years: int
    to_years: int


class MemberOut(Output):
    """One person who eats."""

    id: str
    etag: str
    name: str | None
    born_on: date | None
    age_band: AgeBandOut | None
    sex: Sex | None
    height_cm: float | None
    weight_kg: float | None
    activity: Activity | None
    appetite: float
    pregnancy_due_on: date | None
    prepregnancy_weight: PrepregnancyWeight
    breastfeeding_since_on: date | None
    infant_feeding: InfantFeeding | None
    restrictions: list[RestrictionOut]
    dislikes: list[str]


class HouseholdOut(Output):
    """A household: readable by coordinators and by itself alone."""

    id: str
    etag: str
    name: str
    parcel_number: int
    pets: int
    members: list[MemberOut]


class ParcelOut(Output):
    """What who packs may know of a household: its parcel's number and what it must not contain."""

    parcel_number: int
    must_not_contain: list[str]


def member_out(kept: KeptMember) -> MemberOut:
    """Tell of a member."""
    facts = kept.facts
    band = facts.age_band
    return MemberOut(
        id=facts.id,
        etag=f'"r{kept.revision}"',
        name=kept.name,
        born_on=facts.born_on,
        age_band=AgeBandOut(from_years=band.from_years, to_years=band.to_years) if band else None,
        sex=facts.sex,
        height_cm=facts.height_cm,
        weight_kg=facts.weight_kg,
        activity=facts.activity,
        appetite=facts.appetite,
        pregnancy_due_on=facts.pregnancy_due_on,
        prepregnancy_weight=facts.prepregnancy_weight,
        breastfeeding_since_on=facts.breastfeeding_since_on,
        infant_feeding=facts.infant_feeding,
        restrictions=[
            RestrictionOut.model_validate(one, from_attributes=True) for one in facts.restrictions
        ],
        dislikes=list(facts.dislikes),
    )


def household_out(kept: KeptHousehold) -> HouseholdOut:
    """Tell of a household."""
    return HouseholdOut(
        id=kept.id,
        etag=f'"r{kept.revision}"',
        name=kept.name,
        parcel_number=kept.parcel_number,
        pets=kept.pets,
        members=[member_out(one) for one in kept.members],
    )
