"""Only a proven optimum is an answer; every other end of a solve is an error of its own."""

import numpy as np
import pytest

from daysworth.domain.errors import PlanningStopped, SolverTrouble
from daysworth.planners.solver import Outcome, ProgramBuilder, Solution


def test_a_proven_optimum_is_returned_as_it_is() -> None:
    builder = ProgramBuilder()
    column = builder.column(cost=1.0)
    builder.row([(column, 2.0)], upper=7.0)
    solution = builder.build(maximise=True).solve()
    assert solution.proven() is solution
    assert solution.values[column] == pytest.approx(3.5)


def test_a_program_that_contradicts_itself_gives_no_number() -> None:
    builder = ProgramBuilder()
    column = builder.column(upper=1.0)
    builder.row([(column, 1.0)], lower=2.0)
    solution = builder.build(maximise=True).solve()
    assert solution.outcome is Outcome.INFEASIBLE
    with pytest.raises(SolverTrouble, match="infeasible"):
        solution.proven()


def test_a_program_without_an_end_gives_no_number() -> None:
    builder = ProgramBuilder()
    column = builder.column(cost=1.0)
    builder.row([(column, 1.0)], lower=2.0)
    with pytest.raises(SolverTrouble, match="unbounded"):
        builder.build(maximise=True).solve().proven()


def test_a_solve_that_was_cut_short_says_so() -> None:
    with pytest.raises(PlanningStopped):
        Solution(Outcome.STOPPED, np.zeros(1), np.zeros(1)).proven()


def test_a_figure_that_is_not_a_number_never_reaches_the_solver() -> None:
    builder = ProgramBuilder()
    column = builder.column()
    with pytest.raises(SolverTrouble, match="not a number"):
        builder.row([(column, float("nan"))])
    with pytest.raises(SolverTrouble, match="not a number"):
        builder.column(upper=float("nan"))
