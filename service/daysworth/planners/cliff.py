"""Say for how many days all could eat as the dates go by, if nothing is added and nobody eats.

Each point is a plan of its own: the same store as of a later date, with the needs that its members
have on that date. The points are the as-of date, the first of each month after it, and each
round's date, as far as is asked.

A day is then looked for on which everyone-fed days fall below the store's floor. It lies between
the first point that is below and the point before it, and is found by halving: the day before it is
not below. Everyone-fed days need not only fall, for children grow and are born, so there may be
other such days between points. The floor is taken to be the horizon where that is less.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import fsum
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.rounds import next_round_day
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import Planned, everyone, fairest
from daysworth.planners.shelf import is_counted
from daysworth.planners.stopping import check

DEFAULT_MONTHS: Final = 12
MOST_MONTHS: Final = 24
_GRAIN: Final = 1e-6
"""Days nearer to the floor than this have reached it: published figures have six decimals."""


@dataclass(frozen=True, slots=True)
class Point:
    """How things stand on a date if nobody has eaten: days for everyone and person-days.

    `everyone_fed_days` None: nobody has a need on that date. `passing_kcal` is the energy whose
    last good day falls on this date or after it, and before the next point or the end.
    """

    point_day: date
    is_round: bool
    members_with_a_need: int
    everyone_fed_days: float | None
    person_days: float
    passing_kcal: float


@dataclass(frozen=True, slots=True)
class Cliff:
    """The points in order, until when they look, and when days fall below the floor.

    `below_floor_on` None: at no point are they below it.
    """

    points: tuple[Point, ...]
    last_day: date
    floor_days: int
    below_floor_on: date | None


def plan_cliff(first: Grounds, planned: Planned, *, months: int = DEFAULT_MONTHS) -> Cliff:
    """Plan each point as far as `months` from the as-of date, given the plan of that date.

    Raises ScenarioRefused where months are not 1 to 24, PlanningFailed as `fairest`.
    """
    if not 1 <= months <= MOST_MONTHS:
        raise ScenarioRefused(f"a timeline looks 1 to {MOST_MONTHS} months ahead")
    until = first.as_of + relativedelta(months=months)
    rounds = frozenset(_rounds(first.snapshot, after=first.as_of, until=until))
    dates = sorted({first.as_of, *rounds, *_firsts(first.as_of, until=until)})
    passing = _passing(first, dates=[*dates, until + timedelta(days=1)])
    points = []
    for on, kcal in zip(dates, passing, strict=True):
        check()
        there = first if on == first.as_of else _as_of(on, first)
        found = planned if there is first else _fair(there)
        points.append(_point(there, found, is_round=on in rounds, passing_kcal=kcal))
    floor_days = first.snapshot.settings.floor_days
    return Cliff(tuple(points), until, floor_days, _below_floor_on(first, points))


def _as_of(on: date, first: Grounds) -> Grounds:
    return Grounds(first.snapshot, on, scenario=first.scenario, judge=first.judge)


def _fair(grounds: Grounds) -> Planned:
    return fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)


def _point(grounds: Grounds, planned: Planned, *, is_round: bool, passing_kcal: float) -> Point:
    kcal = fsum(item.members.energy_kcal * item.days for item in planned.classes)
    return Point(
        grounds.as_of,
        is_round,
        len(grounds.mouths),
        planned.least,
        kcal / grounds.mean_kcal if grounds.mouths else 0.0,
        passing_kcal,
    )


def _firsts(after: date, *, until: date) -> Iterator[date]:
    day = after.replace(day=1) + relativedelta(months=1)
    while day <= until:
        yield day
        day += relativedelta(months=1)


def _rounds(snapshot: Snapshot, *, after: date, until: date) -> Iterator[date]:
    day = next_round_day(snapshot.settings.rounds_rule, after=after)
    while day is not None and day <= until:
        yield day
        day = next_round_day(snapshot.settings.rounds_rule, after=day)


def _passing(grounds: Grounds, *, dates: Sequence[date]) -> list[float]:
    """Sum the kcal that pass their date from each date to the day before the next."""
    passing: list[list[float]] = [[] for _ in dates[1:]]
    for item in grounds.dated:
        day = item.last_good_day
        if day is None or day >= dates[-1] or not is_counted(item, grounds.scenario):
            continue
        n = sum(day >= one for one in dates) - 1
        passing[n].append(item.lot.units_to_eat * item.food.energy_kcal(item.lot.net_mass_g))
    return [fsum(one) for one in passing]


def _below_floor_on(first: Grounds, points: Sequence[Point]) -> date | None:
    floor_days = min(first.snapshot.settings.floor_days, first.scenario.horizon_days)

    def is_below(days: float | None) -> bool:
        return days is not None and days < floor_days - _GRAIN

    first_below = next((n for n, one in enumerate(points) if is_below(one.everyone_fed_days)), None)
    if first_below is None:
        return None
    if first_below == 0:
        return points[0].point_day
    above, below = points[first_below - 1].point_day, points[first_below].point_day
    while (below - above).days > 1:
        check()
        middle = above + timedelta(days=(below - above).days // 2)
        there = _as_of(middle, first)
        found = everyone(there.question, there.classes(), mean_kcal=there.mean_kcal)
        above, below = (above, middle) if is_below(found.least) else (middle, below)
    return below
