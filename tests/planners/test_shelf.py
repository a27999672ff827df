"""What stands on the shelf: which lots count, and how they are merged and ordered."""

import random
from collections import Counter
from dataclasses import replace
from datetime import timedelta
from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import Stack, Standing, dated_lots, is_counted, stacks_of
from tests.planners.one_home import BREAD, OIL, STARCH, lot, store
from tests.planners.small_stores import AS_OF, small_store
from tests.planners.warned_homes import CLEAR

ALL_STOCK = Scenario(stock=StockScope.ALL)
few = settings(max_examples=80, deadline=None, derandomize=True, database=None)


def stacked(snapshot: Snapshot, scenario: Scenario = ALL_STOCK) -> tuple[Stack, ...]:
    return stacks_of(dated_lots(snapshot, AS_OF), scenario=scenario, as_of=AS_OF)


def keeping(days: int, of: Lot) -> Lot:
    """Let a lot keep to a day counted from the as-of date as day 1."""
    printed = AS_OF + timedelta(days=days - 1)
    return replace(of, label_kind=LabelKind.USE_BY, printed=printed.isoformat())


@pytest.mark.parametrize(
    ("changed", "standing"),
    [
        ({}, Standing.GOOD),
        ({"printed": (AS_OF - timedelta(days=1)).isoformat()}, Standing.PAST),
        ({"printed": AS_OF.isoformat()}, Standing.GOOD),
        ({"label_kind": LabelKind.UNLABELLED, "printed": None}, Standing.UNDATED),
        ({"condition": Condition.DAMAGED}, Standing.DAMAGED),
        ({"condition": Condition.QUARANTINED}, Standing.QUARANTINED),
        ({"condition": Condition.DAMAGED, "printed": AS_OF.isoformat()}, Standing.DAMAGED),
    ],
)
def test_a_lot_stands_by_its_condition_and_then_by_its_date(
    changed: dict[str, object], standing: Standing
) -> None:
    (item,) = dated_lots(store(lots=[lot(BREAD, 2, **changed)]), AS_OF)
    assert item.standing is standing


@few
@given(st.integers(0, 10**6))
def test_every_counted_lot_is_in_one_stack_and_no_other_is(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    dated = dated_lots(snapshot, AS_OF)
    counted = [item for item in dated if is_counted(item, scenario)]
    stacks = stacks_of(dated, scenario=scenario, as_of=AS_OF)
    assert fsum(stack.energy_kcal for stack in stacks) == pytest.approx(
        fsum(item.lot.units_to_eat * item.food.energy_kcal(item.lot.net_mass_g) for item in counted)
    )
    days = {
        (item.food.id, min((item.last_good_day - AS_OF).days + 1, scenario.horizon_days))
        for item in counted
        if item.last_good_day is not None
    }
    assert {(stack.offer.food.id, stack.day) for stack in stacks} == days


@few
@given(st.integers(0, 10**6))
def test_the_order_of_the_lots_changes_no_stack(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    lots = random.Random(seed).sample(snapshot.lots, len(snapshot.lots))
    before = stacked(snapshot, scenario)
    after = stacked(replace(snapshot, lots=tuple(lots)), scenario)
    assert [twin(stack) for stack in after] == [twin(stack) for stack in before]
    assert Counter(after) == Counter(before)


def twin(stack: Stack) -> tuple[object, ...]:
    """Give what true twins have in common: all but the household that keeps them."""
    known = stack.offer.known
    return (
        replace(stack, kept_by=None, offer=replace(stack.offer, readings=())),
        stack.kept_by is None,
        [known.of(substance) for substance in Substance],
    )


def test_lots_that_are_the_same_to_every_eater_are_one_stack() -> None:
    read = lot(BREAD, 2, readings=(CLEAR,))
    again = lot(BREAD, 3, readings=(replace(CLEAR, is_whole=CLEAR.is_whole),))
    (stack,) = stacked(store(lots=[read, again]))
    assert stack.energy_kcal == 5_000


@pytest.mark.parametrize(
    "other",
    [
        lot(BREAD, 3, readings=(CLEAR,)),
        lot(BREAD, 3, owner=HouseholdId("h"), is_shared=False),
        keeping(5, lot(BREAD, 3)),
        lot(BREAD, 3, label_kind=LabelKind.PACKED_ON, printed="2027-01-01"),
        lot(STARCH, 3),
    ],
)
def test_lots_that_differ_to_an_eater_or_in_their_day_are_stacks_of_their_own(other: Lot) -> None:
    kept = replace(BREAD, shelf_life_months=240)
    snapshot = store(lots=[lot(BREAD, 2), other])
    foods = tuple(kept if food.id == kept.id else food for food in snapshot.foods)
    assert len(stacked(replace(snapshot, foods=foods))) == 2


def test_days_beyond_the_horizon_are_one() -> None:
    held = [keeping(days, lot(BREAD, days)) for days in (9, 10, 11, 400)]
    stacks = stacked(store(lots=held), replace(ALL_STOCK, horizon_days=10))
    assert [(stack.day, stack.energy_kcal) for stack in stacks] == [(9, 9_000), (10, 421_000)]


def test_masses_are_summed_exactly_in_whatever_order_they_stand() -> None:
    masses_g = (0.1, 0.2, 0.3, 999_999.7, 1e-9, 0.7)
    held = [lot(BREAD, 1, net_mass_g=mass_g) for mass_g in masses_g]
    (stack,) = stacked(store(lots=held))
    (turned,) = stacked(store(lots=held[::-1]))
    assert stack.energy_kcal == turned.energy_kcal == BREAD.energy_kcal(fsum(masses_g))


def test_stacks_stand_by_day_then_shared_first_then_extras_last() -> None:
    own = {"owner": HouseholdId("h"), "is_shared": False}
    held = [
        keeping(4, lot(OIL, 1)),
        keeping(4, lot(STARCH, 1, **own)),
        keeping(4, lot(STARCH, 1)),
        keeping(2, lot(OIL, 2)),
    ]
    stacks = stacked(store(lots=held))
    assert [(one.day, one.offer.food.id, one.kept_by) for one in stacks] == [
        (2, "oil", None),
        (4, "starch", None),
        (4, "oil", None),
        (4, "starch", "h"),
    ]
