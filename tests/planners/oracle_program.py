"""Plan coverage by planning's own program, in full, with SciPy: nothing merged, nothing left out.

    sum_c y_lc                      <= u_l           every lot
    sum_l e_l y_lc                   = E_c T_c       every class
    sum_{l: d_l <= k} e_l y_lc      <= E_c k         every class and whole day k below the horizon
    sum_{l extra} e_l y_lc          <= s E_c T_c     every class
    sum_l p_l y_lc                  >= P_c T_c       every class
    sum_lc w_l y_lc + sum_c D_c T_c <= W             unless water runs
    0 <= T_c <= horizon

A household draws on its own water first, and what it lacks from the shared. The rows on dates are
written for the days on which something ends, in a chain: on every other day they say less than on
the one before. Each kind of row can be left out, for questions about what it costs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import coo_array, csr_array

from tests.planners.oracle_store import Diner, Ground, ShelfLot

HAIRS: Final = (0.0, 1e-9, 3e-9, 1e-8, 3e-8)
"""How far below given days the floors may stand, relative to them, before a plan is found."""
_TIGHT: Final = {"primal_feasibility_tolerance": 1e-9, "dual_feasibility_tolerance": 1e-9}
_THOUSAND: Final = 1000.0
_PROTEIN_G: Final = 50.0


Water = tuple[float, dict[str, float]]
"""Litres: shared, and by the household that keeps them."""


@dataclass(frozen=True)
class OracleClass:
    """Members who are fed alike: needs a day summed up, and the positions of lots they may eat."""

    diners: tuple[Diner, ...]
    may_eat: frozenset[int]
    keeper: str | None

    @property
    def energy_kcal(self) -> float:
        """Give the kcal that they need a day."""
        return sum(diner.energy_kcal for diner in self.diners)

    @property
    def protein_g(self) -> float:
        """Give the grams of protein that they need a day."""
        return sum(diner.protein_g for diner in self.diners)

    @property
    def water_l(self) -> float:
        """Give the litres that they are due a day."""
        return sum(diner.water_l for diner in self.diners)


def classes_by_definition(ground: Ground, lots: Sequence[ShelfLot]) -> list[OracleClass]:
    """Put members together who have the same suitable lots and the same ratio, keepers apart."""
    found: dict[tuple[frozenset[int], float, str | None], list[Diner]] = {}
    for diner in ground.diners:
        home = str(diner.household.id)
        keeper = home if home in ground.keepers else None
        ratio = round(diner.protein_g / diner.energy_kcal, 12)
        found.setdefault((lots_for(ground, diner, lots=lots), ratio, keeper), []).append(diner)
    return [
        OracleClass(tuple(diners), suits, keeper) for (suits, _, keeper), diners in found.items()
    ]


def lots_for(ground: Ground, diner: Diner, *, lots: Sequence[ShelfLot]) -> frozenset[int]:
    """Give the positions of the lots that a diner may eat."""
    return frozenset(n for n, one in enumerate(lots) if ground.may_eat(one, diner))


@dataclass(frozen=True, kw_only=True)
class Rows:
    """Which kinds of rows the program has."""

    dates: bool = True
    extras: bool = True
    protein: bool = True
    water: bool = True


@dataclass(frozen=True)
class OraclePlan:
    """A best plan: its aim, the classes' days, and the units of each lot that each class eats."""

    aim: float
    days: tuple[float, ...]
    eaten: Mapping[tuple[int, int], float]


