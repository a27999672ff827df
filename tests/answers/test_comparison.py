"""Claims about comparisons: each side is its own answer, and every change is after less before."""

import json
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.answers.comparison import (
    ComparisonAnswer,
    Side,
    answer_comparison,
    comparison_json,
)
from daysworth.answers.coverage import answer_coverage
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.errors import InputRefused, ScenarioRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.people import Household
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from tests.planners.how_many import times
from tests.planners.small_stores import AS_OF, FOODS, small_store

HALL: Final = PlaceId("hall")
DAY: Final = timedelta(days=1)


def store_of(*lots: Lot, homes: tuple[Household, ...] = ()) -> Snapshot:
    """Describe a store with these lots, in a hall."""
    plain, _ = small_store(1)
    return replace(
        plain,
        households=homes or plain.households,
        lots=lots,
        places=(Place(id=HALL, name="The hall"),),
    )


def lot(
    id_: str, units: int, *, food: str = "fish", day: date | None = None, **more: object
) -> Lot:
    """Describe a lot that keeps until a day, or for a long time."""
    printed = (day or AS_OF + 400 * DAY).isoformat()
    facts: dict[str, object] = {"label_kind": LabelKind.USE_BY, "printed": printed, **more}
    return Lot(id=LotId(id_), food=FoodId(food), place=HALL, units=units, **facts)  # type: ignore[arg-type]


def side(snapshot: Snapshot, *, after_days: int = 0, **asked: object) -> Side:
    return Side(
        snapshot=snapshot,
        as_of=AS_OF + after_days * DAY,
        scenario=Scenario(running_water=True, **asked),  # type: ignore[arg-type]
    )


def compared(before: Side, after: Side) -> ComparisonAnswer:
    return answer_comparison(before, after)


@pytest.mark.parametrize("seed", range(times(6)))
def test_each_side_is_its_own_answer_on_coverage(seed: int) -> None:
    (one, first), (other, _) = small_store(seed), small_store(seed + 100)
    second = Scenario(heating=True, horizon_days=9)
    found = compared(
        Side(snapshot=one, as_of=AS_OF, scenario=first),
        Side(snapshot=other, as_of=AS_OF + DAY, scenario=second),
    )
    before = answer_coverage(one, AS_OF, scenario=first)
    after = answer_coverage(other, AS_OF + DAY, scenario=second)
    assert (found.before.scenario, found.after.scenario) == (before.scenario, after.scenario)
    assert (found.before.held_by, found.after.held_by) == (before.held_by, after.held_by)
    for name in ("everyone_fed_days", "next_level_days", "person_days", "person_days_on_paper"):
        change = getattr(found, name)
        assert (change.before, change.after) == (getattr(before, name), getattr(after, name))
    assert found.water_days.before == before.water.days
    assert found.water_days_drinking_only.after == after.water.days_drinking_only
    for name in ("household_count", "members", "members_with_a_need", "units_on_hand"):
        change = getattr(found, name)
        assert (change.before, change.after) == (getattr(before, name), getattr(after, name))
        assert change.change == change.after - change.before


