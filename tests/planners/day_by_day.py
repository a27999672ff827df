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

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array

from daysworth.domain import suitability
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, Preparation
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import Offer, packed_since_on
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.scenario import Scenario, StockScope


@dataclass(frozen=True)
class Diner:
    """One member with a need: kcal and grams of protein a day, litres of stored water a day."""

    household: Household
    member: Member
    energy_kcal: float
    protein_g: float
    water_l: float


@dataclass(frozen=True)
class UsableLot:
    """One lot that the scenario can use: units, figures of a unit, last day on which it is good."""

    lot: Lot
    food: Food
    units: float
    energy_kcal: float
    protein_g: float
    water_l: float
    day: int


class DayByDay:
    """The day-by-day program of one store, date and scenario."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, scenario: Scenario, unknown_suits: bool = False
    ) -> None:
        self.diners = _diners(snapshot, as_of, scenario)
        self.usable, self._water = _stock(snapshot, as_of, scenario)
        self._scenario = scenario
        self._share = snapshot.settings.extras_share
        accepted = {Verdict.SUITABLE} | ({Verdict.UNKNOWN} if unknown_suits else set())
        self._columns = [
            (n, m, t)
            for n, usable in enumerate(self.usable)
            for m, diner in enumerate(self.diners)
            if _may_eat(usable, diner, as_of, accepted)
            for t in range(1, min(usable.day, scenario.horizon_days) + 1)
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
        rows, limits = list(self._rows), list(self._limits)
        for m in aims:
            rows.append({level: 1.0, self._days + m: -1.0})
            limits.append(0.0)
        entries = [(r, c, v) for r, row in enumerate(rows) for c, v in row.items()]
        matrix = coo_array(
            ([v for *_, v in entries], ([r for r, *_ in entries], [c for _, c, _ in entries])),
            shape=(len(rows), level + 1),
        ).tocsr()
        cost = np.zeros(level + 1)
        cost[level] = -1.0
        horizon = float(self._scenario.horizon_days)
        bounds = [(0.0, None)] * self._days + [(low, horizon) for low in least] + [(0.0, horizon)]
        found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
            cost,
            A_ub=matrix,
            b_ub=np.array(limits),
            bounds=bounds,
            method="highs",
            options={"primal_feasibility_tolerance": 1e-9, "dual_feasibility_tolerance": 1e-9},
        )
        return float(found.x[level]) if found.status == 0 else None

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

    def _usable(self, column: int) -> UsableLot:
        return self.usable[self._columns[column][0]]

    def _at_most(self, row: dict[int, float], limit: float) -> None:
        self._rows.append(row)
        self._limits.append(limit)


def _diners(snapshot: Snapshot, as_of: date, scenario: Scenario) -> list[Diner]:
    found = []
    settings = snapshot.settings
    for home in snapshot.households:
        if home.id in scenario.households_away:
            continue
        needs = [
            daily_need(
                member,
                as_of=as_of,
                basis=scenario.basis or settings.needs_basis,
                ration=scenario.ration,
            )
            for member in home.members
        ]
        water_l = (
            len(home.members) * settings.water_l_per_person_day
            + home.pets * settings.water_l_per_pet_day
        )
        fed = sum(need.energy_kcal > 0 for need in needs)
        found += [
            Diner(home, member, need.energy_kcal, need.protein_g, water_l / fed)
            for member, need in zip(home.members, needs, strict=True)
            if need.energy_kcal > 0
        ]
    return found


def _stock(
    snapshot: Snapshot, as_of: date, scenario: Scenario
) -> tuple[list[UsableLot], tuple[float, dict[str, float]]]:
    foods = {food.id: food for food in snapshot.foods}
    usable: list[UsableLot] = []
    shared, own = 0.0, dict[str, float]()
    for lot in snapshot.lots:
        food = foods[lot.food]
        last = lot.last_good_day(food, grace_days=snapshot.settings.grace_days)
        if (
            lot.condition is not Condition.SOUND
            or last is None
            or last < as_of
            or lot.place in scenario.places_lost
            or (scenario.stock is StockScope.SHARED and not lot.is_shared)
            or (food.heating is Preparation.NEEDED and not scenario.heating)
        ):
            continue
        units = float(lot.units - lot.units_promised)
        net_g = lot.net_mass_g or food.net_mass_g
        if food.is_water:
            if lot.is_shared:
                shared += units * net_g / 1000
            else:
                own[str(lot.owner)] = own.get(str(lot.owner), 0.0) + units * net_g / 1000
            continue
        eaten_g = net_g * (food.drained_fraction or 1.0)
        draws = food.added_water is Preparation.NEEDED
        usable.append(
            UsableLot(
                lot,
                food,
                units,
                food.energy_kcal_100g * eaten_g / 100,
                food.protein_g_100g * eaten_g / 100,
                food.added_water_ml_100g * net_g / 100_000 if draws else 0.0,
                (last - as_of).days + 1,
            )
        )
    return usable, (shared, own)


def _may_eat(usable: UsableLot, diner: Diner, as_of: date, accepted: set[Verdict]) -> bool:
    lot = usable.lot
    if not lot.is_shared and lot.owner != diner.household.id:
        return False
    eater = eater_of(diner.member, household=diner.household, as_of=as_of)
    is_handled_here = lot.opened_on is not None or lot.repacked_on is not None
    offer = Offer(usable.food, lot.readings, is_handled_here, packed_since_on(lot))
    return suitability.judge(offer, eater).verdict in accepted
