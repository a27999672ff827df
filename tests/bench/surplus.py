"""Measure the plan for surplus: 2,000 lots, 40 visits and a floor, beside the earliest visit first.

The other plan sends on each visit in turn what passes its date first, with the same bounds and the
same floor. Both are held against the coverage planner itself on some days.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import inf
from statistics import median
from time import perf_counter, process_time
from typing import Final

from daysworth.domain import suitability
from daysworth.domain.errors import PlanningStopped
from daysworth.domain.identifiers import LotId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import plan_days
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import dated_lots
from daysworth.planners.stopping import heeding
from daysworth.planners.surplus import plan_surplus
from daysworth.planners.surplus_candidates import candidates_of
from daysworth.planners.surplus_filling import earliest_first
from daysworth.planners.surplus_floor import Floor
from daysworth.planners.surplus_match import Match
from daysworth.planners.surplus_needs import NeedsOver
from daysworth.planners.surplus_plan import SurplusPlan
from daysworth.planners.surplus_shelf import ShelfAhead
from daysworth.planners.surplus_visits import visits_of
from tests.bench.surplus_store import CANDIDATES, FLOOR_DAYS, TAKEN_ON, UNTIL_ON, surplus_store

STORES: Final = ((1, 100), (2, 112), (3, 116), (4, 150))
"""Seeds and households: from a floor with some slack to one that nobody reaches."""

TO_REACH: Final = ((0.002, 5.0), (0.001, 10.0))
"""Gaps of the energy, and the seconds they are to be proved in."""

MOST_S: Final = 60.0
"""A plan that takes longer is given up."""

_LOOKED_AT: Final = 12
_DATES: Final = tuple(
    TAKEN_ON + timedelta(days=n * ((UNTIL_ON - TAKEN_ON).days - 1) // (_LOOKED_AT - 1))
    for n in range(_LOOKED_AT)
)
GoneBy = Mapping[LotId, Mapping[date, int]]
"""Units that go of each lot, by date."""


class _Limit:
    """Stop what takes too long."""

    def __init__(self) -> None:
        self._until = perf_counter() + MOST_S

    def is_asked(self) -> bool:
        """Tell whether the time is over."""
        return perf_counter() > self._until


def measure() -> None:
    """Plan each store once and print energy, what is proved of it, and what the other plan has."""
    reach = " and ".join(f"{gap:.1%} in {seconds:g} s" for gap, seconds in TO_REACH)
    print(f"{CANDIDATES} lots that may spoil, a floor of {FLOOR_DAYS} days; to reach {reach}")
    print(
        f"{'store':>5} {'homes':>6} {'open':>5} {'seconds':>8} {'of CPU':>7} {'Mcal':>8}"
        f" {'bound':>8} {'gap':>7} {'visits':>7} {'least':>6} {'held':>5}"
        f" | {'in turn':>8} {'visits':>7} {'seconds':>8} {'ours more':>10} | short"
    )
    took, gaps = [], []
    for seed, homes in STORES:
        store = surplus_store(seed, homes=homes)
        began, began_cpu = perf_counter(), process_time()
        try:
            with heeding(_Limit()):
                plan = plan_surplus(store, TAKEN_ON)
        except PlanningStopped:
            print(f"{seed:>5} {homes:>6} is not planned within {MOST_S:g} s", flush=True)
            took.append(inf)
            continue
        took.append(perf_counter() - began)
        gaps.append(plan.stages[0].gap)
        cpu = process_time() - began_cpu
        print(f"{seed:>5} {homes:>6} {_ours(plan, took[-1], cpu=cpu)}", end="", flush=True)
        print(f" | {_beside(store, plan)}", flush=True)
    print(f"median {median(took):.2f} s, longest {max(took):.2f} s; widest gap {max(gaps):.3%}")


def _ours(plan: SurplusPlan, seconds: float, *, cpu: float) -> str:
    energy, visits, _ = plan.stages
    return (
        f"{plan.open_visits:>5} {seconds:>8.2f} {cpu:>7.2f} {energy.value / 1e6:>8.3f}"
        f" {energy.bound / 1e6:>8.3f} {energy.gap:>7.3%} {visits.value:>7.0f} {visits.bound:>6.0f}"
        f" {plan.held_days:>5}"
    )


def _beside(store: Snapshot, plan: SurplusPlan) -> str:
    began = perf_counter()
    other = _in_turn(store)
    seconds = perf_counter() - began
    more = plan.energy_kcal / other.energy_kcal - 1 if other.energy_kcal else 0.0
    short = _short(store, _gone(plan)), _short(store, other.gone)
    return (
        f"{other.energy_kcal / 1e6:>8.3f} {other.visits:>7} {seconds:>8.2f} {more:>10.2%}"
        f" | ours {short[0]}, in turn {short[1]} of {_LOOKED_AT} days"
    )


@dataclass(frozen=True)
class _InTurn:
    """What goes where each visit in turn takes what passes its date first."""

    energy_kcal: float
    visits: int
    gone: GoneBy


def _in_turn(store: Snapshot) -> _InTurn:
    """Fill the visits in turn, and again with each row that the floor is found to need.

    A row leaves out no plan that holds the floor, so no unit is kept back that could have gone.
    """
    scenario = Scenario(horizon_days=FLOOR_DAYS)
    shelf = ShelfAhead(store, TAKEN_ON, scenario=scenario, judge=suitability.judge)
    dated = dated_lots(store, TAKEN_ON)
    lots = {item.lot.id: item for item in dated}
    visits = visits_of(store, TAKEN_ON, until_on=UNTIL_ON, partners=None, lots=lots)
    candidates = candidates_of(dated, visits=visits, until_on=UNTIL_ON)
    stacks = tuple(shelf.stack_of(one.item) for one in candidates)
    match = Match(TAKEN_ON, candidates, visits, stacks, shelf.stacks)
    floor = Floor(
        shelf,
        NeedsOver(store, scenario, from_on=TAKEN_ON, to_on=UNTIL_ON - timedelta(days=1)),
        floor_days=FLOOR_DAYS,
        from_on=TAKEN_ON,
        to_on=UNTIL_ON - timedelta(days=1),
    )
    cuts = list(floor.watch(match.could_go_by()))
    while True:
        units = earliest_first(match, cuts)
        broken = floor.broken(match.gone_by(units))
        if not broken:
            break
        cuts.extend(broken)
    gone: dict[LotId, dict[date, int]] = {}
    for (c, w), n in units.items():
        gone.setdefault(candidates[c].item.lot.id, {})[visits[w].on] = n
    return _InTurn(match.energy_kcal(units), len({w for _, w in units}), gone)


def _gone(plan: SurplusPlan) -> GoneBy:
    gone: dict[LotId, dict[date, int]] = {}
    for made in plan.visits:
        for one in made.going:
            days = gone.setdefault(one.item.lot.id, {})
            days[made.visit.on] = days.get(made.visit.on, 0) + one.units
    return gone


def _short(store: Snapshot, gone: GoneBy) -> int:
    """Count the days looked at on which the coverage planner finds the floor broken."""
    return sum(_is_short(store, gone, on=day) for day in _DATES)


def _is_short(store: Snapshot, gone: GoneBy, *, on: date) -> bool:
    scenario = Scenario(horizon_days=FLOOR_DAYS)
    left = tuple(
        replace(lot, units=lot.units - sum(n for day, n in gone[lot.id].items() if day <= on))
        if lot.id in gone
        else lot
        for lot in store.lots
    )
    after = plan_days(replace(store, lots=left), on, scenario=scenario).everyone_fed_days
    before = plan_days(store, on, scenario=scenario).everyone_fed_days
    assert after is not None, "somebody has a need"
    assert before is not None, "somebody has a need"
    return after < min(FLOOR_DAYS, before) - 1e-6
