"""Hold the planner to what must be true of any store (planning's own list of properties)."""

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from daysworth.answers.coverage import CoverageAnswer, answer_coverage, figure
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, MemberId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import Days, plan_days
from daysworth.planners.scenario import Scenario, StockScope
from tests.planners.how_many import times
from tests.planners.small_stores import AS_OF, FOODS, small_store

STORES = times(40)
SEEDS = st.integers(min_value=0, max_value=STORES - 1)
NEARLY = 1e-6
few = settings(max_examples=STORES, deadline=None, derandomize=True, database=None)
answered_whole = pytest.mark.parametrize("seed", range(40, 40 + times(20)))


@cache
def planned(seed: int) -> Days:
    """Plan the days of a seed's store, once for all claims that change something in it."""
    snapshot, scenario = small_store(seed)
    return plan_days(snapshot, AS_OF, scenario=scenario)


def everyone_fed(snapshot: Snapshot, scenario: Scenario) -> float:
    found = plan_days(snapshot, AS_OF, scenario=scenario).everyone_fed_days
    assume(found is not None)
    assert found is not None
    return found


def never_lowers(change: Callable[[Snapshot, random.Random], Snapshot], *, seed: int) -> None:
    snapshot, scenario = small_store(seed)
    before = planned(seed).everyone_fed_days
    assume(before is not None)
    assert before is not None
    after = everyone_fed(change(snapshot, random.Random(seed)), scenario)
    assert after >= before - NEARLY * max(1.0, before)


@few
@given(SEEDS, st.sampled_from(FOODS), st.integers(1, 9), st.integers(0, 20), st.booleans())
def test_adding_a_lot_never_lowers_everyone_fed_days(
    seed: int, chosen: Food, units: int, ahead: int, is_shared: bool
) -> None:
    def add(snapshot: Snapshot, rng: random.Random) -> Snapshot:
        lot = Lot(
            id=LotId("added"),
            food=chosen.id,
            place=PlaceId("hall"),
            units=units,
            owner=rng.choice(snapshot.households).id,
            is_shared=is_shared,
            label_kind=LabelKind.PACKED_ON if chosen.is_water else LabelKind.USE_BY,
            printed=(AS_OF + timedelta(days=-3 if chosen.is_water else ahead)).isoformat(),
        )
        return replace(snapshot, lots=(*snapshot.lots, lot))

    never_lowers(add, seed=seed)


@few
@given(SEEDS)
def test_extending_dates_never_lowers_everyone_fed_days(seed: int) -> None:
    def extend(snapshot: Snapshot, rng: random.Random) -> Snapshot:
        lots = tuple(
            replace(lot, printed="2027-12-31")
            if lot.label_kind in (LabelKind.USE_BY, LabelKind.BEST_BY) and rng.random() < 0.5
            else lot
            for lot in snapshot.lots
        )
        return replace(snapshot, lots=lots)

    never_lowers(extend, seed=seed)


@few
@given(SEEDS)
def test_removing_restrictions_never_lowers_everyone_fed_days(seed: int) -> None:
    def remove(snapshot: Snapshot, rng: random.Random) -> Snapshot:
        def freed(member: Member) -> Member:
            return replace(member, restrictions=()) if rng.random() < 0.5 else member

        homes = tuple(
            replace(home, members=tuple(freed(member) for member in home.members))
            for home in snapshot.households
        )
        return replace(snapshot, households=homes)

    never_lowers(remove, seed=seed)


