"""Lay out a timeline for reading: how the store stands on later days, and a household's meals."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from daysworth.answers.timeline import CliffAnswer, HouseholdLineAnswer, PointAnswer, RunAnswer
from daysworth.pages.coverage_shown import Said, units_shown
from daysworth.printing.figures import tenths, whole


@dataclass(frozen=True, slots=True)
class PointShown:
    """One later day: everyone-fed days, person-days, what then passes its date, and a bar."""

    point_day: date
    is_round: bool
    is_below_floor: bool
    everyone_fed: Said
    person_days: int
    passing_person_days: int
    bar: int


@dataclass(frozen=True, slots=True)
class SpellShown:
    """Days in a row on which a household eats the same foods, each with its units."""

    first_day: date
    last_day: date
    foods: list[tuple[str, str]]


def points_shown(cliff: CliffAnswer, *, mean_kcal: float) -> list[PointShown]:
    """Give the later days; none where nobody has a need."""
    most = max((one.everyone_fed_days or 0.0 for one in cliff.points), default=0.0)
    return [
        _point(one, most=most, floor_days=cliff.floor_days, mean_kcal=mean_kcal)
        for one in cliff.points
        if one.everyone_fed_days is not None
    ]


def _point(one: PointAnswer, *, most: float, floor_days: int, mean_kcal: float) -> PointShown:
    days = one.everyone_fed_days or 0.0
    return PointShown(
        one.point_day,
        one.is_round,
        tenths(days) < floor_days and not one.everyone_fed_at_least,
        ("figure-at-least" if one.everyone_fed_at_least else "figure-days", {"days": tenths(days)}),
        whole(one.person_days),
        whole(one.passing_kcal / mean_kcal) if mean_kcal > 0 else 0,
        int(100 * days / most) if most > 0 else 0,
    )


def spells_shown(line: HouseholdLineAnswer) -> Iterator[SpellShown]:
    """Give a household's food by the days on which it is eaten, the first first."""
    ordered = sorted(line.runs, key=_days_of)
    for (first_day, last_day), runs in groupby(ordered, key=_days_of):
        foods = [(run.food_name, units_shown(run.units)) for run in runs if run.units >= _CRUMB]
        if foods:
            yield SpellShown(first_day, last_day, foods)


_CRUMB = 0.05
"""Less of a pack than this is not listed."""


def _days_of(run: RunAnswer) -> tuple[date, date]:
    return run.first_day, run.last_day
