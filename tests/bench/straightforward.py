"""Find the fair days by the straightforward program: what the planner's way is measured beside.

    python -m tests.bench.straightforward URL STORE AS_OF STOCK

One column for each lot and class, classes by definition (the same suitable lots, the same ratio of
protein to energy), a row for each class and day on which something ends, and for each level the
whole program again. Who suits what, and who needs what, is found as the planner finds it.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from time import perf_counter
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import coo_array

from daysworth.domain.identifiers import HouseholdId, StoreId
from daysworth.domain.offers import Offer
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge
from daysworth.planners.classes import EatingClass, Suits, classes_of, eating_class, mouths_of
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import Stack, dated_lots, stacks_of
from daysworth.planners.water import stored_water
from tests.bench.coverage import loaded

PRICED: Final = 1e-7
Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_TIGHT: Final = {"primal_feasibility_tolerance": 1e-9, "dual_feasibility_tolerance": 1e-9}
_THOUSAND: Final = 1000.0


@dataclass(frozen=True)
class StraightDays:
    """The days of each class, ascending, and the size of the program."""

    days: tuple[float, ...]
    columns: int
    rows: int


def straightforward_days(snapshot: Snapshot, as_of: date, *, scenario: Scenario) -> StraightDays:
    """Find the fair days of every class, level by level."""
    dated = dated_lots(snapshot, as_of)
    offers: dict[Offer, Offer] = {}
    lots = [
        replace(stack, offer=offers.setdefault(stack.offer, stack.offer))
        for item in dated
        for stack in stacks_of([item], scenario=scenario, as_of=as_of)
    ]
    water = stored_water(dated, scenario)
    keepers = frozenset(lot.kept_by for lot in lots if lot.kept_by) | frozenset(water.kept_l)
    mouths = mouths_of(snapshot, scenario=scenario, as_of=as_of)
    pooled = classes_of(mouths, suits=Suits(lots, judge=judge), keepers=keepers)
    program = _Program(lots, [part for one in pooled for part in _by_ratio(one)])
    program.balance(snapshot.settings.extras_share)
    program.hold_dates(scenario.horizon_days)
    if not scenario.running_water:
        program.hold_water(water.shared_l, kept_l=water.kept_l)
    return program.fair(float(scenario.horizon_days))


def _by_ratio(one: EatingClass) -> list[EatingClass]:
    mouths = sorted(one.mouths, key=lambda mouth: mouth.ratio)
    return [
        eating_class(alike, shared=one.shared, own=one.own, keeper=one.keeper)
        for _, alike in groupby(mouths, key=lambda mouth: round(mouth.ratio, 12))
    ]


class _Program:
    """The columns and rows, put down as arrays; energy is counted in thousands of kcal."""

    def __init__(self, lots: Sequence[Stack], classes: Sequence[EatingClass]) -> None:
        self._classes = classes
        eaten = [np.array(sorted(one.suits), dtype=np.int64) for one in classes]
        self._lot: Indices = np.concatenate(eaten)
        self._eater: Indices = np.repeat(np.arange(len(classes)), [len(one) for one in eaten])
        self._first_day = len(self._lot)
        self._width = self._first_day + len(classes)
        self._energy = np.array([lot.energy_kcal for lot in lots]) / _THOUSAND
        self._day = np.array([lot.day for lot in lots])
        self._is_extra = np.array([lot.offer.food.is_extra for lot in lots])
        self._protein = np.array([lot.protein_g for lot in lots]) / self._energy
        self._litres = np.array([lot.water_l for lot in lots]) / self._energy
        self._need = np.array([one.energy_kcal for one in classes]) / _THOUSAND
        self._equal, self._most = _Rows(), _Rows()

    def balance(self, extras_share: float) -> None:
        """Add the rows of supply, energy, extras and protein."""
        columns = np.arange(self._first_day)
        days = self._first_day + np.arange(len(self._classes))
        each = np.arange(len(self._classes))
        ones = np.ones(self._first_day)
        used = np.unique(self._lot)
        place = np.searchsorted(used, self._lot)
        self._most.add([(place, columns, ones)], self._energy[used])
        zero = np.zeros(len(self._classes))
        self._equal.add([(self._eater, columns, ones), (each, days, -self._need)], zero)
        extra = self._is_extra[self._lot].astype(float)
        share = -self._need * extras_share
        self._most.add([(self._eater, columns, extra), (each, days, share)], zero)
        protein = np.array([one.protein_g for one in self._classes])
        eaten = -self._protein[self._lot]
        self._most.add([(self._eater, columns, eaten), (each, days, protein)], zero)

    def hold_dates(self, horizon: int) -> None:
        """Add what each class has eaten by each day on which something ends, in a chain."""
        for c, need in enumerate(self._need):
            columns = np.flatnonzero(self._eater == c)
            day = self._day[self._lot[columns]]
            columns, day = columns[day < horizon], day[day < horizon]
            ends, place = np.unique(day, return_inverse=True)
            until = self._width + np.arange(len(ends))
            self._width += len(ends)
            row = np.arange(len(ends))
            chain = [
                (place, columns, np.ones(len(columns))),
                (row, until, -np.ones(len(ends))),
                (row[1:], until[:-1], np.ones(max(0, len(ends) - 1))),
            ]
            self._equal.add(chain, np.zeros(len(ends)))
            self._most.add([(row, until, np.ones(len(ends)))], need * ends)

    def hold_water(self, shared_l: float, *, kept_l: Mapping[HouseholdId, float]) -> None:
        """Add the row of the shared water, and one for each household that keeps its own."""
        columns, days = np.arange(self._first_day), self._first_day + np.arange(len(self._classes))
        wells = list(kept_l)
        well_of = np.array(
            [
                wells.index(one.keeper) if one.keeper is not None and one.keeper in kept_l else -1
                for one in self._classes
            ],
            dtype=np.int64,
        )
        row_of = np.where(well_of < 0, len(wells), well_of)
        need_l = np.array([one.water_l for one in self._classes])
        from_shared = self._width + np.arange(len(wells))
        self._width += len(wells)
        each = np.arange(len(wells))
        terms = [
            (row_of[self._eater], columns, self._litres[self._lot]),
            (row_of, days, need_l),
            (each, from_shared, -np.ones(len(wells))),
            (np.full(len(wells), len(wells)), from_shared, np.ones(len(wells))),
        ]
        self._most.add(terms, np.array([*kept_l.values(), shared_l]))

    def fair(self, horizon: float) -> StraightDays:
        """Raise the smallest as far as it goes, fix what a dual holds, raise the rest."""
        count, width = len(self._classes), self._width + 1
        equal = self._equal.matrix(width)
        days: dict[int, float] = {}
        while len(days) < count:
            active = np.array([c for c in range(count) if c not in days])
            most = self._most.copied()
            above = np.arange(len(active))
            level = np.full(len(active), width - 1)
            ones = np.ones(len(active))
            terms = [(above, level, ones), (above, self._first_day + active, -ones)]
            most.add(terms, np.zeros(len(active)))
            found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
                np.append(np.zeros(width - 1), -1.0),
                A_ub=most.matrix(width),
                b_ub=most.limits,
                A_eq=equal,
                b_eq=self._equal.limits,
                bounds=self._bounds(days, horizon=horizon, width=width),
                method="highs",
                options=_TIGHT,
            )
            if found.status != 0:
                raise RuntimeError(found.message)
            at = float(found.x[-1])
            prices = np.abs(found.ineqlin.marginals[-len(active) :])
            stuck = active if at >= horizon * (1 - 1e-9) else active[prices > PRICED]
            if not len(stuck):
                raise RuntimeError("no class could be shown to stand still")
            days.update(dict.fromkeys(map(int, stuck), at))
        return StraightDays(
            tuple(sorted(days.values())), self._width, self._equal.count + self._most.count
        )

    def _bounds(self, days: dict[int, float], *, horizon: float, width: int) -> Floats:
        bounds = np.zeros((width, 2))
        bounds[:, 1] = np.inf
        bounds[self._first_day : self._first_day + len(self._classes), 1] = horizon
        bounds[-1, 1] = horizon
        for c, found in days.items():
            # A hair below, so that rounding cannot make the next level infeasible.
            bounds[self._first_day + c] = max(0.0, found - 1e-9 * max(1.0, found)), found
        return bounds


Block = tuple[Indices, Indices, Floats]


class _Rows:
    """Rows of a sparse matrix, added in blocks."""

    def __init__(self) -> None:
        self.count = 0
        self._blocks: list[Block] = []
        self._limits: list[Floats] = []

    @property
    def limits(self) -> Floats:
        return np.concatenate(self._limits)

    def add(self, blocks: Sequence[Block], limits: Floats) -> None:
        self._blocks.extend((row + self.count, column, value) for row, column, value in blocks)
        self._limits.append(limits)
        self.count += len(limits)

    def copied(self) -> "_Rows":
        made = _Rows()
        made.count = self.count
        made._blocks, made._limits = [*self._blocks], [*self._limits]
        return made

    def matrix(self, width: int) -> object:
        rows, columns, values = (np.concatenate(part) for part in zip(*self._blocks, strict=True))
        return coo_array((values, (rows, columns)), shape=(self.count, width)).tocsr()


def main() -> None:
    """Find the days of a store in a database, and print them with the seconds as JSON."""
    url, store, as_of, stock = sys.argv[1:]
    snapshot = loaded(url, StoreId(store))
    scenario = Scenario(stock=StockScope(stock))
    began = perf_counter()
    found = straightforward_days(snapshot, date.fromisoformat(as_of), scenario=scenario)
    taken_s = perf_counter() - began
    print(json.dumps([taken_s, found.days[0], found.columns, found.rows]))


if __name__ == "__main__":
    main()
