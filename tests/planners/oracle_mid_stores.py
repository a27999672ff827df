"""Make stores of some dozens of households in which dates, extras, protein and water all bind.

A synthetic store is thinned out by a seed: what is dense in protein becomes scarce, what is sweet
or fat plentiful, many lots get a date within the horizon, many labels are left unread, and the
stored water is cut.
"""

import random
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

from daysworth.demo.synthetic import Dates, StoreSize, synthetic_store
from daysworth.domain.foods import Food
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope

_DENSE_G_100KCAL: Final = 3.5


@dataclass(frozen=True, kw_only=True)
class MidSize:
    """How large a store is, and the seed of what is scarce in it."""

    seed: int
    households: int = 15
    lots: int = 200
    own_share: float = 0.0


def mid_store(size: MidSize) -> tuple[Snapshot, Scenario]:
    """Make the store and the scenario of a size."""
    rng = random.Random(size.seed)
    made = synthetic_store(
        StoreSize(
            households=size.households,
            lots=size.lots,
            seed=size.seed,
            dates=rng.choice((Dates.TIGHT, Dates.TIGHT, Dates.SLACK)),
            own_share=size.own_share,
        )
    )
    foods = {food.id: food for food in made.foods}
    scarce = _Scarce(rng, made)
    snapshot = replace(
        made,
        settings=replace(made.settings, extras_share=rng.choice((0.15, 0.15, 0.05, 0.3, 1.0))),
        lots=tuple(scarce.lot(one, foods[one.food]) for one in made.lots),
    )
    scenario = Scenario(
        heating=rng.random() < 0.5,
        running_water=rng.random() < 0.3,
        stock=StockScope.ALL if size.own_share else StockScope.SHARED,
        ration=rng.choice((1.0, 1.0, 0.7)),
        horizon_days=rng.choice((30, 90, 180)),
    )
    return snapshot, scenario


class _Scarce:
    """Say how much of each lot is there, by what is scarce in this store."""

    def __init__(self, rng: random.Random, made: Snapshot) -> None:
        self._rng, self._taken_on = rng, made.taken_on
        self._dense = rng.choice((0.05, 0.15, 0.4, 1.0))
        self._extra = rng.choice((1.0, 3.0, 8.0))
        self._water = rng.choice((0.05, 0.2, 1.0))
        self._soon = rng.choice((0.0, 0.3, 0.7))
        self._days = rng.choice((6, 20, 60))
        self._unread = rng.choice((0.0, 0.5, 0.9, 0.97))

    def lot(self, one: Lot, food: Food) -> Lot:
        """Change the units and, of some lots, the date and whether the label was read."""
        if self._rng.random() < self._unread:
            one = replace(one, readings=())
        units = round(one.units * self._times(food))
        promised = min(one.units_promised, units)
        if food.is_water or self._rng.random() > self._soon:
            return replace(one, units=units, units_promised=promised)
        day = self._taken_on + timedelta(days=int(self._rng.random() * self._days))
        return replace(
            one,
            units=units,
            units_promised=promised,
            label_kind=LabelKind.USE_BY,
            printed=day.isoformat(),
        )

    def _times(self, food: Food) -> float:
        if food.is_water:
            return self._water
        if food.is_extra:
            return self._extra
        is_dense = food.protein_g_100g > _DENSE_G_100KCAL / 100 * food.energy_kcal_100g
        return self._dense if is_dense else 1.0
