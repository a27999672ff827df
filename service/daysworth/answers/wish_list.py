"""Write the answer on what to bring: the list, the days before and with it, whom it cannot help.

The names here are the names in JSON. A list is read by what stands in a shop: units of a usual
package. Whom no food on the list can help is told by count and need, never by name, to coordinators
alone; so is whose gap was asked for.
"""

from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from daysworth.answers.coverage import ScenarioAsked, scenario_asked
from daysworth.answers.needs_in_words import class_in_words
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.answers.written import written
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_aims import Lacking
from daysworth.planners.wish_candidates import Wish
from daysworth.planners.wish_list import WishLine, WishList, wish_list
from daysworth.reference.cautions import CautionRow

MOST_NAMED: Final = 12
"""How many foods that may suit are named: extras last, the most energy for their mass first."""


@dataclass(frozen=True, slots=True)
class WishAsked:
    """The wish as it was asked. `foods` null: any food."""

    target_days: float
    least: str
    foods: list[str] | None
    is_usual_only: bool
    keeps_past_target: bool
    household: str | None
    prices: dict[str, float]


@dataclass(frozen=True, slots=True)
class WishLineAnswer:
    """So many units of a food, each of `unit_mass_g`; litres where it is drinking water.

    `last_good_day` is its last good day if it is brought on the as-of date; `cost` null: no price.
    """

    food: str
    food_name: str
    group: str
    units: int
    unit_mass_g: float
    energy_kcal: float
    water_l: float
    last_good_day: date
    keeps_months: int
    cost: float | None


@dataclass(frozen=True, slots=True)
class WishTotals:
    """The whole list; `cost` null: something on it has no price."""

    units: int
    mass_kg: float
    energy_kcal: float
    water_l: float
    cost: float | None


@dataclass(frozen=True, slots=True)
class LackingAnswer:
    """Members whom no candidate feeds for the target: how many, their need, their days at most.

    `may_suit` names foods that would suit them if a pack's own label proved it.
    """

    members: int
    need: str
    days: float
    may_suit: list[str]
    may_suit_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WishListAnswer:
    """The answer to "what should be brought, so that all of us can eat so long?".

    `amount` is the kilograms, units or money of the list; no list that is enough weighs less than
    `amount_at_least`, and `is_least` says that this one is as light as that.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    scenario: ScenarioAsked
    wish: WishAsked
    outcome: str
    days_before: float | None
    days_after: float | None
    lines: list[WishLineAnswer]
    totals: WishTotals
    amount: float
    amount_at_least: float
    is_least: bool
    lacking: list[LackingAnswer]
    cautions: list[CautionRow]


def answer_wish_list(
    snapshot: Snapshot, as_of: date, *, scenario: Scenario, wish: Wish
) -> WishListAnswer:
    """Plan what to bring for a snapshot, a date, a scenario and a wish, and write the answer.

    Raises ScenarioRefused and PlanningFailed as `wish_list`.
    """
    found = wish_list(snapshot, as_of, scenario=scenario, wish=wish)
    lines = [_line(line, wish) for line in found.lines]
    return WishListAnswer(
        question="wish_list",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        scenario=scenario_asked(scenario, snapshot),
        wish=_asked(wish),
        outcome=found.outcome,
        days_before=figure_or_none(found.days_before),
        days_after=figure_or_none(found.days_after),
        lines=lines,
        totals=_totals(lines),
        amount=figure(found.amount),
        amount_at_least=figure(min(found.bound, found.amount)),
        is_least=found.is_least,
        lacking=_lacking(found),
        cautions=list(cautions_on({Topic.FOOD, Topic.WATER, Topic.ALLERGY, Topic.INFANTS})),
    )


def wish_list_json(answer: WishListAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=WishListAnswer)


def wish_list_seen_by(reader: Credential, answer: WishListAnswer) -> WishListAnswer:
    """Give what a reader may see: whom it cannot help is for coordinators alone."""
    return answer if reader.role is Role.COORDINATOR else replace(answer, lacking=[])


def _asked(wish: Wish) -> WishAsked:
    return WishAsked(
        wish.target_days,
        wish.least,
        None if wish.foods is None else sorted(wish.foods),
        wish.is_usual_only,
        wish.keeps_past_target,
        wish.household,
        {food: wish.prices[food] for food in sorted(wish.prices)},
    )


def _line(line: WishLine, wish: Wish) -> WishLineAnswer:
    food, units = line.candidate.food, line.units
    price = wish.prices.get(food.id)
    return WishLineAnswer(
        food.id,
        food.name,
        food.group,
        units,
        figure(food.net_mass_g),
        figure(food.energy_kcal() * units),
        figure(food.stored_water_l() * units),
        line.candidate.last_good_day,
        food.shelf_life_months or 0,
        None if price is None else figure(price * units),
    )


def _totals(lines: list[WishLineAnswer]) -> WishTotals:
    costs = [line.cost for line in lines if line.cost is not None]
    return WishTotals(
        sum(line.units for line in lines),
        figure(sum(line.units * line.unit_mass_g for line in lines) / 1000),
        figure(sum(line.energy_kcal for line in lines)),
        figure(sum(line.water_l for line in lines)),
        figure(sum(costs)) if len(costs) == len(lines) and lines else None,
    )


def _lacking(found: WishList) -> list[LackingAnswer]:
    written = [_lacking_one(one) for one in found.lacking]
    return sorted(written, key=lambda one: (one.days, -one.members, one.need))


def _lacking_one(one: Lacking) -> LackingAnswer:
    richest = sorted(
        one.may_suit, key=lambda food: (food.is_extra, -food.energy_kcal_100g, food.name, food.id)
    )
    return LackingAnswer(
        len(one.members.mouths),
        class_in_words(one.members),
        figure(one.days),
        [food.name for food in richest[:MOST_NAMED]],
        len(richest),
    )
