"""What goes to partners is the most that may: held against every way to share it out."""

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from functools import cache
from math import inf
from typing import Final

import pytest

from daysworth.domain.acceptance import never_goes, refusal
from daysworth.domain.identifiers import LotId
from daysworth.domain.partners import Partner
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.surplus import plan_surplus
from daysworth.planners.surplus_plan import (
    PlannedVisit,
    Staying,
    SurplusAim,
    SurplusAsked,
    SurplusPlan,
    WhyStays,
)
from tests.planners.small_stores import AS_OF
from tests.planners.small_surplus import LARGE, MIDDLING, SMALL, surplus_trial
from tests.planners.surplus_by_trying import (
    Candidate,
    Load,
    Opening,
    Shares,
    Trying,
    Worth,
    shares_of,
)
from tests.planners.surplus_floor import Floor

SEEDS: Final = range(280)
LARGER: Final = (*range(5_000, 5_030), *range(6_000, 6_004))
"""Seeds of stores that are too large to try; those from 6,000 on for whole units altogether."""


Gone = tuple[str, str, str, datetime]
"""A lot, and the partner, window and opening that it goes to."""


@cache
def trial(seed: int) -> tuple[Snapshot, SurplusAsked]:
    """Make the store and the question of a seed."""
    return surplus_trial(seed, size=SMALL if seed < 5_000 else MIDDLING if seed < 6_000 else LARGE)


@cache
def planned(seed: int) -> SurplusPlan:
    """Plan the question of a seed, once for all claims."""
    return plan_surplus(trial(seed)[0], AS_OF, asked=trial(seed)[1])


@cache
def trying(seed: int) -> Trying:
    """Lay out the question of a seed to be tried."""
    return Trying(trial(seed)[0], AS_OF, trial(seed)[1])


@cache
def tried(seed: int) -> Worth:
    """Find what the best plan of a seed is worth."""
    return trying(seed).best()


@cache
def greedy_kcal(seed: int) -> float:
    """Find what is rescued where the earliest visit is filled first."""
    return trying(seed).worth(trying(seed).greedy()).energy_kcal


@cache
def shares(seed: int) -> Shares:
    """Lay the plan of a seed out as units of each candidate that feeds anybody, by visit."""
    return shares_of(trying(seed), going(planned(seed)))


def going(plan: SurplusPlan) -> Mapping[Gone, int]:
    """Count the units that go by lot, partner, window and opening."""
    found: Counter[Gone] = Counter()
    for one in plan.visits:
        for each in one.going:
            found[(each.item.lot.id, *key_of(one))] += each.units
    return found


def key_of(one: PlannedVisit) -> tuple[str, str, datetime]:
    """Name a visit."""
    return one.visit.partner.id, one.visit.window.id, one.visit.opens_at


def key_of_opening(one: Opening) -> tuple[str, str, datetime]:
    """Name a visit that is tried."""
    return one.partner.id, one.window.id, one.opens_at


def brought(made: PlannedVisit) -> list[Load]:
    """List what is brought to a visit."""
    return [(each.item.food.group, each.mass_g, each.units) for each in made.going]


