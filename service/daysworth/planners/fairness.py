"""Find the fair days of every class in one program: the lexicographic max-min of their days.

First the smallest is raised as far as it goes: maximise `t` with `T_c >= t` for every class not
yet fixed. A class is fixed at `t` where its row has a dual (then no optimum can raise it) or where
it stands at its own proved bound, never because it is merely equal in one solution. The rest are
raised next. Each round fixes at least one class, so it ends.

Where many are left that no longer stand in each other's way (each lives on what is its own), one
more program raises them all: the sum of their days is maximised, and where its duals fall apart
into parts that concern one of them each, every one of them is shown to be at its own highest.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.bounds import most_days
from daysworth.planners.program import lay_out
from daysworth.planners.question import most_days_of_water
from daysworth.planners.settling import lacking_rows, settled
from daysworth.planners.solver import Floats, Program
from daysworth.planners.supply import Refinement, Supply

_DUAL: Final = 1e-7
SLACK: Final = 1e-9
SAME: Final = 1e-7
"""Days nearer to one another than this, relative to their size, are one level."""
_ROUNDS_BEFORE_ALL: Final = (1, 2, 4, 8, 16, 32, 64, 128, 256)
"""After how many rounds it is tried whether the rest stand in each other's way no more."""


@dataclass(frozen=True, slots=True)
class Raised:
    """Days for each class in the classes' order, and the values of a plan that reaches them.

    `held` are those fixed at the fewest. Where `water_binds` is false, no amount of shared water
    would raise the fewest.
    """

    days: tuple[float, ...]
    held: frozenset[int]
    values: Floats
    water_binds: bool


class FairPlanner:
    """Raise the classes of one program, level by level.

    `most` bounds the days of every class; None: each by what it could have. Bounds by what is on
    the shelf would hide from the prices what is worth how much on it.
    """

    def __init__(
        self, supply: Supply, refinement: Refinement, *, most: Sequence[float] | None = None
    ) -> None:
        self._supply = supply
        self._most = most_days(supply) if most is None else tuple(most)
        builder, self.layout = lay_out(supply, refinement, most=self._most)
        self._lacking = lacking_rows(
            builder, self.layout, ratios=[one.highest_ratio for one in supply.classes]
        )
        self._level = builder.column(upper=max(self._most), cost=1.0)
        self._rows = [
            builder.row([(column, 1.0), (self._level, -1.0)], lower=0.0)
            for column in self.layout.days
        ]
        self._program: Program = builder.build(maximise=True)
        self._water_binds: bool | None = None
        self.ceiling: float | None = None
        """The fewest days cannot be raised above this; None: it is not known yet."""
        self.row_duals: Floats | None = None
        """The duals of the rows when the fewest days were raised; None: they were not yet."""

    def everyone(self) -> Raised:
        """Raise the smallest alone, so that every class gets the same days, `T*`."""
        everyone = range(len(self._supply.classes))
        level, held, values = self._raise(everyone)
        self._fix(everyone, days=level)
        return Raised((level,) * len(everyone), held, values, bool(self._water_binds))

    def fair(self) -> Raised:
        """Raise the smallest, then the next, and so on to the last."""
        active = set(range(len(self._supply.classes)))
        days: dict[int, float] = {}
        held: frozenset[int] = frozenset()
        least = None
        rounds = 0
        while active:
            level, fixed, values = self._raise(sorted(active))
            least = level if least is None else least
            if level - least <= SAME * max(1.0, least):
                held |= fixed
            self._fix(fixed, days=level)
            days.update({c: min(level, self._most[c]) for c in fixed})
            active -= fixed
            rounds += 1
            if len(active) > 1 and rounds in _ROUNDS_BEFORE_ALL:
                found = self._raise_all(active, least=level)
                if found is not None:
                    days.update({c: float(found[self.layout.days[c]]) for c in active})
                    held |= {c for c in active if days[c] - least <= SAME * max(1.0, least)}
                    for c in active:
                        self._fix([c], days=days[c])
                    values, active = found, set()
        ordered = tuple(max(0.0, days[c]) for c in sorted(days))
        return Raised(ordered, held, values, bool(self._water_binds))

    def _raise(self, active: Sequence[int]) -> tuple[float, frozenset[int], Floats]:
        solution = self._program.solve().proven()
        level = max(0.0, float(solution.values[self._level]))
        self.ceiling = level if self.ceiling is None else self.ceiling
        self.row_duals = solution.row_duals if self.row_duals is None else self.row_duals
        if self._water_binds is None:
            self._water_binds = self._is_priced(solution.row_duals, level=level)
        fixed = frozenset(
            c
            for c in active
            if abs(solution.row_duals[self._rows[c]]) > _DUAL
            or self._most[c] <= level + SLACK * max(1.0, level)
        )
        if not fixed:
            raise SolverTrouble("no class could be shown to stand still at its level")
        return level, fixed, solution.values

    def _raise_all(self, active: Iterable[int], *, least: float) -> Floats | None:
        """Raise all that are left at once; None where they may stand in each other's way."""
        columns = {self.layout.days[c] for c in active}
        self._program.price_column(self._level, cost=0.0)
        self._program.bound_column(self._level, lower=max(0.0, least - SLACK), upper=least)
        for column in columns:
            self._program.price_column(column, cost=1.0)
        solution = self._program.solve().proven()
        is_apart = self._program.is_apart(columns, duals=solution.row_duals)
        if not is_apart:
            for column in columns:
                self._program.price_column(column, cost=0.0)
            self._program.price_column(self._level, cost=1.0)
            self._program.bound_column(self._level, lower=0.0, upper=max(self._most))
        return solution.values if is_apart else None

    def _is_priced(self, duals: Floats, *, level: float) -> bool:
        """Tell whether more shared water might raise the level: it is scarce in row or bound."""
        row = self.layout.drink_row
        if row is None:
            return False
        question = self._supply.question
        thirst = min(most_days_of_water(question, one) for one in self._supply.classes)
        return bool(duals[row] != 0) or thirst <= level + SAME * max(1.0, level)

    def _fix(self, classes: Iterable[int], *, days: float) -> None:
        for c in classes:
            # A hair below, so that rounding cannot make the next round infeasible.
            self._program.bound_column(
                self.layout.days[c], lower=max(0.0, days - SLACK * max(1.0, days)), upper=days
            )
            self._program.bound_row(self._rows[c])

    def settled(self) -> Floats:
        """Solve again with every class fixed, for a plan that may break less."""
        return settled(
            self._program,
            self.layout,
            lacking=self._lacking,
            unpriced=(self._level, *self.layout.days),
        )
