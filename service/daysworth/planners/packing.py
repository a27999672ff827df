"""Plan kits: the most that the stock makes of the patterns asked for, and the best of those.

Given are kinds `k`: a pattern, how many kits of it are wanted (`W_k`), and whom each serves: `n_k`
persons, who need `E_k` kcal in a day all together. What stands free, is sound, unopened, dated and
not past, and passes the rules that a kind does not waive (water, heating, months, pack size) is
usable for it; for a household, if it suits everyone served and all that binds the home. Packs of
one food, one net mass, and usable for the same kinds, dates apart, are one good `g`, with `m_g`
servings (`domain.servings`) and `c_g` kcal a pack, taking `v_g` litres.

A kit of kind `k` fills every slot of its pattern by one of the slot's choices:

- of one food (or any of a group, which for a part of the meal plays that part): by `u` packs of one
  good, the fewest with `u m_g >= n_k` times the slot's servings each, or the grams in all;
- of two foods: by two fills of different foods, each for half of that;
- together with one or two slots of other parts, by one fill of a good that a choice of one food of
  each of them admits: the fewest packs that are enough for each of them alone.

Each fill is made of packs whose dates may differ; its date is that of its earliest pack, and the
kit's pull-by date is the earliest of its fills'. A kit has `sum u c_g >= share x E_k` kcal, takes
`sum u v_g` litres at most the bag's, takes one opener where a food in it needs one, and the wares
that its persons and slots ask for, unless its pattern waives that. No pack is in two kits, and no
more wares are taken than there are. Sought are, each with all before it held at its best:

1. the most kits, at most `W_k` of each kind;
2. the fewest fills of a food that somebody in the household served dislikes;
3. the latest pull-by dates, summed over kits, in days from the day of packing;
4. the fewest servings over those needed, summed over fills, each in hundredths, counted up;
5. the fewest days between fills' dates and their kit's pull-by date, summed over fills;
6. the choices that stand first: the sum of their places over slots, least.

See `packing_program` for the program and `packing_search` for the proof. For each, `bound` is what
no plan can better, and `gap` how far the plan is from it: 0, or there is no plan.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId, PlaceId
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.domain.wares import WareKind
from daysworth.planners.packing_fills import ways_of
from daysworth.planners.packing_kinds import Kind, PackAsked, kinds_asked
from daysworth.planners.packing_piles import Aim, Shelf
from daysworth.planners.packing_putting import Filling, WareShelves, kit_to_pack
from daysworth.planners.packing_search import PackingSearch, Proven
from daysworth.planners.packing_shortfall import Shortfall, Shortfalls
from daysworth.planners.packing_stock import Stock

__all__ = [
    "Aim",
    "KindMade",
    "PackAsked",
    "PackingPlan",
    "Pick",
    "PickedFood",
    "PickedWare",
    "PlannedKit",
    "Stage",
    "picking_list",
    "plan_packing",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedKit:
    """One kit: what goes into it, and what it comes to; `kind` is its position in the question.

    `surplus_servings` are those over what its persons need of each slot.
    """

    kind: int
    kit: KitToPack
    pull_by_day: date
    energy_kcal: float
    protein_g: float
    mass_g: float
    surplus_servings: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KindMade:
    """How many kits of a kind are made, and where that is fewer than wanted, why no more are."""

    asked: PackAsked
    wanted: int
    made: int
    shortfall: Shortfall | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One aim: what the plan comes to by it, and what no plan betters.

    `columns` counts those of the largest program that was solved for it.
    """

    name: Aim
    value: float
    bound: float
    columns: int

    @property
    def gap(self) -> float:
        """Give how much better than the plan another might be."""
        return abs(self.bound - self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingPlan:
    """The kits to be put up on a day (`as_of`), what was made of what was wanted, and the proof."""

    as_of: date
    kits: tuple[PlannedKit, ...]
    made: tuple[KindMade, ...]
    stages: tuple[Stage, ...]


def plan_packing(
    snapshot: Snapshot,
    as_of: date,
    *,
    asked: Sequence[PackAsked],
    judge: Judge = suitability.judge,
) -> PackingPlan:
    """Plan the best kits of 1 to 12 kinds, and prove that none are better.

    Raises ScenarioRefused for what the store does not have or what is out of range,
    PlanningStopped where a stop was asked for, SolverTrouble where nothing was proved.
    """
    kinds = kinds_asked(snapshot, as_of, asked=asked)
    stock = Stock(snapshot, as_of, kinds=kinds, judge=judge)
    goods = stock.goods()
    wares = _wares(snapshot)
    has_few = wares.get(WareKind.OPENER, 0) < sum(one.wanted for one in asked)
    ways = [way for one in kinds for way in ways_of(one, goods, has_few_openers=has_few)]
    shelf = Shelf(
        kinds=kinds,
        goods=goods,
        wares=wares,
        from_days=tuple(stock.day(kind.from_on) for kind in kinds),
        last_day=max((good.by_day[-1][0] for good in goods), default=0),
    )
    fillings, proven = PackingSearch(shelf, ways).best()
    kits = _kits(fillings, shelf=shelf, snapshot=snapshot, as_of=as_of)
    left = _wares_left(wares, kits)
    shortfalls = Shortfalls(shelf, stock, fillings=fillings, wares_left=left)
    return PackingPlan(
        as_of=as_of,
        kits=kits,
        made=tuple(_made(kind, kits, shortfalls=shortfalls) for kind in kinds),
        stages=tuple(_stage(one) for one in proven),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PickedFood:
    """Units of a lot to be taken from its place, and how many kits they are for."""

    lot: LotId
    food: FoodId
    units: int
    last_good_day: date | None
    kits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PickedWare:
    """Units of a ware to be taken from a place, and how many kits they are for."""

    kind: WareKind
    units: int
    kits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """What is to be taken from one place."""

    place: PlaceId
    foods: tuple[PickedFood, ...]
    wares: tuple[PickedWare, ...]


def picking_list(plan: PackingPlan, snapshot: Snapshot) -> tuple[Pick, ...]:
    """List what a plan takes by place, as one walks; foods by name, then by date."""
    lots = {lot.id: lot for lot in snapshot.lots}
    foods = {food.id: food for food in snapshot.foods}
    taken: dict[LotId, list[int]] = {}
    wares: dict[tuple[PlaceId, WareKind], list[int]] = {}
    for kit in (one.kit for one in plan.kits):
        for item in kit.items:
            taken.setdefault(item.lot, []).append(item.units)
        for ware in kit.wares:
            wares.setdefault((ware.place, ware.kind), []).append(ware.units)
    picks = []
    for place in sorted(snapshot.places, key=lambda one: (one.walk_position, one.name, one.id)):
        here = [lots[id_] for id_ in taken if lots[id_].place == place.id]
        picked = [
            _picked(lot, foods[lot.food], units=taken[lot.id], snapshot=snapshot) for lot in here
        ]
        picked.sort(key=lambda one: (foods[one.food].name, one.last_good_day or date.max, one.lot))
        held = tuple(
            PickedWare(kind=kind, units=sum(units), kits=len(units))
            for kind in WareKind
            if (units := wares.get((place.id, kind)))
        )
        if picked or held:
            picks.append(Pick(place=place.id, foods=tuple(picked), wares=held))
    return tuple(picks)


def _picked(lot: Lot, food: Food, *, units: Sequence[int], snapshot: Snapshot) -> PickedFood:
    return PickedFood(
        lot=lot.id,
        food=food.id,
        units=sum(units),
        last_good_day=lot.last_good_day(food, grace_days=snapshot.settings.grace_days),
        kits=len(units),
    )


def _wares(snapshot: Snapshot) -> dict[WareKind, int]:
    wares: dict[WareKind, int] = {}
    for one in snapshot.wares:
        wares[one.kind] = wares.get(one.kind, 0) + one.units
    return wares


def _wares_left(wares: Mapping[WareKind, int], kits: Sequence[PlannedKit]) -> dict[WareKind, int]:
    left = dict(wares)
    for taken in (ware for one in kits for ware in one.kit.wares):
        left[taken.kind] -= taken.units
    return left


def _kits(
    fillings: Sequence[Filling], *, shelf: Shelf, snapshot: Snapshot, as_of: date
) -> tuple[PlannedKit, ...]:
    places = {place.id: (place.walk_position, place.name, place.id) for place in snapshot.places}
    wares = WareShelves(snapshot.wares, walk=places)
    return tuple(
        PlannedKit(
            kind=one.kind,
            kit=kit_to_pack(shelf, one, wares=wares),
            pull_by_day=as_of + timedelta(days=one.pull_by),
            energy_kcal=fsum(filled.fill.energy_kcal for filled in one.filled),
            protein_g=fsum(n * food.protein_g(net_g) for food, net_g, n in _packs(one, shelf)),
            mass_g=fsum(n * net_g for _, net_g, n in _packs(one, shelf)),
            surplus_servings=one.over,
        )
        for one in fillings
    )


def _packs(one: Filling, shelf: Shelf) -> Iterator[tuple[Food, float, int]]:
    for fill in (filled.fill for filled in one.filled):
        good = shelf.goods[fill.good]
        yield good.food, good.net_mass_g, fill.units


def _made(kind: Kind, kits: Sequence[PlannedKit], *, shortfalls: Shortfalls) -> KindMade:
    made, wanted = sum(one.kind == kind.number for one in kits), kind.asked.wanted
    why = shortfalls.of(kind) if made < wanted else None
    return KindMade(asked=kind.asked, wanted=wanted, made=made, shortfall=why)


def _stage(one: Proven) -> Stage:
    part = 100 if one.aim is Aim.OVER else 1
    return Stage(name=one.aim, value=one.value / part, bound=one.bound / part, columns=one.columns)
