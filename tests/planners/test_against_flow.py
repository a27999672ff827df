"""Hold everyone-fed days against a maximum flow, where energy and dates alone decide.

Extras may give all of anyone's energy, every food is dense in protein, and water runs: then eating
is nothing but energy that flows from lots to people and days, and no program need be solved.
"""

from dataclasses import replace
from functools import cache
from typing import Final

import pytest

from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import plan_days
from daysworth.planners.scenario import Scenario
from tests.planners.how_many import times
from tests.planners.oracle_flow import FlowDays
from tests.planners.oracle_store import Ground
from tests.planners.small_stores import AS_OF, small_store

STORES: Final = range(1_000, 1_000 + times(200))
RELATIVE: Final = 1e-6


def energy_alone(seed: int) -> tuple[Snapshot, Scenario]:
    """Make a store and scenario of a seed in which protein, extras and water bind nowhere."""
    snapshot, scenario = small_store(seed)
    foods = tuple(
        replace(food, protein_g_100g=max(food.protein_g_100g, food.energy_kcal_100g / 10))
        for food in snapshot.foods
    )
    settings = replace(snapshot.settings, extras_share=1.0)
    horizon = scenario.horizon_days if seed % 2 else 40
    return (
        replace(snapshot, foods=foods, settings=settings),
        replace(scenario, running_water=True, horizon_days=horizon),
    )


@cache
def flowing_days(seed: int) -> float | None:
    """Give the days for which all that is needed flows; None: nobody has a need."""
    snapshot, scenario = energy_alone(seed)
    ground = Ground(snapshot, AS_OF, scenario=scenario)
    return FlowDays(ground).everyone() if ground.diners else None


@pytest.mark.parametrize("seed", STORES)
def test_everyone_fed_days_are_those_for_which_all_that_is_needed_flows(seed: int) -> None:
    snapshot, scenario = energy_alone(seed)
    found = plan_days(snapshot, AS_OF, scenario=scenario).everyone_fed_days
    flowing = flowing_days(seed)
    if flowing is None:
        assert found is None
    else:
        assert found == pytest.approx(flowing, rel=RELATIVE, abs=RELATIVE)


def test_the_stores_end_within_a_day_as_often_as_at_the_horizon_or_at_once() -> None:
    ends = []
    for seed in STORES:
        days = flowing_days(seed)
        if days is not None:
            ends.append("within" if days % 1 else "none" if days == 0 else "whole")
    assert min(ends.count(one) for one in ("within", "none", "whole")) >= 10, ends
