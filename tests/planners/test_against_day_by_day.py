"""Hold the planner against the day-by-day program on stores made to reach its corners.

The fair days are proved by what they mean, not by repeating how they are found: a plan gives every
member those days, and no member's days can be raised, even if all who have more are let fall,
without lowering someone who has as many or fewer.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from math import isclose
from typing import Final

import pytest

from daysworth.domain.eaters import eater_of
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import Coverage, Days, plan_coverage, plan_days
from daysworth.planners.scenario import Scenario
from tests.planners.corners import ALL_CORNERS, corners_of
from tests.planners.day_by_day import DayByDay
from tests.planners.how_many import times
from tests.planners.oracle_store import Diner
from tests.planners.small_stores import AS_OF, small_store

STORES: Final = times(220)
ALL_PLANNED: Final = times(70)
"""Of the stores, for claims that need every answer of coverage and not the days alone."""
ENOUGH: Final = 7
"""Stores that reach a corner at least, of those that are planned."""
RELATIVE: Final = 1e-6
HAIRS: Final = (0.0, 1e-9, 3e-9, 1e-8)
"""How far below the planner's days the oracle's floors may stand before it finds a plan.

Both solvers work to 1e-9. What one member gives up is another's gain, up to some hundred times
over, so the floors stand as near as they can.
"""


@cache
def planned(seed: int) -> tuple[Snapshot, Scenario, Days]:
    """Make the store of a seed and plan its days, once for all claims about it."""
    snapshot, scenario = small_store(seed)
    return snapshot, scenario, plan_days(snapshot, AS_OF, scenario=scenario)


@cache
def oracle_of(seed: int) -> DayByDay:
    """Build the day-by-day program of a seed's store, once for all claims about it."""
    snapshot, scenario = small_store(seed)
    return DayByDay(snapshot, AS_OF, scenario=scenario)


@cache
def all_planned(seed: int) -> Coverage:
    """Plan the store of a seed with every answer, once for all claims about it."""
    snapshot, scenario = small_store(seed)
    return plan_coverage(snapshot, AS_OF, scenario=scenario)


def days_of(coverage: Days | Coverage, diner: Diner) -> float:
    """Find a diner's days among the classes: members alike in everything have the same days."""
    eater = eater_of(diner.member, household=diner.household, as_of=AS_OF)
    found = {
        item.days
        for item in coverage.classes
        for mouth in item.members.mouths
        if (mouth.household, mouth.eater) == (diner.household.id, eater)
        and isclose(mouth.energy_kcal, diner.energy_kcal, rel_tol=1e-12)
        and isclose(mouth.protein_g, diner.protein_g, rel_tol=1e-12)
    }
    assert len(found) == 1
    return found.pop()


@pytest.mark.parametrize("seed", range(STORES))
def test_the_fair_days_are_those_of_the_day_by_day_program(seed: int) -> None:
    _, _, coverage = planned(seed)
    oracle = oracle_of(seed)
    days = [days_of(coverage, diner) for diner in oracle.diners]
    assert sum(len(item.members.mouths) for item in coverage.classes) == len(days)
    if not days:
        assert coverage.everyone_fed_days is None
        return
    least = oracle.most(range(len(days)), least=[0.0] * len(days))
    assert coverage.everyone_fed_days == pytest.approx(least, rel=RELATIVE, abs=RELATIVE)
    assert min(days) == coverage.everyone_fed_days
    for level in sorted(set(days)):
        # Whoever has these days has them at the best, all of them together and so each of them;
        # with the highest level the floors are everybody's days, and there is such a plan.
        aims = [m for m, d in enumerate(days) if d == level]
        found = highest_sum(oracle, aims, floors=[d if d <= level else 0.0 for d in days])
        assert found == pytest.approx(level * len(aims), rel=RELATIVE, abs=RELATIVE)


def highest_sum(oracle: DayByDay, aims: Sequence[int], *, floors: Sequence[float]) -> float | None:
    """Raise the aims' sum as far as it goes, the floors a hair lower where rounding asks for it."""
    for hair in HAIRS:
        found = oracle.most_in_sum(aims, least=[max(0.0, floor - hair) for floor in floors])
        if found is not None:
            return found
    return None


@pytest.mark.parametrize("seed", range(STORES))
def test_everyone_fed_days_if_unread_labels_suit_are_those_of_the_day_by_day_program(
    seed: int,
) -> None:
    snapshot, scenario, coverage = planned(seed)
    oracle = DayByDay(snapshot, AS_OF, scenario=scenario, unknown_suits=True)
    if not oracle.diners:
        assert coverage.everyone_fed_days_if_unread_suit is None
        return
    everyone = range(len(oracle.diners))
    least = oracle.most(everyone, least=[0.0] * len(oracle.diners))
    assert coverage.everyone_fed_days_if_unread_suit == pytest.approx(
        least, rel=RELATIVE, abs=RELATIVE
    )