class WholeProgram:
    """The program of some lots and classes; each question is put to it as an aim and floors."""

    def __init__(
        self,
        ground: Ground,
        lots: Sequence[ShelfLot],
        *,
        classes: Sequence[OracleClass],
        rows: Rows | None = None,
        water: Water | None = None,
    ) -> None:
        self.ground, self.lots, self.classes = ground, lots, classes
        self._kinds, self._water = rows or Rows(), water or ground.water
        self.pairs = [
            (n, c)
            for n, one in enumerate(lots)
            if one.units > 0
            for c, group in enumerate(classes)
            if n in group.may_eat
        ]
        self._first_day = len(self.pairs)
        self._columns = self._first_day + len(classes)
        self._equal = _Lines()
        self._most = _Lines()
        self._build()

    @property
    def horizon(self) -> float:
        """Give the horizon in days."""
        return float(self.ground.scenario.horizon_days)

    def most(self, aims: Mapping[int, float], *, least: Sequence[float]) -> OraclePlan | None:
        """Maximise a sum of classes' days, each with its weight, above floors; None: no plan."""
        cost = np.zeros(self._columns)
        for c, weight in aims.items():
            cost[self._first_day + c] = -weight
        return self._solved(cost, least=least)

    def highest(self, aims: Mapping[int, float], *, least: Sequence[float]) -> OraclePlan | None:
        """Maximise as `most` does, the floors a hair lower where rounding asks for it."""
        for hair in HAIRS:
            found = self.most(aims, least=[max(0.0, d - hair * max(1.0, d)) for d in least])
            if found is not None:
                return found
        return None

    def most_eaten(
        self, weights: Mapping[int, float], *, days: Sequence[float], at_least: float | None = None
    ) -> OraclePlan | None:
        """Maximise lots' kcal eaten, each with its weight, every class having just its days.

        With `at_least`, the kcal eaten of all those lots together, in thousands, are not fewer.
        """
        cost = np.zeros(self._columns)
        eaten = [(column, n) for column, (n, _) in enumerate(self.pairs) if n in weights]
        for column, n in eaten:
            cost[column] = -weights[n]
        more = _Lines()
        if at_least is not None:
            more.add([(column, -1.0) for column, _ in eaten], -at_least)
        for hair in HAIRS:
            least = [max(0.0, d - hair * max(1.0, d)) for d in days]
            most = [d + hair * max(1.0, d) for d in days]
            found = self._solved(cost, least=least, most=most, more=more)
            if found is not None:
                return found
        return None

    def everyone(self) -> float:
        """Raise everyone's common days as far as they go: T*."""
        level = self._columns
        more = _Lines()
        for c in range(len(self.classes)):
            more.add([(level, 1.0), (self._first_day + c, -1.0)], 0.0)
        cost = np.zeros(self._columns + 1)
        cost[level] = -1.0
        found = self._solved(cost, least=[0.0] * len(self.classes), more=more)
        assert found is not None
        return found.aim

    def _solved(
        self,
        cost: NDArray[np.float64],
        *,
        least: Sequence[float],
        most: Sequence[float] | None = None,
        more: "_Lines | None" = None,
    ) -> OraclePlan | None:
        width = len(cost)
        bounds = np.zeros((width, 2))
        bounds[:, 1] = np.inf
        days = slice(self._first_day, self._first_day + len(self.classes))
        bounds[days, 0] = least
        bounds[days, 1] = self.horizon if most is None else most
        rows = self._most.joined(more) if more is not None else self._most
        upper, limits = rows.matrix(width)
        equal, targets = self._equal.matrix(width)
        found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
            cost,
            A_ub=upper,
            b_ub=limits,
            A_eq=equal,
            b_eq=targets,
            bounds=bounds,
            method="highs",
            options=_TIGHT,
        )
        if found.status != 0:
            return None
        eaten = {
            (n, c): float(found.x[column]) * _THOUSAND / self.lots[n].energy_kcal
            for column, (n, c) in enumerate(self.pairs)
            if found.x[column] > 0
        }
        return OraclePlan(-float(found.fun), tuple(map(float, found.x[days])), eaten)

    def _build(self) -> None:
        supply: dict[int, list[tuple[int, float]]] = {}
        by_class: list[list[int]] = [[] for _ in self.classes]
        for column, (n, c) in enumerate(self.pairs):
            supply.setdefault(n, []).append((column, 1.0))
            by_class[c].append(column)
        for n, terms in supply.items():
            self._most.add(terms, self.lots[n].total_kcal / _THOUSAND)
        for c, columns in enumerate(by_class):
            self._class_rows(c, columns)
        if self._kinds.water and not self.ground.scenario.running_water:
            self._water_rows()

    def _class_rows(self, c: int, columns: Sequence[int]) -> None:
        one, days = self.classes[c], self._first_day + c
        need = one.energy_kcal / _THOUSAND
        lots = {column: self.lots[self.pairs[column][0]] for column in columns}
        self._equal.add([*((column, 1.0) for column in columns), (days, -need)], 0.0)
        if self._kinds.dates:
            self._date_rows(lots, need=need)
        if self._kinds.extras:
            share = self.ground.snapshot.settings.extras_share
            extras = [(column, 1.0) for column, lot in lots.items() if lot.food.is_extra]
            self._most.add([*extras, (days, -need * share)], 0.0)
        if self._kinds.protein:
            protein = [
                (column, -lot.protein_g / lot.energy_kcal * _THOUSAND / _PROTEIN_G)
                for column, lot in lots.items()
            ]
            self._most.add([*protein, (days, one.protein_g / _PROTEIN_G)], 0.0)

    def _date_rows(self, lots: Mapping[int, ShelfLot], *, need: float) -> None:
        ending: dict[int, list[tuple[int, float]]] = {}
        for column, lot in lots.items():
            if lot.day is not None and lot.day < self.horizon:
                ending.setdefault(lot.day, []).append((column, 1.0))
        before: list[tuple[int, float]] = []
        for day in sorted(ending):
            until = self._column()
            self._equal.add([*ending[day], *before, (until, -1.0)], 0.0)
            self._most.add([(until, 1.0)], need * day)
            before = [(until, 1.0)]

    def _water_rows(self) -> None:
        shared, own = self._water
        drawn: dict[str | None, list[tuple[int, float]]] = {None: []}
        keepers = [one.keeper if one.keeper in own else None for one in self.classes]
        for c, one in enumerate(self.classes):
            drawn.setdefault(keepers[c], []).append((self._first_day + c, one.water_l))
        for column, (n, c) in enumerate(self.pairs):
            lot = self.lots[n]
            if lot.water_l > 0:
                litres = lot.water_l / lot.energy_kcal * _THOUSAND
                drawn[keepers[c]].append((column, litres))
        for keeper, terms in drawn.items():
            if keeper is not None:
                from_shared = self._column()
                self._most.add([*terms, (from_shared, -1.0)], own[keeper])
                drawn[None].append((from_shared, 1.0))
        self._most.add(drawn[None], shared)

    def _column(self) -> int:
        self._columns += 1
        return self._columns - 1


class _Lines:
    """Rows of a matrix with a right-hand side each, as they come."""

    def __init__(self) -> None:
        self._entries: list[tuple[int, int, float]] = []
        self._limits: list[float] = []

    def add(self, terms: Iterable[tuple[int, float]], limit: float) -> None:
        row = len(self._limits)
        self._entries.extend((row, column, value) for column, value in terms)
        self._limits.append(limit)

    def joined(self, more: "_Lines") -> "_Lines":
        both, shift = _Lines(), len(self._limits)
        both._entries = self._entries + [(row + shift, c, v) for row, c, v in more._entries]
        both._limits = self._limits + more._limits
        return both

    def matrix(self, width: int) -> tuple[csr_array, NDArray[np.float64]]:
        rows, columns, values = (
            np.array([entry[part] for entry in self._entries]) for part in range(3)
        )
        shape = (len(self._limits), width)
        entries = (values, (rows.astype(np.int64), columns.astype(np.int64)))
        return coo_array(entries, shape=shape).tocsr(), np.array(self._limits)
