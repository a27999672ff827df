"""Say how much of a food is a serving: the reference amount of its group."""

from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.reference.reference_amounts import reference_amounts

MIXED_DISH_SERVING_G: Final = 245.0
"""A serving of a prepared meal: 21 CFR 101.12(b) gives soups 245 g, and mixed dishes one cup, which
is about as much (from memory). The 100 g that claims on a meal go by are no serving."""


def serving_g(food: Food) -> float:
    """Give the grams of a food in a serving, of the mass that its figures are for.

    Source: 21 CFR 101.12(b), reference amounts customarily consumed, by the food's group.
    """
    if food.group is FoodGroup.PREPARED_MEALS:
        return MIXED_DISH_SERVING_G
    return reference_amounts()[food.group].amount_g


def servings(food: Food, net_mass_g: float | None = None) -> float:
    """Give the servings in a unit of this net mass (the usual one)."""
    return food.eaten_mass_g(net_mass_g) / serving_g(food)
