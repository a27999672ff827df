"""Give the names of a store's foods, for whatever names foods by their ids."""

from daysworth.db.snapshots import own_foods
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.identifiers import FoodId


def food_names(reading: Reading | Writing) -> dict[FoodId, str]:
    """Give every food's name: those that come with the release, and the store's own before them."""
    foods = [*generic_foods().values(), *own_foods(reading.connection, reading.store)]
    return {food.id: food.name for food in foods}
