"""Say how much of a food is a serving: the reference amount of its group."""

from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MassBasis, Preparation
from daysworth.reference.reference_amounts import reference_amounts

MIXED_DISH_SERVING_G: Final = 245.0
"""A serving of a prepared meal: 21 CFR 101.12(b) gives soups 245 g, and mixed dishes one cup, which
is about as much (from memory). The 100 g that claims on a meal go by are no serving."""

DRIED_FRUIT_SERVING_G: Final = 40.0
"""21 CFR 101.12(b) (from memory): dried fruit has 40 g, where fruit in tins has 140 g."""

_DRIED_FRUIT_KCAL_100G: Final = 200
"""Fruit in heavy syrup has about 100 kcal in 100 g, dried fruit 240 or more (USDA SR28)."""

_CANNED_IN_LIQUID: Final = frozenset({FoodGroup.BEANS_AND_LENTILS, FoodGroup.VEGETABLES})
"""Groups whose amount is for food "canned in liquid", 130 g with the liquid."""

_DRY_SERVING_G: Final = {FoodGroup.BEANS_AND_LENTILS: 35.0, FoodGroup.GRAINS_AND_PASTA: 55.0}
"""21 CFR 101.12(b) (from memory): dry beans have 35 g, and dry pasta 55 g (rice 45 g: the most is
taken), where the amounts of their groups are for food that is ready to be eaten."""


def serving_g(food: Food) -> float:
    """Give the grams of a food in a serving, of the mass that its figures are for.

    Source: 21 CFR 101.12(b), reference amounts customarily consumed, by the food's group. Where the
    amount is of food in its liquid and the figures are for the drained mass, it is the drained part
    of that amount. Beans, grains and pasta that water is added to go by their dry amounts.
    """
    amount_g = _amount_g(food)
    if food.group in _CANNED_IN_LIQUID and food.figures_for is MassBasis.DRAINED:
        return amount_g * (food.drained_fraction or 1.0)
    return amount_g


def servings(food: Food, net_mass_g: float | None = None) -> float:
    """Give the servings in a unit of this net mass (the usual one)."""
    return food.eaten_mass_g(net_mass_g) / serving_g(food)


def _amount_g(food: Food) -> float:
    if food.group is FoodGroup.PREPARED_MEALS:
        return MIXED_DISH_SERVING_G
    if food.group is FoodGroup.FRUIT and food.energy_kcal_100g >= _DRIED_FRUIT_KCAL_100G:
        return DRIED_FRUIT_SERVING_G
    if food.added_water is Preparation.NEEDED and food.group in _DRY_SERVING_G:
        return _DRY_SERVING_G[food.group]
    return reference_amounts()[food.group].amount_g
