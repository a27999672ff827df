"""Say what a person must not eat, and what a label declares.

A `Substance` is a thing that a food can contain. A label's declared facts put substances under
"contains", "may contain" or "free from"; what it does not name is not known. An allergy and a
diet are both needs that rule substances out; a medical diet advises and rules nothing out.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Final


class Substance(StrEnum):
    """A thing that a food can contain and that a person may have to avoid."""

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


class Reach(StrEnum):
    """Whom a restriction binds: this person alone, or everything that enters the home."""

    PERSON = "person"
    HOME = "home"


ADVISING: Final = frozenset({Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM})
"""Medical diets that are shown with "ask your care team" and exclude nothing by themselves."""

_FLESH: Final = frozenset({Substance.MEAT, Substance.PORK, Substance.GELATINE})
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
    Diet.KOSHER: _FLESH | {Substance.ALCOHOL, Substance.CRUSTACEAN, Substance.MOLLUSC},
}
"""What each diet rules out. Diets that go by texture or only advise rule out no substance."""

NEEDS_A_MARK: Final[dict[Diet, frozenset[Substance]]] = {
    Diet.HALAL: frozenset({Substance.MEAT, Substance.GELATINE}),
    Diet.KOSHER: frozenset({Substance.MEAT, Substance.GELATINE, Substance.ALCOHOL}),
}
"""Substances that leave a diet in doubt where, for the rest, they would exclude the food."""

IMPLIED: Final[dict[Substance, frozenset[Substance]]] = {
    Substance.WHEAT: frozenset({Substance.GLUTEN}),
    Substance.PORK: frozenset({Substance.MEAT}),
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Restriction:
    """One thing a member must not eat: an allergy to a substance, or a diet (exactly one of them).

    `reach` not given: an allergy binds the whole home, a diet this person only.
    `accepts_may_contain` is for allergies alone, on a clinician's advice. Raises ValueError when
    it is neither or both.
    """

    allergy: Substance | None = None
    diet: Diet | None = None
    reach: Reach | None = None
    accepts_may_contain: bool = False

    def __post_init__(self) -> None:
        if (self.allergy is None) == (self.diet is None):
            raise ValueError("name an allergy or a diet, one of the two")
        if self.accepts_may_contain and self.allergy is None:
            raise ValueError("only an allergy can accept 'may contain'")

    @property
    def binds_home(self) -> bool:
        """Tell whether nothing unsuitable may enter this member's home."""
        if self.reach is None:
            return self.allergy is not None
        return self.reach is Reach.HOME
