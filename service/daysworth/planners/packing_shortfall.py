"""Say why no more kits of a kind can be made than a plan has: for want of what.

The first that holds: its pattern lacks a part of the meal; a ware has run out; a slot has nothing
left that fills it; what is left would make a kit but for openers, for energy or for the bag; or
what is left would fill each slot, and not all of them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf

from daysworth.domain.foods import MealRole
from daysworth.domain.meal_patterns import Slot
from daysworth.domain.wares import WareKind
from daysworth.planners.packing_fills import ways_of
from daysworth.planners.packing_kinds import Kind, slot_names
from daysworth.planners.packing_piles import Shelf, top_of
from daysworth.planners.packing_putting import Filling
from daysworth.planners.packing_search import PackingSearch
from daysworth.planners.packing_stock import Good, Stock, WhyLeft, free_units
from daysworth.planners.shelf import DatedLot


class Lacking(StrEnum):
    """What there is too little of for one more kit.

    `part`: the pattern asks for less than a serving each of a part of the meal, and is held to it.
    `slot`: nothing is left that fills a slot. `packs`: something is left for each slot, and not for
    all of them. `energy` and `bag`: the kits that could be made have too little, or do not fit.
    """

    PART = "part"
    WARE = "ware"
    SLOT = "slot"
    ENERGY = "energy"
    BAG = "bag"
    ENERGY_AND_BAG = "energy_and_bag"
    PACKS = "packs"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Units of foods that a slot names which do not fill it, and why."""

    why: WhyLeft
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """Why no more kits of a kind can be made.

    `parts` are those that a pattern lacks. `ware` is what ran out, of which a kit takes `needed`
    and `left` are there. `slot` is the position of the first that nothing fills; `left_out` says
    what there is of the foods that it names.
    """

    lacking: Lacking
    parts: tuple[MealRole, ...] = ()
    ware: WareKind | None = None
    needed: int = 0
    left: int = 0
    slot: int | None = None
    left_out: tuple[LeftOut, ...] = ()


class Shortfalls:
    """Finds why kinds fall short, from what a plan leaves over."""

    def __init__(
        self,
        shelf: Shelf,
        stock: Stock,
        *,
        fillings: Sequence[Filling],
        wares_left: Mapping[WareKind, int],
    ) -> None:
        self._stock, self._wares_left = stock, wares_left
        taken: dict[str, int] = {}
        for packs in (one.packs for filling in fillings for one in filling.filled):
            for lot, units in packs:
                taken[lot.lot.id] = taken.get(lot.lot.id, 0) + units
        self._taken = taken
        goods = tuple(_less(good, taken) for good in shelf.goods)
        self._shelf = replace(shelf, goods=goods, wares=wares_left)

    def of(self, kind: Kind) -> Shortfall:
        """Say why no more kits of a kind can be made."""
        if kind.lacking:
            return Shortfall(lacking=Lacking.PART, parts=kind.lacking)
        for ware, needed in kind.wares.items():
            left = self._wares_left.get(ware, 0)
            if left < needed:
                return Shortfall(lacking=Lacking.WARE, ware=ware, needed=needed, left=left)
        return self._of_slots(kind) or self._of_rules(kind)

    def _of_slots(self, kind: Kind) -> Shortfall | None:
        """Find the first slot that nothing left fills, in any way to put a kit together."""
        for number, slot in enumerate(kind.pattern.slots):
            if not self._is_filled(kind, slot):
                left_out = tuple(self._left_out(kind, slot))
                return Shortfall(lacking=Lacking.SLOT, slot=number, left_out=left_out)
        return None

    def _of_rules(self, kind: Kind) -> Shortfall:
        """Find what is to be done without, that what is left would make a kit."""
        if self._is_made(replace(kind, has_openers=False)):
            left = self._wares_left.get(WareKind.OPENER, 0)
            return Shortfall(lacking=Lacking.WARE, ware=WareKind.OPENER, needed=1, left=left)
        kind = replace(kind, has_openers=False)
        if self._is_made(replace(kind, asked_kcal=0.0)):
            return Shortfall(lacking=Lacking.ENERGY)
        if self._is_made(replace(kind, bag_l=inf)):
            return Shortfall(lacking=Lacking.BAG)
        if self._is_made(replace(kind, asked_kcal=0.0, bag_l=inf)):
            return Shortfall(lacking=Lacking.ENERGY_AND_BAG)
        return Shortfall(lacking=Lacking.PACKS)

    def _is_filled(self, kind: Kind, slot: Slot) -> bool:
        pattern = replace(kind.pattern, slots=(slot,))
        alone = replace(kind, asked=replace(kind.asked, pattern=pattern), asked_kcal=0.0, bag_l=inf)
        ways = ways_of(alone, self._shelf.goods, has_few_openers=False)
        return any(top_of(way, self._shelf) >= self._shelf.from_days[kind.number] for way in ways)

    def _is_made(self, kind: Kind) -> bool:
        """Tell whether one kit could be made of what is left."""
        one = replace(kind, asked=replace(kind.asked, wanted=1))
        has_few = self._wares_left.get(WareKind.OPENER, 0) == 0
        ways = ways_of(one, self._shelf.goods, has_few_openers=has_few)
        kinds = tuple(one if held.number == one.number else held for held in self._shelf.kinds)
        return bool(PackingSearch(replace(self._shelf, kinds=kinds), ways).most())

    def _left_out(self, kind: Kind, slot: Slot) -> Iterator[LeftOut]:
        found: dict[WhyLeft, int] = {}
        for item in self._stock.dated:
            if slot_names(slot, item.food):
                for why, units in self._why(item, kind):
                    found[why] = found.get(why, 0) + units
        for why in WhyLeft:
            if found.get(why, 0) > 0:
                yield LeftOut(why=why, units=found[why])

    def _why(self, item: DatedLot, kind: Kind) -> Iterator[tuple[WhyLeft, int]]:
        lot, free = item.lot, free_units(item.lot)
        yield WhyLeft.IN_KITS, lot.units_in_kits
        yield WhyLeft.PROMISED, lot.units_promised
        why = self._stock.why_left(item, kind)
        if why is None and self._stock.is_too_short(item, kind):
            why = WhyLeft.KEEPS_TOO_SHORT
        taken = self._taken.get(lot.id, 0)
        if why is None:
            yield WhyLeft.TAKEN, taken
            yield WhyLeft.TOO_FEW, free - taken
        else:
            yield why, free


def _less(good: Good, taken: Mapping[str, int]) -> Good:
    """Give what is left of a good."""
    lots = tuple(
        one._replace(units=one.units - taken.get(one.lot.id, 0))
        for one in good.lots
        if one.units > taken.get(one.lot.id, 0)
    )
    by_day: dict[int, int] = {}
    for one in lots:
        by_day[one.day] = by_day.get(one.day, 0) + one.units
    return replace(good, lots=lots, by_day=tuple(by_day.items()))
