"""Hold what the generic foods are declared to contain against what their published names say.

N   21 USC 321(qq), major food allergens; FDA, Guidance for Industry on food allergen labelling,
    edition 5 (2025), for the names of tree nuts; 21 CFR 101.91 for the gluten grains; Regulation
    (EU) 1169/2011, Annex II, for mustard, celery, molluscs, sulphites and lupin.
U   The descriptions of the raw USDA release: see `usda_release`.
"""

import re
from typing import NamedTuple

import pytest

from daysworth.reference.foods import FoodRow, food_rows
from tests.checks.usda_release import descriptions


class Term(NamedTuple):
    """A word of a description, and what a food so named contains or usually contains."""

    pattern: str
    substance: str


# N. A word fires as a word: "buckwheat" is not wheat, "eggplant" not egg, "butternut" not a nut.
TERMS = [
    Term(r"(?<!coconut )(?<!without )milk", "milk"),
    Term(r"buttermilk|cheese|cream(?! of tartar)|whey|casein(ate)?", "milk"),
    Term(r"eggs?|mayonnaise", "egg"),
    Term(r"fish|tuna|salmon|mackerel|sardines?|anchov(y|ies)|cod|herring", "fish"),
    Term(r"crab|shrimp|lobster|crayfish", "crustacean"),
    Term(r"clams?|mussels?|squid|mollusks?|oysters?(?!, soda, soup)", "mollusc"),
    Term(
        r"almonds?|walnuts?|cashews?|hazelnuts?|filberts?|pecans?|pistachios?|macadamias?"
        r"|brazilnuts?|pine nuts?|mixed nuts|trail mix",
        "tree_nut",
    ),
    Term(r"wheat|couscous|farina|macaroni|spaghetti|pasta|ravioli|matzo", "wheat"),
    Term(r"saltines|graham|pretzels|(?<!rice )noodles?|bread|pancakes|semolina", "wheat"),
    Term(r"barley|rye|oats|oatmeal|malt", "gluten"),
    Term(r"peanuts?", "peanut"),
    Term(r"soy|soybeans?|soymilk|tofu", "soy"),
    Term(r"sesame|tahini", "sesame"),
    Term(r"mustard", "mustard"),
    Term(r"celery", "celery"),
    Term(r"lupins?", "lupin"),
    Term(r"sulfured|sulfites?", "sulphite"),
    Term(r"coconut", "coconut"),
    Term(r"honey", "honey"),
    Term(r"gelatins?", "gelatine"),
    Term(r"pork|ham|bacon|lard", "pork"),
    Term(r"beef|chicken|turkey|meatballs|pork|ham", "meat"),
]


def named_in(description: str) -> frozenset[str]:
    """The substances that a description names by a word of its own."""
    # A sauce for pasta holds no pasta.
    text = description.lower().replace("sauce, pasta, spaghetti/marinara", "sauce, tomato")
    return frozenset(
        term.substance
        for term in TERMS
        if re.search(rf"(?<![a-z])(?:{term.pattern})(?![a-z])", text) is not None
    )


@pytest.mark.parametrize("row", food_rows(), ids=lambda row: row.food_id)
def test_what_a_published_name_says_is_in_a_food_is_declared(row: FoodRow) -> None:
    """N, read from U's description and from nothing of ours."""
    named = named_in(descriptions()[row.ndb_no])
    assert named <= row.contains | row.usually_contains


def test_the_names_do_say_what_most_allergens_are() -> None:
    """The check above can fail: the reader finds every kind that our foods are named for."""
    found = frozenset[str]().union(*(named_in(descriptions()[r.ndb_no]) for r in food_rows()))
    assert found >= {
        *("milk", "egg", "fish", "mollusc", "tree_nut", "wheat", "gluten", "peanut", "soy"),
        *("sesame", "mustard", "sulphite", "coconut", "honey", "gelatine", "pork", "meat"),
    }


@pytest.mark.parametrize(
    ("trap", "innocent"),
    [
        ("buckwheat", "wheat"),
        ("cocoa butter", "milk"),
        ("coconut milk", "milk"),
        ("coconut", "tree_nut"),
        ("nutmeg", "tree_nut"),
        ("butternut squash", "tree_nut"),
        ("squash, winter, butternut", "tree_nut"),
        ("eggplant", "egg"),
        ("waterchestnut", "tree_nut"),
        ("cream of tartar", "milk"),
        ("rice noodles", "wheat"),
    ],
)
def test_names_that_only_sound_like_an_allergen_do_not_count(trap: str, innocent: str) -> None:
    """N, over every food of U whose name holds the trap and no other word for the allergen."""
    caught = [text.lower() for text in descriptions().values() if trap in text.lower()]
    innocent_names = [text for text in caught if innocent not in named_in(text.replace(trap, ""))]
    assert innocent_names
    assert [text for text in innocent_names if innocent in named_in(text)] == []


def test_coconut_is_declared_as_coconut_and_as_no_tree_nut_or_milk() -> None:
    """FDA, edition 5 (2025): coconut is no longer among the tree nuts."""
    (row,) = (row for row in food_rows() if row.food_id == "coconut_milk_tinned")
    assert "coconut" in row.contains
    assert not {"milk", "tree_nut"} & (row.contains | row.usually_contains)


OF_ANIMALS = {
    *("milk", "egg", "fish", "crustacean", "mollusc", "meat", "pork", "gelatine", "honey"),
}


def test_what_is_called_a_plain_plant_holds_nothing_of_an_animal() -> None:
    """A plain plant suits vegan, halal and kosher by its kind alone, so the word must be true."""
    plants = [row for row in food_rows() if row.made_of == "plain_plant"]
    assert len(plants) > 60
    for row in plants:
        assert not OF_ANIMALS & (row.contains | row.usually_contains), row.food_id
        assert not OF_ANIMALS & named_in(descriptions()[row.ndb_no]), row.food_id


def test_what_holds_wheat_holds_gluten() -> None:
    """21 CFR 101.91: wheat is a gluten-containing grain."""
    for row in food_rows():
        for listed in (row.contains, row.usually_contains):
            assert "wheat" not in listed or "gluten" in row.contains | row.usually_contains
        assert "wheat" not in row.contains or "gluten" in row.contains, row.food_id
