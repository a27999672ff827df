"""Decide whether a food keeps a diet: by ingredients, by a claim, by texture, or not at all.

For a diet, unlike an allergy, the maker's claim counts: it settles what a list leaves in doubt,
and never what the list names. A medical diet only advises: its facts are shown, and the care team
decides.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from operator import itemgetter
from typing import Final

from daysworth.domain.demands import Demand, substance_words
from daysworth.domain.foods import MadeOf, Texture
from daysworth.domain.labels import Claim, Presence
from daysworth.domain.medical_facts import facts_in_words
from daysworth.domain.offers import Offer
from daysworth.domain.restrictions import NEEDS_A_MARK, RULED_OUT, Diet, Substance
from daysworth.domain.sodium import LOW_MG, sodium_of
from daysworth.domain.verdicts import Reason, Verdict

STANDS_REMEMBERED: Final = 65_536

_SUITS_BY_CLAIM: Final[dict[Diet, frozenset[Claim]]] = {
    Diet.VEGETARIAN: frozenset({Claim.VEGETARIAN, Claim.VEGAN}),
    Diet.VEGAN: frozenset({Claim.VEGAN}),
    Diet.PESCATARIAN: frozenset({Claim.VEGETARIAN, Claim.VEGAN}),
    Diet.HALAL: frozenset({Claim.HALAL_CERTIFIED}),
    Diet.KOSHER: frozenset({Claim.KOSHER_CERTIFIED}),
}

_PLAIN: Final[dict[MadeOf, frozenset[Diet]]] = {
    MadeOf.PLAIN_PLANT: frozenset(_SUITS_BY_CLAIM),
    MadeOf.PLAIN_FISH: frozenset({Diet.PESCATARIAN, Diet.HALAL, Diet.KOSHER}),
}
"""Diets that a generic food suits by its kind alone. Of water all is known, so it needs no row."""

_TRACES_MATTER: Final = frozenset({Diet.HALAL, Diet.KOSHER})
"""Contact with what is excluded breaks these diets (Codex CAC/GL 24-1997); a trace that was not
meant does not make a food less vegetarian (ISO 23662:2021, from memory)."""

_CLEAR: Final = frozenset({Presence.NOT_LISTED, Presence.ABSENT})


def by_diet(offer: Offer, demand: Demand) -> Reason:
    """Decide for an offer and a diet. Medical diets that only advise exclude nothing."""
    diet = demand.diet
    assert diet is not None
    if demand.only_advises:
        words = f"ask your care team; {facts_in_words(offer)}"
        return Reason(verdict=Verdict.SUITABLE, words=words, demand=demand, is_warning=True)
    if diet is Diet.PUREED:
        return _found(Verdict.UNKNOWN, "a swallowing diet: ask the care team", demand=demand)
    if diet is Diet.SOFT:
        return _by_texture(offer.food.texture, demand=demand)
    if diet is Diet.LOW_SODIUM:
        return _by_sodium(offer, demand=demand)
    if diet is Diet.GLUTEN_FREE:
        return _by_gluten(offer, demand=demand)
    return _by_ingredients(offer, demand)


def _found(
    verdict: Verdict,
    words: str,
    *,
    demand: Demand,
    substances: frozenset[Substance] = frozenset(),
    is_warning: bool = False,
) -> Reason:
    return Reason(
        verdict=verdict, words=words, demand=demand, substances=substances, is_warning=is_warning
    )


def _by_texture(texture: Texture | None, *, demand: Demand) -> Reason:
    if texture is None:
        return _found(Verdict.UNKNOWN, "how soft it is was not recorded", demand=demand)
    if texture is Texture.FIRM:
        return _found(Verdict.UNSUITABLE, "needs chewing", demand=demand)
    return _found(Verdict.SUITABLE, "soft from the pack", demand=demand)


def _by_sodium(offer: Offer, *, demand: Demand) -> Reason:
    """Hold the food against 21 CFR 101.61, for a member who said that it is to exclude."""
    sodium = sodium_of(offer.food)
    if sodium is None:
        if Claim.LOW_SODIUM in offer.known.claims:
            return _found(Verdict.SUITABLE, "the label claims low sodium", demand=demand)
        return _found(Verdict.UNKNOWN, "its sodium is not recorded", demand=demand)
    words = f"{sodium.sodium_mg:.0f} mg sodium in {sodium.amount_g:g} g; low is {LOW_MG} mg"
    return _found(Verdict.SUITABLE if sodium.is_low else Verdict.UNSUITABLE, words, demand=demand)


def _by_gluten(offer: Offer, *, demand: Demand) -> Reason:
    """Decide by a gluten-free claim, or by a whole list without a gluten grain (21 CFR 101.91).

    Where the list names gluten a claim beside it changes nothing: wheat starch is wheat.
    """
    presence = offer.known.of(Substance.GLUTEN)
    is_claimed = Claim.GLUTEN_FREE in offer.known.claims
    verdict, words = _GLUTEN[(presence, is_claimed)]
    if verdict is Verdict.SUITABLE and offer.is_handled_here:
        verdict = Verdict.UNKNOWN
        words = "warning: opened or repacked here, contact with gluten not known"
    return _found(verdict, words, demand=demand, substances=frozenset({Substance.GLUTEN}))


_NAMED = (Verdict.UNSUITABLE, "contains gluten")
_MAY = "warning: the label says it may contain gluten"
_READ = (Verdict.SUITABLE, "no gluten grain in the whole list")
_CLAIMED = (Verdict.SUITABLE, "the label claims to be gluten-free")

_GLUTEN: Final[dict[tuple[Presence, bool], tuple[Verdict, str]]] = {
    (Presence.CONTAINED, False): _NAMED,
    (Presence.CONTAINED, True): (
        Verdict.UNSUITABLE,
        "contains gluten, though the label claims to be free of it",
    ),
    (Presence.POSSIBLE, False): (Verdict.UNSUITABLE, _MAY),
    (Presence.POSSIBLE, True): (Verdict.UNKNOWN, f"{_MAY}, and claims to be free of it"),
    (Presence.IN_DOUBT, False): (Verdict.UNKNOWN, "a word on it may stand for gluten"),
    (Presence.IN_DOUBT, True): _CLAIMED,
    (Presence.NOT_KNOWN, False): (Verdict.UNKNOWN, "the label was not read for gluten"),
    (Presence.NOT_KNOWN, True): _CLAIMED,
    (Presence.NOT_LISTED, False): _READ,
    (Presence.NOT_LISTED, True): _CLAIMED,
    (Presence.ABSENT, False): _READ,
    (Presence.ABSENT, True): _CLAIMED,
}


@dataclass(frozen=True, slots=True)
class _Stand:
    """All that decides a diet kept by ingredients: how what it asks for stands, a mark, the kind.

    `presences` are in the order of the diet's `_ASKED_FOR`.
    """

    presences: tuple[Presence, ...]
    is_marked: bool
    made_of: MadeOf


_ASKED_FOR: Final = {
    # Milk is asked for besides, since meat with milk is not kosher.
    diet: tuple(sorted(RULED_OUT[diet] | {Substance.MILK}))
    for diet in _SUITS_BY_CLAIM
}


def _by_ingredients(offer: Offer, demand: Demand) -> Reason:
    diet = demand.diet
    assert diet is not None
    known = offer.known
    is_marked = not _SUITS_BY_CLAIM[diet].isdisjoint(known.claims)
    presences = _PICKED[diet](known.stands)
    return _by_stand(demand, _Stand(presences, is_marked, offer.food.made_of))


_PLACES: Final = {substance: place for place, substance in enumerate(Substance)}
_PICKED: Final = {
    diet: itemgetter(*(_PLACES[one] for one in asked)) for diet, asked in _ASKED_FOR.items()
}
"""Take what a diet asks for out of how every substance stands."""


@lru_cache(maxsize=STANDS_REMEMBERED)
def _by_stand(demand: Demand, stand: _Stand) -> Reason:
    diet = demand.diet
    assert diet is not None
    words = diet.replace("_", " ")
    every = dict(zip(_ASKED_FOR[diet], stand.presences, strict=True))
    stands = {one: every[one] for one in RULED_OUT[diet]}
    held = _which(stands, Presence.CONTAINED)
    is_clash = diet is Diet.KOSHER and _is_meat_with_milk(every)
    clash = held if is_clash else held - NEEDS_A_MARK.get(diet, frozenset())
    if clash:
        told = f"not {words}: contains {_named(clash)}"
        return _found(Verdict.UNSUITABLE, told, demand=demand, substances=clash)
    if stand.is_marked:
        return _found(Verdict.SUITABLE, f"the label is marked {words}", demand=demand)
    if held:
        told = f"{words}: {_named(held)} needs a mark"
        return _found(Verdict.UNKNOWN, told, demand=demand, substances=held)
    if demand.is_certified_only and stand.made_of is not MadeOf.WATER:
        return _found(Verdict.UNKNOWN, f"no {words} mark was read on the label", demand=demand)
    return _without_a_mark(demand, stands, made_of=stand.made_of)


def _without_a_mark(
    demand: Demand, stands: Mapping[Substance, Presence], *, made_of: MadeOf
) -> Reason:
    """Decide by ingredients alone, where the list names nothing that the diet rules out."""
    diet = demand.diet
    assert diet is not None
    words = diet.replace("_", " ")
    traces = _which(stands, Presence.POSSIBLE)
    doubt = _which(stands, Presence.IN_DOUBT) | (traces if diet in _TRACES_MATTER else frozenset())
    if doubt:
        told = f"{words}: it may contain {_named(doubt)}"
        return _found(Verdict.UNKNOWN, told, demand=demand, substances=doubt)
    is_read = all(presence in _CLEAR for one, presence in stands.items() if one not in traces)
    if not is_read and diet not in _PLAIN.get(made_of, frozenset()):
        return _found(Verdict.UNKNOWN, f"the label was not read for {words}", demand=demand)
    if traces:
        told = f"warning: {words} by ingredients; traces of {_named(traces)}"
        return _found(Verdict.SUITABLE, told, demand=demand, substances=traces, is_warning=True)
    told = f"the whole list was read: {words} by ingredients" if is_read else ""
    return _found(Verdict.SUITABLE, told or f"{words}: a plain food of its kind", demand=demand)


def _is_meat_with_milk(stands: Mapping[Substance, Presence]) -> bool:
    """Tell whether meat and milk are in it together, which no mark can make kosher."""
    return stands[Substance.MEAT] is stands[Substance.MILK] is Presence.CONTAINED


def _which(stands: Mapping[Substance, Presence], presence: Presence) -> frozenset[Substance]:
    return frozenset(one for one, stood in stands.items() if stood is presence)


def _named(substances: frozenset[Substance]) -> str:
    return ", ".join(sorted(substance_words(substance) for substance in substances))
