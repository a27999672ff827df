"""Raise some classes as far as they go while all others have the days they have."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.bounds import most_days
from daysworth.planners.fairness import SLACK, Raised
from daysworth.planners.program import PROTEIN_SCALE_G, lay_out
from daysworth.planners.settling import lacking_rows, settled
from daysworth.planners.solver import Floats, Outcome, Solution
from daysworth.planners.supply import Refinement, Supply

_HAIRS: Final = (3e-8, 3e-7, 3e-6)
"""How far below their days classes may fall, for those days were proved to a hair themselves."""

_EVEN_WEIGHT: Final = 10.0
"""What a day more for those with the fewest weighs, beside food eaten by its date."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What more food would add to an aim, at most: from the prices of a proved program's rows.

    The aim is concave in what is on the shelf, so a price bounds from above what more would add.
    Prices are in days x aim to a mean person-day of energy, and to a gram of protein. Where dates
    or water have no price, the aim is no higher without them.
    """

    a_helping: tuple[float, ...]
    extras: tuple[float, ...]
    a_gram: tuple[float, ...]
    are_dates_priced: bool
    is_water_priced: bool
    mean_kcal: float

    def at_most(self, *, is_extra: bool, protein_g_kcal: float, eaters: Iterable[int]) -> float:
        """Bound what one mean person-day more of such food adds to the aim.

        `eaters` are positions of classes. Its dates and the water it needs are taken to bind
        nowhere, which makes the bound no smaller.
        """
        return max(
            (
                self.a_helping[c]
                + (self.extras[c] if is_extra else 0.0)
                + self.a_gram[c] * protein_g_kcal * self.mean_kcal
                for c in eaters
            ),
            default=0.0,
        )


class FurthestPlanner:
    """Maximise the sum of `aims[c]` x days of class `c`, every class having its `least` days."""

    def __init__(
        self,
        supply: Supply,
        refinement: Refinement,
        *,
        aims: Mapping[int, float],
        least: Sequence[float],
        is_for_prices: bool,
    ) -> None:
        self._supply, self._least = supply, least
        # Bounds from what is on the shelf would hide from the prices what more on it is worth.
        horizon = float(supply.question.horizon_days)
        self._most = tuple(
            horizon if is_for_prices and aims.get(c, 0.0) > 0 else bound
            for c, bound in enumerate(most_days(supply))
        )
        builder, self.layout = lay_out(supply, refinement, most=self._most)
        self._lacking = lacking_rows(
            builder,
            self.layout,
            ratios=[one.protein_g / one.energy_kcal for one in supply.classes],
        )
        self._aim_row = builder.row([(self.layout.days[c], aim) for c, aim in aims.items()])
        self._even = builder.column()
        self._even_rows = [
            builder.row([(self.layout.days[c], 1.0), (self._even, -1.0)]) for c in aims
        ]
        self.columns = builder.columns
        """How many columns the program has, by which the work it makes is reckoned."""
        self._program = builder.build(maximise=True)
        for c, aim in aims.items():
            self._program.price_column(self.layout.days[c], cost=aim)
        self._solution: Solution | None = None

    def furthest(self) -> Raised:
        """Raise them. Raises PlanningFailed where not every class can have its least days."""
        for hair in _HAIRS:
            for column, days, most in zip(self.layout.days, self._least, self._most, strict=True):
                floor = max(0.0, min(days, most) - hair * max(1.0, days))
                self._program.bound_column(column, lower=floor, upper=most)
            found = self._program.solve()
            if found.outcome is not Outcome.INFEASIBLE:
                self._solution = found.proven()
                return self._read(found.values)
        raise SolverTrouble("not every class can have the days that it is to keep")

    def settled(self) -> Raised:
        """Solve again with the aim held where it is, for a plan that may break less.

        Who eats for more days than others has less of the early dates: days are made even.
        """
        assert self._solution is not None
        reached = self._solution.objective
        self._program.bound_row(self._aim_row, lower=reached - SLACK * max(1.0, reached))
        for row in self._even_rows:
            self._program.bound_row(row, lower=0.0)
        self._program.price_column(self._even, cost=_EVEN_WEIGHT)
        values = settled(
            self._program, self.layout, lacking=self._lacking, unpriced=self.layout.days
        )
        return self._read(values)

    def _read(self, values: Floats) -> Raised:
        days = tuple(max(0.0, float(values[column])) for column in self.layout.days)
        return Raised(days, frozenset(), values, water_binds=False)

    def worth(self) -> Worth:
        """Read the prices of the program solved last."""
        assert self._solution is not None
        duals = self._solution.row_duals
        rows = self.layout.rows
        drink = () if self.layout.drink_row is None else (self.layout.drink_row,)
        return Worth(
            a_helping=tuple(-float(duals[one.fed]) for one in rows),
            extras=tuple(_priced(duals, one.extras) for one in rows),
            a_gram=tuple(_priced(duals, one.dense) / PROTEIN_SCALE_G for one in rows),
            are_dates_priced=_any_priced(duals, self.layout.date_rows),
            is_water_priced=_any_priced(duals, (*self.layout.drawing_rows, *drink)),
            mean_kcal=self._supply.mean_kcal,
        )


def _any_priced(duals: Floats, rows: Iterable[int]) -> bool:
    return any(duals[row] != 0 for row in rows)


def _priced(duals: Floats, row: int | None) -> float:
    return 0.0 if row is None else -float(duals[row])
