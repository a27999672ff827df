"""Claims about the timeline: a schedule that holds day by day, and a store that waits."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.demo.neighbourhood import neighbourhood
from daysworth.demo.synthetic import Dates, StoreSize, synthetic_store
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import plan_days
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import Planned, fairest
from daysworth.planners.scenario import Scenario
from daysworth.planners.schedule import (
    ClassSchedule,
    Run,
    energy_on,
    household_runs,
    schedules,
    share_of,
)
from daysworth.planners.timeline import Timeline, plan_timeline
from tests.planners.how_many import times
from tests.planners.small_stores import AS_OF, food, small_store

WET = Scenario(running_water=True)
KCAL = 1e-3
STORES = times(50)
few = settings(max_examples=STORES, deadline=None, derandomize=True, database=None)
TODAY = date(2026, 11, 25)


@cache
def scheduled(seed: int) -> tuple[Grounds, Planned, tuple[ClassSchedule, ...]]:
    snapshot, scenario = small_store(seed)
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    planned = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return grounds, planned, schedules(grounds, planned)


@few
@given(st.integers(0, STORES - 1))
def test_every_food_is_eaten_by_its_date(seed: int) -> None:
    _, _, classes = scheduled(seed)
    assert all(run.last_day <= run.keeps_days for one in classes for run in one.runs)


@few
@given(st.integers(0, STORES - 1))
def test_a_class_eats_its_need_each_day_and_on_its_last_day_a_part(seed: int) -> None:
    _, _, classes = scheduled(seed)
    for one in classes:
        for day in range(1, ceil(one.days) + 2):
            part = min(1.0, max(0.0, one.days - (day - 1)))
            need = one.members.energy_kcal * part
            assert energy_on(one.runs, day) == pytest.approx(need, rel=1e-5, abs=0.05)


@few
@given(st.integers(0, STORES - 1))
def test_a_schedule_holds_just_what_the_plan_gives(seed: int) -> None:
    grounds, planned, classes = scheduled(seed)
    helpings = planned.helpings()
    for c, one in enumerate(classes):
        given_kcal: dict[FoodId, float] = {}
        for s, eater, amount in zip(
            helpings.stacks, helpings.eaters, helpings.person_days, strict=True
        ):
            if eater == c:
                of = grounds.question.stacks[s].offer.food.id
                given_kcal[of] = given_kcal.get(of, 0.0) + amount * grounds.mean_kcal
        eaten = {of: kcal for of, kcal in by_food(one.runs).items() if kcal > KCAL}
        assert eaten == pytest.approx({of: kcal for of, kcal in given_kcal.items() if kcal > KCAL})


def by_food(runs: tuple[Run, ...]) -> dict[FoodId, float]:
    found: dict[FoodId, float] = {}
    for run in runs:
        found[run.food.id] = found.get(run.food.id, 0.0) + run.energy_kcal
    return found


@few
@given(st.integers(0, STORES - 1))
def test_what_keeps_less_long_is_eaten_first(seed: int) -> None:
    _, _, classes = scheduled(seed)
    for one in classes:
        assert list(one.runs) == sorted(one.runs, key=lambda run: (run.starts, run.keeps_days))
        assert [run.keeps_days for run in one.runs] == sorted(run.keeps_days for run in one.runs)


@few
@given(st.integers(0, STORES - 1))
def test_households_eat_between_them_what_the_classes_eat(seed: int) -> None:
    grounds, _, classes = scheduled(seed)
    homes = [home.id for home in grounds.snapshot.households]
    kcal = sum(run.energy_kcal for home in homes for run in household_runs(classes, home))
    assert kcal == pytest.approx(sum(run.energy_kcal for one in classes for run in one.runs))
    for one in classes:
        assert sum(share_of(one.members, home) for home in homes) == pytest.approx(1.0)


@few
@given(st.integers(0, STORES - 1))
def test_a_household_eats_each_day_what_its_members_need(seed: int) -> None:
    grounds, _, classes = scheduled(seed)
    for home in grounds.snapshot.households:
        runs = household_runs(classes, home.id)
        need = sum(
            mouth.energy_kcal * min(1.0, one.days)
            for one in classes
            for mouth in one.members.mouths
            if mouth.household == home.id
        )
        assert energy_on(runs, 1) == pytest.approx(need, rel=1e-5, abs=0.05)


def test_a_run_is_eaten_at_one_rate_from_its_first_moment_to_its_last() -> None:
    crackers = food("crackers", kcal=400, protein_g=8, net_g=250)
    run = Run(crackers, 0.5, 2.5, 2_000.0, 9)
    # 2,000 kcal over two days from noon: 500 on the first, 1,000 on the next, 500 on the third.
    assert [run.kcal_on(day) for day in (1, 2, 3, 4)] == [500.0, 1_000.0, 500.0, 0.0]
    assert (run.first_day, run.last_day) == (1, 3)
    # A unit of 250 g has 1,000 kcal.
    assert run.units == pytest.approx(2.0)


def test_the_points_are_the_months_and_the_rounds_to_come() -> None:
    store = neighbourhood(TODAY)
    found = plan_timeline(store, TODAY, scenario=WET, months=5)
    on = [point.point_day for point in found.cliff.points]
    months = [date(2026, 12, 1), *(date(2027, n, 1) for n in (1, 2, 3, 4))]
    assert on == [TODAY, *months]
    assert [point.point_day for point in found.cliff.points if point.is_round] == [date(2027, 3, 1)]
    assert found.cliff.last_day == date(2027, 4, 25)


def test_each_point_is_the_plan_of_its_own_date() -> None:
    store = neighbourhood(TODAY)
    for point in plan_timeline(store, store.taken_on, scenario=WET, months=8).cliff.points:
        days = plan_days(store, point.point_day, scenario=WET)
        assert point.everyone_fed_days == pytest.approx(days.everyone_fed_days)
        assert point.person_days == pytest.approx(days.person_days)


def test_what_passes_its_date_between_points_is_counted_once() -> None:
    store = neighbourhood(TODAY)
    grounds = Grounds(store, store.taken_on, scenario=WET)
    found = plan_timeline(store, store.taken_on, scenario=WET, months=12).cliff
    last = (found.last_day - store.taken_on).days + 1
    # The horizon caps the days of stacks, so it is set beyond the last point.
    far = Grounds(store, store.taken_on, scenario=replace(WET, horizon_days=730))
    kcal = sum(one.energy_kcal for one in far.question.stacks if one.day <= last)
    assert kcal > 0
    assert sum(point.passing_kcal for point in found.points) == pytest.approx(kcal)
    assert grounds.mean_kcal == far.mean_kcal


def waiting_store() -> Snapshot:
    size = StoreSize(households=8, lots=260, seed=4, dates=Dates.SLACK)
    return synthetic_store(size)


def test_the_day_below_the_floor_is_below_it_and_the_day_before_is_not() -> None:
    store = waiting_store()
    start = plan_days(store, store.taken_on, scenario=WET).everyone_fed_days
    assert start is not None
    floor = int(start / 2)
    assert floor > 1
    store = replace(store, settings=replace(store.settings, floor_days=floor))
    below = plan_timeline(store, store.taken_on, scenario=WET, months=24).cliff.below_floor_on
    assert below is not None
    days = plan_days(store, below, scenario=WET).everyone_fed_days
    before = plan_days(store, below - timedelta(days=1), scenario=WET).everyone_fed_days
    assert days is not None
    assert before is not None
    assert days < floor <= before


def test_a_store_that_stays_above_its_floor_has_no_such_day() -> None:
    store = waiting_store()
    store = replace(store, settings=replace(store.settings, floor_days=0))
    assert plan_timeline(store, store.taken_on, scenario=WET).cliff.below_floor_on is None


def test_a_store_below_its_floor_is_so_from_today() -> None:
    store = waiting_store()
    store = replace(store, settings=replace(store.settings, floor_days=170))
    found = plan_timeline(store, store.taken_on, scenario=WET, months=1)
    assert found.cliff.below_floor_on == store.taken_on


def test_where_nobody_has_a_need_there_are_no_days_and_nothing_is_eaten() -> None:
    store = neighbourhood(TODAY)
    away = frozenset(home.id for home in store.households)
    found: Timeline = plan_timeline(
        store, store.taken_on, scenario=replace(WET, households_away=away), months=2
    )
    assert {point.everyone_fed_days for point in found.cliff.points} == {None}
    assert found.classes == ()
    assert household_runs(found.classes, HouseholdId("H-1")) == ()


@pytest.mark.parametrize("months", [0, 25, -3])
def test_months_out_of_reach_are_refused(months: int) -> None:
    store = neighbourhood(TODAY)
    with pytest.raises(ScenarioRefused, match="1 to 24 months"):
        plan_timeline(store, store.taken_on, months=months)
