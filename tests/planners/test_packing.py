"""Kits are the best that the stock makes: held against every kit tried, and kit by kit."""

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Final

import pytest

from daysworth.domain.kit_rules import PackedFood, RuleStatus, check_rules
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from daysworth.planners.packing import (
    Aim,
    PackAsked,
    PackingPlan,
    PickedFood,
    PickedWare,
    PlannedKit,
    picking_list,
    plan_packing,
)
from daysworth.planners.packing_shortfall import Lacking
from daysworth.planners.packing_stock import WhyLeft
from tests.planners.how_many import times
from tests.planners.pack_by_trying import Trying
from tests.planners.pack_parts import Worth
from tests.planners.small_kits import FOODS, kit_trial
from tests.planners.small_stores import AS_OF
from tests.planners.tight_kits import tight_trial

TIGHT: Final = 100_000
SEEDS: Final = (*range(times(185)), *range(TIGHT, TIGHT + times(60)))
"""From `TIGHT` on they are those of tight stores."""
_FOODS: Final = {food.name: food for food in FOODS}


def trial(seed: int) -> tuple[Snapshot, tuple[PackAsked, ...]]:
    """Make the store and the question of a seed."""
    return kit_trial(seed) if seed < TIGHT else tight_trial(seed - TIGHT)


@cache
def planned(seed: int) -> tuple[Snapshot, tuple[PackAsked, ...], PackingPlan]:
    """Plan the question of a seed, once for all claims."""
    snapshot, asked = trial(seed)
    return snapshot, asked, plan_packing(snapshot, AS_OF, asked=asked)


@cache
def tried(seed: int) -> tuple[Worth, frozenset[str]]:
    """Try all kits of a seed: what the best plan is worth, and what was reached on the way."""
    snapshot, asked = trial(seed)
    trying = Trying(snapshot, AS_OF, asked)
    return trying.best(), frozenset(trying.reached)


def worth(plan: PackingPlan) -> Worth:
    """Give what a plan comes to, by its stages."""
    value = {one.name: one.value for one in plan.stages}
    return (
        round(value[Aim.KITS]),
        -round(value[Aim.DISLIKED]),
        round(value[Aim.PULL_BY]),
        -round(100 * value[Aim.OVER]),
        -round(value[Aim.DAYS]),
        -round(value[Aim.PREFERENCE]),
    )


# --- the best there is ---


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_that_can_be_tried_is_better_by_any_aim(seed: int) -> None:
    assert worth(planned(seed)[2]) == tried(seed)[0]


def test_the_small_stores_reach_every_corner() -> None:
    reached = Counter(corner for seed in SEEDS for corner in _corners(seed))
    assert {corner: times for corner, times in reached.items() if times < 3} == {}
    assert set(reached) >= _EXPECTED


_EXPECTED: Final = {
    *("no kit", "one kit", "several kits", "every kit that was wanted", "fewer than were wanted"),
    *("kits for a household", "kits for a number", "kinds that share the stock"),
    *("kits pulled on different days", "fills of a kit on different days", "servings over"),
    *("a second choice", "a lot in two kits", "an opener in a kit", "a kit without an opener"),
    *("a food that fills several slots", "two foods of one choice", "a fill of two dates"),
    *("a food that is disliked", "grams in all", "a pattern that lacks a part"),
    *("needs water", "needs heating", "a pack too large", "kept by another household", "opened"),
    *("a label that is suitable", "a label that is unknown", "a label that is unsuitable"),
    *("a kit that fails by energy", "a kit that fails by bag"),
    *(f"short of {one}" for one in (Lacking.PART, Lacking.WARE, Lacking.SLOT, Lacking.BAG)),
    *(f"short of {one}" for one in (Lacking.ENERGY, Lacking.PACKS)),
    f"short of {WareKind.OPENER}",
    *(f"left out: {one}" for one in WhyLeft),
}


def _corners(seed: int) -> set[str]:
    _, asked, plan = planned(seed)
    kits, wanted = len(plan.kits), sum(one.wanted for one in asked)
    value = {one.name: one.value for one in plan.stages}
    lots = Counter(item.lot for one in plan.kits for item in one.kit.items)
    openers = {any(w.kind is WareKind.OPENER for w in one.kit.wares) for one in plan.kits}
    shortfalls = [one.shortfall for one in plan.made if one.shortfall is not None]
    found = {
        ("no kit", "one kit", "several kits")[min(kits, 2)]: True,
        "every kit that was wanted": kits == wanted,
        "fewer than were wanted": kits < wanted,
        "kits for a household": any(one.kit.household for one in plan.kits),
        "kits for a number": any(one.kit.household is None for one in plan.kits),
        "kinds that share the stock": len({one.kind for one in plan.kits}) > 1,
        "kits pulled on different days": len({one.pull_by_day for one in plan.kits}) > 1,
        "fills of a kit on different days": value[Aim.DAYS] > 0,
        "servings over": value[Aim.OVER] > 0,
        "a second choice": value[Aim.PREFERENCE] > 0,
        "a lot in two kits": any(times > 1 for times in lots.values()),
        "an opener in a kit": True in openers,
        "a kit without an opener": False in openers,
        **{f"short of {one.lacking}": True for one in shortfalls},
        **{f"short of {one.ware}": True for one in shortfalls if one.ware},
        **{f"left out: {left.why}": True for one in shortfalls for left in one.left_out},
    }
    return {corner for corner, is_reached in found.items() if is_reached} | tried(seed)[1]


