"""Decide whether a food suits a member: suitable, unsuitable or unknown, with the reasons.

The rule everywhere: safety is never inferred from silence. What is known of the food is put
together in `known`; here it is held against what a member demands, by one table for allergies and
by `diets` for the rest. The planners take the decision as a function of the type `Judge`.
"""

from collections.abc import Callable, Mapping
from functools import cache
from itertools import product
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand, Eater, substance_words
from daysworth.domain.diets import by_diet
from daysworth.domain.foods import FoodGroup
from daysworth.domain.labels import Presence
from daysworth.domain.offers import Offer
from daysworth.domain.own_words import look_for, substances_meant
from daysworth.domain.regimes import named_by_a_law
from daysworth.domain.restrictions import Substance
from daysworth.domain.verdicts import Judgement, Reason, Verdict

Judge = Callable[[Offer, Eater], Judgement]
"""Decides for one offer and one eater, and depends on nothing else. Its verdict is the worst of
those for the eaters that `apart` gives."""

_STAGE_GROUPS: Final[dict[Stage, frozenset[FoodGroup]]] = {
    Stage.FORMULA: frozenset({FoodGroup.INFANT_FORMULA}),
    Stage.BABY_FOOD: frozenset({FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD}),
    Stage.TABLE_FOOD: frozenset(FoodGroup) - {FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD},
}

_TABLE_FOOD: Final = Stage.TABLE_FOOD
_POSSIBLE: Final = Presence.POSSIBLE
_GLUTEN: Final = Substance.GLUTEN
"""An enum's members take long to look up, next to all else that is asked of each food."""

REASONS_REMEMBERED: Final = 64
"""Demands whose reasons are kept with an offer, which may be kept for many stores."""

_BADNESS: Final = {Verdict.SUITABLE: 0, Verdict.UNKNOWN: 1, Verdict.UNSUITABLE: 2}


def judge(offer: Offer, eater: Eater) -> Judgement:
    """Decide for an offer and an eater."""
    reasons = _by_stage(offer, eater)
    for demand in eater.ordered:
        reasons += (reason_for(offer, demand),)
    return Judgement(reasons)


def apart(eater: Eater) -> tuple[Eater, ...]:
    """Take an eater's demands apart: the worst verdict for any of these is that for the eater.

    What is a hazard only to those under four is warned of, and decides nothing.
    """
    demands = [frozenset({demand}) for demand in eater.ordered] or [frozenset[Demand]()]
    return tuple(Eater(eater.stage, one) for one in demands)


def reason_for(offer: Offer, demand: Demand) -> Reason:
    """Decide for an offer and one demand."""
    found = offer.decided.get(demand)
    if found is None:
        if len(offer.decided) >= REASONS_REMEMBERED:
            offer.decided.clear()
        found = offer.decided[demand] = _decide(offer, demand)
    return found


def _decide(offer: Offer, demand: Demand) -> Reason:
    if demand.allergy is not None:
        return _by_allergy(offer, demand, substance=demand.allergy)
    if demand.words is not None:
        return _by_own_words(offer, demand, words=demand.words)
    if demand.formula is not None:
        return _by_formula(offer, demand)
    return by_diet(offer, demand)


# --- by age ---


def _by_stage(offer: Offer, eater: Eater) -> tuple[Reason, ...]:
    stage = eater.stage
    by_group = () if offer.food.group in _STAGE_GROUPS[stage] else _NOT_FOR_STAGE[stage]
    if stage is not _TABLE_FOOD:
        return (*by_group, *_HONEY.get(offer.known.of(Substance.HONEY), ()))
    if eater.is_under_four and offer.food.is_choking_hazard:
        return (*by_group, _CHOKING)
    return by_group


def _not_for_stage(words: str) -> tuple[Reason, ...]:
    return (Reason(verdict=Verdict.UNSUITABLE, words=words, is_by_stage=True),)


_NOT_FOR_STAGE: Final = {
    Stage.FORMULA: _not_for_stage("under 6 months: infant formula only"),
    Stage.BABY_FOOD: _not_for_stage("6 to 12 months: infant formula and baby food only"),
    Stage.TABLE_FOOD: _not_for_stage("infant formula and baby food are for infants only"),
}


def _honey(verdict: Verdict, words: str) -> tuple[Reason, ...]:
    told = f"{words}: none under 12 months"
    return (Reason(verdict=verdict, words=told, substances=frozenset({Substance.HONEY})),)


_HONEY: Final = {
    Presence.CONTAINED: _honey(Verdict.UNSUITABLE, "contains honey"),
    Presence.POSSIBLE: _honey(Verdict.UNKNOWN, "may contain honey"),
    Presence.IN_DOUBT: _honey(Verdict.UNKNOWN, "may contain honey"),
}

_CHOKING: Final = Reason(
    verdict=Verdict.SUITABLE,
    words="a choking hazard for a child under four: cut it small, or give something else",
    is_warning=True,
)


