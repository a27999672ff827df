"""A diet excludes what it excludes, doubts what needs a mark, and a medical diet only advises."""

from dataclasses import replace

import pytest

from daysworth.domain.foods import MadeOf, Texture
from daysworth.domain.restrictions import ADVISING, RULED_OUT, DeclaredFacts, Diet, Substance
from daysworth.domain.suitability import Demand, Verdict
from tests.domain.offers import (
    ALL_CLEAR,
    AVOIDS,
    NAMES_NOTHING,
    NOTHING_READ,
    OATS,
    PEANUT,
    judged,
    read,
    recipe,
)

BY_INGREDIENTS = [diet for diet in RULED_OUT if diet is not Diet.GLUTEN_FREE]


@pytest.mark.parametrize(
    ("diet", "substance", "verdict"),
    [
        (Diet.VEGETARIAN, Substance.MEAT, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.FISH, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.CRUSTACEAN, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.MOLLUSC, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.GELATINE, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.MILK, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.EGG, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.HONEY, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.PESCATARIAN, Substance.MEAT, Verdict.UNSUITABLE),
        (Diet.PESCATARIAN, Substance.GELATINE, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.ALCOHOL, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.MEAT, Verdict.UNKNOWN),
        (Diet.HALAL, Substance.GELATINE, Verdict.UNKNOWN),
        (Diet.KOSHER, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.CRUSTACEAN, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.MOLLUSC, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.MEAT, Verdict.UNKNOWN),
        (Diet.KOSHER, Substance.GELATINE, Verdict.UNKNOWN),
        (Diet.KOSHER, Substance.ALCOHOL, Verdict.UNKNOWN),
    ],
)
def test_what_a_diet_excludes_is_unsuitable_and_what_needs_a_mark_is_unknown(
    diet: Diet, substance: Substance, verdict: Verdict
) -> None:
    by_recipe = judged(recipe(substance), Demand(diet=diet), reading=ALL_CLEAR)
    by_label = judged(OATS, Demand(diet=diet), reading=read(contains=frozenset({substance})))
    assert by_recipe.verdict is verdict
    assert by_label.verdict is verdict
    assert substance.replace("_", " ") in by_label.reasons[0].words


@pytest.mark.parametrize(
    ("diet", "substance"),
    [
        (Diet.VEGETARIAN, Substance.MILK),
        (Diet.VEGETARIAN, Substance.EGG),
        (Diet.VEGETARIAN, Substance.HONEY),
        (Diet.PESCATARIAN, Substance.FISH),
        (Diet.PESCATARIAN, Substance.MOLLUSC),
        (Diet.HALAL, Substance.FISH),
        (Diet.KOSHER, Substance.FISH),
        (Diet.VEGAN, Substance.WHEAT),
    ],
)
def test_what_a_diet_allows_suits_once_the_label_was_read(diet: Diet, substance: Substance) -> None:
    found = judged(OATS, Demand(diet=diet), reading=read(contains=frozenset({substance})))
    assert found.verdict is Verdict.SUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mixed_food_is_unknown_until_its_label_is_read(diet: Diet) -> None:
    assert judged(OATS, Demand(diet=diet)).verdict is Verdict.UNKNOWN
    assert judged(OATS, Demand(diet=diet), reading=NAMES_NOTHING).verdict is Verdict.UNKNOWN
    assert judged(OATS, Demand(diet=diet), reading=read()).verdict is Verdict.SUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
@pytest.mark.parametrize("made_of", [MadeOf.PLAIN_PLANT, MadeOf.WATER])
def test_plain_plants_and_water_suit_by_their_kind_alone(diet: Diet, made_of: MadeOf) -> None:
    assert judged(recipe(made_of=made_of), Demand(diet=diet)).verdict is Verdict.SUITABLE


@pytest.mark.parametrize(
    ("diet", "verdict"),
    [
        (Diet.PESCATARIAN, Verdict.SUITABLE),
        (Diet.HALAL, Verdict.SUITABLE),
        (Diet.KOSHER, Verdict.SUITABLE),
        (Diet.VEGETARIAN, Verdict.UNSUITABLE),
        (Diet.VEGAN, Verdict.UNSUITABLE),
    ],
)
def test_a_plain_fish_suits_the_diets_that_allow_fish(diet: Diet, verdict: Verdict) -> None:
    fish = recipe(Substance.FISH, made_of=MadeOf.PLAIN_FISH)
    assert judged(fish, Demand(diet=diet)).verdict is verdict


