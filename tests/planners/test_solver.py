"""Only a proven optimum is an answer; every other end of a solve is an error of its own."""

from itertools import product
from math import inf, nan
from random import Random

import numpy as np
import pytest

from daysworth.domain.errors import PlanningStopped, SolverTrouble
from daysworth.planners import stopping
from daysworth.planners.solver import Outcome, Program, ProgramBuilder, Solution
from tests.planners.hard_programs import AskedAfter, linear_program, market_split


def test_a_proven_optimum_is_returned_as_it_is() -> None:
    builder = ProgramBuilder()
    column = builder.column(cost=1.0)
    builder.row([(column, 2.0)], upper=7.0)
    solution = builder.build(maximise=True).solve()
    assert solution.proven() is solution
    assert solution.values[column] == pytest.approx(3.5)
    assert solution.objective == solution.bound == pytest.approx(3.5)


def test_a_column_keeps_its_lower_bound() -> None:
    builder = ProgramBuilder()
    low, other = (
        builder.column(lower=-2.0, upper=5.0, cost=1.0),
        builder.column(lower=1.5, cost=1.0),
    )
    solution = builder.build(maximise=False).solve().proven()
    assert [solution.values[low], solution.values[other]] == [-2.0, 1.5]


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
        Solution(Outcome.STOPPED, np.zeros(1), np.zeros(1), -inf, inf).proven()


def test_a_figure_that_is_not_a_number_never_reaches_the_solver() -> None:
    bad, costly, unbounded, scarce = (ProgramBuilder() for _ in range(4))
    bad.row([(bad.column(), nan)], upper=1.0)
    costly.column(cost=nan)
    unbounded.column(upper=nan)
    scarce.row([(scarce.column(), 1.0)], upper=nan)
    for builder in (bad, costly, unbounded, scarce):
        with pytest.raises(SolverTrouble, match="not a number"):
            builder.build(maximise=True)


def tiny(rnd: Random) -> tuple[Program, bool, float | None]:
    """Make a whole-number program; tell whether it is maximised, and its best by trying them all.

    One column beside the whole ones is not whole: what is best for it, given those, is a bound of a
    row or its own, so that it is tried as well.
    """
    spans = [range(low, low + rnd.randint(1, 5)) for low in (rnd.randint(-2, 1) for _ in "abc")]
    costs, maximise = [rnd.uniform(-9, 9) for _ in spans], rnd.random() < 0.5
    slope, most = rnd.uniform(-3, 3), rnd.uniform(0, 4)
    rows = [
        ([rnd.choice((rnd.randint(-9, 9), rnd.uniform(-90, 90))) for _ in spans], rnd.uniform(1, 9))
        for _ in range(rnd.randint(1, 3))
    ]
    limits = [rnd.uniform(-20, 60) for _ in rows]
    builder = ProgramBuilder()
    whole = [
        builder.column(lower=span[0], upper=span[-1], cost=cost, is_whole=True)
        for span, cost in zip(spans, costs, strict=True)
    ]
    part = builder.column(upper=most, cost=slope)
    for (coefficients, of_part), limit in zip(rows, limits, strict=True):
        builder.row(
            [*zip(whole, coefficients, strict=True), (part, of_part)], lower=-inf, upper=limit
        )
    found: list[float] = []
    for point in product(*spans):
        room = [
            (limit - sum(a * x for a, x in zip(coefficients, point, strict=True))) / of_part
            for (coefficients, of_part), limit in zip(rows, limits, strict=True)
        ]
        if min(room) >= 0:
            ends = (0.0, min(most, *room))
            total = sum(c * x for c, x in zip(costs, point, strict=True))
            found.extend(total + slope * end for end in ends)
    best = max if maximise else min
    return builder.build(maximise=maximise), maximise, best(found) if found else None


@pytest.mark.parametrize("seed", range(60))
def test_the_best_in_whole_numbers_is_the_best_of_all_there_are(seed: int) -> None:
    program, _, best = tiny(Random(seed))
    solution = program.solve()
    if best is None:
        assert solution.outcome is Outcome.INFEASIBLE
        return
    assert solution.proven().objective == pytest.approx(best, abs=1e-7)
    assert solution.gap <= 1e-7
    assert all(value.is_integer() for value in solution.values[:3])


def test_the_tiny_programs_are_of_every_sort() -> None:
    made = [tiny(Random(seed)) for seed in range(60)]
    assert {maximise for _, maximise, best in made if best is not None} == {True, False}
    assert any(best is None for _, _, best in made)


def test_a_program_in_whole_numbers_has_no_duals_and_one_solution_each_time() -> None:
    first, again = (market_split(rows=2, columns=12).solve().proven() for _ in range(2))
    assert len(first.row_duals) == 0
    assert first.values.tobytes() == again.values.tobytes()


def test_a_program_in_whole_numbers_can_be_changed_and_solved_again() -> None:
    builder = ProgramBuilder()
    column = builder.column(upper=9.0, cost=1.0, is_whole=True)
    row = builder.row([(column, 2.0)], upper=7.0)
    program = builder.build(maximise=True)
    assert program.solve().proven().values[column] == 3
    program.bound_row(row, upper=11.5)
    assert program.solve().proven().values[column] == 5
    program.bound_column(column, lower=0.0, upper=2.0)
    program.price_column(column, cost=3.0)
    assert program.solve().proven().objective == 6


def test_a_stop_cuts_a_program_in_whole_numbers_short_with_what_was_proved() -> None:
    program = market_split(rows=4, columns=30)
    with stopping.heeding(AskedAfter(looks=200)):
        solution = program.solve()
    assert solution.outcome is Outcome.STOPPED
    # Slack is never negative, and a split without any is not found so soon.
    assert 0 <= solution.bound <= solution.objective
    assert solution.gap > 0
    with pytest.raises(PlanningStopped):
        solution.proven()


def test_a_stop_cuts_a_linear_program_short_and_proves_nothing() -> None:
    with stopping.heeding(AskedAfter(looks=5)):
        solution = linear_program(300).solve()
    assert solution.outcome is Outcome.STOPPED
    assert (solution.bound, solution.gap) == (inf, inf)


def test_a_solve_does_not_begin_once_a_stop_was_asked_for() -> None:
    stop = AskedAfter(looks=0)
    with stopping.heeding(stop), pytest.raises(PlanningStopped):
        linear_program(300).solve()
    assert stop.looks == 1


def test_a_program_that_was_stopped_can_be_solved_to_its_end() -> None:
    program = linear_program(300)
    with stopping.heeding(AskedAfter(looks=5)):
        program.solve()
    assert program.solve().proven().objective == pytest.approx(
        linear_program(300).solve().proven().objective
    )


def test_a_stop_that_nobody_asks_for_changes_nothing() -> None:
    alone = linear_program(300).solve().proven()
    stop = AskedAfter(looks=10**9)
    with stopping.heeding(stop):
        heeding = linear_program(300).solve().proven()
    assert stop.looks > 5
    assert heeding.values.tobytes() == alone.values.tobytes()
    assert heeding.row_duals.tobytes() == alone.row_duals.tobytes()
