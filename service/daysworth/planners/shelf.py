"""Sort a store's lots into what a scenario can count, and why the rest is left out.

Damaged and quarantined lots count in nothing. An undated lot, and one past its last good day,
count only on paper. Food without energy feeds nobody, and the trace of protein that a rounded
label may give it is not counted. What is left is merged where it is the same to every eater: one
food, one reading, one owner who keeps it for themselves, one last good day.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import pairwise
from math import fsum
from typing import Final, NamedTuple

from daysworth.domain.foods import Food, Preparation
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.offers import Offer, offer_of
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope


class Standing(StrEnum):
    """Whether a lot counts on a date, whatever the scenario."""

    GOOD = "good"
    PAST = "past"
    UNDATED = "undated"
    DAMAGED = "damaged"
    QUARANTINED = "quarantined"


class DatedLot(NamedTuple):
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


_GOOD: Final = Standing.GOOD
_PAST: Final = Standing.PAST
_UNDATED: Final = Standing.UNDATED
_SET_ASIDE: Final = {
    Condition.DAMAGED: Standing.DAMAGED,
    Condition.QUARANTINED: Standing.QUARANTINED,
}
_NO_FOOD: Final = tuple(_SET_ASIDE.values())
_SOUND: Final = Condition.SOUND
_PACKED_ON: Final = LabelKind.PACKED_ON
"""An enum's members take long to look up, next to all else that is asked of each lot."""


def dated_lots(snapshot: Snapshot, as_of: date) -> tuple[DatedLot, ...]:
    """Give every lot its last good day and its standing on a date."""
    foods = {food.id: food for food in snapshot.foods}
    grace = snapshot.settings.grace_days
    dated = []
    for lot in snapshot.lots:
        food = foods[lot.food]
        day = lot.last_good_day(food, grace_days=grace)
        if lot.condition is not _SOUND:
            standing = _SET_ASIDE[lot.condition]
        elif day is None:
            standing = _UNDATED
        else:
            standing = _GOOD if day >= as_of else _PAST
        dated.append(DatedLot(lot, food, day, standing))
    return tuple(dated)


def is_in_scope(lot: Lot, scenario: Scenario) -> bool:
    """Tell whether a scenario reaches a lot: where it stands, and whose it is."""
    if lot.place in scenario.places_lost:
        return False
    return lot.is_shared or scenario.stock is StockScope.ALL


def is_ready(food: Food, scenario: Scenario) -> bool:
    """Tell whether a food can be eaten without what the scenario lacks (added water apart)."""
    return scenario.heating or food.heating is not Preparation.NEEDED


def is_counted(item: DatedLot, scenario: Scenario) -> bool:
    """Tell whether a lot is food that a scenario can use."""
    return is_eaten(item.food, scenario) and _is_in_reach(item, scenario)


def is_eaten(food: Food, scenario: Scenario) -> bool:
    """Tell whether a food feeds anybody in a scenario."""
    return not food.is_water and food.energy_kcal_100g > 0 and is_ready(food, scenario)


def _is_in_reach(item: DatedLot, scenario: Scenario) -> bool:
    lot = item.lot
    return item.standing is _GOOD and lot.units_to_eat > 0 and is_in_scope(lot, scenario)


def kept_by(lot: Lot) -> HouseholdId | None:
    """Name the household that keeps a lot for itself; None: it is shared."""
    return None if lot.is_shared else lot.owner


