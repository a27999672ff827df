"""Plan what a store can spare before it spoils: what goes to which partner on which visit.

Candidates are the free units of shared lots whose last good day lies before the look-ahead ends,
by default the round after next. Each goes in whole units to visits that take it by the date that is
printed on it and by their partner's rules, for which notice can still be given, as far as the
visit's bounds, our vehicle's and the partner's for its food group allow, and never so that anybody
is fed for less than the floor who would be fed for that long otherwise (`surplus_floor`).

The aims, in order: the most energy that would spoil if nobody ate from the store; the fewest
visits; the earliest hand-off, days weighted by energy (`surplus_match`).
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Final

from daysworth.domain import suitability
from daysworth.domain.acceptance import Refusal
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.rounds import LOOK_AHEAD_DAYS, next_round_day
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import dated_lots
from daysworth.planners.surplus_candidates import Candidate, candidates_of
from daysworth.planners.surplus_floor import Cut, Floor
from daysworth.planners.surplus_match import Match, Reached
from daysworth.planners.surplus_needs import NeedsOver
from daysworth.planners.surplus_plan import (
    Going,
    PlannedVisit,
    Staying,
    SurplusAsked,
    SurplusPlan,
    WhyStays,
)
from daysworth.planners.surplus_room import RoomLeft
from daysworth.planners.surplus_search import best_match
from daysworth.planners.surplus_shelf import ShelfAhead
from daysworth.planners.surplus_visits import visits_of

WITHOUT_ROUNDS_DAYS: Final = 366
"""How far ahead a store looks whose rule for rounds gives none."""

MOST_FLOOR_DAYS: Final = 730
_BY_DATE: Final = (Refusal.PAST_SAFETY_DATE, Refusal.TOO_FEW_DAYS_LEFT)


def plan_surplus(
    snapshot: Snapshot,
    as_of: date,
    *,
    asked: SurplusAsked | None = None,
    judge: Judge = suitability.judge,
) -> SurplusPlan:
    """Plan visits from a date on; the same snapshot and question give the same plan.

    Raises ScenarioRefused for a partner who is not there, a floor or an end that cannot be;
    PlanningFailed where no plan could be proved.
    """
    wanted = asked or SurplusAsked()
    until_on = _until(snapshot, as_of, wanted=wanted)
    floor_days = _floor_days(snapshot, wanted)
    _check_partners(snapshot, wanted)
    dated = dated_lots(snapshot, as_of)
    visits = visits_of(
        snapshot,
        as_of,
        until_on=until_on,
        partners=wanted.partners,
        over=wanted.over,
        lots={item.lot.id: item for item in dated},
    )
    candidates = candidates_of(dated, visits=visits, until_on=until_on)
    scenario = Scenario(horizon_days=max(1, floor_days))
    shelf = ShelfAhead(snapshot, as_of, scenario=scenario, judge=judge)
    stacks = tuple(shelf.stack_of(one.item) for one in candidates)
    match = Match(as_of, candidates, visits, stacks, shelf.stacks)
    floor = None
    if floor_days > 0:
        last_on = until_on - timedelta(days=1)
        needs = NeedsOver(snapshot, scenario, from_on=as_of, to_on=last_on)
        floor = Floor(shelf, needs, floor_days=floor_days, from_on=as_of, to_on=last_on)
    reached, cuts = best_match(match, floor)
    return SurplusPlan(
        as_of=as_of,
        until_on=until_on,
        floor_days=floor_days,
        visits=_planned(match, reached),
        staying=tuple(_staying(match, reached, cuts=cuts)),
        stages=reached.stages,
        open_visits=len(visits),
        below_floor_on=None if floor is None else floor.first_below(),
        held_days=_held_days(cuts),
    )


def _held_days(cuts: Iterable[Cut]) -> int:
    """Count the days on which the floor held something back."""
    return len(
        {day for cut in cuts for day in range(cut.from_on.toordinal(), cut.held_on.toordinal() + 1)}
    )


def _until(snapshot: Snapshot, as_of: date, *, wanted: SurplusAsked) -> date:
    if wanted.until_on is not None:
        if not as_of < wanted.until_on <= as_of + timedelta(days=LOOK_AHEAD_DAYS):
            raise ScenarioRefused("a plan for what can be spared looks a day to two years ahead")
        return wanted.until_on
    rule = snapshot.settings.rounds_rule
    first = next_round_day(rule, after=as_of)
    after_next = None if first is None else next_round_day(rule, after=first)
    return after_next or as_of + timedelta(days=WITHOUT_ROUNDS_DAYS)


def _floor_days(snapshot: Snapshot, wanted: SurplusAsked) -> int:
    days = snapshot.settings.floor_days if wanted.floor_days is None else wanted.floor_days
    if not 0 <= days <= MOST_FLOOR_DAYS:
        raise ScenarioRefused(f"a floor is 0 to {MOST_FLOOR_DAYS} days")
    return days


def _check_partners(snapshot: Snapshot, wanted: SurplusAsked) -> None:
    missing = sorted((wanted.partners or frozenset()) - {one.id for one in snapshot.partners})
    if missing:
        raise ScenarioRefused(f"there is no partner {missing[0]!r} in this store")


def _planned(match: Match, reached: Reached) -> tuple[PlannedVisit, ...]:
    going: dict[int, list[Going]] = {}
    for (c, w), units in sorted(reached.units.items()):
        going.setdefault(w, []).append(Going(match.candidates[c].item, units))
    return tuple(
        PlannedVisit(visit=match.visits[w], going=tuple(some)) for w, some in sorted(going.items())
    )


def _staying(match: Match, reached: Reached, *, cuts: list[Cut]) -> Iterator[Staying]:
    """Say of every candidate's units that go nowhere why they stay."""
    left = RoomLeft(match, cuts, units=reached.units)
    for c, one in enumerate(match.candidates):
        if left.free(c):
            yield Staying(
                item=one.item,
                units=left.free(c),
                why=_why(c, one, left=left),
                never=one.never,
                refused_by=one.refused_by,
            )


def _why(c: int, one: Candidate, *, left: RoomLeft) -> WhyStays:
    if one.never is not None:
        return WhyStays.NEVER_GOES
    if not one.visits:
        by_date = all(why in _BY_DATE for why in one.refused_by.values())
        return WhyStays.NO_WINDOW if by_date and not one.is_in_time else WhyStays.REFUSED
    fits = any(left.carried((c, w)) for w in one.visits)
    return WhyStays.FLOOR if fits else WhyStays.CAPACITY
