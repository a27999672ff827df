"""Put counted fills together into kits that pass, or part a way whose counts cannot be.

Counts say how many fills of each pile a way's kits have, and by which days they are pulled. Fills
are put together by the rank of their dates, and then exchanged between kits until each kit passes.
Where an aim does not tell fills apart, others that are left on the shelf take their place.

What finds none proves nothing: then the way is parted in two, which between them have every kit of
it, so the program is stated more finely. A way whose parts have one energy and one volume each is
free, so this ends.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Final

from daysworth.planners.packing_fills import Fill, Way
from daysworth.planners.packing_piles import Counts, Pile
from daysworth.planners.packing_stock import Good
from daysworth.planners.stopping import check

Bag = tuple[Pile, ...]
_LESS: Final = 1e-12


@dataclass(slots=True)
class Matching:
    """The kits of a way as they are put together; `levels` are the days that they are pulled by.

    `short` says of each how far it is from passing.
    """

    way: Way
    levels: list[int]
    bags: list[list[Pile]]
    short: list[float] = field(init=False)

    def __post_init__(self) -> None:
        self.short = [_short(self.way, bag) for bag in self.bags]

    @property
    def is_done(self) -> bool:
        """Tell whether every kit passes."""
        return not any(self.short)

    def set_pile(self, kit: int, pile: Pile) -> None:
        """Put another pile's fill in the place of what a kit has of its part."""
        self.bags[kit][pile.part] = pile
        self.short[kit] = _short(self.way, self.bags[kit])


def matched(way: Way, counts: Counts) -> Matching:
    """Put the fills of a way together by the rank of their dates, and exchange them.

    The counts are whole. What has much energy meets what has little of it.
    """
    levels = sorted((level for level, n in counts.kits for _ in range(round(n))), reverse=True)
    by_part = [
        sorted(
            (pile for pile, n in counts.piles if pile.part == part for _ in range(round(n))),
            key=_rank,
        )
        for part in range(len(way.parts))
    ]
    found = Matching(way, levels, [list(bag) for bag in zip(*by_part, strict=True)])
    _improve(found, by=_exchange)
    return found


def _rank(pile: Pile) -> tuple[float, ...]:
    kcal = pile.fill.energy_kcal
    return -pile.level, kcal if pile.part % 2 else -kcal, pile.fill.good


def _improve(matching: Matching, *, by: Callable[[Matching, int], bool]) -> None:
    """Make kits that do not pass better, until all pass or none becomes any better."""
    is_better = True
    while is_better and not matching.is_done:
        check()
        is_better = False
        for kit in range(len(matching.bags)):
            if matching.short[kit] and by(matching, kit):
                is_better = True


def exchange_among(matchings: Sequence[Matching]) -> None:
    """Exchange fills between the kits of ways that one way was parted into."""
    together = Matching(
        matchings[0].way,
        [level for one in matchings for level in one.levels],
        [bag for one in matchings for bag in one.bags],
    )
    _improve(together, by=_exchange)
    for one in matchings:
        one.short = [_short(one.way, bag) for bag in one.bags]


def _exchange(matching: Matching, kit: int) -> bool:
    """Make the exchange with another kit that helps most; False: none helps."""
    way, bags, levels = matching.way, matching.bags, matching.levels
    best: tuple[float, int, int] | None = None
    mine = bags[kit]
    for n, theirs in enumerate(bags):
        for part in range(len(way.parts)):
            ours, given = mine[part], theirs[part]
            is_good = given.level >= levels[kit] and ours.level >= levels[n]
            if not is_good or given.fill is ours.fill:
                continue
            after = _short(way, _with(mine, given)) + _short(way, _with(theirs, ours))
            gain = after - matching.short[kit] - matching.short[n]
            if gain < (best[0] if best else -_LESS):
                best = gain, n, part
    if best is None:
        return False
    _, other, part = best
    ours, given = mine[part], bags[other][part]
    matching.set_pile(kit, given)
    matching.set_pile(other, ours)
    return True


class Spare:
    """Packs of each good that no kit has, by the day until which they are good."""

    def __init__(self, goods: Sequence[Good], piles: Iterable[Pile]) -> None:
        self._goods = goods
        self._taken: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for pile in piles:
            self.take(pile)

    def take(self, pile: Pile) -> None:
        """Take the packs of a fill."""
        self._taken[pile.fill.good].append((pile.day, pile.fill.units))

    def put_back(self, pile: Pile) -> None:
        """Put the packs of a fill back."""
        self._taken[pile.fill.good].remove((pile.day, pile.fill.units))

    def has(self, pile: Pile) -> bool:
        """Tell whether the packs of a fill are there, with all that was taken before."""
        good = self._goods[pile.fill.good]
        taken = self._taken[pile.fill.good]
        return all(
            sum(units for until, units in taken if until >= day) + pile.fill.units
            <= good.units_since(day)
            for day, _ in good.by_day
            if day <= pile.day
        )


