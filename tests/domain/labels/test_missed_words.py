"""Hold the reader to words and turns of phrase that it once let pass in silence."""

import pytest

from daysworth.domain.restrictions import with_implied
from tests.domain.labels.signs import contained, in_doubt, named, read


@pytest.mark.parametrize(
    ("word", "inside"),
    [
        ("stracchino", "milk"),
        ("dahi", "milk"),
        ("khoya", "milk"),
        ("whey permeate", "milk"),
        ("lemon curd", "egg"),
        ("egg wash", "egg"),
        ("freekeh", "wheat gluten"),
        ("tabbouleh", "wheat gluten"),
        ("seitan", "wheat gluten"),
        ("fregola", "wheat gluten"),
        ("bacalao", "fish"),
        ("chikuwa", "fish"),
        ("prahok", "fish"),
        ("camarones", "crustacean"),
        ("amaebi", "crustacean"),
        ("vongole", "mollusc"),
        ("pulpo", "mollusc"),
        ("orgeat", "tree_nut"),
        ("badam", "tree_nut"),
        ("pine kernels", "tree_nut"),
        ("gado gado", "peanut"),
        ("pindakaas", "peanut"),
        ("bulgogi sauce", "soy"),
        ("hatcho", "soy"),
        ("tehina", "sesame"),
        ("dukka", "sesame"),
        ("karashi", "mustard"),
        ("tarwi", "lupin"),
        ("tsampa", "gluten"),
    ],
)
def test_a_name_of_the_thing_itself_fires(word: str, inside: str) -> None:
    found = with_implied(contained(f"Ingredients: rice, water, salt, sugar, {word}"))
    assert named(inside) <= found


@pytest.mark.parametrize(
    ("word", "maybe"),
    [("korma sauce", "milk"), ("laksa paste", "crustacean"), ("linzer torte", "tree_nut")],
)
def test_a_dish_that_usually_holds_it_is_a_doubt(word: str, maybe: str) -> None:
    assert named(maybe) <= in_doubt(f"Ingredients: rice, water, salt, sugar, {word}")


@pytest.mark.parametrize(
    ("word", "looks_like"),
    [("rnilk", "milk"), ("alrnond", "almond"), ("vvheat", "wheat"), ("salrnon", "salmon")],
)
def test_a_letter_scanned_as_two_is_flagged(word: str, looks_like: str) -> None:
    (flagged,) = read(f"Ingredients: rice, water, {word}, salt").misspelt
    assert flagged.looks_like == looks_like


def test_what_a_bracket_after_a_claim_says_it_contains_is_in_the_food() -> None:
    text = "Ingredients: rice, salt. Free from nuts (contains milk)"
    assert contained(text) == named("milk")
    assert set(read(text).free_from) == named("tree_nut")


def test_a_denial_of_additives_takes_nothing_from_the_list_after_it() -> None:
    assert contained("Contains no preservatives, milk, rice, salt") == named("milk")


@pytest.mark.parametrize("word", ["long grain brown rice", "cannellini beans", "locust bean gum"])
def test_a_plain_food_is_no_sign_and_no_doubt(word: str) -> None:
    found = read(f"Ingredients: {word}, water, salt")
    assert found.hits == ()
    assert found.misspelt == ()
