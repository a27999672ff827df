"""Solve linear programs with HiGHS: build apart from solve, and only a proven optimum counts.

Rows and columns are named by position. HiGHS runs on one thread and without a time limit, so the
same program gives the same answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import isnan
from typing import Final

import highspy
import numpy as np
from numpy.typing import NDArray

from daysworth.domain.errors import PlanningStopped, SolverTrouble

Floats = NDArray[np.float64]
INFINITE: Final = highspy.kHighsInf
FEASIBILITY: Final = 1e-9
"""How far, in absolute terms, the solver may overstep a row or a bound."""
TRUSTED: Final = 1e-7
"""How far, relative to its size, a row or bound may be overstepped before nothing is believed."""
_OPTIONS: Final[dict[str, float | int]] = {
    "threads": 1,
    "primal_feasibility_tolerance": FEASIBILITY,
    "dual_feasibility_tolerance": FEASIBILITY,
}


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
    """What a solve gave: column values and row duals mean something only when it is optimal."""

    outcome: Outcome
    values: Floats
    row_duals: Floats

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
    """Collect the columns and rows of one linear program; both are numbered as they come."""

    def __init__(self) -> None:
        self._cost: list[float] = []
        self._bounds: list[tuple[float, float]] = []
        self._rows: list[tuple[float, float]] = []
        self._starts: list[int] = []
        self._columns: list[int] = []
        self._coefficients: list[float] = []

    def column(self, *, upper: float = INFINITE, cost: float = 0.0) -> int:
        """Add a column within [0, upper], with its cost in the objective; return its number."""
        self._cost.append(_sound(cost))
        self._bounds.append((0.0, _sound(upper)))
        return len(self._cost) - 1

    def row(
        self,
        terms: Sequence[tuple[int, float]],
        *,
        lower: float = -INFINITE,
        upper: float = INFINITE,
    ) -> int:
        """Add lower <= sum of coefficient x column <= upper; return the row's number."""
        self._starts.append(len(self._columns))
        self._rows.append((_sound(lower), _sound(upper)))
        for column, coefficient in terms:
            self._columns.append(column)
            self._coefficients.append(_sound(coefficient))
        return len(self._rows) - 1

    def build(self, *, maximise: bool) -> "Program":
        """Hand the program to the solver."""
        return Program(
            cost=np.array(self._cost),
            columns=np.array(self._bounds).reshape(-1, 2),
            rows=np.array(self._rows).reshape(-1, 2),
            matrix=_Matrix(
                np.array([*self._starts, len(self._columns)], dtype=np.int32),
                np.array(self._columns, dtype=np.int32),
                np.array(self._coefficients),
            ),
            maximise=maximise,
        )


@dataclass(frozen=True, slots=True)
class _Matrix:
    """Coefficients row by row: row `r` holds the entries from `starts[r]` to `starts[r + 1]`."""

    starts: NDArray[np.int32]
    columns: NDArray[np.int32]
    coefficients: Floats

    def times(self, values: Floats) -> Floats:
        """Give the sum of coefficient x value for each row."""
        running = np.concatenate(([0.0], np.cumsum(self.coefficients * values[self.columns])))
        return running[self.starts[1:]] - running[self.starts[:-1]]


class Program:
    """One linear program inside the solver; it can be changed and solved again from where it is.

    Every solution is held against the rows and bounds as they were given, apart from the solver.
    """

    def __init__(
        self, *, cost: Floats, columns: Floats, rows: Floats, matrix: _Matrix, maximise: bool
    ) -> None:
        self._columns, self._rows, self._matrix = columns, rows, matrix
        self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
        self._highs.silent()
        for option, value in _OPTIONS.items():
            self._highs.setOptionValue(option, value)
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
        self._highs.changeColCost(column, _sound(cost))

    def solve(self) -> Solution:
        """Solve, and say how it ended; an optimum that oversteps a row or bound is trouble."""
        self._highs.run()
        outcome = _OUTCOMES.get(self._highs.getModelStatus(), Outcome.TROUBLE)
        found = self._highs.getSolution()
        values = np.array(found.col_value)
        if outcome is Outcome.OPTIMAL and self._overstep(values) > TRUSTED:
            outcome = Outcome.TROUBLE
        return Solution(outcome, values, np.array(found.row_dual))

    def _overstep(self, values: Floats) -> float:
        """Give how far values overstep a row or a bound at most, relative to its size."""
        activity = self._matrix.times(values)
        worst = 0.0
        for found, bounds in ((values, self._columns), (activity, self._rows)):
            over = np.maximum(bounds[:, 0] - found, found - bounds[:, 1])
            scale = 1.0 + np.abs(found)
            worst = max(worst, float(np.max(over / scale, initial=0.0)))
        return worst


def _sound(value: float) -> float:
    # HiGHS takes a NaN bound for "none" without a word.
    if isnan(value):
        raise SolverTrouble("a figure in the program is not a number")
    return value
