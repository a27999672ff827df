"""Say how patterns come in."""

from typing import Annotated, Self

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from daysworth.api.schemas.plain import Input, Ref, Words
from daysworth.api.schemas.words_of_lists import (
    FoodGroupIn,
    MealRuleIn,
    ServedIn,
    SlotKindIn,
    UtensilIn,
)
from daysworth.domain.identifiers import FoodId, PatternId, is_addressable, is_plain
from daysworth.domain.meal_patterns import (
    MOST_PERSONS,
    Choice,
    MealPattern,
    Served,
    Slot,
    Utensil,
    Waiver,
    Wanted,
)


def _printable(text: str) -> str:
    if not is_plain(text):
        raise ValueError("must be plain words on one line")
    return text


def _addressable(id_: str) -> str:
    if not is_addressable(id_):
        raise ValueError("must be letters, digits and hyphens: it stands in an address")
    return id_


LineIn = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=240),
    AfterValidator(_printable),
]
"""A sentence on a label, on one line."""

PersonsIn = Annotated[int, Field(ge=1, le=MOST_PERSONS, description="How many eat from one kit.")]
NewId = Annotated[Ref, AfterValidator(_addressable)]


class WaiverIn(Input):
    """A rule that a kit is not held to, and why: a reason is always given."""

    rule: MealRuleIn
    why: LineIn

    def waiver(self) -> Waiver:
        """Give the waiver."""
        return Waiver(rule=self.rule, why=self.why)


class WantedIn(Input):
    """A food, or any food of a group, one of them."""

    food: Ref | None = None
    group: FoodGroupIn | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.wanted()
        return self

    def wanted(self) -> Wanted:
        """Give what is wanted. Raises ValueError where both or neither is named."""
        return Wanted(food=None if self.food is None else FoodId(self.food), group=self.group)


class SlotIn(Input):
    """One part of the meal, with its choices in order of preference; a choice is one or two foods.

    `servings_each` are reference amounts for each person; `grams_in_all` asks for so many grams in
    the whole kit instead, for a seasoning.
    """

    kind: SlotKindIn
    choices: Annotated[
        list[Annotated[list[WantedIn], Field(min_length=1, max_length=2)]],
        Field(min_length=1, max_length=12),
    ]
    servings_each: Annotated[float, Field(gt=0, le=20)] = 1.0
    grams_in_all: Annotated[float, Field(gt=0, le=10_000)] | None = None
    served: ServedIn = Served.PLATE

    def slot(self) -> Slot:
        """Give the slot."""
        return Slot(
            kind=self.kind,
            choices=tuple(
                Choice(foods=tuple(one.wanted() for one in choice)) for choice in self.choices
            ),
            servings_each=self.servings_each,
            grams_in_all=self.grams_in_all,
            served=self.served,
        )


class PatternIn(Input):
    """What kits of one kind are put together from; `persons` is how many unless asked otherwise.

    `steps` say how to serve it, in plain sentences; `may_be_warmed` what may be warmed and how.
    """

    name: Words
    persons: PersonsIn
    slots: Annotated[list[SlotIn], Field(min_length=1, max_length=12)]
    utensil: UtensilIn = Utensil.FORK
    waivers: Annotated[list[WaiverIn], Field(max_length=10)] = Field(default_factory=list)
    steps: Annotated[list[LineIn], Field(max_length=12)] = Field(default_factory=list)
    may_be_warmed: LineIn | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.pattern(PatternId("new"))
        return self

    def pattern(self, id_: PatternId) -> MealPattern:
        """Give the pattern under an id. Raises ValueError where a rule is waived twice."""
        return MealPattern(
            id=id_,
            name=self.name,
            persons=self.persons,
            slots=tuple(one.slot() for one in self.slots),
            utensil=self.utensil,
            waivers=tuple(one.waiver() for one in self.waivers),
            steps=tuple(self.steps),
            may_be_warmed=self.may_be_warmed,
        )


class NewPatternIn(PatternIn):
    """A pattern of the store's own, under an id of its choice that stands in its address."""

    id: Annotated[NewId, Field(examples=["lentil-supper"])]


class PatternCopyIn(Input):
    """The id of the copy, which stands in its address, and its name; without one, the same name."""

    id: Annotated[NewId, Field(examples=["our-lentil-supper"])]
    name: Words | None = None
