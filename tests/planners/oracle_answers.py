"""Find by their definitions, in the whole program, the answers that explain the fair days."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

import numpy as np
from scipy.optimize import linprog

from daysworth.domain.foods import Food, MealRole, Preparation
from daysworth.domain.identifiers import LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.proving import ClassDays
from tests.planners.oracle_program import OracleClass, Rows, WholeProgram, lots_for
from tests.planners.oracle_store import Diner, Ground, ShelfLot, energy_kcal

ONLY_DATES: Final = Rows(extras=False, protein=False, water=False)


def same_classes(
    ground: Ground, final: Sequence[ClassDays], *, lots: Sequence[ShelfLot]
) -> list[OracleClass]:
    """State the planner's final classes over the oracle's own lots and members."""
    at = {}
    for c, item in enumerate(final):
        for mouth in item.members.mouths:
            at[str(mouth.household), mouth.eater, round(mouth.ratio, 12)] = c
    diners: list[list[Diner]] = [[] for _ in final]
    for diner in ground.diners:
        ratio = round(diner.protein_g / diner.energy_kcal, 12)
        diners[at[str(diner.household.id), ground.eater(diner), ratio]].append(diner)
    assert [len(one) for one in diners] == [len(item.members.mouths) for item in final]
    keepers = [None if item.members.keeper is None else str(item.members.keeper) for item in final]
    return [
        OracleClass(tuple(group), lots_for(ground, group[0], lots=lots), keeper)
        for group, keeper in zip(diners, keepers, strict=True)
    ]


def steps_of(ground: Ground, final: Sequence[ClassDays]) -> list[float]:
    """Give the energy that can be eaten at each step, in mean person-days."""
    present = {str(home.id) for home in ground.snapshot.households} - set(
        map(str, ground.scenario.households_away)
    )

    def is_of_use(one: ShelfLot) -> bool:
        return one.lot.is_shared or str(one.lot.owner) in present

    usable = [one for one in ground.usable if is_of_use(one)]
    classes = same_classes(ground, final, lots=usable)
    free = [replace(one, may_eat=frozenset(range(len(usable))), keeper=None) for one in classes]
    shared_l, kept_l = ground.water
    pooled_l = shared_l + sum(litres for home, litres in kept_l.items() if home in present)
    programs = (
        WholeProgram(ground, usable, classes=free, rows=ONLY_DATES),
        WholeProgram(ground, usable, classes=free, water=(pooled_l, {})),
        WholeProgram(ground, usable, classes=classes),
    )
    need = [one.energy_kcal for one in classes]
    most = sum(need) * ground.scenario.horizon_days
    shelves = (ground.shelf, [one for one in ground.reached if is_of_use(one)])
    found = [min(energy_kcal(lots), most) for lots in shelves]
    for program in programs:
        plan = program.most(dict(enumerate(need)), least=[0.0] * len(need))
        assert plan is not None
        found.append(plan.aim)
    found.append(sum(e * item.days for e, item in zip(need, final, strict=True)))
    return [kcal / ground.mean_kcal for kcal in found]


@dataclass(frozen=True)
class RunningOut:
    """One class that ends with everyone-fed days, and the program that asks for more."""

    ground: Ground
    classes: Sequence[OracleClass]
    c: int
    level: float

    def days(self, rows: Rows | None = None) -> float:
        """Give the days it could have, the others at everyone-fed days, without some rows."""
        return self._furthest(self.ground.usable, self.classes, c=self.c, rows=rows)

    def days_with(self, food: Food, *, accepted: frozenset[Verdict]) -> float | None:
        """Give the days it could have with a unit of a food; None: it is for not all of them."""
        more = unit_of(food, self.ground)
        position = len(self.ground.usable)
        parted: list[OracleClass] = []
        at = 0
        for c, one in enumerate(self.classes):
            suiting = tuple(d for d in one.diners if self.ground.verdict(more, d) in accepted)
            rest = tuple(d for d in one.diners if d not in suiting)
            if c == self.c:
                at = len(parted)
                if rest:
                    return None
            if suiting:
                parted.append(replace(one, diners=suiting, may_eat=one.may_eat | {position}))
            if rest:
                parted.append(replace(one, diners=rest))
        return self._furthest([*self.ground.usable, more], parted, c=at, rows=None)

    def _furthest(
        self,
        lots: Sequence[ShelfLot],
        classes: Sequence[OracleClass],
        *,
        c: int,
        rows: Rows | None,
    ) -> float:
        program = WholeProgram(self.ground, lots, classes=classes, rows=rows)
        found = program.highest({c: 1.0}, least=[self.level] * len(classes))
        assert found is not None
        return found.aim


def candidates(foods: Iterable[Food], ground: Ground) -> Iterator[Food]:
    """List the foods of which one more unit may be asked for: known to keep, and of use."""
    for food in foods:
        is_ready = ground.scenario.heating or food.heating is not Preparation.NEEDED
        if food.shelf_life_months and food.energy_kcal_100g > 0 and not food.is_water and is_ready:
            yield food


def unit_of(food: Food, ground: Ground) -> ShelfLot:
    """Make a unit of a food, its label unread, that keeps beyond the horizon."""
    lot = Lot(
        id=LotId("one-more"),
        food=food.id,
        place=ground.snapshot.places[0].id,
        units=1,
        label_kind=LabelKind.USE_BY,
        printed="2090",
    )
    water_l = food.needed_water_l()
    return ShelfLot(lot, food, 1.0, food.energy_kcal(), food.protein_g(), water_l, 10_000)


def least_spoiling(
    ground: Ground, classes: Sequence[OracleClass], *, days: Sequence[float]
) -> tuple[float, float]:
    """Give the least kcal that spoil, and of plans that spoil no more, the least x days left."""
    horizon = ground.scenario.horizon_days
    spoils = {n: one for n, one in enumerate(ground.usable) if (one.day or 0) < horizon}
    program = WholeProgram(ground, ground.usable, classes=classes)
    first = program.most_eaten(dict.fromkeys(spoils, 1.0), days=days)
    assert first is not None
    left = {n: float(horizon - (one.day or 0)) for n, one in spoils.items()}
    hair = 1e-9 * max(1.0, first.aim)
    second = program.most_eaten(left, days=days, at_least=first.aim - hair)
    assert second is not None
    weighted = sum(one.total_kcal * left[n] for n, one in spoils.items())
    return energy_kcal(list(spoils.values())) - first.aim * 1000, weighted - second.aim * 1000


def most_meals(servings: Mapping[frozenset[MealRole], float]) -> float:
    """Give the most meals by trying every set of servings that fills all three parts."""
    kinds = [roles for roles in servings if roles]
    meals = [
        chosen
        for size in (1, 2, 3)
        for chosen in combinations(kinds, size)
        if frozenset().union(*chosen) == frozenset(MealRole)
    ]
    if not meals:
        return 0.0
    used = np.array([[float(kind in meal) for meal in meals] for kind in kinds])
    limits = np.array([servings[kind] for kind in kinds])
    found = linprog(-np.ones(len(meals)), A_ub=used, b_ub=limits, method="highs")
    assert found.fun is not None
    return -float(found.fun)