def test_every_aim_is_proved_with_nothing_left_between() -> None:
    for seed in SEEDS:
        assert [one.name for one in planned(seed)[2].stages] == list(Aim)
        assert all(one.gap == 0 for one in planned(seed)[2].stages)


# --- what a plan says of its kits ---


@pytest.mark.parametrize("seed", SEEDS)
def test_every_kit_passes_every_rule_that_its_pattern_does_not_waive(seed: int) -> None:
    snapshot, asked, plan = planned(seed)
    trying = Trying(snapshot, AS_OF, asked)
    for one in plan.kits:
        findings = check_rules(
            packed(one, snapshot),
            wares=wares_of(one),
            diners=trying.diners(one.kind),
            packed_on=AS_OF,
            rules=snapshot.settings.meal_rules,
            waivers=one.kit.waivers,
        )
        assert [found.rule for found in findings if found.status is RuleStatus.FAILED] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_no_lot_and_no_ware_is_used_beyond_what_stands_free(seed: int) -> None:
    snapshot, _, plan = planned(seed)
    lots: Counter[str] = Counter()
    wares: Counter[tuple[WareKind, str]] = Counter()
    for one in plan.kits:
        lots.update({item.lot: item.units for item in one.kit.items})
        wares.update({(ware.kind, ware.place): ware.units for ware in one.kit.wares})
    for lot in snapshot.lots:
        assert lots[lot.id] <= lot.units - lot.units_in_kits - lot.units_promised
    assert wares <= Counter({(one.kind, one.place): one.units for one in snapshot.wares})


@pytest.mark.parametrize("seed", SEEDS)
def test_the_figures_of_a_kit_are_those_of_what_is_in_it(seed: int) -> None:
    snapshot, asked, plan = planned(seed)
    for one in plan.kits:
        foods = packed(one, snapshot)
        assert one.energy_kcal == pytest.approx(sum(food.energy_kcal for food in foods))
        assert one.protein_g == pytest.approx(sum(food.protein_g for food in foods))
        assert one.mass_g == pytest.approx(sum(food.mass_g for food in foods))
        assert one.pull_by_day == min(food.last_good_day or date.max for food in foods)
        assert one.kit.pattern == asked[one.kind].pattern.id
        assert one.kit.household == asked[one.kind].household


def test_what_was_made_of_a_kind_is_counted_and_a_shortfall_is_said_where_it_is_less() -> None:
    for seed in SEEDS:
        _, asked, plan = planned(seed)
        made = Counter(one.kind for one in plan.kits)
        for number, one in enumerate(plan.made):
            assert (one.asked, one.wanted) == (asked[number], asked[number].wanted)
            assert one.made == made[number] <= one.wanted
            assert (one.shortfall is None) == (one.made == one.wanted)


def test_in_what_order_lots_foods_homes_and_wares_stand_changes_nothing() -> None:
    rng = random.Random(5)
    for seed in SEEDS[::4]:
        snapshot, asked, plan = planned(seed)
        shuffled = replace(
            snapshot,
            lots=tuple(rng.sample(snapshot.lots, len(snapshot.lots))),
            foods=tuple(rng.sample(snapshot.foods, len(snapshot.foods))),
            households=snapshot.households[::-1],
            places=snapshot.places[::-1],
            wares=tuple(rng.sample(snapshot.wares, len(snapshot.wares))),
        )
        assert plan_packing(shuffled, AS_OF, asked=asked) == plan


def test_the_picking_list_takes_what_the_kits_hold_by_place_as_one_walks() -> None:
    for seed in range(60):
        snapshot, _, plan = planned(seed)
        walk = {"hall": 2, "attic": 1}
        places = tuple(replace(one, walk_position=walk[one.id]) for one in snapshot.places)
        picks = picking_list(plan, replace(snapshot, places=places))
        assert [one.place for one in picks] in (["attic", "hall"], ["attic"], ["hall"], [])
        where = {lot.id: lot.place for lot in snapshot.lots}
        taken: Counter[tuple[str, str]] = Counter()
        used: Counter[tuple[str, str]] = Counter()
        for one in plan.kits:
            taken.update({(where[item.lot], item.lot): item.units for item in one.kit.items})
            taken.update({(ware.place, ware.kind): ware.units for ware in one.kit.wares})
            used.update((where[item.lot], item.lot) for item in one.kit.items)
            used.update((ware.place, ware.kind) for ware in one.kit.wares)
        lines: dict[tuple[str, str], PickedFood | PickedWare] = {
            **{(pick.place, food.lot): food for pick in picks for food in pick.foods},
            **{(pick.place, ware.kind): ware for pick in picks for ware in pick.wares},
        }
        assert {key: line.units for key, line in lines.items()} == taken
        assert {key: line.kits for key, line in lines.items()} == used


def packed(one: PlannedKit, snapshot: Snapshot) -> list[PackedFood]:
    """Take the foods of a kit from the lots that it names."""
    lots = {lot.id: lot for lot in snapshot.lots}
    foods = {food.id: food for food in snapshot.foods}
    found = []
    for item in one.kit.items:
        lot = lots[item.lot]
        food = foods[lot.food]
        day = lot.last_good_day(food, grace_days=snapshot.settings.grace_days)
        found.append(
            PackedFood(
                food=food,
                units=item.units,
                net_mass_g=lot.net_mass_g,
                last_good_day=day,
                served=item.served,
            )
        )
    return found


def wares_of(one: PlannedKit) -> Mapping[WareKind, int]:
    """Count the wares of a kit."""
    wares: Counter[WareKind] = Counter()
    for ware in one.kit.wares:
        wares[ware.kind] += ware.units
    return wares