def _by_formula(offer: Offer, demand: Demand) -> Reason:
    food = offer.food
    if food.group is not FoodGroup.INFANT_FORMULA:
        return Reason(verdict=Verdict.SUITABLE, words="no infant formula", demand=demand)
    if food.formula is None:
        words = f"what it is made from is not recorded: {demand.formula} formula is needed"
        return Reason(verdict=Verdict.UNKNOWN, words=words, demand=demand)
    if food.formula is not demand.formula:
        words = f"{food.formula} formula, and {demand.formula} formula is needed"
        return Reason(verdict=Verdict.UNSUITABLE, words=words, demand=demand)
    return Reason(verdict=Verdict.SUITABLE, words=f"{food.formula} formula", demand=demand)


# --- by allergy: the table ---


def _by_allergy(offer: Offer, demand: Demand, *, substance: Substance) -> Reason:
    known = offer.known
    # No law names it, and no word on the label could hide it: then a whole list says "no".
    is_listed = substance not in named_by_a_law() and not known.open_words
    presence = known.of(substance)
    if presence is _POSSIBLE and demand.accepts_may_contain:
        # Whoever accepts traces does not accept a word that may be the thing itself.
        presence = Presence.IN_DOUBT if known.is_doubted(substance) else presence
    is_enough = is_listed or substance is _GLUTEN
    return _allergy_reasons(demand, substance)[presence, offer.is_handled_here, is_enough]


@cache
def _allergy_reasons(
    demand: Demand, substance: Substance
) -> Mapping[tuple[Presence, bool, bool], Reason]:
    """Give the reason for each way that a substance can stand in a food, handled here or not."""
    return {
        (presence, handled, enough): _allergy_reason(
            demand,
            substance=substance,
            presence=presence,
            is_handled_here=handled,
            silence_is_enough=enough,
        )
        for presence, handled, enough in product(Presence, (False, True), (False, True))
    }


def _allergy_reason(
    demand: Demand,
    *,
    substance: Substance,
    presence: Presence,
    is_handled_here: bool,
    silence_is_enough: bool,
) -> Reason:
    verdict, words, is_warning = _weighed(
        presence,
        words=substance_words(substance),
        accepts_may_contain=demand.accepts_may_contain,
        is_handled_here=is_handled_here,
        silence_is_enough=silence_is_enough,
    )
    return Reason(
        verdict=verdict,
        words=words,
        demand=demand,
        substances=frozenset({substance}),
        is_warning=is_warning,
    )


def _weighed(
    presence: Presence,
    *,
    words: str,
    accepts_may_contain: bool,
    is_handled_here: bool,
    silence_is_enough: bool,
) -> tuple[Verdict, str, bool]:
    """Give the verdict on what an allergy avoids, in words, and whether it is a warning.

    `silence_is_enough`: a whole list without it says "no", though no law would have it named.
    """
    if presence in _AS_IT_STANDS:
        verdict, told = _AS_IT_STANDS[presence]
        return verdict, told.format(words), False
    if presence is Presence.POSSIBLE:
        told = f"warning: the label says it may contain {words}"
        accepted = Verdict.SUITABLE if accepts_may_contain else Verdict.UNSUITABLE
        return accepted, told, accepts_may_contain
    if presence is Presence.NOT_LISTED and not silence_is_enough:
        told = f"no {words} in the list, and this label's law need not name it"
        return Verdict.UNKNOWN, told, False
    if is_handled_here:
        told = f"warning: opened or repacked here, contact with {words} not known"
        handled = Verdict.SUITABLE if accepts_may_contain else Verdict.UNKNOWN
        return handled, told, accepts_may_contain
    return Verdict.SUITABLE, f"{words} not declared; that proves nothing, read the pack", False


_AS_IT_STANDS: Final = {
    Presence.CONTAINED: (Verdict.UNSUITABLE, "contains {}"),
    Presence.IN_DOUBT: (Verdict.UNKNOWN, "a word on it may stand for {}"),
    Presence.NOT_KNOWN: (Verdict.UNKNOWN, "the label was not read for {}"),
}
"""What no acceptance and no handling changes."""


def _by_own_words(offer: Offer, demand: Demand, *, words: str) -> Reason:
    seen = look_for(
        words,
        known=offer.known,
        food=offer.food,
        accepts_may_contain=demand.accepts_may_contain,
    )
    verdict, told, is_warning = _weighed(
        seen.presence,
        words=words,
        accepts_may_contain=demand.accepts_may_contain,
        is_handled_here=offer.is_handled_here,
        silence_is_enough=True,
    )
    own = Reason(
        verdict=verdict, words=told, demand=demand, evidence=(seen,), is_warning=is_warning
    )
    # What the words are a name of is avoided as an allergy to it is.
    meant = (_by_allergy(offer, demand, substance=one) for one in sorted(substances_meant(words)))
    return max([own, *meant], key=lambda reason: (_BADNESS[reason.verdict], reason.is_warning))
