"""Work out what to bring to the store of a snapshot file."""

from enum import StrEnum
from math import isfinite
from typing import TYPE_CHECKING, Annotated

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import (
    AsJson,
    Away,
    Day,
    Heating,
    Horizon,
    Ration,
    Running,
    Source,
    Stock,
    StockAsked,
    WithoutPlace,
)

if TYPE_CHECKING:
    from daysworth.planners.wish_candidates import Wish


class LeastOf(StrEnum):
    """What there is to be least of."""

    MASS = "mass"
    UNITS = "units"
    COST = "cost"


def _priced(written: str) -> tuple[str, float]:
    food, _, amount = written.rpartition(":")
    try:
        price = float(amount)
    except ValueError:
        price = 0.0
    if not food or not isfinite(price) or price <= 0:
        raise typer.BadParameter(f"{written!r} is not a food and its price, such as oats:3.20")
    return food, price


Target = Annotated[
    float, typer.Option("--target", metavar="DAYS", help="For how many days all are to be fed.")
]
LeastAsked = Annotated[LeastOf, typer.Option("--least", help="What there is to be least of.")]
Only = Annotated[
    list[str] | None, typer.Option("--food", metavar="F", help="Only this food; repeatable.")
]
Prices = Annotated[
    list[str] | None,
    typer.Option("--price", metavar="F:PRICE", help="What a pack of a food costs; repeatable."),
]
Usual = Annotated[bool, typer.Option("--usual", help="Only what ordinary shops usually have.")]
Keeps = Annotated[
    bool, typer.Option("--keeps-past-target", help="Only what is good longer than the target.")
]
ForHousehold = Annotated[
    str | None, typer.Option("--household", metavar="H", help="For this household alone.")
]


def wish_list(
    source: Source,
    *,
    target: Target = 14.0,
    least: LeastAsked = LeastOf.MASS,
    food: Only = None,
    price: Prices = None,
    usual: Usual = False,
    keeps_past_target: Keeps = False,
    household: ForHousehold = None,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    without_place: WithoutPlace = None,
    away: Away = None,
    ration: Ration = 1.0,
    horizon: Horizon = 180,
    as_json: AsJson = False,
) -> None:
    """Find the least to bring so that everyone can eat for a target of days.

    Day 1 is the day the snapshot was taken, unless another is given.
    """
    import json

    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.answers.wish_list import answer_wish_list, wish_list_json
    from daysworth.domain.identifiers import HouseholdId, PlaceId
    from daysworth.planners.scenario import Scenario, StockScope
    from daysworth_client.wish_list import wish_list_summary

    scenario = Scenario(
        heating=heating,
        running_water=running_water,
        stock=StockScope(stock),
        places_lost=frozenset(PlaceId(place) for place in without_place or ()),
        households_away=frozenset(HouseholdId(one) for one in away or ()),
        ration=ration,
        horizon_days=horizon,
    )
    wish = _wish(
        target,
        least,
        food=food,
        price=price,
        household=household,
        usual=usual,
        keeps=keeps_past_target,
    )
    store = read_snapshot(read_bytes(source))
    answer = answer_wish_list(store, as_of or store.taken_on, scenario=scenario, wish=wish)
    written = wish_list_json(answer)
    typer.echo(written if as_json else wish_list_summary(json.loads(written)).rstrip("\n"))


def _wish(
    target: float,
    least: LeastOf,
    *,
    food: list[str] | None,
    price: list[str] | None,
    household: str | None,
    usual: bool,
    keeps: bool,
) -> "Wish":
    from daysworth.domain.identifiers import FoodId, HouseholdId
    from daysworth.planners.wish_candidates import Least, Wish

    return Wish(
        target_days=target,
        least=Least(least),
        foods=frozenset(FoodId(one) for one in food) if food else None,
        is_usual_only=usual,
        keeps_past_target=keeps,
        household=None if household is None else HouseholdId(household),
        prices={FoodId(named): paid for named, paid in map(_priced, price or ())},
    )
