"""Sort a store's lots into what a scenario can count, and why the rest is left out.

Damaged and quarantined lots count in nothing. An undated lot, and one past its last good day,
count only on paper. Food without energy feeds nobody, and the trace of protein that a rounded
label may give it is not counted. What is left is merged where it is the same to every eater: one
food, one reading, one owner who keeps it for themselves, one last good day.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum

from daysworth.domain.foods import Food, FoodGroup, Preparation
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.restrictions import NOTHING_DECLARED, DeclaredFacts
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Offer
from daysworth.planners.scenario import Scenario, StockScope


class Standing(StrEnum):
    """Whether a lot counts on a date, whatever the scenario."""

    GOOD = "good"
    PAST = "past"
    UNDATED = "undated"
    DAMAGED = "damaged"
    QUARANTINED = "quarantined"


@dataclass(frozen=True, slots=True)
class DatedLot:
    """A lot with its food, its last good day (None: undated) and its standing on the date."""

    lot: Lot
    food: Food
    last_good_day: date | None
    standing: Standing


@dataclass(frozen=True, slots=True)
class Stack:
    """Food that is the same to every eater: kcal, grams of protein and litres of water it needs.

    `day` is the last day on which it may be eaten, counted from the as-of date as day 1 and capped
    at the horizon. `kept_by` is the one household it is for, or None: shared.
    """

    offer: Offer
    kept_by: HouseholdId | None
    day: int
    energy_kcal: float
    protein_g: float
    water_l: float


def dated_lots(snapshot: Snapshot, as_of: date) -> tuple[DatedLot, ...]:
    """Give every lot its last good day and its standing on a date."""
    foods = {food.id: food for food in snapshot.foods}
    grace = snapshot.settings.grace_days
    return tuple(
        _dated(lot, food=foods[lot.food], as_of=as_of, grace=grace) for lot in snapshot.lots
    )


def _dated(lot: Lot, *, food: Food, as_of: date, grace: Mapping[FoodGroup, int]) -> DatedLot:
    day = lot.last_good_day(food, grace_days=grace)
    if lot.condition is Condition.DAMAGED:
        standing = Standing.DAMAGED
    elif lot.condition is Condition.QUARANTINED:
        standing = Standing.QUARANTINED
    elif day is None:
        standing = Standing.UNDATED
    else:
        standing = Standing.GOOD if day >= as_of else Standing.PAST
    return DatedLot(lot, food, day, standing)


def is_in_scope(lot: Lot, scenario: Scenario) -> bool:
    """Tell whether a scenario reaches a lot: where it stands, and whose it is."""
    if lot.place in scenario.places_lost:
        return False
    return scenario.stock is StockScope.ALL or lot.is_shared


def is_ready(food: Food, scenario: Scenario) -> bool:
    """Tell whether a food can be eaten without what the scenario lacks (added water apart)."""
    return scenario.heating or food.heating is not Preparation.NEEDED


def kept_by(lot: Lot) -> HouseholdId | None:
    """Name the household that keeps a lot for itself; None: it is shared."""
    return None if lot.is_shared else lot.owner


def stacks_of(dated: Iterable[DatedLot], *, scenario: Scenario, as_of: date) -> tuple[Stack, ...]:
    """Merge the lots that a scenario can use into stacks, in the order of their content."""
    merged: dict[_Key, list[DatedLot]] = {}
    for item in dated:
        lot = item.lot
        if (
            item.standing is Standing.GOOD
            and item.last_good_day is not None
            and not item.food.is_water
            and item.food.energy_kcal_100g > 0
            and lot.units_to_eat > 0
            and is_in_scope(lot, scenario)
            and is_ready(item.food, scenario)
        ):
            day = min((item.last_good_day - as_of).days + 1, scenario.horizon_days)
            key = (lot.food, lot.reading, lot.is_handled_here, kept_by(lot), day)
            merged.setdefault(key, []).append(item)
    return tuple(sorted((_stack(key, items) for key, items in merged.items()), key=_content))


def _content(stack: Stack) -> tuple[object, ...]:
    """Order by what decides the plan and whom it suits; the food's id only parts true twins."""
    offer = stack.offer
    read = (offer.reading or NOTHING_DECLARED, offer.food.facts)
    return (
        stack.day,
        stack.kept_by is not None,
        offer.food.is_extra,
        offer.food.energy_kcal_100g,
        offer.food.protein_g_100g,
        stack.energy_kcal,
        stack.water_l,
        offer.food.group,
        offer.food.made_of,
        offer.food.texture or "",
        offer.reading is not None,
        offer.is_handled_here,
        [sorted(said) for facts in read for said in (facts.contains, facts.may_contain)],
        [sorted(facts.free_from) for facts in read],
        offer.food.id,
    )


_Key = tuple[FoodId, DeclaredFacts | None, bool, HouseholdId | None, int]


def _stack(key: _Key, items: list[DatedLot]) -> Stack:
    _, reading, is_handled_here, keeper, day = key
    food = items[0].food
    # fsum is exact, so the order in which lots are listed changes nothing.
    net_mass_g = fsum(
        item.lot.units_to_eat * (item.lot.net_mass_g or food.net_mass_g) for item in items
    )
    return Stack(
        Offer(food, reading, is_handled_here),
        keeper,
        day,
        food.energy_kcal(net_mass_g),
        food.protein_g(net_mass_g),
        food.needed_water_l(net_mass_g),
    )


def energy_on_paper_kcal(dated: Iterable[DatedLot]) -> float:
    """Sum the kcal of all that is not damaged, quarantined or promised, dates aside."""
    return fsum(
        item.lot.units_to_eat * item.food.energy_kcal(item.lot.net_mass_g)
        for item in dated
        if item.standing not in (Standing.DAMAGED, Standing.QUARANTINED)
    )