def replace_piles(matching: Matching, piles: Sequence[Pile], *, spare: Spare) -> None:
    """Put spare packs in the place of what keeps kits from passing; disliked no more than it."""

    def replace_one(matching: Matching, kit: int) -> bool:
        bag, before = matching.bags[kit], matching.short[kit]
        found: tuple[float, Pile] | None = None
        for pile in piles:
            ours = bag[pile.part]
            if pile.level < matching.levels[kit] or pile.fill.is_disliked > ours.fill.is_disliked:
                continue
            after = _short(matching.way, _with(bag, pile))
            if after < (found[0] if found else before - _LESS) and spare.has(pile):
                found = after, pile
        if found is None:
            return False
        spare.put_back(bag[found[1].part])
        spare.take(found[1])
        matching.set_pile(kit, found[1])
        return True

    _improve(matching, by=replace_one)


def _with(bag: Sequence[Pile], pile: Pile) -> list[Pile]:
    return [*bag[: pile.part], pile, *bag[pile.part + 1 :]]


def _short(way: Way, bag: Sequence[Pile]) -> float:
    """Measure how far a kit is from passing; 0: it passes."""
    fills = [pile.fill for pile in bag]
    if way.is_passed_by(fills):
        return 0.0
    kcal = way.least_kcal - sum(fill.energy_kcal for fill in fills)
    litres = sum(fill.volume_l for fill in fills) - way.most_l
    same = sum(fills[one].food == fills[other].food for one, other in way.apart)
    scale_kcal = max(1.0, abs(way.least_kcal)) if way.least_kcal > -inf else 1.0
    return _LESS + max(0.0, kcal) / scale_kcal + max(0.0, litres) + same


def parted(way: Way, counts: Counts) -> list[Way] | None:
    """Part a way in two by what its counts use; None: they use fills that are all alike."""
    used = [
        [pile.fill for pile, _ in counts.piles if pile.part == part]
        for part in range(len(way.parts))
    ]
    figures: list[tuple[Callable[[Fill], float], float]] = []
    if way.least_kcal > -inf:
        figures.append((_kcal, max(1.0, way.least_kcal)))
    if way.most_l < inf:
        figures.append((_litres, max(1.0, way.most_l)))
    best: tuple[float, int, Callable[[Fill], float]] = (0.0, 0, _kcal)
    for figure, scale in figures:
        for part, fills in enumerate(used):
            values = [figure(fill) for fill in fills]
            spread = (max(values) - min(values)) / scale
            if spread > best[0]:
                best = spread, part, figure
    spread, part, figure = best
    if spread == 0:
        return _parted_by_food(way, used)
    values = sorted({figure(fill) for fill in used[part]})
    middle = values[(len(values) - 1) // 2]
    return _halves(way, part, is_in_first=lambda fill: figure(fill) <= middle)


def _kcal(fill: Fill) -> float:
    return fill.energy_kcal


def _litres(fill: Fill) -> float:
    return fill.volume_l


def _halves(way: Way, part: int, *, is_in_first: Callable[[Fill], bool]) -> list[Way]:
    fills = [one.fills for one in way.parts]
    halves = []
    for wanted in (True, False):
        kept = [fill for fill in fills[part] if is_in_first(fill) is wanted]
        halves.append(way.with_fills([*fills[:part], kept, *fills[part + 1 :]]))
    return [half for half in halves if half is not None]


def _parted_by_food(way: Way, used: Sequence[Sequence[Fill]]) -> list[Way] | None:
    """Part a way by a food that two of its parts hold, where they are to hold different ones."""
    fills = [part.fills for part in way.parts]
    for one, other in way.apart:
        shared = {fill.food for fill in used[one]} & {fill.food for fill in used[other]}
        for food in sorted(shared):
            with_it, without = list(fills), list(fills)
            with_it[one] = tuple(fill for fill in fills[one] if fill.food == food)
            with_it[other] = tuple(fill for fill in fills[other] if fill.food != food)
            without[one] = tuple(fill for fill in fills[one] if fill.food != food)
            found = [way.with_fills(kept) for kept in (with_it, without)]
            return [half for half in found if half is not None]
    return None
