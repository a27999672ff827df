"""An ingredient in a household's own words is looked for as words; silence needs a whole list."""

from dataclasses import replace

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.foods import MadeOf
from daysworth.domain.labels import LabelReading, Presence, Regime, Said
from daysworth.domain.own_words import look_for
from daysworth.domain.restrictions import Substance
from daysworth.domain.verdicts import Verdict
from tests.domain.offers import MEAL, known, label, reason, recipe, ticked

YES, ASK, NO = Verdict.SUITABLE, Verdict.UNKNOWN, Verdict.UNSUITABLE


def verdict_on(words: str, text: str, *, accepts: bool = False, **more: object) -> Verdict:
    reading = label(text, **more)  # type: ignore[arg-type]
    return reason(Demand(words=words, accepts_may_contain=accepts), reading).verdict


@pytest.mark.parametrize(
    ("words", "ingredients", "verdict"),
    [
        ("kiwi", "rice, kiwi, sugar", NO),
        ("kiwi", "rice, dried kiwis, sugar", NO),
        ("Kiwi", "RICE, KIWI", NO),
        ("kiwi", "fruit (apple, kiwi), sugar", NO),
        ("kiwi", "rice, sugar", YES),
        ("kiwi", "rice, natural flavor", ASK),
        ("kiwi", "rice, spices", ASK),
        ("coconut", "rice, coconut milk", NO),
        ("coconut", "rice, desiccated coconut", NO),
        ("coconut", "rice, almond milk", YES),
        ("red dye", "rice, red dye", NO),
        ("red dye", "sugar, dye (red 40)", ASK),
        ("red dye", "sugar, red 40", ASK),
        ("red dye", "sugar, red beet", ASK),
        ("red dye", "sugar, blue dye", YES),
        ("corn syrup", "sugar, corn syrup", NO),
        ("corn syrup", "sugar, high fructose corn syrup", NO),
        ("corn syrup", "sugar, corn starch", ASK),
        ("corn syrup", "sugar, maple syrup", YES),
        ("sunflower oil", "rice, olive oil", YES),
        ("sunflower oil", "rice, sunflower seeds", ASK),
        ("colour", "sugar, color", NO),
        ("zucchini", "rice, zucchinis", NO),
        ("tomatoes", "rice, tomato paste", NO),
        ("palm oil", "rice, vegetable oil", ASK),
        ("palm oil", "rice, hydrogenated vegetable fat", ASK),
        ("palm oil", "rice, artificial color", YES),
        ("red dye", "sugar, artificial colors", ASK),
        ("red dye", "sugar, color added", ASK),
        ("corn syrup", "sugar, glucose syrup", ASK),
        ("corn", "rice, modified food starch", ASK),
        ("corn", "rice, hydrolyzed vegetable protein", ASK),
        ("corn", "rice, potato starch", YES),
        ("corn", "rice, vegetable oil", YES),
        ("kiwi", "rice, lemon juice, vegetable powder", YES),
    ],
)
def test_all_words_in_one_ingredient_are_a_match_and_some_a_doubt(
    words: str, ingredients: str, verdict: Verdict
) -> None:
    assert verdict_on(words, f"Ingredients: {ingredients}.") is verdict


def test_words_that_stand_in_two_ingredients_are_a_doubt_and_no_match() -> None:
    assert verdict_on("black pepper", "Ingredients: black beans, pepper.") is ASK


def test_a_precaution_in_own_words_goes_by_what_the_member_accepts() -> None:
    warned = "Ingredients: rice. May contain kiwi."
    assert verdict_on("kiwi", warned) is NO
    assert verdict_on("kiwi", warned, accepts=True) is YES
    both = "Ingredients: rice, kiwi. May contain kiwi."
    assert verdict_on("kiwi", both, accepts=True) is NO


def test_a_match_is_told_from_a_precaution_and_a_doubt_in_whatever_order_they_stand() -> None:
    for text in (
        "May contain passion fruit. Ingredients: passion fruit, fruit.",
        "Ingredients: fruit, passion fruit. May contain passion fruit.",
    ):
        assert verdict_on("passion fruit", text, accepts=True) is NO


@pytest.mark.parametrize(
    "reading",
    [
        None,
        label("Ingredients: rice, sugar.", is_whole=False),
        label("Ingredients: rice, sugar", regime=Regime.OTHER),
        label("Ingredients: rice, sugar ("),
        ticked(),
    ],
    ids=["none", "part", "no known law", "a broken list", "ticked"],
)
def test_without_a_whole_list_silence_says_nothing(reading: LabelReading | None) -> None:
    readings = () if reading is None else (reading,)
    for accepts in (False, True):
        demand = Demand(words="kiwi", accepts_may_contain=accepts)
        assert reason(demand, *readings).verdict is ASK


