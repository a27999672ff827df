"""Read a wish from an address: what is to be brought at least, and what it may be."""

from math import isfinite
from typing import Annotated, Final

from fastapi import Depends, Query

from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.planners.scenario import LONGEST_HORIZON_DAYS
from daysworth.planners.wish_candidates import DEFAULT_TARGET_DAYS, Least, Wish

MOST_FOODS: Final = 200
DEAREST: Final = 1e6

Foods = Annotated[list[Annotated[str, Query(max_length=64)]], Query(max_length=MOST_FOODS)]
Prices = Annotated[list[Annotated[str, Query(max_length=96)]], Query(max_length=MOST_FOODS)]


async def _wish(
    *,
    target_days: Annotated[
        float,
        Query(gt=0, le=LONGEST_HORIZON_DAYS, description="For how many days all are to be fed."),
    ] = DEFAULT_TARGET_DAYS,
    least: Annotated[Least, Query(description="What there is to be least of.")] = Least.MASS,
    food: Annotated[Foods, Query(description="Only this food; repeatable.")] = (),  # type: ignore[assignment]
    price: Annotated[
        Prices, Query(description="What a unit costs, as food:price; repeatable.")
    ] = (),  # type: ignore[assignment]
    usual: Annotated[bool, Query(description="Only what ordinary shops usually have.")] = False,
    keeps_past_target: Annotated[
        bool, Query(description="Only what is good longer than the target.")
    ] = False,
    household: Annotated[
        str | None, Query(max_length=64, description="For this household alone.")
    ] = None,
) -> Wish:
    return Wish(
        target_days=target_days,
        least=least,
        foods=frozenset(FoodId(one) for one in food) if food else None,
        is_usual_only=usual,
        keeps_past_target=keeps_past_target,
        household=None if household is None else HouseholdId(household),
        prices=dict(priced(one) for one in price),
    )


WishAsked = Annotated[Wish, Depends(_wish)]


def priced(written: str) -> tuple[FoodId, float]:
    """Read a food and its price, written food:price. Raises FieldsRefused for anything else."""
    food, _, amount = written.rpartition(":")
    try:
        price = float(amount)
    except ValueError:
        price = 0.0
    if not food or not isfinite(price) or not 0 < price <= DEAREST:
        raise FieldsRefused((Fault("price", "is a food and a price, such as rolled_oats:3.20"),))
    return FoodId(food), price
