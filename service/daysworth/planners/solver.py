"""Solve linear and whole-number programs with HiGHS; only a proven optimum counts.

Rows and columns are named by position. HiGHS runs on one thread and without a time limit, so the
same program gives the same answer. A program is built apart from being solved.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf, isnan
from typing import Final

import highspy
import numpy as np
from numpy.typing import NDArray

from daysworth.domain.errors import PlanningStopped, SolverTrouble
from daysworth.planners.apartness import falls_apart
from daysworth.planners.stopping import Stop, check, heeded

Floats = NDArray[np.float64]
INFINITE: Final = highspy.kHighsInf
FEASIBILITY: Final = 1e-9
"""How far, in absolute terms, the solver may overstep a row or a bound."""
_FIXED: Final = 1e-8
"""A column with no more room than this between its bounds, relative to its size, is fixed."""
TRUSTED: Final = 1e-7
"""How far, relative to its size, a row or bound may be overstepped, or a best whole-number solution
fall short of what was proved possible, before nothing is believed."""
_OPTIONS: Final[dict[str, float | int]] = {
    "threads": 1,
    "primal_feasibility_tolerance": FEASIBILITY,
    "dual_feasibility_tolerance": FEASIBILITY,
    # Whole numbers are to be the best there are, and not nearly the best.
    "mip_feasibility_tolerance": FEASIBILITY,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 1e-9,
}
_KINDS: Final = {False: highspy.HighsVarType.kContinuous, True: highspy.HighsVarType.kInteger}


class Outcome(StrEnum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    UNBOUNDED = "unbounded"
    STOPPED = "stopped"
    TROUBLE = "trouble"


_OUTCOMES: Final = {
    highspy.HighsModelStatus.kOptimal: Outcome.OPTIMAL,
    highspy.HighsModelStatus.kInfeasible: Outcome.INFEASIBLE,
    highspy.HighsModelStatus.kUnbounded: Outcome.UNBOUNDED,
    highspy.HighsModelStatus.kUnboundedOrInfeasible: Outcome.UNBOUNDED,
    highspy.HighsModelStatus.kTimeLimit: Outcome.STOPPED,
    highspy.HighsModelStatus.kIterationLimit: Outcome.STOPPED,
    highspy.HighsModelStatus.kInterrupt: Outcome.STOPPED,
}


@dataclass(frozen=True, slots=True)
class Solution:
    """What a solve gave.

    Values, duals and objective mean something when it is optimal. `bound` is what the objective of
    no solution can be better than: the objective itself at an optimum, infinite where nothing is
    proved. A whole-number program has no duals; one that was stopped on its way has the values and
    the objective of the best solution it had, and where it had none, an infinite gap.
    """

    outcome: Outcome
    values: Floats
    row_duals: Floats
    objective: float
    bound: float

    @property
    def gap(self) -> float:
        """Give how much better than the objective a solution might be, in the objective's unit."""
        return abs(self.bound - self.objective)

    def proven(self) -> "Solution":
        """Return this solution if it is a proven optimum.

        Raises PlanningStopped where the solve was cut short, SolverTrouble for any other end.
        """
        if self.outcome is Outcome.OPTIMAL:
            return self
        if self.outcome is Outcome.STOPPED:
            raise PlanningStopped("the plan was stopped before an answer was proved")
        raise SolverTrouble(f"the plan could not be proved: the solver says {self.outcome}")


