"""Plan coverage day by day, sharing no code with the planner but the domain's own rules.

The planner's program says of dates only that, for every whole day `k`, what a class eats of food
good to day `k` or before fits into `k` days of eating. Here every unit of every lot is eaten by one
member on one day, no later than the lot's last good day, and no member eats more than a day's need
on a day:

    y_lmt >= 0                  units of lot l eaten by member m on day t; only t <= d_l, only if ok
    sum_mt y_lmt <= u_l                                          each lot
    sum_l e_l y_lmt <= E_m                                       each member, each day
    sum_lt e_l y_lmt = E_m T_m                                   each member
    sum_lt (extras) e_l y_lmt <= s E_m T_m                       each member
    sum_lt p_l y_lmt >= P_m T_m                                  each member
    sum_lmt w_l y_lmt + sum_m D_m T_m <= W                       with households' own water apart

The two give the same days. What is eaten by day k is eaten in k days, so the rows on dates follow
from this program. The other way, all food is on the shelf on day 1, so eating the earliest date
first, a day's need a day, meets every date whenever the rows hold; and eating may always be moved
to an earlier day, so being fed for T days is being fed on the first T.

No members are pooled, whatever their needs, and nothing is merged. A class's members have the same
days in any best plan, so the members' days are the classes' days.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cached_property

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array, csr_array, vstack

from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from tests.planners.oracle_store import Ground, ShelfLot


class DayByDay:
    """The day-by-day program of one store, date and scenario."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, scenario: Scenario, unknown_suits: bool = False
    ) -> None:
        ground = Ground(snapshot, as_of, scenario=scenario, unknown_suits=unknown_suits)
        self.diners, self.usable, self._water = ground.diners, ground.usable, ground.water
        self._scenario = scenario
        self._share = snapshot.settings.extras_share
        self._columns = [
            (n, m, t)
            for n, usable in enumerate(self.usable)
            for m, diner in enumerate(self.diners)
            if ground.may_eat(usable, diner)
            for t in range(1, min(usable.day or 0, scenario.horizon_days) + 1)
        ]
        self._rows: list[dict[int, float]] = []
        self._limits: list[float] = []
        self._days = len(self._columns)
        self._build()

    def most(self, aims: Sequence[int], *, least: Sequence[float]) -> float | None:
        """Raise the smallest of some diners' days as far as it goes; None: there is no such plan.

        `least` holds the fewest days that each diner must get.
        """
        level = self._days + len(self.diners)
        below = [{level: 1.0, self._days + m: -1.0} for m in aims]
        return self._highest({level: 1.0}, least=least, rows=below)

    def most_in_sum(self, aims: Sequence[int], *, least: Sequence[float]) -> float | None:
        """Raise the sum of some diners' days as far as it goes; None: there is no such plan.

        Where `least` holds the days of each and the sum is theirs, none of them can be raised.
        """
        return self._highest({self._days + m: 1.0 for m in aims}, least=least, rows=[])

    def _highest(
        self,
        aim: Mapping[int, float],
        *,
        least: Sequence[float],
        rows: Sequence[Mapping[int, float]],
    ) -> float | None:
        """Raise an aim, with rows of its own that are at most nothing."""
        level = self._days + len(self.diners)
        cost = np.zeros(level + 1)
        for column, weight in aim.items():
            cost[column] = -weight
        horizon = float(self._scenario.horizon_days)
        bounds = [(0.0, None)] * self._days + [(low, horizon) for low in least] + [(0.0, horizon)]
        found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
            cost,
            A_ub=vstack([self._matrix, self._sparse(rows)], format="csr") if rows else self._matrix,
            b_ub=np.array([*self._limits, *(0.0 for _ in rows)]),
            bounds=bounds,
            method="highs",
            options={"primal_feasibility_tolerance": 1e-9, "dual_feasibility_tolerance": 1e-9},
        )
        return -float(found.fun) if found.status == 0 else None

    @cached_property
    def _matrix(self) -> csr_array:
        return self._sparse(self._rows)

    def _sparse(self, rows: Sequence[Mapping[int, float]]) -> csr_array:
        entries = [(r, c, v) for r, row in enumerate(rows) for c, v in row.items()]
        return coo_array(
            ([v for *_, v in entries], ([r for r, *_ in entries], [c for _, c, _ in entries])),
            shape=(len(rows), self._days + len(self.diners) + 1),
        ).tocsr()

    def _build(self) -> None:
        supply: dict[int, dict[int, float]] = {}
        on_day: dict[tuple[int, int], dict[int, float]] = {}
        eaten: list[dict[int, float]] = [{} for _ in self.diners]
        for column, (n, m, t) in enumerate(self._columns):
            supply.setdefault(n, {})[column] = 1.0
            on_day.setdefault((m, t), {})[column] = self.usable[n].energy_kcal / 1000
            eaten[m][column] = self.usable[n].energy_kcal / 1000
        for n, row in supply.items():
            self._at_most(row, self.usable[n].units)
        for (m, _), row in on_day.items():
            self._at_most(row, self.diners[m].energy_kcal / 1000)
        for m, row in enumerate(eaten):
            self._member(m, row)
        if not self._scenario.running_water:
            self._water_rows()

    def _member(self, m: int, energy: dict[int, float]) -> None:
        diner, days = self.diners[m], self._days + m
        need = diner.energy_kcal / 1000
        self._at_most({**energy, days: -need}, 0.0)
        self._at_most({**{c: -v for c, v in energy.items()}, days: need}, 0.0)
        extras = {c: v for c, v in energy.items() if self._usable(c).food.is_extra}
        self._at_most({**extras, days: -need * self._share}, 0.0)
        protein = {c: -self._usable(c).protein_g / 10 for c in energy}
        self._at_most({**protein, days: diner.protein_g / 10}, 0.0)

    def _water_rows(self) -> None:
        shared, own = self._water
        drawn: dict[str, dict[int, float]] = {}
        for m, diner in enumerate(self.diners):
            drawn.setdefault(diner.household.id, {})[self._days + m] = diner.water_l
        for column, (n, m, _) in enumerate(self._columns):
            if self.usable[n].water_l > 0:
                drawn[self.diners[m].household.id][column] = self.usable[n].water_l
        # A household draws on its own water first; only what it lacks comes from the shared. For
        # every set of homes, what they draw fits into the shared water and their own.
        homes = list(drawn)
        for chosen in range(1, 2 ** len(homes)):
            some = [home for h, home in enumerate(homes) if chosen >> h & 1]
            row: dict[int, float] = {}
            for home in some:
                row.update(drawn[home])
            self._at_most(row, shared + sum(own.get(home, 0.0) for home in some))

    def _usable(self, column: int) -> ShelfLot:
        return self.usable[self._columns[column][0]]

    def _at_most(self, row: dict[int, float], limit: float) -> None:
        self._rows.append(row)
        self._limits.append(limit)
