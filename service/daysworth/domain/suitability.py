"""Decide whether a food suits a member: suitable, unsuitable or unknown, with the reasons.

The rule everywhere: safety is never inferred from silence. A generic recipe can show that a food
is unsuitable and never that it is suitable for an allergy; for that, this lot's own label must
have been read. Everything here works on declared facts. Whoever decides better (from label text
and the law it was written under) gives another function of the type `Judge`; no planner changes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.foods import Food, FoodGroup, MadeOf, Texture
from daysworth.domain.restrictions import (
    ADVISING,
    NEEDS_A_MARK,
    NOTHING_DECLARED,
    RULED_OUT,
    DeclaredFacts,
    Diet,
    Substance,
    with_implied,
)


class Verdict(StrEnum):
    """What is known of a food for a member, the worst last."""

    SUITABLE = "suitable"
    UNKNOWN = "unknown"
    UNSUITABLE = "unsuitable"


@dataclass(frozen=True, slots=True, order=True)
class Demand:
    """One thing a food must meet for an eater: an allergy or a diet, and how strictly."""

    allergy: Substance | None = None
    diet: Diet | None = None
    accepts_may_contain: bool = False


@dataclass(frozen=True, slots=True)
class Eater:
    """All that decides what one member may eat: the stage, and every demand that reaches them."""

    stage: Stage
    demands: frozenset[Demand] = frozenset()


@dataclass(frozen=True, slots=True)
class Offer:
    """All that decides whom a lot suits: the food, what was read on its label, whether handled."""

    food: Food
    reading: DeclaredFacts | None = None
    is_handled_here: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """One finding behind a verdict, in words."""

    verdict: Verdict
    words: str


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict with every reason behind it; it is as bad as the worst of them."""

    reasons: tuple[Reason, ...]

    @property
    def verdict(self) -> Verdict:
        """Give the worst verdict among the reasons; suitable when there is none."""
        verdicts = {reason.verdict for reason in self.reasons}
        for verdict in (Verdict.UNSUITABLE, Verdict.UNKNOWN):
            if verdict in verdicts:
                return verdict
        return Verdict.SUITABLE


Judge = Callable[[Offer, Eater], Judgement]
"""Decides for one offer and one eater. It must depend on nothing else."""

_STAGE_GROUPS: Final[dict[Stage, frozenset[FoodGroup]]] = {
    Stage.FORMULA: frozenset({FoodGroup.INFANT_FORMULA}),
    Stage.BABY_FOOD: frozenset({FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD}),
    Stage.TABLE_FOOD: frozenset(FoodGroup) - {FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD},
}

_PLAIN: Final[dict[MadeOf, frozenset[Diet]]] = {
    MadeOf.PLAIN_PLANT: frozenset(RULED_OUT) - {Diet.GLUTEN_FREE},
    MadeOf.PLAIN_FISH: frozenset({Diet.PESCATARIAN, Diet.HALAL, Diet.KOSHER}),
    MadeOf.WATER: frozenset(RULED_OUT),
}
"""Diets that a generic food suits by its kind alone: plain plants, and plain fish."""


def judge(offer: Offer, eater: Eater) -> Judgement:
    """Decide for an offer and an eater, from declared facts alone."""
    found = list(_by_stage(offer, eater.stage))
    for demand in sorted(eater.demands, key=_order):
        if demand.allergy is not None:
            found.append(_by_allergy(offer, demand))
        elif demand.diet is not None and demand.diet not in ADVISING:
            found.append(_by_diet(offer, demand.diet))
    return Judgement(tuple(found))


def _order(demand: Demand) -> tuple[str, str, bool]:
    return (demand.allergy or "", demand.diet or "", demand.accepts_may_contain)


def _by_stage(offer: Offer, stage: Stage) -> tuple[Reason, ...]:
    if offer.food.group not in _STAGE_GROUPS[stage]:
        return (Reason(Verdict.UNSUITABLE, _NOT_FOR_STAGE[stage]),)
    if stage is Stage.TABLE_FOOD:
        return ()
    if Substance.HONEY in _contained(offer):
        return (Reason(Verdict.UNSUITABLE, "contains honey: none under 12 months"),)
    if Substance.HONEY in _possible(offer):
        return (Reason(Verdict.UNKNOWN, "may contain honey: none under 12 months"),)
    return ()


