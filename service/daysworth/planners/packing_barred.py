"""Find goods that make no kit between them, where a plan counts kits as if they did.

A kit that passes has energy enough, fits its bag, and has two different foods where two are asked
for. So where goods are named for each part such that no kit of them passes, every kit has at least
one fill that is none of these: a row that no plan breaks, and that holds for the kits pulled by any
day or later as well. What breaks such a row is found exactly, for counts in whole numbers or not.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

from daysworth.planners.packing_fills import Fill, Way
from daysworth.planners.packing_piles import Counts, Pile

_SOME: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """Goods of each part that make no kit between them: a kit has a fill that is none of these.

    It holds for the kits that are pulled by `day` or later, and their fills that are good until
    then. None: all goods of a part.
    """

    day: int
    lows: tuple[frozenset[int] | None, ...]


_Label = tuple[float, float, tuple[float, ...]]
"""The sum of the figures up to which goods are named, the fills that are not, and the figures."""


def barred_by(way: Way, counts: Counts) -> list[Barred]:
    """List what the counts of a way break, the worst of each sort for each day of its kits."""
    if way.is_free:
        return []
    found = []
    kits = 0.0
    for level, count in sorted(counts.kits, reverse=True):
        kits += count
        piles = [(pile, n) for pile, n in counts.piles if pile.level >= level]
        found += [Barred(day=level, lows=lows) for lows in _broken(way, piles, kits=kits - _SOME)]
    return found


_Lows = tuple[frozenset[int] | None, ...]


def _broken(way: Way, piles: Sequence[tuple[Pile, float]], *, kits: float) -> Iterator[_Lows]:
    if way.least_kcal > -inf:
        yield from _lows(way, piles, kits=kits, figure=_kcal, least=way.least_kcal)
    if way.most_l < inf:
        yield from _lows(way, piles, kits=kits, figure=_room, least=-way.most_l)
    for one, other in way.apart:
        yield from _same_food(way, piles, kits=kits, pair=(one, other))


def _kcal(fill: Fill) -> float:
    return fill.energy_kcal


def _room(fill: Fill) -> float:
    return -fill.volume_l


def _lows(
    way: Way,
    piles: Sequence[tuple[Pile, float]],
    *,
    kits: float,
    figure: Callable[[Fill], float],
    least: float,
) -> Iterator[_Lows]:
    """Find up to which figure to name goods of each part, so that few fills are not named."""
    labels: list[_Label] = [(0.0, 0.0, ())]
    for part in range(len(way.parts)):
        steps = _steps([(figure(p.fill), n) for p, n in piles if p.part == part])
        labels = _best(
            [
                (total + upto, others + more, (*chosen, upto))
                for total, others, chosen in labels
                for upto, more in steps
                if others + more < kits
            ]
        )
    broken = [label for label in labels if label[0] < least]
    if broken:
        yield _named(way, min(broken, key=lambda one: one[1])[2], figure=figure, least=least)


def _steps(figures: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Pair each figure with the fills that have more."""
    more = sum(count for _, count in figures)
    steps: list[tuple[float, float]] = []
    for value, count in sorted(figures):
        more -= count
        if steps and steps[-1][0] == value:
            steps.pop()
        steps.append((value, max(0.0, more)))
    return steps


def _best(labels: list[_Label]) -> list[_Label]:
    """Drop labels that another is no worse than in both its sums."""
    kept: list[_Label] = []
    for label in sorted(labels):
        if not kept or label[1] < kept[-1][1]:
            kept.append(label)
    return kept


def _named(
    way: Way,
    chosen: Sequence[float],
    *,
    figure: Callable[[Fill], float],
    least: float,
) -> _Lows:
    """Name all goods up to the figures, which are raised part by part as far as no kit passes."""
    upto = list(chosen)
    for n in range(len(upto)):
        for value in sorted({figure(fill) for fill in way.parts[n].fills}):
            if value > upto[n] and sum([*upto[:n], value, *upto[n + 1 :]]) < least:
                upto[n] = value
    lows = []
    for most, part in zip(upto, way.parts, strict=True):
        named = frozenset(fill.good for fill in part.fills if figure(fill) <= most)
        lows.append(None if len(named) == len(part.fills) else named)
    return tuple(lows)


def _same_food(
    way: Way, piles: Sequence[tuple[Pile, float]], *, kits: float, pair: tuple[int, int]
) -> Iterator[_Lows]:
    """Find a food that stands in both of two parts more often than there are kits for it."""
    totals = [sum(n for pile, n in piles if pile.part == part) for part in pair]
    for food in sorted({pile.fill.food for pile, _ in piles if pile.part == pair[0]}):
        same = sum(n for p, n in piles if p.part in pair and p.fill.food == food)
        if sum(totals) - same < kits:
            yield tuple(
                frozenset(fill.good for fill in part.fills if fill.food == food)
                if n in pair
                else None
                for n, part in enumerate(way.parts)
            )
