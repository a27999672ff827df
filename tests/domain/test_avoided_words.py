"""What must not go in a parcel is told to who packs it by its name, and by no reason."""

import pytest

from daysworth.domain.demands import Demand, avoided_words
from daysworth.domain.restrictions import Diet, FormulaKind, Substance


@pytest.mark.parametrize(
    ("demand", "words"),
    [
        (Demand(allergy=Substance.PEANUT), "peanut"),
        (Demand(allergy=Substance.TREE_NUT, accepts_may_contain=True), "tree nut"),
        (Demand(allergy=Substance.INSECT), "carmine or shellac"),
        (Demand(words="kiwi"), "kiwi"),
        (Demand(formula=FormulaKind.SOY), "any infant formula but soy"),
        (Demand(diet=Diet.GLUTEN_FREE), "gluten"),
        (Demand(diet=Diet.VEGETARIAN), "meat or fish"),
        (Demand(diet=Diet.PESCATARIAN), "meat"),
        (Demand(diet=Diet.VEGAN), "anything from animals"),
        (Demand(diet=Diet.SOFT), "anything that needs chewing"),
        (Demand(diet=Diet.PUREED), "anything but puréed food"),
        (Demand(diet=Diet.LOW_SODIUM, is_excluding=True), "anything not low in sodium"),
        (Demand(diet=Diet.HALAL), "anything not halal"),
        (Demand(diet=Diet.KOSHER, is_certified_only=True), "anything not kosher and certified so"),
    ],
)
def test_each_demand_keeps_out_what_it_names(demand: Demand, words: str) -> None:
    assert avoided_words(demand) == words
