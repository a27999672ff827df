"""Part what is due among the homes that can eat it in time, without loading any of them too much.

Sets: homes `h`; lots `l`, the earliest last good day first. Days left to a last good day `g` as of
a date `D` are `d = g - D + 1`, that day and today included.

Room, our judgement: food that has to go is at most half of what a home eats (`EAT_FIRST_SHARE`),
and of one food nobody eats more than a serving a day (`SERVINGS_A_DAY`):

    sum of kcal given to h with a last good day up to g       <= share x need of h a day x d(g)
    sum of servings of a food given to h with days up to g    <= persons of h who eat it x d(g)

Earliest dates come first, so what holds when a lot is given holds on every day before. Food without
energy goes by servings alone, water by the litres that a home is due a day, formula and baby food
by the need of those they are for, apart from the others' food and by no servings. A kit that is
eaten whole takes room as food does.

Choice: units go in steps of half a day's need (of water a week's; a whole unit at least) to the
home where nobody dislikes it and whose load, in days of its need, is least; then by id.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

import numpy as np

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.offers import offer_of
from daysworth.domain.servings import servings
from daysworth.planners.round_homes import Eaters, Flags, Floats, Homes
from daysworth.planners.round_proposals import Portion
from daysworth.planners.shelf import DatedLot

EAT_FIRST_SHARE: Final = 0.5
"""The part of what a home eats that is food which has to go: our judgement."""

SERVINGS_A_DAY: Final = 1.0
"""The servings of one food that one person eats in a day, on average: our judgement."""

FOOD_STEP_DAYS: Final = 0.5
WATER_STEP_DAYS: Final = 7.0
"""The days of its need that a home is given at once, so that no lot goes to everybody: our
judgement."""

_PERSONS_OFF: Final = 4
"""A kit is eaten by as many persons as it is for, give or take one, or a quarter of them: our
judgement."""

_SOME: Final = 1e-9
_LAST: Final = 1e6
"""More than any load in days: homes where somebody dislikes a food come after all others."""

_TABLE: Final = ("kcal", "table")
_INFANTS: Final = ("kcal", "infants")
_WATER: Final = ("litres", "water")


_Load = tuple[str, str]
"""What is counted, and of what."""


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to count a load: what a unit takes, and what each home needs of it in a day.

    Loads are in proportion to the need; no more than `share` of it is given.
    """

    load: _Load
    a_unit: float
    need_a_day: Floats
    share: float
    step_days: float = FOOD_STEP_DAYS


class Room:
    """The room of each home for what has to be eaten first. It is taken in the order of dates."""

    def __init__(self, homes: Homes, as_of: date) -> None:
        self._homes, self._as_of = homes, as_of
        self._loads: dict[_Load, Floats] = {}

    def give(
        self, item: DatedLot, *, units: int, only: HouseholdId | None = None
    ) -> tuple[Portion, ...]:
        """Part so many units of a good lot among homes, as many as find room; by household id.

        `only` names the one home that may have it; None: any may.
        """
        if item.last_good_day is None or not self._homes.ids:
            return ()
        eaters = self._homes.eaters_of(offer_of(item.lot, item.food))
        ways = _ways(item, eaters, water_l=self._homes.water_l)
        if not ways:
            return ()
        may = eaters.persons > 0
        if only is not None:
            may &= self._is(only)
        room = self._units(ways, days=self._days_to(item.last_good_day), may=may)
        given = self._part(ways, units=units, room=room, last=self._homes.disliking(item.food))
        return tuple(Portion(self._homes.ids[row], given[row]) for row in sorted(given))

    def seat(
        self,
        items: Sequence[tuple[DatedLot, int]],
        *,
        persons: int,
        by_day: date,
        only: HouseholdId | None = None,
    ) -> HouseholdId | None:
        """Find the home that eats a kit whole by a day; None: it suits none that has room for it.

        `items` are good lots with their units. `only` names the one home that may have it, however
        many persons it has; None: any of about as many persons may.
        """
        table = self._homes.at_table
        energy_kcal = fsum(units * one.food.energy_kcal(one.lot.net_mass_g) for one, units in items)
        way = _Way(_TABLE, max(energy_kcal, _SOME), table.energy_kcal, EAT_FIRST_SHARE)
        off = np.abs(table.persons - persons)
        may = off <= max(1, persons // _PERSONS_OFF) if only is None else self._is(only)
        for item, _ in items:
            may &= self._homes.eaters_of(offer_of(item.lot, item.food)).persons > 0
        room = self._units([way], days=self._days_to(by_day), may=may)
        rows = np.flatnonzero(room >= 1).tolist()
        if not rows:
            return None
        load, need = self._load(way), way.need_a_day
        row = min(rows, key=lambda each: (off[each], load[each] / need[each], each))
        load[row] += energy_kcal
        return self._homes.ids[row]

    def _days_to(self, day: date) -> int:
        return (day - self._as_of).days + 1

    def _is(self, household: HouseholdId) -> Flags:
        return np.array([id_ == household for id_ in self._homes.ids], dtype=bool)

    def _load(self, way: _Way) -> Floats:
        if way.load not in self._loads:
            self._loads[way.load] = np.zeros(len(self._homes.ids))
        return self._loads[way.load]

    def _units(self, ways: Iterable[_Way], *, days: int, may: Flags) -> Floats:
        """Give the whole units that each home has room for, none where it may not have them."""
        room: Floats = np.where(may, np.inf, 0.0)
        for way in ways:
            left = way.need_a_day * (way.share * days) - self._load(way)
            room = np.minimum(room, left / way.a_unit)
        return np.floor(room + _SOME)

    def _part(
        self,
        ways: Sequence[_Way],
        *,
        units: int,
        room: Floats,
        last: Flags,
    ) -> dict[int, int]:
        first, loads = ways[0], [(way.a_unit, self._load(way)) for way in ways]
        in_days = np.full(len(room), np.inf)
        np.divide(loads[0][1], first.need_a_day, out=in_days, where=room >= 1)
        in_days[last] += _LAST
        given: dict[int, int] = {}
        left = units
        while left > 0 and np.isfinite(in_days[row := int(in_days.argmin())]):
            need = float(first.need_a_day[row])
            step = max(1, int(first.step_days * need / first.a_unit))
            taken = min(left, step, int(room[row]))
            for a_unit, load in loads:
                load[row] += taken * a_unit
            room[row] -= taken
            left -= taken
            in_days[row] = np.inf if room[row] < 1 else in_days[row] + taken * first.a_unit / need
            given[row] = given.get(row, 0) + taken
        return given


def _ways(item: DatedLot, eaters: Eaters, *, water_l: Floats) -> list[_Way]:
    """Give the ways in which a lot's units take room, first the one that homes are ranked by."""
    food, net_mass_g = item.food, item.lot.net_mass_g
    if food.is_water:
        litres = food.stored_water_l(net_mass_g)
        return [_Way(_WATER, litres, water_l, EAT_FIRST_SHARE, WATER_STEP_DAYS)]
    found = []
    energy_kcal = food.energy_kcal(net_mass_g)
    if energy_kcal > 0:
        whose = _INFANTS if food.is_for_infants else _TABLE
        found.append(_Way(whose, energy_kcal, eaters.energy_kcal, EAT_FIRST_SHARE))
    if not food.is_for_infants:
        many = servings(food, net_mass_g)
        found.append(_Way(("servings", food.id), many, eaters.persons, SERVINGS_A_DAY))
    return found
