"""Sort a store's lots into what a scenario can count, and why the rest is left out.

Damaged and quarantined lots count in nothing. An undated lot, and one past its last good day,
count only on paper. Food without energy feeds nobody, and the trace of protein that a rounded
label may give it is not counted. What is left is merged where it is the same to every eater: one
food, one reading, one owner who keeps it for themselves, one last good day.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum

from daysworth.domain.foods import Food, FoodGroup, Preparation
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.offers import Offer, packed_since_on
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
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


def is_counted(item: DatedLot, scenario: Scenario) -> bool:
    """Tell whether a lot is food that a scenario can use."""
    return (
        item.standing is Standing.GOOD
        and not item.food.is_water
        and item.food.energy_kcal_100g > 0
        and item.lot.units_to_eat > 0
        and is_in_scope(item.lot, scenario)
        and is_ready(item.food, scenario)
    )


def kept_by(lot: Lot) -> HouseholdId | None:
    """Name the household that keeps a lot for itself; None: it is shared."""
    return None if lot.is_shared else lot.owner


def stacks_of(dated: Iterable[DatedLot], *, scenario: Scenario, as_of: date) -> tuple[Stack, ...]:
    """Merge the lots that a scenario can use into stacks, in the order of their content."""
    merged: dict[_Key, list[DatedLot]] = {}
    for item in dated:
        lot = item.lot
        if is_counted(item, scenario) and item.last_good_day is not None:
            day = min((item.last_good_day - as_of).days + 1, scenario.horizon_days)
            offer = (lot.food, lot.readings, lot.is_handled_here, packed_since_on(lot))
            merged.setdefault((offer, kept_by(lot), day), []).append(item)
    offers = _offers(merged)
    stacks = [
        _stack(items, offer=offers[offered], keeper=keeper, day=day)
        for (offered, keeper, day), items in merged.items()
    ]
    # What is known of an offer is read once, for all the days it stands on the shelf for.
    contents = {id(offer): _offer_content(offer) for offer in offers.values()}
    return tuple(sorted(stacks, key=lambda stack: _content(stack, contents[id(stack.offer)])))


_OfferKey = tuple[FoodId, tuple[LabelReading, ...], bool, date | None]
_Key = tuple[_OfferKey, HouseholdId | None, int]


def _offers(merged: Mapping[_Key, Sequence[DatedLot]]) -> dict[_OfferKey, Offer]:
    """Make one offer for all that is the same, so that each is looked into once."""
    made: dict[_OfferKey, Offer] = {}
    for (key, _, _), items in merged.items():
        if key not in made:
            _, readings, is_handled_here, since = key
            made[key] = Offer(items[0].food, readings, is_handled_here, since)
    return made


def _content(stack: Stack, offered: tuple[object, ...]) -> tuple[object, ...]:
    """Order by what decides the plan and whom it suits; the food's id only parts true twins."""
    food = stack.offer.food
    return (
        stack.day,
        stack.kept_by is not None,
        food.is_extra,
        food.energy_kcal_100g,
        food.protein_g_100g,
        stack.energy_kcal,
        stack.water_l,
        offered,
        food.id,
    )


def _offer_content(offer: Offer) -> tuple[object, ...]:
    known = offer.known
    return (
        offer.food.group,
        offer.food.made_of,
        offer.food.texture or "",
        offer.is_handled_here,
        known.has_whole_list,
        [known.of(substance) for substance in Substance],
        sorted(known.claims),
        [phrase.plain for phrase in known.phrases],
    )


def _stack(
    items: Sequence[DatedLot], *, offer: Offer, keeper: HouseholdId | None, day: int
) -> Stack:
    food = offer.food
    # fsum is exact, so the order in which lots are listed changes nothing.
    net_mass_g = fsum(
        item.lot.units_to_eat * (item.lot.net_mass_g or food.net_mass_g) for item in items
    )
    return Stack(
        offer,
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
