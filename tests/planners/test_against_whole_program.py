"""Hold the fair days against their definition, in the whole program with every lot and date.

Small stores reach the corners; those of some dozens of households reach what the planner leaves
out until it binds, and how it merges lots and members.
"""

from collections import Counter
from typing import Final

import pytest

from daysworth.planners.coverage import Days, plan_days
from tests.planners.how_many import times
from tests.planners.oracle_days import RELATIVE, class_days, faults_of
from tests.planners.oracle_mid_stores import MidSize, mid_store
from tests.planners.oracle_program import Rows, WholeProgram, classes_by_definition
from tests.planners.oracle_store import Ground
from tests.planners.small_stores import AS_OF, small_store

SMALL: Final = range(2_000, 2_000 + times(100))
MID: Final = (
    *(MidSize(seed=seed) for seed in (6, 25, 28, 4, 9, 10, 17, 27)),
    *(MidSize(seed=seed, own_share=0.1) for seed in (103, 108)),
)
BINDING: Final = tuple(MidSize(seed=seed) for seed in (6, 25, 28, 29))


@pytest.mark.parametrize("seed", SMALL)
def test_no_class_of_a_small_store_can_be_raised_without_lowering_one_below_it(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    ground = Ground(snapshot, AS_OF, scenario=scenario)
    if ground.diners:
        assert differences(plan_days(snapshot, AS_OF, scenario=scenario), ground) == []


@pytest.mark.parametrize("size", MID, ids=str)
def test_no_class_of_a_larger_store_can_be_raised_without_lowering_one_below_it(
    size: MidSize,
) -> None:
    snapshot, scenario = mid_store(size)
    ground = Ground(snapshot, snapshot.taken_on, scenario=scenario)
    found = plan_days(snapshot, snapshot.taken_on, scenario=scenario)
    assert differences(found, ground) == []


def differences(coverage: Days, ground: Ground) -> list[str]:
    """Say where an answer is not that of the whole program."""
    program = whole_program(ground)
    days = class_days(coverage, program.classes, ground=ground)
    everyone = program.everyone()
    found = faults_of(program, days)
    if coverage.everyone_fed_days != pytest.approx(everyone, rel=RELATIVE, abs=RELATIVE):
        found.append(f"everyone is fed for {coverage.everyone_fed_days}, and could be {everyone}")
    return found


def whole_program(ground: Ground, rows: Rows | None = None) -> WholeProgram:
    """State the whole program of a store, its classes by definition."""
    classes = classes_by_definition(ground, ground.usable)
    return WholeProgram(ground, ground.usable, classes=classes, rows=rows)


def test_in_the_larger_stores_dates_extras_protein_and_water_all_bind() -> None:
    binding: Counter[str] = Counter()
    kinds = {"dates", "extras", "protein", "water"}
    for size in BINDING:
        if kinds <= set(+binding):
            break
        snapshot, scenario = mid_store(size)
        ground = Ground(snapshot, snapshot.taken_on, scenario=scenario)
        least = whole_program(ground).everyone()
        for kind in sorted(kinds - set(+binding)):
            without = whole_program(ground, Rows(**{kind: False})).everyone()
            binding[kind] += without > least * (1 + RELATIVE) + RELATIVE
    assert set(+binding) == kinds, binding


@pytest.mark.parametrize("seed", SMALL[:15])
def test_days_that_are_not_fair_are_told_from_those_that_are(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    ground = Ground(snapshot, AS_OF, scenario=scenario)
    program = whole_program(ground)
    coverage = plan_days(snapshot, AS_OF, scenario=scenario)
    days = class_days(coverage, program.classes, ground=ground)
    for c in range(len(days)):
        less = [d * (1 - 1e-4) - 1e-4 if at == c else d for at, d in enumerate(days)]
        more = [d * (1 + 1e-4) + 1e-4 if at == c else d for at, d in enumerate(days)]
        if days[c] > 1e-3:
            assert faults_of(program, less) != []
        if days[c] < program.horizon:
            assert faults_of(program, more) != []