@few
@given(SEEDS)
def test_heat_and_running_water_never_lower_everyone_fed_days(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    bare = replace(scenario, heating=False, running_water=False)
    days = everyone_fed(snapshot, bare)
    for more in (replace(bare, heating=True), replace(bare, running_water=True)):
        assert everyone_fed(snapshot, more) >= days - NEARLY * max(1.0, days)


@few
@given(SEEDS)
def test_splitting_lots_in_two_changes_nothing(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    halves = tuple(half for lot in snapshot.lots for half in in_two(lot))
    parted = replace(snapshot, lots=halves)
    assert figures(plan_days(parted, AS_OF, scenario=scenario)) == pytest.approx(
        figures(planned(seed)), rel=NEARLY, abs=NEARLY
    )


def in_two(lot: Lot) -> tuple[Lot, Lot]:
    """Part a third of the free units from a lot; promised and kit units stay with the rest."""
    parted = (lot.units - lot.units_promised - lot.units_in_kits) // 3
    return (
        replace(lot, id=LotId(f"{lot.id}-part"), units=parted, units_promised=0, units_in_kits=0),
        replace(lot, units=lot.units - parted),
    )


def figures(coverage: Days) -> list[float]:
    headline = (coverage.everyone_fed_days, coverage.everyone_fed_days_if_unread_suit)
    return [
        coverage.person_days,
        coverage.members_days,
        *(days or 0.0 for days in headline),
        *sorted(item.days for item in coverage.classes for _ in item.members.mouths),
    ]


@cache
def answered(seed: int) -> CoverageAnswer:
    snapshot, scenario = small_store(seed)
    return answer_coverage(snapshot, AS_OF, scenario=scenario)


@cache
def answered_renamed(seed: int) -> CoverageAnswer:
    """Answer with every id another and every list in another order."""
    shuffled, moved = renamed(*small_store(seed), rng=random.Random(seed))
    return answer_coverage(shuffled, AS_OF, scenario=moved)


@answered_whole
def test_neither_order_nor_ids_change_a_published_figure(seed: int) -> None:
    before, after = answered(seed), answered_renamed(seed)
    assert before.everyone_fed_days == after.everyone_fed_days
    assert before.person_days == after.person_days
    assert before.members_days == after.members_days
    assert before.everyone_fed_days_if_unread_suit == after.everyone_fed_days_if_unread_suit
    assert before.held_by == after.held_by
    assert before.classes == after.classes
    assert sorted((h.members, h.days or -1) for h in before.households) == sorted(
        (h.members, h.days or -1) for h in after.households
    )


@answered_whole
def test_neither_order_nor_ids_change_which_labels_are_named(seed: int) -> None:
    before, after = (
        [
            (one.food_name, one.everyone_fed_days_if_it_suits, one.energy_kcal, one.units)
            for one in answer.labels_to_read
        ]
        for answer in (answered(seed), answered_renamed(seed))
    )
    assert before == after


def renamed(
    snapshot: Snapshot, scenario: Scenario, *, rng: random.Random
) -> tuple[Snapshot, Scenario]:
    """Give every thing another id, and every list another order."""
    homes = {home.id: HouseholdId(f"z{rng.random()}") for home in snapshot.households}
    foods = {food.id: FoodId(f"f{rng.random()}") for food in snapshot.foods}

    def home_of(home: Household) -> Household:
        members = [replace(m, id=MemberId(f"m{rng.random()}")) for m in home.members]
        return replace(home, id=homes[home.id], members=tuple(rng.sample(members, len(members))))

    lots = [
        replace(
            lot,
            id=LotId(f"x{rng.random()}"),
            food=foods[lot.food],
            owner=None if lot.owner is None else homes[lot.owner],
        )
        for lot in snapshot.lots
    ]
    again = replace(
        snapshot,
        households=tuple(rng.sample([home_of(h) for h in snapshot.households], len(homes))),
        foods=tuple(rng.sample([replace(f, id=foods[f.id]) for f in snapshot.foods], len(foods))),
        lots=tuple(rng.sample(lots, len(lots))),
    )
    away = frozenset(homes[home] for home in scenario.households_away)
    return again, replace(scenario, households_away=away)


@few
@given(SEEDS, st.integers(2, 4))
def test_k_times_the_people_divides_everyone_fed_days_by_k(seed: int, k: int) -> None:
    snapshot, asked = small_store(seed)
    scenario = replace(
        asked,
        stock=StockScope.SHARED,
        horizon_days=730,
        running_water=True,
        households_away=frozenset(),
    )
    lots = tuple(
        replace(lot, label_kind=LabelKind.USE_BY, printed="2099")
        for lot in snapshot.lots
        if not lot.is_handled_here and lot.food != FOODS[-1].id
    )
    once = replace(snapshot, lots=lots)
    homes = tuple(
        replace(
            home,
            id=HouseholdId(f"{home.id}-{copy}"),
            members=tuple(replace(m, id=MemberId(f"{m.id}-{copy}")) for m in home.members),
        )
        for home in snapshot.households
        for copy in range(k)
    )
    owned = tuple(replace(lot, owner=None) for lot in lots if lot.is_shared)
    many = replace(once, households=homes, lots=owned)
    days = everyone_fed(once, scenario)
    assume(days < 729)
    assert everyone_fed(many, scenario) == pytest.approx(days / k, rel=NEARLY, abs=NEARLY)


@few
@given(SEEDS)
def test_members_days_are_at_least_everyone_fed_days_for_each(seed: int) -> None:
    _, scenario = small_store(seed)
    days = planned(seed)
    least = days.everyone_fed_days or 0.0
    members = sum(len(item.members.mouths) for item in days.classes)
    assert days.members_days >= least * members - NEARLY
    assert all(item.days <= scenario.horizon_days for item in days.classes)
    if days.next_level_days is not None:
        assert days.next_level_days > least


@answered_whole
def test_person_days_are_at_most_those_on_paper(seed: int) -> None:
    assert answered(seed).person_days <= answered(seed).person_days_on_paper + NEARLY


@few
@given(SEEDS)
def test_reading_every_label_can_only_help_if_each_proves_suitable(seed: int) -> None:
    days = planned(seed)
    assume(days.everyone_fed_days is not None)
    now, then = days.everyone_fed_days, days.everyone_fed_days_if_unread_suit
    assert now is not None
    assert then is not None
    assert then >= now - NEARLY * max(1.0, now)


def test_no_days_are_published_with_a_sign() -> None:
    assert str(figure(-0.0)) == "0.0"
