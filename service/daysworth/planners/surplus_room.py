"""Count the room that is left on visits, in candidates and under the floor, as units go."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import floor, inf
from typing import Final

import numpy as np

from daysworth.planners.supply import Floats
from daysworth.planners.surplus_floor import Cut
from daysworth.planners.surplus_match import Match, Pair, Units
from daysworth.planners.surplus_shelf import NOT_EATEN

_GRAIN: Final = 1e-9
"""What lacks no more than this part of a unit is not lacking."""


class RoomLeft:
    """The room that is left once some units have gone."""

    def __init__(self, match: Match, cuts: Iterable[Cut], *, units: Units) -> None:
        self._match = match
        self._free = [one.units for one in match.candidates]
        self._mass_g = [room.mass_g for room in match.rooms]
        self._units = [room.units for room in match.rooms]
        self._group_mass_g = {key: room.mass_g for key, room in match.group_rooms.items()}
        self._group_units = {key: room.units for key, room in match.group_rooms.items()}
        held = tuple(cuts)
        self._under = np.array([cut.most for cut in held])
        self._held_days = np.array([cut.held_on.toordinal() for cut in held], dtype=np.int64)
        self._prices = np.array([cut.prices for cut in held]).reshape(len(held), match.all_stacks)
        for pair, n in units.items():
            self.take(pair, round(n))

    def free(self, candidate: int) -> int:
        """Count the units of a candidate that have gone nowhere."""
        return self._free[candidate]

    def take(self, pair: Pair, units: int) -> None:
        """Have so many units go; below 0, come back."""
        c, w = pair
        one = self._match.candidates[c]
        key = w, one.item.food.group
        self._free[c] -= units
        self._mass_g[w] -= units * one.mass_g
        self._units[w] -= units
        if key in self._group_mass_g:
            self._group_mass_g[key] -= units * one.mass_g
            self._group_units[key] -= units
        if len(self._under):
            self._under -= units * self._priced(pair)

    def carried(self, pair: Pair) -> int:
        """Count the units more that the visit could take, the floor aside."""
        c, w = pair
        one = self._match.candidates[c]
        key = w, one.item.food.group
        return _whole(
            self._free[c],
            self._mass_g[w] / one.mass_g,
            self._units[w],
            self._group_mass_g.get(key, inf) / one.mass_g,
            self._group_units.get(key, inf),
        )

    def fits(self, pair: Pair) -> int:
        """Count the units more that could go on a visit."""
        carried = self.carried(pair)
        if not carried or not len(self._under):
            return carried
        priced = self._priced(pair)
        binds = priced > 0
        return _whole(carried, *(self._under[binds] / priced[binds]).tolist())

    def _priced(self, pair: Pair) -> Floats:
        """Give what a unit of a pair weighs in each cut."""
        c, w = pair
        stack, one = self._match.stacks[c], self._match.candidates[c]
        if stack == NOT_EATEN:
            return np.zeros(len(self._under))
        is_held = self._held_days >= self._match.visits[w].on.toordinal()
        return np.where(is_held, self._prices[:, stack], 0.0) * one.energy_kcal

    def rows(
        self, w: int, *, candidates: Sequence[int]
    ) -> Iterator[tuple[dict[int, float], float]]:
        """Give the rows that bind some candidates' units on a visit, each with what is left."""
        mass_g = {c: self._match.candidates[c].mass_g for c in candidates}
        groups = {c: self._match.candidates[c].item.food.group for c in candidates}
        yield {c: grams / 1000 for c, grams in mass_g.items()}, self._mass_g[w] / 1000
        yield dict.fromkeys(candidates, 1.0), self._units[w]
        for group in sorted(set(groups.values())):
            some = [c for c in candidates if groups[c] is group]
            most_g = self._group_mass_g.get((w, group), inf)
            yield {c: mass_g[c] / 1000 for c in some}, most_g / 1000
            yield dict.fromkeys(some, 1.0), self._group_units.get((w, group), inf)
        if not len(self._under):
            return
        priced = np.array([self._priced((c, w)) for c in candidates])
        for number in np.flatnonzero((priced > 0).any(axis=0)).tolist():
            terms = dict(zip(candidates, priced[:, number].tolist(), strict=True))
            yield terms, float(self._under[number])


def _whole(*bounds: float) -> int:
    return max(0, floor(min(bounds) + _GRAIN))


def whole_units(units: Units) -> dict[Pair, int]:
    """Round down to whole units, and leave out what is none."""
    found = {pair: floor(n + _GRAIN) for pair, n in units.items()}
    return {pair: n for pair, n in found.items() if n > 0}


def by_candidate(units: Mapping[Pair, int]) -> dict[int, int]:
    """Sum up the units that go of each candidate."""
    found: dict[int, int] = defaultdict(int)
    for (c, _), n in units.items():
        found[c] += n
    return dict(found)
