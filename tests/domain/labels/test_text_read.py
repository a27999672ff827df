"""Show what of a label's text is kept beside its hits: places, lists, claims, phrases."""

import pytest

from daysworth.domain.label_reader import plain_words, read_text, terms_named
from daysworth.domain.labels import Claim, Ingredient, Regime, Said
from daysworth.domain.restrictions import Substance
from tests.domain.labels.signs import read, signs


def names(ingredients: tuple[Ingredient, ...]) -> list[object]:
    """The words of ingredients, each with what it is made of where it is made of something."""
    return [one.words if not one.parts else (one.words, names(one.parts)) for one in ingredients]


def test_brackets_of_any_kind_make_parts_of_parts() -> None:
    text = "Ingredients: filling [jam (plum, sugar), {nut paste (almond)}], salt"
    assert names(read(text).ingredients) == [
        ("filling", [("jam", ["plum", "sugar"]), ("nut paste", ["almond"])]),
        "salt",
    ]


def test_percentages_belong_to_their_ingredient() -> None:
    (tomato, onion, oil) = read("Ingredients: Tomatoes (65%), Onions 12.5%, 3 % Oil").ingredients
    assert (tomato.words, tomato.percent, tomato.parts) == ("Tomatoes", 65.0, ())
    assert (onion.words, onion.percent) == ("Onions", 12.5)
    assert (oil.words, oil.percent) == ("Oil", 3.0)


def test_words_after_a_bracket_go_on_with_the_same_ingredient() -> None:
    (oils, salt) = read("Ingredients: palm oil (tbhq) and corn oil, salt").ingredients
    assert (oils.words, salt.words) == ("palm oil and corn oil", "salt")


def test_places_are_of_the_text_as_given() -> None:
    text = "Ingrédients\u200b: ﬁlling, CRÈME  fraîche, m\u00adilk"
    found = {hit.words: text[hit.at :] for hit in signs(text)}
    assert found["CRÈME fraîche"].startswith("CRÈME  fraîche")
    assert found["m\u00adilk"] == "m\u00adilk"


def test_a_statement_of_what_is_contained_is_seen() -> None:
    assert read("Ingredients: rice. Contains: milk and soy.").has_contains_statement
    assert read("CONTAINS WHEAT, MILK INGREDIENTS").has_contains_statement
    assert read("Contains: fish (cod), tree nuts (almonds)").has_contains_statement


@pytest.mark.parametrize(
    "text",
    [
        "Ingredients: rice, contains 2% or less of: milk",
        "Contains real fruit juice",
        "Contains no milk",
        "Contains: salt",
        "Seasoning contains milk",
        "May contain milk",
        "Margarine (contains milk)",
    ],
)
def test_what_only_looks_like_such_a_statement_is_none(text: str) -> None:
    assert not read(text).has_contains_statement


def test_denials_are_kept_with_their_words() -> None:
    found = read("Dairy-free. No soy or egg. Free from fish.").free_from
    assert found == {
        Substance.MILK: ("Dairy-free", 0),
        Substance.SOY: ("No soy", 12),
        Substance.EGG: ("No soy or egg", 12),
        Substance.FISH: ("Free from fish", 27),
    }


@pytest.mark.parametrize(
    "text",
    [
        "non-dairy",
        "pareve",
        "vegan",
        "lactose-free",
        "butter-free",
        "barley free",
        "almond-free",
        "plant-based",
        "not milk free",
        "Ingredients: dairy-free spread, salt",
    ],
)
def test_what_denies_no_whole_substance_is_no_claim_to_be_free_of_one(text: str) -> None:
    assert read(text).free_from == {}


def test_to_be_free_of_wheat_is_not_to_be_free_of_gluten() -> None:
    assert set(read("Wheat-free.").free_from) == {Substance.WHEAT}
    assert set(read("Pork-free.").free_from) == {Substance.PORK}


@pytest.mark.parametrize(
    ("text", "claim"),
    [
        ("GLUTEN FREE", Claim.GLUTEN_FREE),
        ("Certified gluten-free", Claim.GLUTEN_FREE),
        ("Free from gluten and milk", Claim.GLUTEN_FREE),
        ("Suitable for vegetarians", Claim.VEGETARIAN),
        ("Suitable for vegans.", Claim.VEGAN),
        ("Vegan", Claim.VEGAN),
        ("Halal certified", Claim.HALAL_CERTIFIED),
        ("Certified Kosher", Claim.KOSHER_CERTIFIED),
        ("Low sodium", Claim.LOW_SODIUM),
        ("Very low sodium food", Claim.LOW_SODIUM),
    ],
)
def test_a_claim_is_seen(text: str, claim: Claim) -> None:
    assert set(read(text).claims) == {claim}