# --- the best there is ---


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_that_can_be_tried_is_better_by_any_aim(seed: int) -> None:
    found, best = trying(seed).worth(shares(seed)), tried(seed)
    assert found.energy_kcal == pytest.approx(best.energy_kcal, rel=1e-6)
    assert found.visits == best.visits
    assert found.earliness == pytest.approx(best.earliness, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("seed", [*SEEDS, *LARGER])
def test_earliest_window_first_never_rescues_more(seed: int) -> None:
    assert greedy_kcal(seed) <= planned(seed).energy_kcal * (1 + 1e-9)


def test_earliest_window_first_often_rescues_less() -> None:
    assert sum(greedy_kcal(seed) < planned(seed).energy_kcal for seed in SEEDS) >= 15


@pytest.mark.parametrize("seed", [*SEEDS, *LARGER])
def test_the_aims_are_those_of_the_visits_and_no_plan_is_better_than_their_bounds(
    seed: int,
) -> None:
    plan, found = planned(seed), trying(seed).worth(shares(seed))
    assert [one.aim for one in plan.stages] == list(SurplusAim)
    energy, visits, earliness = plan.stages
    assert energy.value == pytest.approx(found.energy_kcal) == plan.energy_kcal
    assert visits.value == found.visits == len(plan.visits)
    assert earliness.value == pytest.approx(found.earliness)
    assert energy.bound >= energy.value * (1 - 1e-9)
    assert visits.bound <= visits.value
    assert earliness.bound <= earliness.value + 1e-9


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_proved_of_small_stores_leaves_nothing_open(seed: int) -> None:
    assert [one.gap for one in planned(seed).stages] == pytest.approx([0, 0, 0], abs=1e-6)


@pytest.mark.parametrize("seed", LARGER)
def test_what_is_proved_of_larger_stores_leaves_little_open(seed: int) -> None:
    # On the largest a visit takes a handful of units, so that parts of units promise too much.
    assert planned(seed).stages[0].gap <= (0.002 if seed < 6_000 else 0.05)


# --- what no plan may break ---


@pytest.mark.parametrize("seed", [*SEEDS[::2], *LARGER])
def test_everyone_stays_fed_for_the_floor_or_as_long_as_with_nothing_gone(seed: int) -> None:
    if planned(seed).floor_days:
        assert days_that_fall_short(seed, going(planned(seed))) == []


def days_that_fall_short(seed: int, by_lot: Mapping[Gone, int]) -> list[date]:
    """List the days that coverage finds below the floor, and below what they would have been."""
    snapshot, _ = trial(seed)
    plan = planned(seed)
    lots = sorted({lot for lot, *_ in by_lot})
    floor = Floor(
        snapshot,
        AS_OF,
        days=plan.floor_days,
        until_on=plan.until_on,
        lots=[LotId(lot) for lot in lots],
    )
    found = []
    for day in floor.dates:
        gone = tuple(
            sum(n for (lot, *_, at), n in by_lot.items() if lot == one and at.date() <= day)
            for one in lots
        )
        if any(gone):
            before, after = floor.before(day), floor.days_on(day, gone)
            least = min(plan.floor_days, inf if before is None else before)
            if (inf if after is None else after) < least - 1e-6:
                found.append(day)
    return found


@pytest.mark.parametrize("seed", [*SEEDS, *LARGER])
def test_what_goes_is_within_every_bound_and_taken_on_its_day(seed: int) -> None:
    laid_out = trying(seed)
    numbers = {key_of_opening(one): visit for visit, one in enumerate(laid_out.openings)}
    for made in planned(seed).visits:
        assert laid_out.is_within_bounds(numbers[key_of(made)], brought(made))
        day, partner = made.visit.on, made.visit.partner
        assert AS_OF <= day < laid_out.until_on
        assert (day - AS_OF).days >= made.visit.window.notice_days
        assert laid_out.asked.partners is None or partner.id in laid_out.asked.partners
        for each in made.going:
            assert refusal(partner, each.item.lot, food=each.item.food, on=day) is None


@pytest.mark.parametrize("seed", [*SEEDS, *LARGER])
def test_every_free_unit_that_may_spoil_and_is_no_water_goes_or_stays(seed: int) -> None:
    snapshot, _ = trial(seed)
    plan = planned(seed)
    counted: Counter[str] = Counter()
    for (id_, *_), gone in going(plan).items():
        counted[id_] += gone
    for left in plan.staying:
        assert left.units > 0
        counted[left.item.lot.id] += left.units
    foods = {food.id: food for food in snapshot.foods}
    free = {}
    for lot in snapshot.lots:
        food = foods[lot.food]
        day = lot.last_good_day(food, grace_days=snapshot.settings.grace_days)
        units = lot.units - lot.units_in_kits - lot.units_promised
        is_given = lot.is_shared and not food.is_water
        if is_given and units > 0 and day is not None and day < plan.until_on:
            free[lot.id] = units
    assert counted == free


@pytest.mark.parametrize("seed", [*SEEDS, *LARGER])
def test_what_is_said_of_why_units_stay_is_true(seed: int) -> None:
    for left in planned(seed).staying:
        _CHECKS[left.why](seed, left)


def _check_never(seed: int, left: Staying) -> None:
    assert left.never is not None
    assert left.never is never_goes(left.item.lot, left.item.food)


def _check_no_window(seed: int, left: Staying) -> None:
    day = left.item.last_good_day
    assert day is not None
    assert all(opening.on > day for opening in trying(seed).openings)
    assert _takers(seed, left) == []


def _check_refused(seed: int, left: Staying) -> None:
    snapshot, _ = trial(seed)
    assert _takers(seed, left) == []
    partners = {one.id: one for one in snapshot.partners}
    assert left.refused_by
    for id_, why in left.refused_by.items():
        assert why in _refusals(seed, left, partner=partners[id_])


def _check_capacity(seed: int, left: Staying) -> None:
    takers = _takers(seed, left)
    assert takers
    assert not any(_has_room_for_one_more(seed, left, visit=visit) for visit in takers)


def _check_floor(seed: int, left: Staying) -> None:
    assert planned(seed).floor_days > 0
    roomy = [v for v in _takers(seed, left) if _has_room_for_one_more(seed, left, visit=v)]
    assert roomy
    assert not any(_keeps_floor_with_one_more(seed, left, visit=visit) for visit in roomy)


_CHECKS: Final = {
    WhyStays.NEVER_GOES: _check_never,
    WhyStays.NO_WINDOW: _check_no_window,
    WhyStays.REFUSED: _check_refused,
    WhyStays.CAPACITY: _check_capacity,
    WhyStays.FLOOR: _check_floor,
}


def _takers(seed: int, left: Staying) -> list[int]:
    """List the visits that would take a lot on their day."""
    if never_goes(left.item.lot, left.item.food) is not None:
        return []
    laid_out = trying(seed)
    return [v for v in range(len(laid_out.openings)) if laid_out.is_taken(_as_one(left), v)]


def _refusals(seed: int, left: Staying, *, partner: Partner) -> list[object]:
    """List by which rules a partner does not take a lot on its visits."""
    days = [one.on for one in trying(seed).openings if one.partner.id == partner.id]
    return [refusal(partner, left.item.lot, food=left.item.food, on=day) for day in days]


def _as_one(left: Staying) -> Candidate:
    return Candidate(left.item.lot, left.item.food, left.units, left.item.last_good_day or date.min)


def _keeps_floor_with_one_more(seed: int, left: Staying, *, visit: int) -> bool:
    """Tell whether every day keeps the floor with one more unit gone on a visit."""
    key = (left.item.lot.id, *key_of_opening(trying(seed).openings[visit]))
    more = Counter(going(planned(seed))) + Counter([key])
    return days_that_fall_short(seed, more) == []


def _has_room_for_one_more(seed: int, left: Staying, *, visit: int) -> bool:
    """Tell whether a visit has room for one more unit, beside all that the plan brings there."""
    laid_out = trying(seed)
    one, key = _as_one(left), key_of_opening(laid_out.openings[visit])
    there = [load for made in planned(seed).visits if key_of(made) == key for load in brought(made)]
    return laid_out.is_within_bounds(visit, [*there, (one.food.group, one.unit_g, 1)])


# --- what changes nothing, and what never makes it worse ---


def test_in_what_order_lots_foods_homes_and_partners_stand_changes_nothing() -> None:
    rng = random.Random(5)
    for seed in (*SEEDS[::8], *LARGER[::8]):
        snapshot, asked = trial(seed)
        shuffled = replace(
            snapshot,
            lots=tuple(rng.sample(snapshot.lots, len(snapshot.lots))),
            foods=tuple(rng.sample(snapshot.foods, len(snapshot.foods))),
            households=snapshot.households[::-1],
            partners=snapshot.partners[::-1],
        )
        assert plan_surplus(shuffled, AS_OF, asked=asked) == planned(seed)


def test_more_room_never_rescues_less() -> None:
    more = 0
    for seed in SEEDS[::4]:
        snapshot, asked = trial(seed)
        roomy = replace(snapshot, partners=tuple(_with_room(one) for one in snapshot.partners))
        found = plan_surplus(roomy, AS_OF, asked=asked).energy_kcal
        assert found >= planned(seed).energy_kcal * (1 - 1e-6)
        more += found > planned(seed).energy_kcal
    assert more >= 5


def _with_room(partner: Partner) -> Partner:
    windows = tuple(
        replace(
            one,
            most_kg=None if one.most_kg is None else one.most_kg * 1.5,
            most_units=None if one.most_units is None else one.most_units + 1,
            vehicle_kg=None,
        )
        for one in partner.windows
    )
    return replace(partner, windows=windows)


def test_a_lower_floor_never_rescues_less() -> None:
    more = 0
    for seed in SEEDS[::3]:
        snapshot, asked = trial(seed)
        lower = replace(asked, floor_days=planned(seed).floor_days // 2)
        found = plan_surplus(snapshot, AS_OF, asked=lower).energy_kcal
        assert found >= planned(seed).energy_kcal * (1 - 1e-6)
        more += found > planned(seed).energy_kcal
    assert more >= 5


# --- what the small stores reach ---


def test_the_small_stores_reach_every_corner() -> None:
    reached = Counter(corner for seed in SEEDS for corner in _corners(seed))
    assert {corner: reached[corner] for corner in _EXPECTED if reached[corner] < 5} == {}


_EXPECTED: Final = {
    *("nothing goes", "one visit", "several visits", "a lot on several visits"),
    *("no floor", "fewer days than the floor", "the floor", "held days", "notice"),
    *("most kg", "most units", "vehicle", "group kg", "group units", "a promise for a visit"),
    *("refused: group_not_taken", "refused: label_not_read", "refused: past_safety_date"),
    *("refused: too_few_days_left", "taken past its last good day", "one partner asked for"),
    *(f"stays: {why}" for why in WhyStays),
}


def _corners(seed: int) -> set[str]:
    snapshot, asked = trial(seed)
    plan = planned(seed)
    tried(seed)
    visits_of = Counter(lot for lot, *_ in going(plan))
    found = {
        ("nothing goes", "one visit", "several visits")[min(len(plan.visits), 2)]: True,
        "a lot on several visits": any(times > 1 for times in visits_of.values()),
        "no floor": plan.floor_days == 0,
        "fewer days than the floor": plan.below_floor_on is not None,
        "held days": plan.held_days > 0,
        "one partner asked for": asked.partners is not None and len(snapshot.partners) > 1,
        **{f"stays: {left.why}": True for left in plan.staying},
    }
    return {corner for corner, is_reached in found.items() if is_reached} | trying(seed).reached


@pytest.mark.parametrize("seed", SEEDS[::2])
def test_the_first_day_below_the_floor_is_the_first_that_coverage_finds(seed: int) -> None:
    plan, floor = planned(seed), trying(seed).floor
    days = {day: floor.before(day) for day in floor.dates[:-1]} if plan.floor_days else {}
    low = [day for day, n in days.items() if n is not None and n < plan.floor_days - 1e-6]
    assert plan.below_floor_on == min(low, default=None)