def stacks_of(
    dated: Iterable[DatedLot], *, scenario: Scenario, as_of: date, horizon_days: int | None = None
) -> tuple[Stack, ...]:
    """Merge the lots that a scenario can use into stacks, in the order of their content.

    `horizon_days` caps their days; None: the scenario's horizon does.
    """
    most_days = scenario.horizon_days if horizon_days is None else horizon_days
    items = tuple(dated)
    foods = {item.lot.food: item.food for item in items}
    eaten = {food.id for food in foods.values() if is_eaten(food, scenario)}
    ahead = {
        day: min((day - as_of).days + 1, most_days)
        for day in {item.last_good_day for item in items}
        if day is not None
    }
    offers = _Offers()
    masses_g: dict[_Key, float] = {}
    several_g: dict[_Key, list[float]] = {}
    for lot, food, day, standing in items:
        units = lot.units_to_eat
        if standing is not _GOOD or units <= 0 or day is None or lot.food not in eaten:
            continue
        if is_in_scope(lot, scenario):
            key = offers.number(lot, food), kept_by(lot), ahead[day]
            mass_g = units * (lot.net_mass_g or food.net_mass_g)
            if key in masses_g:
                several_g.setdefault(key, [masses_g[key]]).append(mass_g)
            else:
                masses_g[key] = mass_g
    # fsum is exact, so the order in which lots are listed changes nothing.
    masses_g.update((key, fsum(masses)) for key, masses in several_g.items())
    stacks = [
        _stack(offers.made[number], keeper=keeper, day=day, net_mass_g=mass_g)
        for (number, keeper, day), mass_g in masses_g.items()
    ]
    numbers = [number for number, _, _ in masses_g]
    return _in_order(stacks, numbers=numbers, places=offers.places())


_Key = tuple[int, HouseholdId | None, int]


class _Offers:
    """Number the different offers of the lots on a shelf."""

    def __init__(self) -> None:
        self.made: list[Offer] = []
        self._numbers: dict[Offer, int] = {}
        self._seen: dict[tuple[FoodId, int, bool, str | None], int] = {}

    def number(self, lot: Lot, food: Food) -> int:
        """Give the number of what a lot offers."""
        # Lots of one label mostly share its readings: they are known at sight, not word for word.
        packed = lot.printed if lot.label_kind is _PACKED_ON else None
        seen = (lot.food, id(lot.readings), lot.is_handled_here, packed)
        number = self._seen.get(seen)
        if number is None:
            offer = offer_of(lot, food)
            number = self._seen[seen] = self._numbers.setdefault(offer, len(self.made))
            if number == len(self.made):
                self.made.append(offer)
        return number

    def places(self) -> list["_Place"]:
        """Give the places of the offers, first by food and then by all that is known of them."""
        foods = _placed([_food_content(offer.food) for offer in self.made])
        # What is known of an offer is read once, for all the days it stands on the shelf for.
        known = _placed([(*_offer_content(offer), offer.food.id) for offer in self.made])
        return list(zip(foods, known, strict=True))


_Place = tuple[int, int]


def _placed(contents: Sequence[tuple[object, ...]]) -> list[int]:
    """Give each content its place in their order; equal contents share one."""
    places = [0] * len(contents)
    ordered = sorted(range(len(contents)), key=contents.__getitem__)
    for before, after in pairwise(ordered):
        places[after] = places[before] + (contents[before] != contents[after])
    return places


def _in_order(
    stacks: Sequence[Stack], *, numbers: Sequence[int], places: Sequence[_Place]
) -> tuple[Stack, ...]:
    """Order by what decides the plan and whom it suits; true twins stay as they stand."""
    keys = []
    for n, (stack, number) in enumerate(zip(stacks, numbers, strict=True)):
        food, offer = places[number]
        is_kept = stack.kept_by is not None
        keys.append((stack.day, is_kept, food, stack.energy_kcal, stack.water_l, offer, n))
    keys.sort()
    return tuple(stacks[key[-1]] for key in keys)


def _food_content(food: Food) -> tuple[object, ...]:
    return food.is_extra, food.energy_kcal_100g, food.protein_g_100g


def _offer_content(offer: Offer) -> tuple[object, ...]:
    known = offer.known
    return (
        offer.food.group,
        offer.food.made_of,
        offer.food.texture or "",
        offer.is_handled_here,
        known.has_whole_list,
        known.stands,
        sorted(known.claims),
        [phrase.plain for phrase in known.phrases],
    )


def _stack(offer: Offer, *, keeper: HouseholdId | None, day: int, net_mass_g: float) -> Stack:
    food = offer.food
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
        if item.standing not in _NO_FOOD
    )
