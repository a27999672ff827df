"""Remember what was found of a program on the way, so that each solve states more than the last.

That are goods that make no kit between them (`packing_barred`); packs counted by a share, rounded
down for each fill and for all there is, which no plan in whole numbers exceeds; and what no plan
uses that is as good as what was proved. Ways that are parted hand on what is known of them.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from daysworth.planners.packing_barred import Barred, barred_by
from daysworth.planners.packing_fills import Way
from daysworth.planners.packing_piles import Counts, Grain, Key, Pile, Shelf, piles_of, top_of

Share = tuple[int, int]
"""A fraction: a numerator and a denominator."""
_SOME: Final = 1e-6


class Cuts:
    """The ways of a program with all that is known of each: what is barred, and what is closed."""

    def __init__(self, shelf: Shelf, ways: Sequence[Way]) -> None:
        self._shelf, self._goods = shelf, shelf.goods
        self.ways = list(ways)
        # A way that is parted keeps its last day, so that levels go on meaning what they meant.
        self._tops = [top_of(way, shelf) for way in ways]
        self.origins = list(range(len(self.ways)))
        self._piles: list[dict[Grain, list[Pile]]] = [{} for _ in ways]
        self.barred: list[list[Barred]] = [[] for _ in ways]
        self.closed: list[frozenset[Key]] = [frozenset() for _ in ways]
        self._away: list[Mapping[Key, float]] = [{} for _ in ways]
        self._bound = 0.0
        self._shares: dict[tuple[int, int], list[Share]] = defaultdict(list)

    def shares(self, good: int, day: int) -> Sequence[Share]:
        """Give the shares by which packs of a good that are good until a day are to be counted."""
        return self._shares.get((good, day), ())

    def piles(self, number: int, *, grain: Grain) -> list[Pile]:
        """List the piles of a way that are not closed; none where some part has none."""
        found = self._piles[number].get(grain)
        if found is None:
            way, closed = self.ways[number], self.closed[number]
            given = piles_of(way, top=self._tops[number], shelf=self._shelf, grain=grain)
            found = [pile for pile in given if not pile.is_closed(closed)]
            if len({pile.part for pile in found}) < len(way.parts):
                found = []
            self._piles[number][grain] = found
        return found

    def measure(self, away: Sequence[Mapping[Key, float]], *, bound: float) -> None:
        """Note how far a plan is from a bound that uses any of a thing."""
        self._away, self._bound = list(away), bound

    def close(self, loss: float) -> None:
        """Close what takes a plan further from the bound than the loss that was proved least."""
        room = loss - self._bound + _SOME
        self.closed = [
            closed | {key for key, far in away.items() if far > room}
            for closed, away in zip(self.closed, self._away, strict=True)
        ]
        self._piles = [{} for _ in self.ways]

    def part(self, number: int, halves: Sequence[Way]) -> None:
        """Put two ways, or one, or none in the place of one."""
        at = slice(number, number + 1)
        self.ways[at] = halves
        self._tops[at] = [self._tops[number]] * len(halves)
        self._piles[at] = [{} for _ in halves]
        self.origins[at] = [self.origins[number]] * len(halves)
        self.barred[at] = [list(self.barred[number]) for _ in halves]
        self.closed[at] = [self.closed[number] for _ in halves]
        self._away[at] = [self._away[number] for _ in halves]

    def cut_off(self, counts: Sequence[Counts]) -> bool:
        """Note what counts break that no kits do; False: they break nothing that is looked for."""
        is_new = False
        for n, (way, one) in enumerate(zip(self.ways, counts, strict=True)):
            for barred in barred_by(way, one):
                if barred not in self.barred[n]:
                    self.barred[n].append(barred)
                    is_new = True
        for key, share in self._exceeded(counts):
            if share not in self._shares[key]:
                self._shares[key].append(share)
                is_new = True
        return is_new

    def _exceeded(self, counts: Sequence[Counts]) -> Iterator[tuple[tuple[int, int], Share]]:
        """Find the share by which parts of fills exceed the packs of a good and day most."""
        taken: dict[int, list[tuple[int, int, float]]] = defaultdict(list)
        for pile, n in (held for one in counts for held in one.piles):
            taken[pile.fill.good].append((pile.day, pile.fill.units, n))
        for good, fills in taken.items():
            if all(abs(n - round(n)) <= _SOME for _, _, n in fills):
                continue
            for day in sorted({day for day, _, _ in fills}):
                since = [(units, n) for until, units, n in fills if until >= day]
                packs = self._goods[good].units_since(day)
                excess, share = max(
                    (sum(u * top // part * n for u, n in since) - packs * top // part, (top, part))
                    for part in {units for units, _ in since}
                    for top in range(1, 2 * part)
                )
                if excess > _SOME:
                    yield (good, day), share
