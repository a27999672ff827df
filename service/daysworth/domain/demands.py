"""Say what one member demands of a food: by age, by allergy, by diet, in their own words."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.restrictions import (
    ADVISING,
    Diet,
    DietLevel,
    FormulaKind,
    Restriction,
    Substance,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One thing a food must meet for an eater, and how strictly; a restriction without its reach.

    Exactly one of `allergy`, `words`, `diet` and `formula` is given.
    """

    allergy: Substance | None = None
    words: str | None = None
    diet: Diet | None = None
    formula: FormulaKind | None = None
    accepts_may_contain: bool = False
    is_certified_only: bool = False
    is_excluding: bool = False
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # Reasons are remembered by demand, for each of many foods: it is hashed once.
        object.__setattr__(self, "_hash", hash(self.order))

    def __hash__(self) -> int:
        return self._hash

    @property
    def only_advises(self) -> bool:
        """Tell whether this is a medical diet that excludes nothing by itself."""
        return self.diet in ADVISING and not self.is_excluding

    @property
    def order(self) -> tuple[str, ...]:
        """Give what demands are sorted by, so that an answer depends on no set's order."""
        flags = (self.accepts_may_contain, self.is_certified_only, self.is_excluding)
        named = (self.allergy, self.words, self.diet, self.formula)
        return (*(str(one or "") for one in named), *map(str, flags))


@dataclass(frozen=True)
class Eater:
    """All that decides what one member may eat: the stage, and every demand that reaches them."""

    stage: Stage
    demands: frozenset[Demand] = frozenset()
    is_under_four: bool = False

    @cached_property
    def ordered(self) -> tuple[Demand, ...]:
        """Give the demands in a fixed order."""
        return tuple(sorted(self.demands, key=lambda demand: demand.order))


def demand_of(restriction: Restriction) -> Demand:
    """Give what a restriction demands, whomever it reaches."""
    return Demand(
        allergy=restriction.allergy,
        words=restriction.words,
        diet=restriction.diet,
        formula=restriction.formula,
        accepts_may_contain=restriction.accepts_may_contain,
        is_certified_only=restriction.level is DietLevel.CERTIFIED,
        is_excluding=restriction.is_excluding,
    )


def demand_words(demand: Demand) -> str:
    """Name a demand in a few words, without saying whose it is."""
    if demand.allergy is not None:
        return f"{substance_words(demand.allergy)} allergy"
    if demand.words is not None:
        return f"no {demand.words}"
    if demand.formula is not None:
        return f"{demand.formula} infant formula only"
    words = _DIET_WORDS.get(demand.diet, str(demand.diet)) if demand.diet else ""
    return f"{words}, certified only" if demand.is_certified_only else words


def avoided_words(demand: Demand) -> str:
    """Say what a demand keeps out of a parcel, as who packs it reads it."""
    if demand.allergy is not None:
        return substance_words(demand.allergy)
    if demand.words is not None:
        return demand.words
    if demand.formula is not None:
        return f"any infant formula but {demand.formula}"
    words = _AVOIDED.get(demand.diet, f"anything not {demand.diet}") if demand.diet else ""
    return f"{words} and certified so" if demand.is_certified_only else words


def substance_words(substance: Substance) -> str:
    """Name a substance as a person reads it."""
    return _SUBSTANCE_WORDS.get(substance, substance.replace("_", " "))


_SUBSTANCE_WORDS: Final = {
    Substance.INSECT: "carmine or shellac",
    Substance.ANIMAL_ENZYME: "animal rennet or enzymes",
    Substance.ANIMAL_DERIVED: "an additive from animals",
    Substance.GRAPE_JUICE: "grape juice or must",
}

_DIET_WORDS: Final = {
    Diet.GLUTEN_FREE: "gluten-free",
    Diet.SOFT: "soft food",
    Diet.PUREED: "puréed food",
    Diet.LOW_SODIUM: "low sodium",
}

_AVOIDED: Final = {
    Diet.GLUTEN_FREE: "gluten",
    Diet.VEGETARIAN: "meat or fish",
    Diet.PESCATARIAN: "meat",
    Diet.VEGAN: "anything from animals",
    Diet.SOFT: "anything that needs chewing",
    Diet.PUREED: "anything but puréed food",
    Diet.LOW_SODIUM: "anything not low in sodium",
}
