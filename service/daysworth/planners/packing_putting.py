"""Deal packs and wares out to kits: from counted fills to units of lots, and what they come to.

Of each good, every fill first gets a pack of the day that it counts on, so that this is its date.
The rest go to the fills with the latest days first, from the packs nearest to that day, for a fill
may use any pack that is good as long.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.meal_kits import KitItem, KitToPack, WareTaken, kit_name
from daysworth.domain.meal_patterns import SlotKind
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.packing_fills import Fill, Part, Way
from daysworth.planners.packing_matching import Bag
from daysworth.planners.packing_piles import Aim, Shelf
from daysworth.planners.packing_stock import FreeLot

_MOST_ITEMS = 60
"""As many lots as one kit holds (`meal_kits.KitToPack`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A part of a kit with the packs that fill it, and the day until which they are all good."""

    part: Part
    fill: Fill
    packs: tuple[tuple[FreeLot, int], ...]

    @property
    def day(self) -> int:
        """Give the day of the pack that is good for the shortest."""
        return min(lot.day for lot, _ in self.packs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """All that fills one kit of a kind."""

    kind: int
    filled: tuple[Filled, ...]

    @property
    def pull_by(self) -> int:
        """Give the day of what is good for the shortest."""
        return min(one.day for one in self.filled)

    @property
    def over(self) -> float:
        """Sum the servings beyond those that are needed."""
        return fsum(one.fill.over for one in self.filled)

    @property
    def needs_opener(self) -> bool:
        """Tell whether a tin in it lacks a pull tab."""
        return any(one.fill.needs_opener for one in self.filled)

    def worth(self, aim: Aim) -> float:
        """Give what it adds to an aim."""
        match aim:
            case Aim.KITS:
                return 1.0
            case Aim.DISLIKED:
                return float(sum(one.fill.is_disliked for one in self.filled))
            case Aim.PULL_BY:
                return float(self.pull_by)
            case Aim.OVER:
                return float(sum(one.fill.over_hundredths for one in self.filled))
            case Aim.DAYS:
                return float(sum(one.day for one in self.filled) - self.pull_by * len(self.filled))
            case Aim.PREFERENCE:
                return float(sum(one.fill.rank for one in self.filled))


def worth(fillings: Sequence[Filling], aim: Aim) -> float:
    """Give what kits come to by an aim."""
    return fsum(one.worth(aim) for one in fillings)


def filled_from(shelf: Shelf, bags: Sequence[tuple[Way, Bag]]) -> tuple[Filling, ...]:
    """Deal the packs of each good out to the fills of kits, in the order of the kinds."""
    dealt: dict[tuple[int, int], tuple[tuple[FreeLot, int], ...]] = {}
    asked: dict[int, list[tuple[int, int, int, int]]] = defaultdict(list)
    for number, (_, bag) in enumerate(bags):
        for pile in bag:
            asked[pile.fill.good].append((-pile.day, number, pile.part, pile.fill.units))
    for good, fills in asked.items():
        dealer = _Dealer(shelf.goods[good].lots)
        fills.sort()
        firsts = [dealer.first(-minus_day) for minus_day, *_ in fills]
        for (minus_day, number, part, units), first in zip(fills, firsts, strict=True):
            dealt[number, part] = dealer.rest(-minus_day, units=units, first=first)
    found = [
        Filling(
            kind=way.kind,
            filled=tuple(
                Filled(part=way.parts[pile.part], fill=pile.fill, packs=dealt[number, pile.part])
                for pile in bag
            ),
        )
        for number, (way, bag) in enumerate(bags)
    ]
    return tuple(sorted(found, key=_order))


def _order(one: Filling) -> tuple[object, ...]:
    lots = [(lot.lot.id, units) for filled in one.filled for lot, units in filled.packs]
    return one.kind, one.pull_by, one.over, lots


class _Dealer:
    """The packs of one good, each lot with what is left of it, by their day and as one walks."""

    def __init__(self, lots: Sequence[FreeLot]) -> None:
        self._lots = lots
        self._left = [lot.units for lot in lots]

    def first(self, day: int) -> int | None:
        """Set a pack of a day aside; None: no more are there."""
        for n, lot in enumerate(self._lots):
            if lot.day == day and self._left[n]:
                self._left[n] -= 1
                return n
        return None

    def rest(self, day: int, *, units: int, first: int | None) -> tuple[tuple[FreeLot, int], ...]:
        """Take units that are good until a day, the one set aside among them."""
        taken: dict[int, int] = {} if first is None else {first: 1}
        missing = units - len(taken)
        near = [n for n, lot in enumerate(self._lots) if lot.day >= day]
        # Who takes from the lot of the first pack walks no further.
        near.sort(key=lambda n: (self._lots[n].day, n != first))
        for n in near:
            more = min(missing, self._left[n])
            if more:
                self._left[n] -= more
                taken[n] = taken.get(n, 0) + more
                missing -= more
        return tuple((self._lots[n], held) for n, held in sorted(taken.items()))


class WareShelves:
    """The wares of a store by place, taken in walking order."""

    def __init__(
        self, wares: Sequence[WareStock], *, walk: Mapping[PlaceId, tuple[int, str, str]]
    ) -> None:
        ordered = sorted(wares, key=lambda one: walk[one.place])
        self._left = {(one.kind, one.place): one.units for one in ordered}

    def take(self, needed: Mapping[WareKind, int]) -> Iterator[WareTaken]:
        """Take the wares of one kit."""
        for kind in WareKind:
            missing = needed.get(kind, 0)
            for (ware, place), left in self._left.items():
                units = min(missing, left) if ware is kind else 0
                if units:
                    self._left[ware, place] -= units
                    missing -= units
                    yield WareTaken(kind=ware, place=place, units=units)


def kit_to_pack(shelf: Shelf, filling: Filling, *, wares: WareShelves) -> KitToPack:
    """Say what goes into one kit. Raises ScenarioRefused where that is from too many lots."""
    kind = shelf.kinds[filling.kind]
    items: dict[str, KitItem] = {}
    for one in filling.filled:
        for lot, units in one.packs:
            before = items.get(lot.lot.id)
            items[lot.lot.id] = KitItem(
                lot=lot.lot.id,
                units=units + (before.units if before else 0),
                served=before.served if before else one.part.served,
            )
    pattern = kind.pattern
    if len(items) > _MOST_ITEMS:
        raise ScenarioRefused(
            f"a kit of {pattern.name!r} would be put together from more than {_MOST_ITEMS} lots: "
            "ask for kits that serve fewer persons"
        )
    opener = {WareKind.OPENER: 1} if filling.needs_opener and kind.has_openers else {}
    return KitToPack(
        name=_name(shelf, filling),
        persons=kind.persons,
        items=tuple(items.values()),
        wares=tuple(wares.take({**opener, **kind.wares})),
        household=kind.asked.household,
        pattern=pattern.id,
        utensil=pattern.utensil,
        waivers=pattern.waivers,
        steps=pattern.steps,
        may_be_warmed=pattern.may_be_warmed,
    )


def _name(shelf: Shelf, filling: Filling) -> str:
    """Name a kit after what fills the parts of its meal; where it has none, after all of it."""
    slots = shelf.kinds[filling.kind].pattern.slots
    ordered = sorted(filling.filled, key=lambda one: one.part.slots)
    parts = [one for one in ordered if slots[one.part.slots[0]].kind is not SlotKind.EXTRA]
    return kit_name(shelf.goods[one.fill.good].food.name for one in parts or ordered)
