"""Gather what somebody on a medical diet, or their care team, would ask of a food.

Nothing here says that a food suits: there is no such food in law (Regulation (EU) 609/2013 ended
"diabetic food" in the Union, from memory), and the care team decides.
"""

from functools import lru_cache
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.offers import Offer
from daysworth.domain.sodium import sodium_of

_RENAL_WORDS: Final = ("phosph", "potassium")
"""Phosphates and salts of potassium are named in the ingredient list: common practice."""

MOST_NAMED: Final = 3
PHRASES_REMEMBERED: Final = 16_384


def facts_in_words(offer: Offer) -> str:
    """Name carbohydrate, sodium, and additives with phosphorus or potassium, as far as known."""
    food = offer.food
    said = [*_figures(food), *_additives(offer)]
    return "; ".join(said) if said else "its carbohydrate and sodium are not recorded"


def _figures(food: Food) -> list[str]:
    found = []
    if food.carbohydrate_g_100g is not None:
        found.append(f"{food.carbohydrate_g_100g:g} g carbohydrate in 100 g")
    sodium = sodium_of(food)
    if sodium is not None:
        found.append(f"{sodium.sodium_mg:.0f} mg sodium in {sodium.amount_g:g} g")
    return found


def _additives(offer: Offer) -> list[str]:
    named = dict.fromkeys(phrase.words for phrase in offer.known.phrases if _is_renal(phrase.plain))
    return [f"the list names {', '.join(list(named)[:MOST_NAMED])}"] if named else []


@lru_cache(maxsize=PHRASES_REMEMBERED)
def _is_renal(plain: tuple[str, ...]) -> bool:
    return any(part in word for word in plain for part in _RENAL_WORDS)
