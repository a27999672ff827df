"""Hold the built-in menus against what is published on energy, and on what kit foods are.

S   Sphere Handbook (2011): 2,100 kcal a person and day. National means of need lie up to 2,300
    (FAO/WHO/UNU, Human energy requirements, 2004; from memory). A meal is a third of a day.
R   FEMA / American Red Cross, Food and Water in an Emergency: no refrigeration, cooking, water or
    special preparation.
"""

from itertools import chain

import pytest

from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food, MadeOf, Preparation, Texture
from daysworth.domain.kit_rules import RuleStatus
from daysworth.domain.meal_patterns import MealPattern
from daysworth.domain.restrictions import Substance
from tests.menus import fillings, judged

MENUS = list(built_in_patterns().values())
MEAN_KCAL, HIGH_KCAL = 2_100, 2_300
ANY_CHOICE_KCAL = 2_250
"""Whatever its choices, a menu feeds people who need no more than this."""


def named_by(pattern: MealPattern) -> list[Food]:
    """Give every food that a menu may be made of."""
    choices = chain.from_iterable(slot.choices for slot in pattern.slots)
    wanted = chain.from_iterable(choice.foods for choice in choices)
    return [generic_foods()[one.food] for one in wanted if one.food is not None]


def menus(words: str) -> list[MealPattern]:
    found = [one for one in MENUS if words in one.name]
    assert found
    return found


def known_of(food: Food) -> frozenset[Substance]:
    return food.facts.contains | food.facts.may_contain


@pytest.mark.parametrize("pattern", MENUS, ids=lambda one: one.id)
def test_a_menu_is_filled_from_usual_packs_within_every_rule(pattern: MealPattern) -> None:
    """S: with its first choices, for people who need 2,300 kcal a day."""
    findings = judged(pattern, next(fillings(pattern)), kcal_each=HIGH_KCAL)
    assert {one.status for one in findings} == {RuleStatus.PASSED}, findings


@pytest.mark.parametrize("pattern", MENUS, ids=lambda one: one.id)
def test_whatever_is_chosen_a_menu_is_a_meal(pattern: MealPattern) -> None:
    """S: every way to fill its slots, well above the third of 2,100 kcal."""
    ways = list(fillings(pattern))
    assert len(ways) > 2
    for kit in ways:
        findings = judged(pattern, kit, kcal_each=ANY_CHOICE_KCAL)
        failed = [one for one in findings if one.status is not RuleStatus.PASSED]
        assert not failed, ([(one.food.id, one.units) for one in kit], failed)


@pytest.mark.parametrize("pattern", MENUS, ids=lambda one: one.id)
def test_a_menu_has_a_third_of_the_planning_figure_for_everyone(pattern: MealPattern) -> None:
    """S: 700 kcal and up, and less than a whole day's food."""
    kit = next(fillings(pattern))
    each_kcal = sum(one.energy_kcal for one in kit) / pattern.persons
    assert MEAN_KCAL / 3 <= each_kcal < MEAN_KCAL


@pytest.mark.parametrize("pattern", MENUS, ids=lambda one: one.id)
def test_no_food_of_a_menu_needs_heat_or_water(pattern: MealPattern) -> None:
    """R."""
    for food in named_by(pattern):
        assert Preparation.NEEDED not in (food.heating, food.added_water), food.id


def test_there_are_menus_for_two_for_four_and_for_six() -> None:
    assert len(MENUS) >= 10
    assert {one.persons for one in MENUS} == {2, 4, 6}


def test_every_id_is_marked_as_built_in_and_stands_once() -> None:
    assert all(id_.startswith("std-") for id_ in built_in_patterns())
    assert [one.id for one in MENUS] == list(built_in_patterns())
    assert len({one.name for one in MENUS}) == len(MENUS)


FLESH = frozenset(
    {
        Substance.MEAT,
        Substance.PORK,
        Substance.GELATINE,
        Substance.FISH,
        Substance.CRUSTACEAN,
        Substance.MOLLUSC,
    }
)
OF_ANIMALS = FLESH | {Substance.MILK, Substance.EGG, Substance.HONEY}


def test_no_food_of_a_vegetarian_menu_is_flesh() -> None:
    """By the generic recipes: nothing of meat or fish, nor anything that usually has some."""
    for pattern in menus("vegetarian"):
        for food in named_by(pattern):
            assert not known_of(food) & FLESH, food.id
            assert food.made_of not in (MadeOf.MEAT, MadeOf.PLAIN_FISH), food.id


def test_no_food_of_a_vegan_menu_is_of_an_animal() -> None:
    for pattern in menus("vegan"):
        for food in named_by(pattern):
            assert not known_of(food) & OF_ANIMALS, food.id
            assert food.made_of in (MadeOf.PLAIN_PLANT, MadeOf.MIXED), food.id


def test_no_recipe_of_a_menu_without_gluten_has_any_and_it_says_that_labels_decide() -> None:
    for pattern in menus("no gluten"):
        assert "the labels decide" in pattern.name
        for food in named_by(pattern):
            assert not known_of(food) & {Substance.GLUTEN, Substance.WHEAT}, food.id


def test_no_recipe_of_a_menu_without_nuts_has_any_and_it_says_that_labels_decide() -> None:
    for pattern in menus("no nuts"):
        assert "the labels decide" in pattern.name
        for food in named_by(pattern):
            assert not known_of(food) & {Substance.PEANUT, Substance.TREE_NUT}, food.id


def test_everything_in_a_soft_menu_is_soft_and_no_danger_of_choking() -> None:
    for pattern in menus("soft"):
        for food in named_by(pattern):
            assert food.texture is Texture.SOFT, food.id
            assert not food.is_choking_hazard, food.id


def test_one_menu_has_two_proteins_of_which_everyone_gets_half() -> None:
    (pattern,) = menus("to each their liking")
    tuna, chicken = next(fillings(pattern))[:2]
    half = pattern.slots[0].servings_each * pattern.persons / 2
    assert min(tuna.servings, chicken.servings) >= half


def test_a_menu_eaten_from_its_packs_gives_everyone_packs_of_their_own() -> None:
    (pattern,) = menus("from their own packs")
    for kit in fillings(pattern):
        assert all(one.units % pattern.persons == 0 for one in kit)


def test_a_tinned_dish_that_fills_two_parts_goes_in_once() -> None:
    for words in ("Beef stew", "Ravioli"):
        (pattern,) = menus(words)
        kit = next(fillings(pattern))
        assert len(kit) == len(pattern.slots) - 1
        assert len(kit[0].food.roles) > 1


@pytest.mark.parametrize("pattern", MENUS, ids=lambda one: one.id)
def test_a_menu_says_how_to_serve_it_and_never_to_warm_an_unopened_tin(
    pattern: MealPattern,
) -> None:
    """Common practice: an unopened tin can burst; a stove belongs out of doors."""
    assert 4 <= len(pattern.steps) <= 12
    assert "hands" in " ".join(pattern.steps[:2])
    assert "back in the bag" in pattern.steps[-1]
    if pattern.may_be_warmed is not None:
        for words in ("tip it out", "out of doors", "Never warm a tin that is not open"):
            assert words in pattern.may_be_warmed