@pytest.mark.parametrize("seed", range(times(4)))
def test_a_store_beside_itself_shows_no_change(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    same = Side(snapshot=snapshot, as_of=AS_OF, scenario=scenario)
    found = compared(same, same)
    assert (found.households, found.foods, found.passed) == ([], [], [])
    assert found.households_unchanged == found.household_count.after
    changes = (found.everyone_fed_days, found.person_days, found.energy_on_hand_kcal)
    assert {change.change for change in changes} <= {0.0, None}


@pytest.mark.parametrize("seed", range(times(4)))
def test_the_other_way_round_every_change_has_the_other_sign(seed: int) -> None:
    (one, _), (other, _) = small_store(seed), small_store(seed + 50)
    sides = [Side(snapshot=each, as_of=AS_OF, scenario=Scenario()) for each in (one, other)]
    there, back = compared(*sides), compared(*sides[::-1])
    for name in ("everyone_fed_days", "person_days", "energy_on_hand_kcal", "water_days"):
        change = getattr(there, name).change
        assert getattr(back, name).change == (None if change is None else 0.0 - change)
    changes = {food.food: food.units.change for food in there.foods}
    assert {food.food: -food.units.change for food in back.foods} == changes


def test_units_and_energy_are_told_by_food_the_most_energy_lost_first() -> None:
    before = store_of(lot("a", 10), lot("b", 4, food="oil"), lot("c", 3, food="beans"))
    after = store_of(lot("a", 4), lot("d", 5, net_mass_g=100), lot("c", 3, food="beans"))
    found = compared(side(before), side(after))
    told = {food.food: (food.units.change, food.energy_kcal.change) for food in found.foods}
    # 400 g of oil have 884 kcal in 100 g; of fish 190: 10 x 760 before, 4 x 760 + 5 x 190 after.
    assert told == {"oil": (-4, -14_144.0), "fish": (-1, -3_610.0)}
    assert [food.food for food in found.foods] == ["oil", "fish"]
    assert found.energy_on_hand_kcal.change == -17_754.0
    assert found.units_on_hand.change == -5


def test_what_is_on_hand_does_not_depend_on_the_scenario() -> None:
    both = store_of(lot("a", 10), lot("r", 5, food="rice"))
    found = compared(side(both), side(both, heating=True))
    assert (found.foods, found.passed) == ([], [])
    assert found.everyone_fed_days.change is not None
    assert found.everyone_fed_days.change >= 0


def test_a_lot_whose_date_passed_between_is_listed_with_what_is_still_there() -> None:
    before = store_of(
        lot("gone", 3, day=AS_OF + DAY),
        lot("left", 5, day=AS_OF),
        lot("past", 5, day=AS_OF - DAY),
        lot("good", 5, day=AS_OF + 7 * DAY),
        lot("hurt", 5, day=AS_OF, condition=Condition.DAMAGED),
    )
    after = store_of(
        lot("left", 2, day=AS_OF),
        lot("past", 5, day=AS_OF - DAY),
        lot("good", 5, day=AS_OF + 7 * DAY),
        lot("came", 4, day=AS_OF + 2 * DAY),
        lot("late", 4, day=AS_OF - DAY),
        lot("hurt", 5, day=AS_OF, condition=Condition.DAMAGED),
    )
    found = compared(side(before), side(after, after_days=7))
    told = [(one.lot, one.units_before, one.units_still_there) for one in found.passed]
    assert told == [("left", 5, 2), ("gone", 3, 0), ("came", 0, 4)]
    assert [one.place for one in found.passed] == ["The hall"] * 3
    assert compared(side(after, after_days=7), side(before)).passed == []


def test_a_lot_that_was_dated_anew_goes_by_its_new_date() -> None:
    before = store_of(lot("x", 3, day=AS_OF + DAY), lot("y", 3, day=AS_OF + 90 * DAY))
    after = store_of(lot("x", 3, day=AS_OF + 90 * DAY), lot("y", 3, day=AS_OF + 2 * DAY))
    found = compared(side(before), side(after, after_days=7))
    assert [(one.lot, one.last_good_day) for one in found.passed] == [("y", AS_OF + 2 * DAY)]


def test_the_household_that_lost_most_comes_first_and_one_that_joined_last() -> None:
    demo = neighbourhood(AS_OF)
    stayed = demo.households[1:]
    joined = replace(demo.households[0], id=HouseholdId("new"))
    member = joined.members[0]
    joined = replace(joined, members=(replace(member, id=type(member.id)("new-1")),))
    gone = demo.households[0]
    lots = tuple(one for one in demo.lots[: len(demo.lots) // 2] if one.owner != gone.id)
    after = replace(demo, households=(*stayed, joined), lots=lots)
    found = compared(
        Side(snapshot=demo, as_of=AS_OF, scenario=Scenario()),
        Side(snapshot=after, as_of=AS_OF, scenario=Scenario()),
    )
    changes = [home.days.change for home in found.households if home.days.change is not None]
    assert changes == sorted(changes)
    assert min(changes) < 0
    on_one_side = {home.household: home for home in found.households[len(changes) :]}
    assert (on_one_side[gone.id].members_before, on_one_side[gone.id].members_after) == (
        len(gone.members),
        None,
    )
    assert (on_one_side["new"].members_before, on_one_side["new"].members_after) == (None, 1)
    homes = len(found.households) + found.households_unchanged
    assert homes == len({home.id for home in (*demo.households, *after.households)})


def test_a_household_away_on_one_side_alone_is_on_the_other_alone() -> None:
    demo = neighbourhood(AS_OF)
    away = demo.households[0].id
    found = compared(
        Side(snapshot=demo, as_of=AS_OF, scenario=Scenario()),
        Side(snapshot=demo, as_of=AS_OF, scenario=Scenario(households_away=frozenset({away}))),
    )
    (home,) = [one for one in found.households if one.household == away]
    assert (home.members_after, home.days.after, home.days.change) == (None, None, None)
    assert found.household_count.change == -1


def test_a_place_that_is_lost_need_not_have_been_there_before() -> None:
    before = store_of(lot("a", 10))
    attic = Place(id=PlaceId("attic"), name="Attic")
    after = replace(before, places=(*before.places, attic))
    found = compared(
        side(before, places_lost=frozenset({attic.id})),
        side(after, places_lost=frozenset({attic.id})),
    )
    assert (found.before.scenario.places_lost, found.after.scenario.places_lost) == ([], ["attic"])
    with pytest.raises(ScenarioRefused, match="nowhere"):
        compared(side(before, places_lost=frozenset({PlaceId("nowhere")})), side(after))


def test_a_store_is_compared_with_no_other_store() -> None:
    one = store_of(lot("a", 10))
    with pytest.raises(InputRefused, match="'small' and 'another'"):
        compared(side(one), side(replace(one, store=StoreId("another"))))


def test_at_the_horizon_days_are_at_least() -> None:
    little, much = store_of(lot("a", 1)), store_of(lot("a", 900))
    found = compared(side(little, horizon_days=3), side(much, horizon_days=3))
    days = found.everyone_fed_days
    assert (days.before_at_least, days.after_at_least) == (False, days.after == 3.0)


def test_cautions_of_both_sides_stand_once() -> None:
    demo = neighbourhood(AS_OF)
    lost = frozenset({demo.places[0].id})
    found = compared(
        Side(snapshot=demo, as_of=AS_OF, scenario=Scenario()),
        Side(snapshot=demo, as_of=AS_OF, scenario=Scenario(places_lost=lost)),
    )
    ids = [row.id for row in found.cautions]
    assert len(set(ids)) == len(ids)
    lists = [
        answer_coverage(demo, AS_OF, scenario=Scenario(places_lost=places)).cautions
        for places in (frozenset[PlaceId](), lost)
    ]
    assert set(ids) == {row.id for rows in lists for row in rows}


def test_the_same_comparison_is_the_same_bytes_whatever_the_order_of_listing() -> None:
    snapshot, scenario = small_store(3)
    turned = replace(snapshot, lots=snapshot.lots[::-1], households=snapshot.households[::-1])
    after = Side(snapshot=small_store(4)[0], as_of=AS_OF, scenario=Scenario())
    first = comparison_json(
        compared(Side(snapshot=snapshot, as_of=AS_OF, scenario=scenario), after)
    )
    second = comparison_json(compared(Side(snapshot=turned, as_of=AS_OF, scenario=scenario), after))
    assert first == second
    assert json.loads(first)["question"] == "comparison"
    assert {food.id for food in FOODS} >= {food["food"] for food in json.loads(first)["foods"]}
