"""Keep small values as text: settings, what a label declares, a list of words."""

import json
from dataclasses import asdict
from functools import lru_cache
from typing import Final

from daysworth.domain.foods import FoodGroup
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.restrictions import DeclaredFacts, Substance
from daysworth.domain.settings import StoreSettings

_LABELS_REMEMBERED: Final = 4_096
"""How many different declarations are kept as values: foods of one recipe share theirs."""


def facts_text(facts: DeclaredFacts) -> str:
    """Write declared facts as JSON, each list in alphabetical order."""
    return json.dumps({name: sorted(words) for name, words in asdict(facts).items()})


@lru_cache(maxsize=_LABELS_REMEMBERED)
def facts_from(text: str) -> DeclaredFacts:
    """Read declared facts."""
    return DeclaredFacts(
        **{name: frozenset(map(Substance, words)) for name, words in json.loads(text).items()}
    )


def settings_text(settings: StoreSettings) -> str:
    """Write a store's settings as JSON."""
    return json.dumps(asdict(settings), sort_keys=True)


@lru_cache(maxsize=64)
def settings_from(text: str) -> StoreSettings:
    """Read a store's settings."""
    kept = json.loads(text)
    kept["grace_days"] = {FoodGroup(group): days for group, days in kept["grace_days"].items()}
    kept["needs_basis"] = NeedsBasis(kept["needs_basis"])
    if "notice_bands_days" in kept:
        kept["notice_bands_days"] = tuple(kept["notice_bands_days"])
    if "meal_rules" in kept:
        kept["meal_rules"] = MealRules(**kept["meal_rules"])
    return StoreSettings(**kept)
