"""Say what a person must not eat, and what a label declares.

A `Substance` is a thing that a food can contain. A label's declared facts put substances under
"contains", "may contain" or "free from"; what it does not name is not known. An allergy and a
diet are both needs that rule substances out; a medical diet advises and rules nothing out.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Annotated, Final

from annotated_types import Len


class Substance(StrEnum):
    """A thing that a food can contain and that a person may have to avoid.

    `insect`: carmine, cochineal, shellac. `animal_enzyme`: rennet, pepsin and the like of animal
    origin. `animal_derived`: another additive from an animal (lanolin, L-cysteine, bone char).
    `grape_juice`: grape juice, must and wine vinegar. Beeswax counts as `honey`.
    """

    __hash__ = str.__hash__  # Members are looked up by the million.

    MILK = "milk"
    EGG = "egg"
    FISH = "fish"
    CRUSTACEAN = "crustacean"
    TREE_NUT = "tree_nut"
    WHEAT = "wheat"
    PEANUT = "peanut"
    SOY = "soy"
    SESAME = "sesame"
    GLUTEN = "gluten"
    CELERY = "celery"
    MUSTARD = "mustard"
    LUPIN = "lupin"
    MOLLUSC = "mollusc"
    SULPHITE = "sulphite"
    MEAT = "meat"
    PORK = "pork"
    GELATINE = "gelatine"
    ALCOHOL = "alcohol"
    HONEY = "honey"
    COCONUT = "coconut"
    OATS = "oats"
    BLOOD = "blood"
    INSECT = "insect"
    ANIMAL_ENZYME = "animal_enzyme"
    ANIMAL_DERIVED = "animal_derived"
    GRAPE_JUICE = "grape_juice"


class Diet(StrEnum):
    """A way of eating that rules substances out, goes by texture, or only advises."""

    GLUTEN_FREE = "gluten_free"
    VEGETARIAN = "vegetarian"
    VEGAN = "vegan"
    PESCATARIAN = "pescatarian"
    HALAL = "halal"
    KOSHER = "kosher"
    SOFT = "soft"
    PUREED = "pureed"
    DIABETIC = "diabetic"
    RENAL = "renal"
    LOW_SODIUM = "low_sodium"


class DietLevel(StrEnum):
    """How strictly a member keeps halal or kosher: by ingredients, or certified food only."""

    BY_INGREDIENTS = "by_ingredients"
    CERTIFIED = "certified"


class FormulaKind(StrEnum):
    """What an infant formula is made from; one infant's formula is not another's."""

    MILK = "milk"
    SOY = "soy"
    SPECIAL = "special"


class Reach(StrEnum):
    """Whom a restriction binds: this person alone, or everything that enters the home."""

    PERSON = "person"
    HOME = "home"


ADVISING: Final = frozenset({Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM})
"""Medical diets that are shown with "ask your care team" and exclude nothing by themselves."""

HAS_LEVELS: Final = frozenset({Diet.HALAL, Diet.KOSHER})
"""Diets that are kept at a level."""

_FLESH: Final = frozenset(
    {
        Substance.MEAT,
        Substance.PORK,
        Substance.GELATINE,
        Substance.BLOOD,
        Substance.INSECT,
        Substance.ANIMAL_ENZYME,
        Substance.ANIMAL_DERIVED,
    }
)
_SEA: Final = frozenset({Substance.FISH, Substance.CRUSTACEAN, Substance.MOLLUSC})

RULED_OUT: Final[dict[Diet, frozenset[Substance]]] = {
    # 21 CFR 101.91: no wheat, rye, barley or their crosses.
    Diet.GLUTEN_FREE: frozenset({Substance.GLUTEN}),
    # ISO 23662:2021: no ingredient of animal origin but milk, eggs and honey; vegan: none.
    Diet.VEGETARIAN: _FLESH | _SEA,
    Diet.VEGAN: _FLESH | _SEA | {Substance.MILK, Substance.EGG, Substance.HONEY},
    # Common practice: a vegetarian diet with fish and shellfish.
    Diet.PESCATARIAN: _FLESH,
    # Codex CAC/GL 24-1997, by ingredients: what is excluded, and what would need a mark.
    Diet.HALAL: _FLESH | {Substance.ALCOHOL},
    # By ingredients, from memory: flesh and wine need supervision; shellfish is excluded.
    Diet.KOSHER: _FLESH
    | {Substance.ALCOHOL, Substance.GRAPE_JUICE, Substance.CRUSTACEAN, Substance.MOLLUSC},
}
"""What each diet rules out. Diets that go by texture or only advise rule out no substance."""

_BY_MAKER: Final = frozenset(
    {Substance.MEAT, Substance.GELATINE, Substance.ANIMAL_ENZYME, Substance.ANIMAL_DERIVED}
)

NEEDS_A_MARK: Final[dict[Diet, frozenset[Substance]]] = {
    # Schools differ over carmine (Codex CAC/GL 24-1997 leaves it open): a mark decides.
    Diet.HALAL: _BY_MAKER | {Substance.INSECT},
    Diet.KOSHER: _BY_MAKER | {Substance.ALCOHOL, Substance.GRAPE_JUICE},
}
"""Substances that leave a diet in doubt where, for the rest, they would exclude the food."""

IMPLIED: Final[dict[Substance, frozenset[Substance]]] = {
    Substance.WHEAT: frozenset({Substance.GLUTEN}),
    Substance.PORK: frozenset({Substance.MEAT}),
    Substance.BLOOD: frozenset({Substance.MEAT}),
}
"""What a food that contains the one contains as well."""


@cache
def with_implied(substances: frozenset[Substance]) -> frozenset[Substance]:
    """Add what the given substances imply: wheat is gluten, pork is meat."""
    return substances.union(*(IMPLIED.get(substance, frozenset()) for substance in substances))


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredFacts:
    """What one label, or a generic recipe, says of the substances it names."""

    contains: frozenset[Substance] = frozenset()
    may_contain: frozenset[Substance] = frozenset()
    free_from: frozenset[Substance] = frozenset()


NOTHING_DECLARED: Final = DeclaredFacts()


OwnWords = Annotated[str, Len(2, 60)]
"""An ingredient in a household's own words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Restriction:
    """One thing a member must not eat: exactly one of an allergy, own words, a diet, a formula.

    `words` is any other ingredient in the household's own words, avoided as an allergy is.
    `formula` is the one kind of infant formula that an infant is fed. `reach` not given: an allergy
    or words bind the whole home, a diet or a formula this person only. `accepts_may_contain` is for
    allergies and words, on a clinician's advice. `level` is for halal and kosher; not given: by
    ingredients. `is_excluding` is for low sodium, which else only advises. Raises ValueError where
    the facts contradict one another.
    """

    allergy: Substance | None = None
    diet: Diet | None = None
    words: OwnWords | None = None
    formula: FormulaKind | None = None
    reach: Reach | None = None
    accepts_may_contain: bool = False
    level: DietLevel | None = None
    is_excluding: bool = False

    def __post_init__(self) -> None:
        named = (self.allergy, self.diet, self.words, self.formula)
        if sum(one is not None for one in named) != 1:
            raise ValueError("name an allergy, a diet, words or a formula, one of them")
        if self.words is not None and not any(letter.isalpha() for letter in self.words):
            raise ValueError("say in words which ingredient it is")
        if self.accepts_may_contain and self.allergy is None and self.words is None:
            raise ValueError("only an allergy can accept 'may contain'")
        if self.level is not None and self.diet not in HAS_LEVELS:
            raise ValueError("only halal and kosher are kept at a level")
        if self.is_excluding and self.diet is not Diet.LOW_SODIUM:
            raise ValueError("only low sodium can be told to exclude")

    @property
    def binds_home(self) -> bool:
        """Tell whether nothing unsuitable may enter this member's home."""
        if self.reach is None:
            return self.allergy is not None or self.words is not None
        return self.reach is Reach.HOME