def test_shellfish_is_not_kosher_though_it_is_plain_fish_by_its_shelf() -> None:
    clams = recipe(Substance.MOLLUSC, made_of=MadeOf.PLAIN_FISH)
    assert judged(clams, Demand(diet=Diet.KOSHER)).verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
@pytest.mark.parametrize("made_of", [MadeOf.MIXED, MadeOf.MEAT, MadeOf.DAIRY, MadeOf.EGG])
def test_no_other_kind_suits_a_diet_by_itself(diet: Diet, made_of: MadeOf) -> None:
    assert judged(recipe(made_of=made_of), Demand(diet=diet)).verdict is Verdict.UNKNOWN


def test_what_a_plant_usually_holds_or_may_hold_leaves_a_diet_in_doubt() -> None:
    vegan = Demand(diet=Diet.VEGAN)
    usually = recipe(may_contain=(Substance.MILK,), made_of=MadeOf.PLAIN_PLANT)
    assert judged(usually, vegan).verdict is Verdict.UNKNOWN
    cleared = DeclaredFacts(free_from=frozenset({Substance.MILK}))
    assert judged(usually, vegan, reading=cleared).verdict is Verdict.SUITABLE
    warned = DeclaredFacts(may_contain=frozenset({Substance.MILK}))
    plant = recipe(made_of=MadeOf.PLAIN_PLANT)
    assert judged(plant, vegan, reading=warned).verdict is Verdict.UNKNOWN
    at_odds = DeclaredFacts(may_contain=frozenset({Substance.MILK}), free_from=frozenset(Substance))
    assert judged(plant, vegan, reading=at_odds).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("made_of", MadeOf)
def test_gluten_free_needs_a_label_whatever_the_food_is_made_of(made_of: MadeOf) -> None:
    """Flours and oats are plain plants and seldom free of stray wheat."""
    gluten_free = Demand(diet=Diet.GLUTEN_FREE)
    food = recipe(made_of=made_of)
    assert judged(food, gluten_free).verdict is Verdict.UNKNOWN
    assert judged(food, gluten_free, reading=read()).verdict is Verdict.SUITABLE
    handled = judged(food, gluten_free, reading=read(), is_handled_here=True)
    assert handled.verdict is Verdict.UNKNOWN


def test_gluten_free_excludes_wheat_gluten_and_a_precaution() -> None:
    gluten_free = Demand(diet=Diet.GLUTEN_FREE)
    for substance in (Substance.WHEAT, Substance.GLUTEN):
        named = frozenset({substance})
        for reading in (read(contains=named), read(may_contain=named)):
            assert judged(OATS, gluten_free, reading=reading).verdict is Verdict.UNSUITABLE
        assert judged(recipe(substance), gluten_free).verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize(
    ("texture", "verdict"),
    [
        (Texture.SOFT, Verdict.SUITABLE),
        (Texture.FIRM, Verdict.UNSUITABLE),
        (None, Verdict.UNKNOWN),
    ],
)
@pytest.mark.parametrize("reading", [NOTHING_READ, ALL_CLEAR], ids=["unread", "read"])
def test_soft_food_goes_by_texture_and_not_by_the_label(
    texture: Texture | None, verdict: Verdict, reading: DeclaredFacts | None
) -> None:
    food = replace(OATS, texture=texture)
    assert judged(food, Demand(diet=Diet.SOFT), reading=reading).verdict is verdict


@pytest.mark.parametrize("texture", [*Texture, None])
def test_nothing_is_ever_marked_suitable_for_a_swallowing_diet(texture: Texture | None) -> None:
    found = judged(
        replace(OATS, texture=texture, made_of=MadeOf.PLAIN_PLANT),
        Demand(diet=Diet.PUREED),
        reading=ALL_CLEAR,
    )
    assert found.verdict is Verdict.UNKNOWN
    assert "care team" in found.reasons[0].words


@pytest.mark.parametrize("diet", sorted(ADVISING))
def test_a_medical_diet_advises_and_never_says_that_a_food_suits(diet: Diet) -> None:
    for food in (recipe(*Substance), OATS):
        assert judged(food, Demand(diet=diet), reading=ALL_CLEAR).reasons == ()


@pytest.mark.parametrize("diet", sorted(ADVISING))
def test_a_medical_diet_changes_nothing_about_the_other_needs(diet: Diet) -> None:
    for reading in (NOTHING_READ, read(), read(contains=PEANUT)):
        with_diet = judged(OATS, AVOIDS, Demand(diet=diet), reading=reading)
        assert with_diet == judged(OATS, AVOIDS, reading=reading)