@pytest.mark.parametrize(
    "text",
    [
        "Not suitable for vegans or vegetarians",
        "Not gluten free",
        "Kosher salt",
        "Kosher style dill, halal",
        "Reduced sodium",
        "Unsalted, no salt added",
        "Not a low sodium food",
        "Made in a gluten-free facility",
        "We cannot guarantee that it is gluten free",
        "Ingredients: gluten-free oats, sugar",
        "Ingredients: rice (gluten free), sugar",
        "Ingredients: low sodium soy sauce, vegan cheese",
        "Made with gluten-free oats, sugar",
    ],
)
def test_what_only_looks_like_a_claim_is_none(text: str) -> None:
    assert read(text).claims == {}


def test_oats_that_are_claimed_free_of_gluten_are_a_term_of_their_own() -> None:
    (oats,) = signs("Ingredients: certified gluten-free rolled oats")
    assert oats.term == "certified gluten free rolled oat"
    assert oats.fires == {Substance.OATS}


def test_every_entry_is_a_phrase_with_where_it_stood() -> None:
    text = "Ingredients: Coconut oils (RSPO), red dyes. Contains: milk, eggs. May contain soya."
    assert [(one.plain, one.said) for one in read(text).phrases] == [
        (("coconut", "oil"), Said.INGREDIENTS),
        (("rspo",), Said.INGREDIENTS),
        (("red", "dye"), Said.INGREDIENTS),
        (("milk",), Said.CONTAINS_STATEMENT),
        (("egg",), Said.CONTAINS_STATEMENT),
        (("soy",), Said.PRECAUTION),
    ]


def test_what_is_denied_is_a_phrase_of_a_claim() -> None:
    (phrase, *_) = [one for one in read("Coconut-free. Rice").phrases if "coconut" in one.plain]
    assert phrase.said is Said.CLAIM


def test_words_are_brought_to_one_spelling() -> None:
    assert plain_words("Soya Flavourings") == plain_words("soy flavoring")
    assert plain_words("Sulphites, yoghurts") == plain_words("sulfite yogurt")
    assert plain_words("Hydrolysed CRÈME fraîches") == plain_words("hydrolyzed creme fraiche")
    assert plain_words("cookies, potatoes, berries") == plain_words("cookie potato berry")


def test_terms_are_found_in_a_few_words_of_ones_own() -> None:
    (hit,) = terms_named("groundnuts")
    assert hit.fires == {Substance.PEANUT}
    assert terms_named("cocoa butter") == ()
    assert terms_named("red dye") == ()


def test_groups_and_exemptions_travel_with_the_hit() -> None:
    (nuts,) = signs("tree nuts")
    assert nuts.is_group
    (oil,) = signs("highly refined soya oil, salt")
    assert (Regime.EU, Substance.SOY) in oil.exempt
    (peanut,) = signs("refined peanut oil, salt")
    assert peanut.exempt == {(Regime.US_FDA, Substance.PEANUT)}


@pytest.mark.parametrize(
    ("text", "looks_like"),
    [
        ("Ingredients: penut, salt", "peanut"),
        ("Ingredients: wheet, salt", "wheat"),
        ("Ingredients: almnods, salt", "almond"),
        ("Ingredients: milkpowder, salt", "milk"),
        ("Ingredients: wheatflour, salt", "wheat"),
        ("Ingredients: peanutbutter, salt", "peanut"),
        ("Ingredients: m1lk, salt", "milk"),
        ("Ingredients: pean0ts, salt", "peanut"),
        ("Ingredients: w h e a t, salt", "wheat"),
        ("Ingredients: pe anuts, salt", "peanut"),
        ("Ingredients: sesami, salt", "sesame"),
        ("Ingredients: lecethin, salt", "lecithin"),
    ],
)
def test_a_word_that_looks_like_a_term_is_flagged(text: str, looks_like: str) -> None:
    (flagged,) = read(text).misspelt
    assert flagged.looks_like == looks_like
    assert flagged.substances
    assert signs(text) == ()


@pytest.mark.parametrize(
    "words",
    [
        "better bitter batter barely eggplant nutmeg coconuts doughnuts buckwheat nutrients",
        "chestnuts butternut buttercup butterhead horseradish fishless creamy maltitol maltose",
        "water sugar starchy tomatoes peaches pears beans oranges carrots flakes wheels",
    ],
)
def test_an_ordinary_word_is_not_flagged(words: str) -> None:
    assert read(f"Ingredients: {', '.join(words.split())}").misspelt == ()


def test_the_same_text_is_read_once() -> None:
    assert read_text("Milk, salt", language="en") is read_text("Milk, salt", language="en")
