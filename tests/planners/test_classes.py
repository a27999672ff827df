"""Who eats together: classes by what suits their members, held against judging one by one."""

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.demo.synthetic import StoreSize, synthetic_store
from daysworth.domain.demands import Eater
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.offers import Offer
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge
from daysworth.domain.verdicts import Judgement, Verdict
from daysworth.planners.classes import (
    EatingClass,
    Suits,
    Supposing,
    all_unknown_suits,
    classes_of,
    in_order,
    mouths_of,
    nothing_unknown_suits,
    split_by_ratio,
)
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import Stack, dated_lots, stacks_of
from tests.planners.small_stores import AS_OF, small_store

SEEDS = st.integers(min_value=0, max_value=10**6)
few = settings(max_examples=60, deadline=None, derandomize=True, database=None)
ALL_STOCK = Scenario(stock=StockScope.ALL)


def some_unknown_suits(offer: Offer) -> bool:
    """Suppose that some labels prove suitable, whatever food they are on."""
    return len(offer.readings) % 2 == 0


SUPPOSING = st.sampled_from((nothing_unknown_suits, all_unknown_suits, some_unknown_suits))


def stacked(snapshot: Snapshot, scenario: Scenario) -> tuple[Stack, ...]:
    return stacks_of(dated_lots(snapshot, AS_OF), scenario=scenario, as_of=AS_OF)


def classed(
    snapshot: Snapshot, scenario: Scenario, *, if_suits: Supposing = nothing_unknown_suits
) -> tuple[EatingClass, ...]:
    stacks = stacked(snapshot, scenario)
    return classes_of(
        mouths_of(snapshot, scenario=scenario, as_of=AS_OF),
        suits=Suits(stacks, judge=judge),
        keepers=frozenset(stack.kept_by for stack in stacks if stack.kept_by),
        if_suits=if_suits,
    )


def large(*, own_share: float) -> Snapshot:
    """Make a store of some dozens of households."""
    size = StoreSize(households=60, lots=900, seed=4, taken_on=AS_OF, own_share=own_share)
    return synthetic_store(size)


def may_eat(
    stacks: Sequence[Stack], eater: Eater, household: HouseholdId, *, if_suits: Supposing
) -> frozenset[int]:
    """Judge every stack by itself."""
    found = []
    for position, stack in enumerate(stacks):
        verdict = judge(stack.offer, eater).verdict
        is_meant = verdict is Verdict.SUITABLE or (
            verdict is Verdict.UNKNOWN and if_suits(stack.offer)
        )
        if is_meant and stack.kept_by in (None, household):
            found.append(position)
    return frozenset(found)


@few
@given(SEEDS, SUPPOSING)
def test_a_class_may_eat_just_what_suits_each_of_its_members(
    seed: int, if_suits: Supposing
) -> None:
    snapshot, scenario = small_store(seed)
    stacks = stacked(snapshot, scenario)
    for one in classed(snapshot, scenario, if_suits=if_suits):
        for mouth in one.mouths:
            found = may_eat(stacks, mouth.eater, mouth.household, if_suits=if_suits)
            assert one.suits == found
        assert one.shared == {s for s in one.suits if stacks[s].kept_by is None}
        assert one.own == {s for s in one.suits if stacks[s].kept_by == one.keeper is not None}


@few
@given(SEEDS)
def test_everybody_with_a_need_is_in_one_class(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    mouths = mouths_of(snapshot, scenario=scenario, as_of=AS_OF)
    pooled = Counter(mouth for one in classed(snapshot, scenario) for mouth in one.mouths)
    assert pooled == Counter(mouths)


@few
@given(SEEDS)
def test_no_two_classes_may_eat_the_same_and_keep_the_same(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    classes = classed(snapshot, scenario)
    assert len({(one.suits, one.keeper) for one in classes}) == len(classes)


@pytest.mark.parametrize("if_suits", [nothing_unknown_suits, some_unknown_suits])
def test_classes_with_the_same_shared_stacks_hold_them_as_one_object(if_suits: Supposing) -> None:
    classes = classed(large(own_share=0.3), ALL_STOCK, if_suits=if_suits)
    objects = {id(one.shared) for one in classes}
    assert len(objects) == len({one.shared for one in classes}) < len(classes) / 2


def test_a_classs_parts_keep_its_stacks() -> None:
    mixed = [one for one in classed(large(own_share=0.3), ALL_STOCK) if one.is_mixed]
    assert any(one.own for one in mixed)
    for one in mixed:
        met, rest = split_by_ratio(one, one.protein_g / one.energy_kcal)
        assert met.shared is rest.shared is one.shared
        assert met.own == rest.own == one.own
        assert met.keeper == rest.keeper == one.keeper


@pytest.mark.parametrize("own_share", [0.0, 0.3])
def test_classes_stand_in_one_order_however_they_are_listed(own_share: float) -> None:
    classes = classed(large(own_share=own_share), ALL_STOCK)
    for seed in range(5):
        assert in_order(random.Random(seed).sample(classes, len(classes))) == classes


def test_the_order_of_households_and_their_ids_move_no_class() -> None:
    snapshot = large(own_share=0.3)
    ids = {home.id: HouseholdId(f"z{n % 7}{n}") for n, home in enumerate(snapshot.households)}
    again = replace(
        snapshot,
        households=tuple(replace(home, id=ids[home.id]) for home in snapshot.households[::-1]),
        lots=tuple(
            replace(lot, owner=None if lot.owner is None else ids[lot.owner])
            for lot in snapshot.lots
        ),
    )
    assert [of_content(one) for one in classed(again, ALL_STOCK)] == [
        of_content(one) for one in classed(snapshot, ALL_STOCK)
    ]


def of_content(one: EatingClass) -> tuple[object, ...]:
    """Give what a class is, but for its members' names."""
    return one.shared, one.own, one.energy_kcal, one.protein_g, one.water_l, len(one.mouths)


def test_an_offer_is_judged_once_for_a_demand_however_many_make_it() -> None:
    asked: Counter[tuple[int, Eater]] = Counter()

    def counting(offer: Offer, eater: Eater) -> Judgement:
        asked[id(offer), eater] += 1
        return judge(offer, eater)

    snapshot = large(own_share=0.3)
    stacks = stacked(snapshot, ALL_STOCK)
    suits = Suits(stacks, judge=counting)
    mouths = mouths_of(snapshot, scenario=ALL_STOCK, as_of=AS_OF)
    keepers = frozenset(stack.kept_by for stack in stacks if stack.kept_by)
    for if_suits in (nothing_unknown_suits, all_unknown_suits):
        classes_of(mouths, suits=suits, keepers=keepers, if_suits=if_suits)
    assert set(asked.values()) == {1}
    assert all(len(eater.demands) <= 1 for _, eater in asked)
    assert any(len(mouth.eater.demands) > 1 for mouth in mouths)


@few
@given(SEEDS)
def test_what_is_not_known_of_a_label_is_told_apart_for_each_eater(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    stacks = stacked(snapshot, scenario)
    suits = Suits(stacks, judge=judge)
    for mouth in mouths_of(snapshot, scenario=scenario, as_of=AS_OF):
        assert suits.unknown(mouth.eater, mouth.household) == {
            position
            for position, stack in enumerate(stacks)
            if stack.kept_by in (None, mouth.household)
            and judge(stack.offer, mouth.eater).verdict is Verdict.UNKNOWN
        }
