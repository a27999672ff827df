"""Find a match of a large store near the best there is, and prove how near.

The program of parts of units gives what no plan exceeds. Rounded down it is a plan; the room that
this leaves is filled, and each visit's own units are chosen again where that gains. Where sending
on each visit in turn what passes its date first would rescue more, that is taken instead. Then
visits are saved (`surplus_saving`): what goes is put to fewer visits as long as that rescues no
less. At last units move to earlier visits that are made anyway.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from typing import Final

from daysworth.planners.stopping import check
from daysworth.planners.surplus_bounds import least_mean_days, least_visits
from daysworth.planners.surplus_filling import (
    WholeUnits,
    earliest_first,
    filled,
    joined,
    moved_forward,
    repacked,
)
from daysworth.planners.surplus_floor import Cut, Floor
from daysworth.planners.surplus_match import Match, Pair, Reached
from daysworth.planners.surplus_plan import SurplusAim, SurplusStage
from daysworth.planners.surplus_program import MatchProgram
from daysworth.planners.surplus_room import RoomLeft, whole_units
from daysworth.planners.surplus_saving import VisitSaver

NEAR: Final = 5e-4
"""A plan so near to what no plan exceeds, as a share of it, is not looked at again."""

_FEW: Final = 1e-9
_REPACKED_TIMES: Final = 3
_TRIED_ALONE: Final = 8
"""So many visits whose price does not prove them needed are left out, some of them, to see."""

_MOST_MERGED: Final = 6_000
"""With more columns than this, visits are not counted on merged mass."""

_TRIES: Final = 3
"""So many sets of visits are tried in whole units."""


def nearly(match: Match, floor: Floor | None, *, cuts: list[Cut]) -> Reached:
    """Find a match near the best; what the floor breaks is added to `cuts`."""
    return _Near(match, floor, cuts=cuts).best()


class _Near:
    def __init__(self, match: Match, floor: Floor | None, *, cuts: list[Cut]) -> None:
        self._match, self._floor, self._cuts = match, floor, cuts
        self._program = MatchProgram(match, cuts, is_whole=False)
        self._held: set[frozenset[tuple[Pair, float]]] = set()

    def best(self) -> Reached:
        match = self._match
        bound_kcal, units = self._most_energy(None)
        lost = self._program.room_kcal()
        units = self._or_in_turn(units)
        kcal = match.energy_kcal(units)
        needed = {w for w, short in lost.items() if bound_kcal - short < kcal * (1 - _FEW)}
        units, fewest = self._fewer(units, kcal=kcal, needed=needed)
        units = self._forward(units)
        return self._reached(units, bound_kcal=bound_kcal, fewest=fewest)

    def _or_in_turn(self, units: WholeUnits) -> WholeUnits:
        """Send on each visit in turn what passes its date first, where that rescues more."""
        match = self._match
        while True:
            check()
            in_turn = earliest_first(match, self._cuts)
            if match.energy_kcal(in_turn) <= match.energy_kcal(units):
                return units
            broken = self._broken(in_turn)
            if not broken:
                return in_turn
            self._learn(broken)

    def _most_energy(self, only: frozenset[int] | None) -> tuple[float, WholeUnits]:
        """Give what no plan exceeds, and whole units near it; of some visits where named."""
        while True:
            check()
            solved = self._program.most_energy(only=only)
            units = self._filled(
                whole_units(solved.units), only=only, enough=solved.bound * (1 - NEAR)
            )
            broken = self._broken(units)
            if not broken:
                return solved.bound, units
            self._learn(broken)

    def _filled(
        self, rounded: WholeUnits, *, only: frozenset[int] | None, enough: float
    ) -> WholeUnits:
        match = self._match
        pairs = [one for one in match.pairs if only is None or one[1] in only]
        left = RoomLeft(match, self._cuts, units=rounded)
        units = joined(rounded, filled(match, left, pairs=pairs))
        for _ in range(_REPACKED_TIMES):
            kcal = match.energy_kcal(units)
            if kcal >= enough:
                break
            units = repacked(match, left, units=units, pairs=pairs)
            units = joined(units, filled(match, left, pairs=pairs))
            if match.energy_kcal(units) <= kcal:
                break
        return units

    def _fewer(self, units: WholeUnits, *, kcal: float, needed: set[int]) -> tuple[WholeUnits, int]:
        """Put what goes to fewer visits where that rescues no less, and say how few may do."""
        everywhere = frozenset(w for _, w in self._match.pairs)
        made = {w for _, w in units}
        open_ = everywhere - needed
        if len(needed) >= len(made):
            return units, len(made)
        saver = VisitSaver(self._match, energy_kcal=kcal, needed=needed)
        choices: Iterable[frozenset[int]] = ()
        if len(open_) <= _TRIED_ALONE:
            choices = self._by_leaving_out(open_, kcal=kcal)
        elif saver.size <= _MOST_MERGED:
            choices = saver.choices()
        fewest = len(needed)
        for number, only in enumerate(choices):
            fewest = max(fewest, len(only)) if number == 0 else fewest
            if len(only) >= len(made) or number == _TRIES:
                break
            _, fewer = self._most_energy(only)
            fewer = self._topped_up(fewer)
            if self._match.energy_kcal(fewer) >= kcal * (1 - _FEW):
                units = fewer
                break
        return units, min(fewest, len({w for _, w in units}))

    def _by_leaving_out(self, visits: frozenset[int], *, kcal: float) -> Iterator[frozenset[int]]:
        """Give what visits are left without some, as many as can be left out, the latest first."""
        everywhere = frozenset(w for _, w in self._match.pairs)
        least = kcal * (1 - _FEW)
        spare = [
            w
            for w in sorted(visits, reverse=True)
            if self._program.most_energy(only=everywhere - {w}).bound >= least
        ]
        for number in range(len(spare), 0, -1):
            for some in combinations(spare, number):
                check()
                left = everywhere - frozenset(some)
                if self._program.most_energy(only=left).bound >= least:
                    yield left
        yield everywhere

    def _topped_up(self, units: WholeUnits) -> WholeUnits:
        """Fill what room there is on any visit: the energy comes before the visits."""
        left = RoomLeft(self._match, self._cuts, units=units)
        more = joined(units, filled(self._match, left, pairs=self._match.pairs))
        return units if self._broken(more) else more

    def _forward(self, units: WholeUnits) -> WholeUnits:
        """Move units to earlier visits, and fill the room that this leaves on later ones."""
        forward = moved_forward(self._match, self._cuts, units=units)
        return self._topped_up(units if self._broken(forward) else forward)

    def _broken(self, units: Mapping[Pair, float]) -> list[Cut]:
        going = frozenset(units.items())
        if self._floor is None or going in self._held:
            return []
        broken = self._floor.broken(self._match.gone_by(units))
        if not broken:
            self._held.add(going)
        return broken

    def _learn(self, broken: Iterable[Cut]) -> None:
        for cut in broken:
            self._cuts.append(cut)
            self._program.hold(cut)

    def _reached(self, units: WholeUnits, *, bound_kcal: float, fewest: int) -> Reached:
        match = self._match
        kcal, made = match.energy_kcal(units), {w for _, w in units}
        fewest = max(fewest, least_visits(match, energy_kcal=kcal))
        days, soonest = match.mean_days(units), least_mean_days(match, energy_kcal=kcal)
        return Reached(
            units,
            (
                SurplusStage(aim=SurplusAim.ENERGY, value=kcal, bound=max(kcal, bound_kcal)),
                SurplusStage(aim=SurplusAim.VISITS, value=len(made), bound=min(fewest, len(made))),
                SurplusStage(aim=SurplusAim.EARLINESS, value=days, bound=min(days, soonest)),
            ),
        )
