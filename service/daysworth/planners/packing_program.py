"""State the packing of kits as one program in whole numbers, in which no kit has a name.

Kits of a way are a product of its parts, so they are counted, and never told apart. Variables, all
whole: `z[w, p, f, d]`: fills `f` of part `p` in kits of way `w` from packs good until day `d` or
longer; `k[w, l]`: kits of way `w` whose pull-by is day `l`; `r[w, p, l] >= 0`: fills of part `p`
good beyond `l` that stand in kits pulled by `l` or before.

    sum_f z[w, p, f, l] + r[w, p, above l] - r[w, p, l] = k[w, l]     each way, part and day
    sum_w k[w, l]                         <= wanted                   each kind
    sum_w wares(w) k[w, l]                <= wares in store           each ware
    sum units(f) z[w, p, f, d], d >= e    <= units good until e       each good and day e

The best kits of each part stand together by the rank of their dates: that gives the latest pull-by
days in all, and those are what the equations count. Stock rows are nested, so packs can be dealt
out where they hold. Where fills carry their own dates (`is_dated`) the earliest pack of a fill at
`d` is dated `d`, so at most as many fills are at `d` as packs are.

For the solver's sake packs are also counted by shares, rounded down (`packing_cuts`), which no plan
in whole numbers exceeds. What is sought is a sum of losses, each a whole figure to each column.

Energy and volume tie the parts of a kit to one another. What is stated of them here no plan breaks
(`Barred`), but counts that keep to it may not come apart into kits that pass: see `packing_search`.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from daysworth.domain.wares import WareKind
from daysworth.planners.packing_barred import Barred
from daysworth.planners.packing_cuts import Cuts, Share
from daysworth.planners.packing_piles import (
    Aim,
    Counts,
    Grain,
    Key,
    Pile,
    Shelf,
    kits_key,
    pile_loss,
)
from daysworth.planners.solver import INFINITE, Outcome, ProgramBuilder, Solution

Terms = list[tuple[int, float]]
_SOME: Final = 1e-7
"""Less of a thing than this is none of it: the solver's figures are not exact."""
_NOTHING: Final = Solution(Outcome.OPTIMAL, np.empty(0), np.empty(0), 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _WayColumns:
    piles: tuple[tuple[int, Pile], ...]
    kits: Mapping[int, int]
    passed: list[tuple[int, float]]


class PackingProgram:
    """The program of some ways, which weighs the losses by some aims and holds others."""

    def __init__(
        self,
        shelf: Shelf,
        cuts: Cuts,
        *,
        grain: Grain,
        held: Mapping[Aim, float],
        weights: Mapping[Aim, float],
        is_whole: bool,
    ) -> None:
        self._shelf, self._cuts, self._grain = shelf, cuts, grain
        self._weights, self._is_whole = weights, is_whole
        self._builder, self._rows, self._costs = ProgramBuilder(), list[Terms](), list[float]()
        self._since: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._counted: set[tuple[int, int, Share]] = set()
        self._columns = [self._way_columns(n) for n in range(len(cuts.ways))]
        for way, columns in zip(cuts.ways, self._columns, strict=True):
            self._flow_rows(columns, parts=len(way.parts))
        self._stock_rows()
        self._kind_rows()
        self._ware_rows()
        self._barred = [0] * len(cuts.ways)
        self._barred_rows()
        for before, loss in held.items():
            self._held_row(before, loss=loss)

    @property
    def columns(self) -> int:
        """Count the columns."""
        return self._builder.columns

    def solve(self) -> tuple[Solution, tuple[Counts, ...]]:
        """Find the least sum of losses. Raises what `Solution.proven` raises."""
        solution = _NOTHING
        if self._builder.columns:
            solution = self._builder.build(maximise=False).solve().proven()
        return solution, tuple(_counts(one, solution) for one in self._columns)

    def tighten(self) -> None:
        """State too what was found since of the same ways: all else stays as it was built."""
        self._barred_rows()
        for number, day in self._since:
            if self._cuts.shares(number, day):
                self._share_rows(number, day)

    def away(self, solution: Solution) -> list[dict[Key, float]]:
        """Say how far from the bound of a solution in parts a plan is that uses any of a thing.

        By duality one more of a column takes a plan as far from the bound as its reduced cost.
        """
        if not self._costs:
            return [{} for _ in self._columns]
        costs = np.array(self._costs)
        for terms, dual in zip(self._rows, solution.row_duals, strict=True):
            if dual:
                for column, coefficient in terms:
                    costs[column] -= coefficient * dual
        return [
            {key: float(costs[column]) for column, key in self._keyed(columns) if costs[column] > 0}
            for columns in self._columns
        ]

    def _keyed(self, columns: _WayColumns) -> Iterator[tuple[int, Key]]:
        is_dated = self._grain.is_dated
        yield from ((column, pile.key(is_dated=is_dated)) for column, pile in columns.piles)
        yield from ((column, kits_key(level)) for level, column in columns.kits.items())

    def _row(self, terms: Terms, *, lower: float = -INFINITE, upper: float = INFINITE) -> None:
        self._builder.row(terms, lower=lower, upper=upper)
        self._rows.append(terms)

    def _column(self, *, upper: float = INFINITE, cost: float = 0.0) -> int:
        self._costs.append(cost)
        return self._builder.column(upper=upper, cost=cost, is_whole=self._is_whole)

    def _way_columns(self, number: int) -> _WayColumns:
        way, closed = self._cuts.ways[number], self._cuts.closed[number]
        piles = self._cuts.piles(number, grain=self._grain)
        wanted = self._shelf.kinds[way.kind].asked.wanted
        columns = tuple((self._pile_column(pile, wanted=wanted), pile) for pile in piles)
        kits = {
            level: self._column(
                upper=0.0 if kits_key(level) in closed else wanted,
                cost=self._kit_cost(level),
            )
            for level in sorted({pile.level for pile in piles}, reverse=True)
        }
        return _WayColumns(columns, kits, [])

    def _pile_column(self, pile: Pile, *, wanted: int) -> int:
        good = self._shelf.goods[pile.fill.good]
        most = min(wanted, good.units_since(pile.day) // pile.fill.units)
        if self._grain.is_dated:
            most = min(most, good.units_at(pile.day))
        cost = sum(weight * pile_loss(aim, pile) for aim, weight in self._weights.items())
        return self._column(upper=most, cost=cost)

    def _flow_rows(self, columns: _WayColumns, *, parts: int) -> None:
        """Hold the kits of each day to the fills of each part, the latest days first."""
        at: dict[tuple[int, int], Terms] = defaultdict(list)
        for column, pile in columns.piles:
            at[pile.part, pile.level].append((column, 1.0))
        levels = tuple(columns.kits)
        for part in range(parts):
            above: Terms = []
            for n, level in enumerate(levels):
                terms = [*at[part, level], *above, (columns.kits[level], -1.0)]
                above = []
                if n + 1 < len(levels):
                    gap = float(level - levels[n + 1])
                    left = self._column(cost=gap * self._weights.get(Aim.DAYS, 0.0))
                    terms.append((left, -1.0))
                    above = [(left, 1.0)]
                    columns.passed.append((left, gap))
                self._row(terms, lower=0.0, upper=0.0)

    def _stock_rows(self) -> None:
        """Hold what is taken of each good to what is there, and fills to packs of their day."""
        taken: dict[int, list[tuple[int, Pile]]] = defaultdict(list)
        most_units: dict[tuple[int, int], int] = defaultdict(int)
        for way, columns in zip(self._cuts.ways, self._columns, strict=True):
            held: dict[int, dict[int, int]] = defaultdict(dict)
            for column, pile in columns.piles:
                taken[pile.fill.good].append((column, pile))
                held[pile.fill.good][pile.part] = pile.fill.units
            for good, by_part in held.items():
                key = good, way.kind
                most_units[key] = max(most_units[key], sum(by_part.values()))
        useful: dict[int, int] = defaultdict(int)
        for (good, kind), units in most_units.items():
            useful[good] += units * self._shelf.kinds[kind].asked.wanted
        for good, piles in taken.items():
            for day in sorted({pile.day for _, pile in piles}):
                self._stock_row(good, day, piles=piles, useful=useful[good])

    def _stock_row(
        self, number: int, day: int, *, piles: Sequence[tuple[int, Pile]], useful: int
    ) -> None:
        good = self._shelf.goods[number]
        units = good.units_since(day)
        if units < useful:
            self._since[number, day] = [
                (column, pile.fill.units) for column, pile in piles if pile.day >= day
            ]
            self._share_rows(number, day)
        here = [(column, 1.0) for column, pile in piles if pile.day == day]
        if self._grain.is_dated and len(here) > 1:
            self._row(here, upper=good.units_at(day))

    def _share_rows(self, number: int, day: int) -> None:
        units, since = self._shelf.goods[number].units_since(day), self._since[number, day]
        for share in self._shares(number, day, sizes={n for _, n in since}):
            if (number, day, share) not in self._counted:
                self._counted.add((number, day, share))
                top, part = share
                terms = [(column, float(n * top // part)) for column, n in since]
                self._row([term for term in terms if term[1]], upper=units * top // part)

    def _shares(self, number: int, day: int, *, sizes: set[int]) -> dict[Share, None]:
        """List how packs are counted: by fills of each size, rounded down, and as was found best.

        Where every fill is as large, to count by fills says all that there is to say.
        """
        by_size = [(1, size) for size in sorted(sizes if len(sizes) == 1 else sizes | {1})]
        return dict.fromkeys([*by_size, *self._cuts.shares(number, day)])

    def _kind_rows(self) -> None:
        for kind in self._shelf.kinds:
            kits = [
                column
                for way, columns in zip(self._cuts.ways, self._columns, strict=True)
                if way.kind == kind.number
                for column in columns.kits.values()
            ]
            if kits:
                self._row([(column, 1.0) for column in kits], upper=kind.asked.wanted)

    def _ware_rows(self) -> None:
        kinds = self._shelf.kinds
        for ware in WareKind:
            needed = [
                int(way.takes_opener)
                if ware is WareKind.OPENER
                else kinds[way.kind].wares.get(ware, 0)
                for way in self._cuts.ways
            ]
            terms = [
                (column, float(units))
                for units, columns in zip(needed, self._columns, strict=True)
                if units
                for column in columns.kits.values()
            ]
            if terms:
                self._row(terms, upper=self._shelf.wares.get(ware, 0))

    def _barred_rows(self) -> None:
        """State what is barred and was not stated yet; what is known of a way only grows."""
        for n, (columns, sets) in enumerate(zip(self._columns, self._cuts.barred, strict=True)):
            for barred in sets[self._barred[n] :]:
                self._barred_row(columns, barred)
            self._barred[n] = len(sets)

    def _barred_row(self, columns: _WayColumns, barred: Barred) -> None:
        level = min((one for one in columns.kits if one >= barred.day), default=None)
        if level is None:
            return
        terms = [(column, -1.0) for one, column in columns.kits.items() if one >= level]
        for column, pile in columns.piles:
            lows = barred.lows[pile.part]
            if lows is not None and pile.level >= level and pile.fill.good not in lows:
                terms.append((column, 1.0))
        self._row(terms, lower=0.0)

    def _held_row(self, aim: Aim, *, loss: float) -> None:
        """Hold an aim to what was proved: no plan has less, and none that has more is best."""
        terms: Terms = []
        for columns in self._columns:
            terms += [(column, pile_loss(aim, pile)) for column, pile in columns.piles]
            terms += [(at, self._kit_loss(aim, level=level)) for level, at in columns.kits.items()]
            terms += columns.passed if aim is Aim.DAYS else []
        self._row([term for term in terms if term[1]], lower=loss, upper=loss)

    def _kit_cost(self, level: int) -> float:
        return sum(
            weight * self._kit_loss(aim, level=level) for aim, weight in self._weights.items()
        )

    def _kit_loss(self, aim: Aim, *, level: int) -> float:
        """Give what one kit takes from an aim, its fills apart."""
        if aim is Aim.KITS:
            return -1.0
        return float(self._shelf.last_day - level) if aim is Aim.PULL_BY else 0.0


def _counts(columns: _WayColumns, solution: Solution) -> Counts:
    values = solution.values
    return Counts(
        piles=tuple((pile, float(values[at])) for at, pile in columns.piles if values[at] > _SOME),
        kits=tuple(
            (level, float(values[at])) for level, at in columns.kits.items() if values[at] > _SOME
        ),
    )
