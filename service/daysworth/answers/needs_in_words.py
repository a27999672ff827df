"""Say in words what the members of an eating class need, without saying who they are."""

from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Eater, demand_words
from daysworth.planners.classes import EatingClass

MOST_NEEDS: Final = 3
"""How many different needs of one class are spelled out before the rest are only counted."""

_STAGES: Final = {
    Stage.FORMULA: "infant under 6 months",
    Stage.BABY_FOOD: "infant of 6 to 12 months",
}


def class_in_words(one: EatingClass) -> str:
    """Name what a class needs: its members' stages, allergies and diets, and stock of their own."""
    counts: dict[str, int] = {}
    for mouth in one.mouths:
        words = eater_in_words(mouth.eater)
        counts[words] = counts.get(words, 0) + 1
    needs = sorted(counts, key=lambda words: (-counts[words], words))
    named = " or ".join(needs[:MOST_NEEDS])
    if len(needs) > MOST_NEEDS:
        named += f" or {len(needs) - MOST_NEEDS} more like them"
    return named if one.keeper is None else f"{named}; has stock of its own"


def eater_in_words(eater: Eater) -> str:
    """Name what one eater needs; medical diets that only advise are left out."""
    demands = sorted(demand_words(demand) for demand in eater.demands if not demand.only_advises)
    words = [_STAGES[eater.stage]] if eater.stage in _STAGES else []
    return " and ".join([*words, *demands]) or "no restriction"