@pytest.mark.parametrize("seed", range(ALL_PLANNED))
def test_everyone_fed_days_with_enough_water_are_those_of_the_day_by_day_program(
    seed: int,
) -> None:
    snapshot, scenario = small_store(seed)
    coverage = all_planned(seed)
    oracle = DayByDay(snapshot, AS_OF, scenario=replace(scenario, running_water=True))
    if not oracle.diners:
        assert coverage.everyone_fed_days_if_enough_to_drink is None
        return
    everyone = range(len(oracle.diners))
    least = oracle.most(everyone, least=[0.0] * len(oracle.diners))
    assert coverage.everyone_fed_days_if_enough_to_drink == pytest.approx(
        least, rel=RELATIVE, abs=RELATIVE
    )


@pytest.mark.parametrize("seed", range(STORES))
def test_the_headlines_follow_from_the_members_days(seed: int) -> None:
    _, _, coverage = planned(seed)
    diners = oracle_of(seed).diners
    days = [days_of(coverage, diner) for diner in diners]
    energy = sum(diner.energy_kcal for diner in diners)
    fair = sum(diner.energy_kcal * d for diner, d in zip(diners, days, strict=True))
    assert coverage.members_days == pytest.approx(sum(days))
    assert coverage.person_days == pytest.approx(fair * len(diners) / energy if diners else 0.0)


@pytest.mark.parametrize("seed", range(ALL_PLANNED))
def test_coverage_has_the_same_days_and_tells_each_household_its_fewest(seed: int) -> None:
    _, _, days = planned(seed)
    coverage = all_planned(seed)
    assert coverage.days == days
    diners = oracle_of(seed).diners
    assert coverage.members_with_a_need == len(diners)
    for home in coverage.households:
        own = [days_of(days, one) for one in diners if one.household.id == home.household]
        assert home.days == (min(own) if own else None)


def test_the_plans_reach_the_corners_that_the_claims_are_about() -> None:
    reached: Counter[str] = Counter()
    for seed in range(STORES):
        snapshot, scenario, coverage = planned(seed)
        days = {round(item.days, 6) for item in coverage.classes}
        ratios = Counter((item.members.suits, item.members.keeper) for item in coverage.classes)
        reached["several levels"] += len(days) > 1
        reached["nobody can eat"] += 0.0 in days and len(coverage.classes) > 1
        reached["the horizon"] += float(scenario.horizon_days) in days
        reached["everyone is fed for a while"] += min(days, default=0.0) > 0
        reached["a pool split by its protein"] += max(ratios.values(), default=0) > 1
        reached["a pool kept together"] += any(item.members.is_mixed for item in coverage.classes)
        reached["stock of their own"] += any(item.members.keeper for item in coverage.classes)
        reached["unread labels matter"] += (
            coverage.everyone_fed_days != coverage.everyone_fed_days_if_unread_suit
        )
        for corner, let_go in LET_GO.items():
            # As many as the claim below asks for are enough to plan anew.
            if reached[corner] < ENOUGH:
                reached[corner] += is_more(let_go(snapshot), scenario, than=coverage)
    for seed in range(ALL_PLANNED):
        wet = all_planned(seed).everyone_fed_days_if_enough_to_drink
        reached["held by water"] += wet != planned(seed)[2].everyone_fed_days
    assert {corner for corner, times in reached.items() if times >= ENOUGH} == set(reached), reached


def is_more(snapshot: Snapshot, scenario: Scenario, *, than: Days) -> bool:
    """Tell whether a changed store would feed its people for longer."""
    then = plan_days(snapshot, AS_OF, scenario=scenario)
    return then.members_days > than.members_days + RELATIVE


def lasting(snapshot: Snapshot) -> Snapshot:
    """Date every lot that is good today far ahead, save what was opened or repacked here."""
    lots = tuple(
        replace(lot, label_kind=LabelKind.USE_BY, printed="2090")
        if (day := lot.last_good_day(food, grace_days=snapshot.settings.grace_days)) is not None
        and day >= AS_OF
        and not food.is_water
        and not lot.is_handled_here
        else lot
        for lot in snapshot.lots
        for food in snapshot.foods
        if food.id == lot.food
    )
    return replace(snapshot, lots=lots)


def filling(snapshot: Snapshot) -> Snapshot:
    """Give every food that has energy more protein than anyone needs."""
    foods = tuple(
        replace(food, protein_g_100g=max(food.protein_g_100g, food.energy_kcal_100g / 10))
        for food in snapshot.foods
    )
    return replace(snapshot, foods=foods)


def of_more_extras(snapshot: Snapshot) -> Snapshot:
    """Let all that is eaten be extras."""
    return replace(snapshot, settings=replace(snapshot.settings, extras_share=1.0))


LET_GO: Final = {
    "held by dates": lasting,
    "held by protein": filling,
    "held by the extras' share": of_more_extras,
}


def test_the_stores_reach_every_corner_that_is_listed() -> None:
    reached = Counter(corner for seed in range(STORES) for corner in corners_of(*small_store(seed)))
    assert set(reached) == ALL_CORNERS
    assert min(reached.values()) >= 5, reached
