"""Hold what a law exempts, and what it does not reach, against the law itself.

C   Regulation (EU) 1169/2011, Annex II: the exemptions of each of the fourteen.
F   Delegated Regulation (EU) 2024/2512 changed the entry for mustard: behenic acid that is used for
    the emulsifiers E470a, E471 and E477 is exempt; its wording is from memory.
B   FDA, Guidance for Industry on food allergen labelling, edition 5 (January 2025): alcohol under
    the Alcohol and Tobacco Tax and Trade Bureau and raw produce are outside the law on the nine.
"""

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.labels import Presence, Regime
from daysworth.domain.restrictions import Substance
from daysworth.domain.verdicts import Verdict
from tests.domain.offers import in_text, label, reason

EXEMPT_IN_THE_EU = [
    ("alcoholic distillate from wheat", Substance.GLUTEN),
    ("ethyl alcohol from barley", Substance.GLUTEN),
    ("wheat glucose syrup", Substance.WHEAT),
    ("dextrose from wheat", Substance.GLUTEN),
    ("wheat based maltodextrins", Substance.GLUTEN),
    ("glucose syrup from barley", Substance.GLUTEN),
    ("fish gelatine as a carrier", Substance.FISH),
    ("isinglass", Substance.FISH),
    ("fully refined soya oil", Substance.SOY),
    ("natural mixed tocopherols (E306) from soya", Substance.SOY),
    ("natural D-alpha tocopherol from soya", Substance.SOY),
    ("phytosterol esters from soya", Substance.SOY),
    ("plant stanol ester from soya", Substance.SOY),
    ("whey used for making alcoholic distillates", Substance.MILK),
    ("lactitol", Substance.MILK),
    ("hazelnut spirit", Substance.TREE_NUT),
]
EXEMPT_BY_US_LAW_TOO = frozenset({"fully refined soya oil"})


def stands(ingredient: str, substance: Substance, regime: Regime) -> Presence:
    """Tell how a substance stands in a whole label with this ingredient."""
    return in_text(f"Ingredients: rice, {ingredient}, salt.", substance, regime=regime)


@pytest.mark.parametrize(("ingredient", "substance"), EXEMPT_IN_THE_EU)
def test_what_annex_ii_exempts_is_no_sign_in_the_eu(ingredient: str, substance: Substance) -> None:
    assert stands(ingredient, substance, Regime.EU) is Presence.ABSENT


@pytest.mark.parametrize(("ingredient", "substance"), EXEMPT_IN_THE_EU)
def test_what_only_annex_ii_exempts_is_a_sign_or_a_doubt_in_the_us(
    ingredient: str, substance: Substance
) -> None:
    found = stands(ingredient, substance, Regime.US_FDA)
    is_exempt_too = ingredient in EXEMPT_BY_US_LAW_TOO
    assert (found in {Presence.CONTAINED, Presence.IN_DOUBT}) is not is_exempt_too


@pytest.mark.parametrize("emulsifier", ["E470a", "E471", "E477"])
def test_emulsifiers_with_behenic_acid_of_mustard_are_no_sign_of_mustard(emulsifier: str) -> None:
    assert stands(emulsifier, Substance.MUSTARD, Regime.EU) is Presence.ABSENT


@pytest.mark.parametrize("text", ["Ingredients: grapes, yeast.", "Ingredients: apples."])
@pytest.mark.parametrize("substance", [Substance.MILK, Substance.PEANUT, Substance.WHEAT])
def test_silence_outside_the_law_on_the_nine_supports_nothing(
    text: str, substance: Substance
) -> None:
    told = reason(Demand(allergy=substance), label(text, regime=Regime.OTHER))
    assert told.verdict is Verdict.UNKNOWN
