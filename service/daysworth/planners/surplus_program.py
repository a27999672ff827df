"""Put a match to the solver: see `surplus_match` for the program."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import fsum, inf
from typing import Final

from daysworth.planners.solver import (
    INFINITE,
    Floats,
    Outcome,
    Program,
    ProgramBuilder,
    Solution,
)
from daysworth.planners.surplus_floor import Cut
from daysworth.planners.surplus_match import Match, Pair
from daysworth.planners.surplus_plan import Room

KCAL: Final = 1000.0
"""Energy is counted in thousands of kcal, so that figures are near 1; mass in kg."""
_HAIRS: Final = (1e-6, 1e-5)
"""By how much less energy, as a share of it, is still the same: so far below it a row is set. Set
nearer to what can be reached, the solver, whose own rounding is 1e-9, may find that there is none,
or less than there is."""

_LEAST: Final = 1e-9
_SLACK_DAYS: Final = 1e-8
"""A cut asks for more than must be kept by far more than this: a plan that just keeps it is found
again by the next program."""


@dataclass(frozen=True, slots=True)
class Solved:
    """Units by pair, what the aim comes to, and what no plan exceeds or goes below."""

    units: dict[Pair, float]
    value: float
    bound: float


class MatchProgram:
    """One program, of whole units or of parts of units."""

    def __init__(
        self,
        match: Match,
        cuts: Iterable[Cut],
        *,
        is_whole: bool,
        counts_visits: bool = False,
    ) -> None:
        self._match, self._is_whole = match, is_whole
        self._builder = ProgramBuilder()
        self._columns: dict[Pair, int] = {}
        for c, w in match.pairs:
            upper = float(match.candidates[c].units)
            self._columns[c, w] = self._builder.column(upper=upper, is_whole=is_whole)
        self._kcal = {
            column: match.candidates[c].energy_kcal / KCAL
            for (c, _), column in self._columns.items()
        }
        self._rooms: dict[int, list[tuple[int, float]]] = defaultdict(list)
        self._door_rows: dict[int, int] = {}
        self._candidate_rows()
        self._visit_rows()
        self._visited: dict[int, int] = {}
        if counts_visits:
            self._count_visits()
        self._energy_row = self._builder.row(list(self._kcal.items()))
        visited = [(column, 1.0) for column in self._visited.values()]
        self._visits_row = self._builder.row(visited)
        self._program: Program = self._builder.build(maximise=True)
        self._duals: Floats | None = None
        for cut in cuts:
            self.hold(cut)

    def hold(self, cut: Cut) -> None:
        """Add a cut of the floor; the columns of pairs stand in the pairs' order."""
        pairs, prices = self._match.cut_row(cut)
        self._program.row(pairs, prices, lower=-INFINITE, upper=cut.most + _SLACK_DAYS)

    def most_energy(self, *, only: Collection[int] | None = None) -> Solved:
        """Maximise the kcal that go, on some visits alone where they are named."""
        for w, row in self._door_rows.items():
            is_open = only is None or w in only
            self._program.bound_row(row, upper=INFINITE if is_open else 0.0)
        self._price(self._kcal)
        found = self._solved()
        return Solved(found.units, found.value * KCAL, found.bound * KCAL)

    def room_kcal(self) -> dict[int, float]:
        """Give the kcal by which a plan without a visit falls short of the most, at least.

        What is reached is concave in the room of a visit, so it is no less than the price of its
        rows times the room. To be asked after `most_energy` of a program of parts of units.
        """
        duals = self._duals
        assert duals is not None, "it was solved"
        return {
            w: KCAL * fsum(float(duals[row]) * most for row, most in rows)
            for w, rows in self._rooms.items()
        }

    def fewest_visits(self, *, energy_kcal: float) -> Solved | None:
        """Minimise the visits made with so much energy going.

        None: the solver finds no plan, though there is one.
        """
        self._price(dict.fromkeys(self._visited.values(), -1.0))
        found = self._held(energy_kcal)
        return None if found is None else Solved(found.units, -found.value, -found.bound)

    def earliest(self, *, energy_kcal: float, most_visits: int) -> Solved | None:
        """Minimise the kcal-days until the hand-off, with so much energy and so few visits.

        None: the solver finds no plan, though there is one.
        """
        self._program.bound_row(self._visits_row, upper=float(most_visits))
        days = self._match.days_ahead
        self._price(
            {column: -self._kcal[column] * days[w] for (_, w), column in self._columns.items()}
        )
        found = self._held(energy_kcal)
        return (
            None if found is None else Solved(found.units, -found.value * KCAL, -found.bound * KCAL)
        )

    def _held(self, energy_kcal: float) -> Solved | None:
        """Solve with so much energy going, but for a hair, and a thicker one where that fails."""
        least = energy_kcal / KCAL
        for hair in _HAIRS:
            self._program.bound_row(
                self._energy_row, lower=least - hair * max(1.0, least), upper=INFINITE
            )
            solution = self._program.solve()
            if solution.outcome in (Outcome.OPTIMAL, Outcome.STOPPED):
                return self._read(solution.proven())
        return None

    def _price(self, costs: dict[int, float]) -> None:
        for column in range(self._builder.columns):
            self._program.price_column(column, cost=costs.get(column, 0.0))

    def _solved(self) -> Solved:
        return self._read(self._program.solve().proven())

    def _read(self, solution: Solution) -> Solved:
        self._duals = solution.row_duals
        values = solution.values
        units = {
            pair: float(values[column])
            for pair, column in self._columns.items()
            if values[column] > _LEAST
        }
        return Solved(units, solution.objective, solution.bound)

    def _candidate_rows(self) -> None:
        each: dict[int, list[tuple[int, float]]] = defaultdict(list)
        for (c, _), column in self._columns.items():
            each[c].append((column, 1.0))
        for c, terms in each.items():
            if len(terms) > 1:
                self._builder.row(terms, upper=float(self._match.candidates[c].units))

    def _visit_rows(self) -> None:
        match = self._match
        each: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for (c, w), column in self._columns.items():
            each[w].append((c, column))
        for w, some in each.items():
            self._bounded(w, some, room=match.rooms[w])
            self._door_rows[w] = self._builder.row([(column, 1.0) for _, column in some])
        for (w, group), room in match.group_rooms.items():
            some = [
                (c, column)
                for c, column in each.get(w, ())
                if match.candidates[c].item.food.group is group
            ]
            self._bounded(w, some, room=room)

    def _bounded(self, w: int, some: Sequence[tuple[int, int]], *, room: Room) -> None:
        if room.mass_g < inf and some:
            terms = [(column, self._match.candidates[c].mass_g / 1000) for c, column in some]
            row = self._builder.row(terms, upper=room.mass_g / 1000)
            self._rooms[w].append((row, room.mass_g / 1000))
        if room.units < inf and some:
            row = self._builder.row([(column, 1.0) for _, column in some], upper=room.units)
            self._rooms[w].append((row, room.units))

    def _count_visits(self) -> None:
        for (c, w), column in self._columns.items():
            if w not in self._visited:
                self._visited[w] = self._builder.column(upper=1.0, is_whole=True)
            units = float(self._match.candidates[c].units)
            self._builder.row([(column, 1.0), (self._visited[w], -units)], upper=0.0)