class ProgramBuilder:
    """Collect the columns and rows of one program; both are numbered as they come."""

    def __init__(self) -> None:
        self._cost: list[float] = []
        self._bounds: tuple[list[float], list[float]] = [], []
        self._whole: list[bool] = []
        self._rows: tuple[list[float], list[float]] = [], []
        self._starts: list[int] = [0]
        self._columns: list[int] = []
        self._coefficients: list[float] = []

    @property
    def columns(self) -> int:
        """Count the columns added so far."""
        return len(self._cost)

    def column(
        self,
        *,
        lower: float = 0.0,
        upper: float = INFINITE,
        cost: float = 0.0,
        is_whole: bool = False,
    ) -> int:
        """Add a column within [lower, upper], with its cost in the objective; return its number.

        A whole column takes whole numbers alone.
        """
        self._cost.append(cost)
        self._bounds[0].append(lower)
        self._bounds[1].append(upper)
        self._whole.append(is_whole)
        return len(self._cost) - 1

    def row(
        self,
        terms: Sequence[tuple[int, float]],
        *,
        lower: float = -INFINITE,
        upper: float = INFINITE,
    ) -> int:
        """Add lower <= sum of coefficient x column <= upper; return the row's number."""
        if terms:
            columns, coefficients = zip(*terms, strict=True)
            self._columns.extend(columns)
            self._coefficients.extend(coefficients)
        self._starts.append(len(self._columns))
        self._rows[0].append(lower)
        self._rows[1].append(upper)
        return len(self._starts) - 2

    def build(self, *, maximise: bool) -> "Program":
        """Hand the program to the solver. Raises SolverTrouble where a figure is not a number."""
        return Program(
            cost=_all_sound(self._cost),
            columns=_all_sound(self._bounds).T.copy(),
            whole=np.array(self._whole, dtype=np.bool_),
            rows=_all_sound(self._rows).T.copy(),
            matrix=_Matrix(
                np.array(self._starts, dtype=np.int32),
                np.array(self._columns, dtype=np.int32),
                _all_sound(self._coefficients),
            ),
            maximise=maximise,
        )


@dataclass(frozen=True, slots=True)
class _Matrix:
    """Coefficients row by row: row `r` holds the entries from `starts[r]` to `starts[r + 1]`."""

    starts: NDArray[np.int32]
    columns: NDArray[np.int32]
    coefficients: Floats

    def and_one(self, columns: NDArray[np.int32], coefficients: Floats) -> "_Matrix":
        """Give the matrix with one more row."""
        return _Matrix(
            np.append(self.starts, self.starts[-1] + np.int32(len(columns))),
            np.append(self.columns, columns),
            np.append(self.coefficients, coefficients),
        )

    def times(self, values: Floats) -> Floats:
        """Give the sum of coefficient x value for each row."""
        running = np.concatenate(([0.0], np.cumsum(self.coefficients * values[self.columns])))
        return running[self.starts[1:]] - running[self.starts[:-1]]


