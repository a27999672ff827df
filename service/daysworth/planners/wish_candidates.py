"""Say what may be wished for, and which foods a store could be brought.

A **candidate** is a generic food of this release, or one of the store's own, of which it is known
how many months it keeps: its last good day is the as-of date plus its shelf life, never later. Of
its label nothing is known before it comes, so it suits whom the food itself, unread, is known to
suit. Drinking water is one where it is bought in bottles; what is filled at home is not.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from math import ceil, isfinite
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.label_dates import LAST_YEAR
from daysworth.domain.offers import Offer
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import LONGEST_HORIZON_DAYS, Scenario
from daysworth.planners.shelf import Stack, is_ready
from daysworth.reference.usual_foods import usual_foods

DEFAULT_TARGET_DAYS: Final = 14.0
"""Two weeks, as a store's floor is by default."""

_LAST_DAY: Final = date(LAST_YEAR, 12, 31)


class Least(StrEnum):
    """What there is to be least of in a wish list."""

    MASS = "mass"
    UNITS = "units"
    COST = "cost"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is wished for: enough for everyone, or for one household, for `target_days`.

    `foods` None: any food; otherwise these alone. `is_usual_only`: what ordinary shops usually
    have. `keeps_past_target`: what is good longer than the target's last day. `prices` are for a
    unit, in one currency; where the cost is to be least, a food without one is no candidate.
    Raises ScenarioRefused for a target or a price that is none.
    """

    target_days: float = DEFAULT_TARGET_DAYS
    least: Least = Least.MASS
    foods: frozenset[FoodId] | None = None
    is_usual_only: bool = False
    keeps_past_target: bool = False
    household: HouseholdId | None = None
    prices: Mapping[FoodId, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not 0 < self.target_days <= LONGEST_HORIZON_DAYS:
            raise ScenarioRefused(
                f"a target is more than 0 and at most {LONGEST_HORIZON_DAYS} days"
            )
        if not all(isfinite(price) and price > 0 for price in self.prices.values()):
            raise ScenarioRefused("a price is more than 0")
        if self.least is Least.COST and not self.prices:
            raise ScenarioRefused("say what foods cost, so that the cost can be least")


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A food that could be brought, in whole units of its usual package.

    `last_good_day` is its last good day and `day` that day counted from the as-of date as day 1,
    capped at the horizon. `amount` is what a unit adds to what is to be least.
    """

    offer: Offer
    last_good_day: date
    day: int
    amount: float

    @property
    def food(self) -> Food:
        """Give the food."""
        return self.offer.food

    @property
    def stored_water_l(self) -> float:
        """Give the litres of drinking water in a unit; 0 for food."""
        return self.food.stored_water_l()

    def stack(self, *, units: float, kept_by: HouseholdId | None) -> Stack:
        """Give units of it as a stack on the shelf."""
        food = self.food
        return Stack(
            self.offer,
            kept_by,
            self.day,
            food.energy_kcal() * units,
            food.protein_g() * units,
            food.needed_water_l() * units,
        )


def check_wish(wish: Wish, snapshot: Snapshot, *, scenario: Scenario) -> None:
    """Raise ScenarioRefused where a wish names what is not there, or looks past the horizon."""
    if wish.target_days > scenario.horizon_days:
        raise ScenarioRefused(
            f"the target is past the horizon of {scenario.horizon_days} days: "
            "count further, or wish for fewer days"
        )
    known = {food.id for food in snapshot.foods} | set(generic_foods())
    for named in sorted({*(wish.foods or ()), *wish.prices} - known):
        raise ScenarioRefused(f"there is no food {named!r} in this store, nor among generic foods")
    home = wish.household
    if home is not None:
        if home not in {household.id for household in snapshot.households}:
            raise ScenarioRefused(f"there is no household {home!r} in this store")
        if home in scenario.households_away:
            raise ScenarioRefused("the household that is wished for is away in this scenario")