_NOT_FOR_STAGE: Final = {
    Stage.FORMULA: "under 6 months: infant formula only",
    Stage.BABY_FOOD: "6 to 12 months: infant formula and baby food only",
    Stage.TABLE_FOOD: "infant formula and baby food are for infants only",
}


def _contained(offer: Offer) -> frozenset[Substance]:
    read = offer.reading or NOTHING_DECLARED
    return with_implied(offer.food.facts.contains | read.contains)


def _possible(offer: Offer) -> frozenset[Substance]:
    """Give what may be in it: by its label, or by its recipe where the label does not deny it."""
    read = offer.reading or NOTHING_DECLARED
    usual = with_implied(offer.food.facts.may_contain) - read.free_from
    return with_implied(read.may_contain) | usual


def _by_allergy(offer: Offer, demand: Demand) -> Reason:
    substance = demand.allergy
    assert substance is not None
    words = substance.replace("_", " ")
    read = offer.reading or NOTHING_DECLARED
    if substance in _contained(offer):
        return Reason(Verdict.UNSUITABLE, f"contains {words}")
    if substance in with_implied(read.may_contain):
        verdict = Verdict.SUITABLE if demand.accepts_may_contain else Verdict.UNSUITABLE
        return Reason(verdict, f"warning: the label says it may contain {words}")
    if substance not in read.free_from:
        return Reason(Verdict.UNKNOWN, f"the label was not read for {words}")
    if offer.is_handled_here:
        verdict = Verdict.SUITABLE if demand.accepts_may_contain else Verdict.UNKNOWN
        return Reason(verdict, f"warning: opened or repacked here, contact with {words} not known")
    return Reason(Verdict.SUITABLE, f"{words} not declared; that proves nothing, read the pack")


def _by_diet(offer: Offer, diet: Diet) -> Reason:
    if diet is Diet.PUREED:
        return Reason(Verdict.UNKNOWN, "a swallowing diet: ask the care team")
    if diet is Diet.SOFT:
        return _by_texture(offer.food.texture)
    if diet is Diet.GLUTEN_FREE:
        return _by_allergy(offer, Demand(allergy=Substance.GLUTEN))
    return _by_ingredients(offer, diet)


def _by_texture(texture: Texture | None) -> Reason:
    if texture is None:
        return Reason(Verdict.UNKNOWN, "how soft it is was not recorded")
    if texture is Texture.FIRM:
        return Reason(Verdict.UNSUITABLE, "needs chewing")
    return Reason(Verdict.SUITABLE, "soft from the pack")


def _by_ingredients(offer: Offer, diet: Diet) -> Reason:
    words = diet.replace("_", " ")
    out = RULED_OUT[diet]
    read = offer.reading or NOTHING_DECLARED
    clash = _contained(offer) & out
    if clash - NEEDS_A_MARK.get(diet, frozenset()):
        return Reason(Verdict.UNSUITABLE, f"not {words}: contains {_named(clash)}")
    if clash:
        return Reason(Verdict.UNKNOWN, f"{words}: {_named(clash)} needs a mark")
    doubt = _possible(offer) & out
    if doubt:
        return Reason(Verdict.UNKNOWN, f"{words}: it may contain {_named(doubt)}")
    if out <= read.free_from:
        return Reason(Verdict.SUITABLE, f"the label was read: {words} by ingredients")
    if diet in _PLAIN.get(offer.food.made_of, frozenset()):
        return Reason(Verdict.SUITABLE, f"{words}: a plain food of its kind")
    return Reason(Verdict.UNKNOWN, f"the label was not read for {words}")


def _named(substances: frozenset[Substance]) -> str:
    return ", ".join(sorted(substance.replace("_", " ") for substance in substances))


def demand_words(demand: Demand) -> str:
    """Name a demand in a few words, without saying whose it is."""
    if demand.allergy is not None:
        return f"{demand.allergy.replace('_', ' ')} allergy"
    return _DIET_WORDS.get(demand.diet, str(demand.diet)) if demand.diet else ""


_DIET_WORDS: Final = {
    Diet.GLUTEN_FREE: "gluten-free",
    Diet.SOFT: "soft food",
    Diet.PUREED: "puréed food",
    Diet.LOW_SODIUM: "low sodium",
}