class Program:
    """One program inside the solver; it can be changed and solved again from where it is.

    Every solution is held against the rows and bounds as they were given, apart from the solver.
    """

    def __init__(
        self,
        *,
        cost: Floats,
        columns: Floats,
        whole: NDArray[np.bool_],
        rows: Floats,
        matrix: _Matrix,
        maximise: bool,
    ) -> None:
        self._cost, self._columns, self._whole = cost, columns, whole
        self._rows, self._matrix = rows, matrix
        self._nothing_proved = inf if maximise else -inf
        self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
        self._highs.silent()
        for option, value in _OPTIONS.items():
            self._highs.setOptionValue(option, value)
        if not whole.any():
            # These are small, and solved again from where they are: to make them smaller first
            # takes longer than it saves. In whole numbers it saves most of the search.
            self._highs.setOptionValue("presolve", "off")
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(columns), len(rows)
        lp.col_cost_ = cost
        lp.col_lower_, lp.col_upper_ = columns[:, 0].copy(), columns[:, 1].copy()
        lp.row_lower_, lp.row_upper_ = rows[:, 0].copy(), rows[:, 1].copy()
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = matrix.starts
        lp.a_matrix_.index_ = matrix.columns
        lp.a_matrix_.value_ = matrix.coefficients
        lp.sense_ = highspy.ObjSense.kMaximize if maximise else highspy.ObjSense.kMinimize
        if whole.any():
            lp.integrality_ = [_KINDS[bool(one)] for one in whole]
        if self._highs.passModel(lp) == highspy.HighsStatus.kError:
            raise SolverTrouble("the solver refused the program")

    def bound_column(self, column: int, *, lower: float, upper: float) -> None:
        """Change the bounds of a column."""
        self._columns[column] = _sound(lower), _sound(upper)
        self._highs.changeColBounds(column, lower, upper)

    def bound_row(self, row: int, *, lower: float = -INFINITE, upper: float = INFINITE) -> None:
        """Change the bounds of a row; without any, the row is free."""
        self._rows[row] = _sound(lower), _sound(upper)
        self._highs.changeRowBounds(row, lower, upper)

    def price_column(self, column: int, *, cost: float) -> None:
        """Change a column's cost in the objective."""
        self._cost[column] = _sound(cost)
        self._highs.changeColCost(column, cost)

    def row(
        self, columns: NDArray[np.int32], coefficients: Floats, *, lower: float, upper: float
    ) -> int:
        """Add a row to a program that was built; return its number. See `ProgramBuilder.row`."""
        bounds = _all_sound([lower, upper])
        self._rows = np.vstack([self._rows, bounds])
        self._matrix = self._matrix.and_one(columns, _all_sound(coefficients))
        self._highs.addRow(lower, upper, len(columns), columns, coefficients)
        return len(self._rows) - 1

    def solve(self) -> Solution:
        """Solve, and say how it ended; an optimum that oversteps a row or bound is trouble.

        So is a best solution in whole numbers that falls short of what was proved possible. A stop
        that is asked for cuts the solve short. Raises PlanningStopped where it was before it began.
        """
        check()
        _run(self._highs, stop=heeded())
        outcome = _OUTCOMES.get(self._highs.getModelStatus(), Outcome.TROUBLE)
        found = self._highs.getSolution()
        if self._whole.any():
            return self._in_whole_numbers(outcome, found)
        values = np.array(found.col_value)
        objective, bound = -self._nothing_proved, self._nothing_proved
        if outcome is Outcome.OPTIMAL:
            objective = bound = float((self._cost * values).sum())
            if self._overstep(values) > TRUSTED:
                outcome = Outcome.TROUBLE
        return Solution(outcome, values, np.array(found.row_dual), objective, bound)

    def is_apart(self, aims: Iterable[int], *, duals: Floats) -> bool:
        """Tell whether the duals prove each column aimed at by itself; see `falls_apart`.

        Columns that are fixed join nothing: whatever they are priced at, they stay.
        """
        lower, upper = self._columns[:, 0], self._columns[:, 1]
        return falls_apart(
            aims,
            duals=duals,
            starts=self._matrix.starts,
            columns=self._matrix.columns,
            is_free=upper - lower > _FIXED * np.maximum(1.0, np.abs(lower)),
        )

    def _in_whole_numbers(self, outcome: Outcome, found: highspy.HighsSolution) -> Solution:
        values = np.array(found.col_value)
        objective, bound = -self._nothing_proved, self._nothing_proved
        has_values = found.value_valid and outcome in (Outcome.OPTIMAL, Outcome.STOPPED)
        if has_values:
            # The solver's whole numbers are whole to its tolerance; what is counted is whole.
            values[self._whole] = np.round(values[self._whole])
            objective = float((self._cost * values).sum())
        if outcome in (Outcome.OPTIMAL, Outcome.STOPPED):
            bound = self._highs.getInfo().mip_dual_bound
        solution = Solution(outcome, values, np.empty(0), objective, bound)
        is_short = outcome is Outcome.OPTIMAL and solution.gap > TRUSTED * (1.0 + abs(objective))
        if has_values and (is_short or self._overstep(values) > TRUSTED):
            return replace(solution, outcome=Outcome.TROUBLE)
        return solution

    def _overstep(self, values: Floats) -> float:
        """Give how far values overstep a row or a bound at most, relative to its size."""
        activity = self._matrix.times(values)
        worst = 0.0
        for found, bounds in ((values, self._columns), (activity, self._rows)):
            over = np.maximum(bounds[:, 0] - found, found - bounds[:, 1])
            scale = 1.0 + np.abs(found)
            worst = max(worst, float(np.max(over / scale, initial=0.0)))
        return worst


def _run(highs: highspy.Highs, *, stop: Stop | None) -> None:
    """Run the solver; it asks after every step of its own whether it is to stop."""
    if stop is None:
        highs.run()
        return

    def ask(event: highspy.highs.HighsCallbackEvent) -> None:
        if stop.is_asked():
            event.interrupt()

    moments = (highs.cbSimplexInterrupt, highs.cbMipInterrupt)
    for moment in moments:
        moment.subscribe(ask)
    try:
        highs.run()
    finally:
        for moment in moments:
            moment.unsubscribe(ask)


def _sound(value: float) -> float:
    # HiGHS takes a NaN bound for "none" without a word.
    if isnan(value):
        raise SolverTrouble("a figure in the program is not a number")
    return value


def _all_sound(figures: Floats | Sequence[float] | Sequence[Sequence[float]]) -> Floats:
    found: Floats = np.array(figures, dtype=np.float64)
    if np.isnan(found).any():
        raise SolverTrouble("a figure in the program is not a number")
    return found