def candidates_of(
    snapshot: Snapshot, as_of: date, *, scenario: Scenario, wish: Wish
) -> tuple[Candidate, ...]:
    """List the candidates by id: foods that the scenario can use, and bottled water."""
    foods = {**generic_foods(), **{food.id: food for food in snapshot.foods}}
    own = {food.id for food in snapshot.foods} - set(generic_foods())
    found = []
    for id_ in sorted(foods):
        food = foods[id_]
        amount = _weight(food, wish)
        if amount is None or not _is_wished(food, wish, is_own=id_ in own):
            continue
        if food.is_water or (food.energy_kcal_100g > 0 and is_ready(food, scenario)):
            one = _candidate(food, as_of, scenario=scenario, amount=amount)
            if one is not None and not (
                wish.keeps_past_target and _is_gone(one, wish, as_of=as_of)
            ):
                found.append(one)
    return tuple(found)


def _is_wished(food: Food, wish: Wish, *, is_own: bool) -> bool:
    if wish.foods is not None and food.id not in wish.foods:
        return False
    if wish.is_usual_only and food.id not in usual_foods():
        return False
    # Water that is filled at home is no purchase; what a store calls water of its own may be.
    return not food.is_water or is_own or food.id in usual_foods()


def _weight(food: Food, wish: Wish) -> float | None:
    """Give what a unit adds to what is to be least: kilograms, units or money; None: not known."""
    if wish.least is Least.MASS:
        return food.net_mass_g / 1000
    if wish.least is Least.UNITS:
        return 1.0
    return wish.prices.get(food.id)


def _candidate(food: Food, as_of: date, *, scenario: Scenario, amount: float) -> Candidate | None:
    if not food.shelf_life_months:
        return None
    last_good_day = min(as_of + relativedelta(months=food.shelf_life_months), _LAST_DAY)
    day = min((last_good_day - as_of).days + 1, scenario.horizon_days)
    if day < 1:
        return None
    return Candidate(offer=Offer(food), last_good_day=last_good_day, day=day, amount=amount)


def _is_gone(one: Candidate, wish: Wish, *, as_of: date) -> bool:
    """Tell whether it is past its date the day after the target's last day."""
    return (one.last_good_day - as_of).days + 1 <= ceil(wish.target_days)


Eaters = frozenset[int]


def worth_weighing(
    offered: Sequence[tuple[Candidate, Eaters]],
) -> tuple[tuple[Candidate, Eaters], ...]:
    """Leave out what some other candidate can stand in for, unit by unit, at no higher amount.

    So many whole units of the other hold at least as much energy, are as dense in protein, need no
    more water, are an extra only where it is one, keep as long, suit everyone whom it suits, and
    weigh no more together. Any list with it can then be written without, so a least one is left.
    """
    kept: list[tuple[Candidate, Eaters]] = []
    for one in sorted(offered, key=_cheapest_first):
        if one[1] and not any(_stands_in(other, one) for other in kept):
            kept.append(one)
    return tuple(sorted(kept, key=lambda one: one[0].food.id))


def _cheapest_first(offered: tuple[Candidate, Eaters]) -> tuple[object, ...]:
    one, eaters = offered
    energy = one.food.energy_kcal()
    return (
        one.amount / energy,
        energy,
        -len(eaters),
        -one.food.protein_g(),
        -one.day,
        one.food.id,
    )


def _stands_in(other: tuple[Candidate, Eaters], one: tuple[Candidate, Eaters]) -> bool:
    mine, its = one[0].food, other[0].food
    units = ceil(mine.energy_kcal() / its.energy_kcal())
    return (
        one[1] <= other[1]
        and units * other[0].amount <= one[0].amount
        and other[0].day >= one[0].day
        and (mine.is_extra or not its.is_extra)
        and its.protein_g() * mine.energy_kcal() >= mine.protein_g() * its.energy_kcal()
        and its.needed_water_l() * mine.energy_kcal() <= mine.needed_water_l() * its.energy_kcal()
    )


def lightest_water(waters: Iterable[Candidate]) -> tuple[Candidate, ...]:
    """Leave out water that other water can stand in for, as `worth_weighing` does of food."""
    kept: list[Candidate] = []
    for one in sorted(waters, key=lambda one: (one.amount / one.stored_water_l, one.food.id)):
        if not any(_pours_for(other, one) for other in kept):
            kept.append(one)
    return tuple(kept)


def _pours_for(other: Candidate, one: Candidate) -> bool:
    units = ceil(one.stored_water_l / other.stored_water_l)
    return units * other.amount <= one.amount