def test_whoever_accepts_traces_does_not_accept_a_doubt_beside_them() -> None:
    for text in (
        "Ingredients: rice, passion fruit juice. May contain passion fruit pulp.",
        "Ingredients: rice, spices. May contain passion fruit pulp.",
    ):
        assert verdict_on("passion fruit pulp", text, accepts=True) is ASK
        assert verdict_on("passion fruit pulp", text) is NO


def test_what_was_handled_here_is_unknown_in_own_words_too() -> None:
    plain = label("Ingredients: rice.")
    avoids, accepts = Demand(words="kiwi"), Demand(words="kiwi", accepts_may_contain=True)
    assert reason(avoids, plain, is_handled_here=True).verdict is ASK
    handled = reason(accepts, plain, is_handled_here=True)
    assert (handled.verdict, handled.is_warning) == (YES, True)


def test_a_food_that_is_named_by_the_words_contains_them() -> None:
    kiwis = replace(MEAL, name="Kiwi slices, tinned")
    found = reason(Demand(words="kiwi"), label("Ingredients: fruit, water."), food=kiwis)
    assert found.verdict is NO
    assert found.evidence[0].said is Said.REFERENCE_FOOD
    just_so = replace(MEAL, name="Kiwi")
    assert reason(Demand(words="kiwi"), label("Ingredients: fruit."), food=just_so).verdict is NO
    other = reason(Demand(words="kiwi jam"), label("Ingredients: fruit."), food=kiwis)
    assert other.verdict is YES


def test_drinking_water_holds_nothing_that_a_household_names() -> None:
    assert reason(Demand(words="kiwi"), food=recipe(made_of=MadeOf.WATER)).verdict is YES


def test_the_words_that_were_found_are_kept_with_their_place() -> None:
    text = "Ingredients: rice, dried kiwi."
    (seen,) = reason(Demand(words="kiwi"), label(text)).evidence
    assert (seen.presence, seen.said) == (Presence.CONTAINED, Said.INGREDIENTS)
    assert seen.at is not None
    assert text[seen.at :].startswith("dried kiwi")


def test_a_doubt_by_words_goes_before_a_doubt_by_a_word_that_could_hide_anything() -> None:
    seen = look_for(
        "corn syrup", known=known(label("Ingredients: spices, corn starch.")), food=MEAL
    )
    assert (seen.presence, seen.words) == (Presence.IN_DOUBT, "corn starch")


# Own words that name an allergen, or one of a group.


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("milk", "Ingredients: rice, whey."),
        ("soy", "Ingredients: rice, tofu."),
        ("tree nuts", "Ingredients: rice, cashews."),
        ("nuts", "Ingredients: rice, cashews."),
        ("fish", "Ingredients: rice, anchovies."),
        ("shellfish", "Ingredients: rice, prawns."),
        ("shellfish", "Ingredients: rice, mussels."),
        ("mustard", "Ingredients: rice, dijon mustard."),
    ],
)
def test_words_that_name_an_allergen_are_avoided_as_the_allergen_is(words: str, text: str) -> None:
    assert verdict_on(words, text) is NO


def test_words_that_name_an_allergen_are_no_more_cleared_than_the_allergen_is() -> None:
    assert verdict_on("mustard", "Ingredients: rice.") is ASK
    assert verdict_on("mustard", "Ingredients: rice.", regime=Regime.EU) is YES
    assert verdict_on("milk", "Ingredients: rice.") is YES
    assert reason(Demand(words="milk"), ticked()).verdict is ASK


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("almond", "Ingredients: rice. Contains: tree nuts."),
        ("almonds", "Ingredients: rice. May contain nuts."),
        ("salmon", "Ingredients: rice. Contains: fish."),
        ("almond", "Ingredients: sugar, marzipan."),
        ("groundnut", "Ingredients: rice, peanuts."),
        ("prawn", "Ingredients: rice, shrimp."),
        ("filbert", "Ingredients: rice, hazelnuts."),
        ("carmine", "Ingredients: sugar, cochineal."),
        ("cow's milk", "Ingredients: rice, whey powder."),
        ("soya", "Ingredients: rice, tofu."),
        ("almond", "Ingredients: rice, almnds."),
    ],
)
def test_a_name_of_the_same_group_on_the_label_leaves_a_doubt(words: str, text: str) -> None:
    assert verdict_on(words, text) in (ASK, NO)


def test_a_ticked_group_leaves_one_of_the_group_in_doubt() -> None:
    plain = label("Ingredients: rice.")
    nuts = frozenset({Substance.TREE_NUT})
    assert reason(Demand(words="almond"), plain).verdict is YES
    assert reason(Demand(words="almond"), plain, ticked(nuts)).verdict is ASK
    mixed = recipe(Substance.TREE_NUT)
    assert reason(Demand(words="almond"), plain, food=mixed).verdict is ASK
    fish = ticked(frozenset({Substance.FISH}))
    assert reason(Demand(words="almond"), plain, fish).verdict is YES
