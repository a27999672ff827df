"""Programs that take long, and a signal that asks for a stop after so many looks at it."""

from random import Random

from daysworth.planners.solver import Program, ProgramBuilder


class AskedAfter:
    """A stop that is asked for when it was looked at so often before."""

    def __init__(self, looks: int) -> None:
        self._until = looks
        self.looks = 0

    def is_asked(self) -> bool:
        """Tell whether it has been looked at often enough."""
        self.looks += 1
        return self.looks > self._until


def market_split(*, rows: int, columns: int) -> Program:
    """Divide markets in half, with the least left over on either side.

    Such programs are made to be hard: with 4 rows and 30 columns, branching takes far longer than
    any test. Source: G. Cornuéjols, M. Dawande, A class of hard small 0-1 programs, 1998 (from
    memory).
    """
    rnd, builder = Random(7), ProgramBuilder()
    chosen = [builder.column(upper=1.0, is_whole=True) for _ in range(columns)]
    for _ in range(rows):
        sizes = [float(rnd.randrange(100)) for _ in chosen]
        over, under = builder.column(cost=1.0), builder.column(cost=1.0)
        half = float(sum(sizes) // 2)
        terms = [*zip(chosen, sizes, strict=True), (over, 1.0), (under, -1.0)]
        builder.row(terms, lower=half, upper=half)
    return builder.build(maximise=False)


def linear_program(size: int) -> Program:
    """Make a program without whole numbers that takes many steps to solve."""
    rnd, builder = Random(11), ProgramBuilder()
    columns = [builder.column(upper=10.0, cost=rnd.uniform(0.1, 1.0)) for _ in range(size)]
    for _ in range(size):
        terms = [(column, rnd.uniform(0.01, 1.0)) for column in rnd.sample(columns, 20)]
        builder.row(terms, upper=rnd.uniform(1.0, 10.0))
    return builder.build(maximise=True)
