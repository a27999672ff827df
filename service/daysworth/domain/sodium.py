"""Hold a food's sodium against what may be called low: 21 CFR 101.61."""

from dataclasses import dataclass
from typing import Final

from daysworth.domain.foods import Food
from daysworth.reference.reference_amounts import reference_amounts

LOW_MG: Final = 140
"""At most so many milligrams in a reference amount (21 CFR 101.61(b)(4)), or in 100 g of a meal."""

SMALL_AMOUNT_G: Final = 30
SMALL_AMOUNT_GOES_BY_G: Final = 50
"""Where the reference amount is 30 g or less, 50 g must have no more than that either."""


@dataclass(frozen=True, slots=True)
class Sodium:
    """Milligrams of sodium in a reference amount of so many grams, and whether that is low."""

    amount_g: float
    sodium_mg: float
    is_low: bool


def sodium_of(food: Food) -> Sodium | None:
    """Give a food's sodium in its reference amount; None: its figure is not known."""
    if food.sodium_mg_100g is None:
        return None
    amount = reference_amounts()[food.group]
    judged_g = amount.amount_g
    if judged_g <= SMALL_AMOUNT_G and not amount.is_meal:
        judged_g = SMALL_AMOUNT_GOES_BY_G
    judged_mg = food.sodium_mg_100g * judged_g / 100
    in_amount_mg = food.sodium_mg_100g * amount.amount_g / 100
    return Sodium(amount.amount_g, in_amount_mg, judged_mg <= LOW_MG)
