"""Write a label in plain words for a synthetic pack: ingredients, and statements as makers print.

The words are ours. Every ingredient stands for the substances that it is there to bring in, and
for no others.
"""

from collections.abc import Iterable
from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.restrictions import Substance, with_implied

_MAINLY: Final[dict[FoodGroup, str]] = {
    FoodGroup.FISH: "water",
    FoodGroup.MEAT_AND_POULTRY: "water",
    FoodGroup.PREPARED_MEALS: "potatoes",
    FoodGroup.BEANS_AND_LENTILS: "white beans",
    FoodGroup.NUTS_AND_SEEDS: "sunflower seeds",
    FoodGroup.DAIRY_AND_EGG: "water",
    FoodGroup.BREADS_AND_CRACKERS: "rice flour",
    FoodGroup.BREAKFAST_CEREALS: "milled corn",
    FoodGroup.GRAINS_AND_PASTA: "rice",
    FoodGroup.VEGETABLES: "carrots",
    FoodGroup.FRUIT: "peaches",
    FoodGroup.FATS_AND_OILS: "sunflower oil",
    FoodGroup.SWEETS: "sugar",
    FoodGroup.CONDIMENTS: "tomatoes",
    FoodGroup.DRINKS: "water",
    FoodGroup.WATER: "water",
    FoodGroup.INFANT_FORMULA: "sunflower oil",
    FoodGroup.BABY_FOOD: "apples",
}
_BROUGHT_IN_BY: Final[dict[Substance, str]] = {
    Substance.MILK: "skim milk powder",
    Substance.EGG: "dried egg whites",
    Substance.FISH: "tuna",
    Substance.CRUSTACEAN: "shrimp",
    Substance.TREE_NUT: "almonds",
    Substance.WHEAT: "wheat flour",
    Substance.PEANUT: "peanuts",
    Substance.SOY: "soybeans",
    Substance.SESAME: "sesame seeds",
    Substance.GLUTEN: "barley malt extract",
    Substance.CELERY: "celery",
    Substance.MUSTARD: "mustard seed",
    Substance.LUPIN: "lupin flour",
    Substance.MOLLUSC: "clams",
    Substance.SULPHITE: "sulfur dioxide",
    Substance.MEAT: "chicken",
    Substance.PORK: "pork",
    Substance.GELATINE: "gelatin",
    Substance.ALCOHOL: "rum",
    Substance.HONEY: "honey",
    Substance.COCONUT: "coconut",
    Substance.OATS: "rolled oats",
    Substance.BLOOD: "beef blood",
    Substance.INSECT: "carmine",
    Substance.ANIMAL_ENZYME: "animal rennet",
    Substance.ANIMAL_DERIVED: "lanolin",
    Substance.GRAPE_JUICE: "grape juice",
}
_STATED_AS: Final[dict[Substance, str]] = {
    Substance.MILK: "milk",
    Substance.EGG: "egg",
    Substance.FISH: "fish (tuna)",
    Substance.CRUSTACEAN: "crustacean shellfish (shrimp)",
    Substance.TREE_NUT: "tree nuts (almonds)",
    Substance.WHEAT: "wheat",
    Substance.PEANUT: "peanuts",
    Substance.SOY: "soy",
    Substance.SESAME: "sesame",
}
"""The nine that a maker states (21 USC 321(qq)), as labels have them."""


def label_of(
    food: Food, *, contains: frozenset[Substance], may_contain: frozenset[Substance]
) -> LabelReading:
    """Write the whole label of a pack that has some substances in it, and may have others."""
    implied = {more for one in contains for more in with_implied(frozenset({one})) - {one}}
    brought = [_BROUGHT_IN_BY[one] for one in sorted(contains - implied)]
    lines = [f"Ingredients: {', '.join([_MAINLY[food.group], *brought, 'salt'])}."]
    if stated := _stated(contains):
        lines.append(f"Contains: {stated}.")
    if warned := _stated(may_contain):
        lines.append(f"May contain: {warned}.")
    return LabelReading(text="\n".join(lines), is_whole=True, regime=Regime.US_FDA)


def _stated(substances: Iterable[Substance]) -> str:
    return ", ".join(_STATED_AS[one] for one in sorted(substances) if one in _STATED_AS)
