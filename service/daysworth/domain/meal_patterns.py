"""Describe a pattern: what a kit of its kind is put together from, and how it is served.

A slot is filled by one food, or by the two that one of its choices names, in whole units. Amounts
are for each person served, so that one pattern serves any number of people.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Gt, Le, Len

from daysworth.domain.foods import FoodGroup, MealRole
from daysworth.domain.identifiers import FoodId, IdLength, Name, PatternId

MOST_PERSONS: Final = 24
"""The most people one kit serves: beyond that it is no bag that one person carries."""

Persons = Annotated[int, Ge(1), Le(MOST_PERSONS)]
Line = Annotated[str, Len(1, 240)]
"""A sentence on a label, in characters."""


class MealRule(StrEnum):
    """What a kit is held to; `kit_rules` says how each is judged."""

    COMPLETE = "complete"
    ENERGY = "energy"
    NO_ADDED_WATER = "no_added_water"
    NO_HEATING = "no_heating"
    KEEPS = "keeps"
    OPENER = "opener"
    UTENSILS = "utensils"
    PLATES = "plates"
    ONE_MEAL_PACKS = "one_meal_packs"
    BAG = "bag"


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """A rule that a pattern is not held to, and why; its kits say so."""

    rule: MealRule
    why: Line


class SlotKind(StrEnum):
    """The part of a meal that a slot stands for."""

    PROTEIN = "protein"
    STARCH = "starch"
    FRUIT_OR_VEGETABLE = "fruit_or_vegetable"
    EXTRA = "extra"

    @property
    def role(self) -> MealRole | None:
        """Give the part of a complete meal; None: an extra, which is none."""
        return None if self is SlotKind.EXTRA else MealRole(self.value)


class Served(StrEnum):
    """From what a slot's food is eaten.

    `own_pack`: straight from its packs, one of them each. `mixed_in`: stirred into another slot's
    dish, so that it needs nothing of its own.
    """

    OWN_PACK = "own_pack"
    PLATE = "plate"
    BOWL = "bowl"
    MIXED_IN = "mixed_in"


class Utensil(StrEnum):
    """What everyone eats with."""

    FORK = "fork"
    SPOON = "spoon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A food, or any food of a group (for a part of the meal, one that plays it).

    Raises ValueError where both or neither is named.
    """

    food: Annotated[FoodId, IdLength] | None = None
    group: FoodGroup | None = None

    def __post_init__(self) -> None:
        if (self.food is None) == (self.group is None):
            raise ValueError("a choice names a food or a group, one of them")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to fill a slot: by one food, or by two, each for half of the servings."""

    foods: Annotated[tuple[Wanted, ...], Len(1, 2)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One part of the meal, with its choices in order of preference.

    `servings_each` are reference amounts (21 CFR 101.12) for each person. `grams_in_all` asks for
    so many grams in the whole kit instead, however many it serves: a seasoning goes by the dish.
    """

    kind: SlotKind
    choices: Annotated[tuple[Choice, ...], Len(1, 12)]
    servings_each: Annotated[float, Gt(0), Le(20)] = 1.0
    grams_in_all: Annotated[float, Gt(0), Le(10_000)] | None = None
    served: Served = Served.PLATE


@dataclass(frozen=True, slots=True, kw_only=True)
class MealPattern:
    """What kits of one kind are made of. `persons` is how many it serves unless asked otherwise.

    `steps` say how to serve it so that a teenager handed the bag can; `may_be_warmed` what may be
    warmed and how, None: nothing. Raises ValueError where a rule is waived twice.
    """

    id: Annotated[PatternId, IdLength]
    name: Name
    persons: Persons
    slots: Annotated[tuple[Slot, ...], Len(1, 12)]
    utensil: Utensil = Utensil.FORK
    waivers: Annotated[tuple[Waiver, ...], Len(0, 10)] = ()
    steps: Annotated[tuple[Line, ...], Len(0, 12)] = ()
    may_be_warmed: Line | None = None

    def __post_init__(self) -> None:
        rules = [waiver.rule for waiver in self.waivers]
        if len(set(rules)) < len(rules):
            raise ValueError("a rule is waived once")

    @property
    def waived(self) -> frozenset[MealRule]:
        """Give the rules that it is not held to."""
        return frozenset(waiver.rule for waiver in self.waivers)
