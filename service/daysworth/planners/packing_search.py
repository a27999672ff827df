"""Find the best kits aim by aim, each proved before the next is asked for.

For each aim the program is solved with the aims before held. No plan has less of what it is to have
least of; where its counts come apart into kits that pass, they are the best there are. Where they
do not, it is stated more finely: by goods that make no kit between them, or by parting a way in two
(`packing_matching`). First it is solved in parts of fills, which is quick, bounds the aim, and says
what no plan that is as good uses: that is closed from there on.

Dates are told apart no more finely than an aim needs. How many kits there are hangs on no date. For
the latest pull-by dates, all that a kind may use and that is good until a day (its floor) or less
is first taken to be good until the floor: no plan has later dates in all than the best that this
allows. Where the best uses none of it, it is the best there is; and no plan that is as good uses
what is good for less than the floor, because it would be better still if that were good until then.
So that is left out from there on. Where it is used, the floor is lowered.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, NamedTuple

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.packing_cuts import Cuts
from daysworth.planners.packing_fills import Way
from daysworth.planners.packing_floors import floors_of
from daysworth.planners.packing_matching import Bag, Matching, Spare, matched, parted, replaced
from daysworth.planners.packing_piles import ALL_DAYS, NO_DAY, Aim, Counts, Grain, Shelf, piles_of
from daysworth.planners.packing_program import PackingProgram
from daysworth.planners.packing_putting import Filling, filled_from, worth
from daysworth.planners.solver import Solution
from daysworth.planners.stopping import check

_WIDENED: Final = (1.0, 1.5, 2.0, 3.0, 5.0)
"""How many times the fills that are wanted a floor leaves to choose from; after that, all."""
_WHOLE: Final = 1e-6
_ROUNDS: Final = 30
"""How often at most a bound is made better before whole numbers are asked for."""
_FLAT: Final = (Aim.KITS, Aim.DISLIKED, Aim.PULL_BY)
"""Aims that hang on which goods fill a kit only by their dates and by who dislikes them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proven:
    """What is best by one aim, and what was proved: no plan does better than `bound`.

    `columns` counts those of the largest program that was solved for it.
    """

    aim: Aim
    value: float
    bound: float
    columns: int


class _Found(NamedTuple):
    fillings: tuple[Filling, ...]
    bound: float


class PackingSearch:
    """The search for the best kits from a shelf, put together in some ways."""

    def __init__(self, shelf: Shelf, ways: Sequence[Way]) -> None:
        self._shelf = shelf
        self._cuts = Cuts(shelf, ways)
        self._held: dict[Aim, float] = {}
        self._best: tuple[Filling, ...] = ()
        self._columns = 0

    def most(self) -> tuple[Filling, ...]:
        """Find the most kits, whatever they are like."""
        self._prove(Aim.KITS, grain=self._whatever)
        return self._best

    def best(self) -> tuple[tuple[Filling, ...], tuple[Proven, ...]]:
        """Find the best kits, and what is proved of them by each aim."""
        proven = [self._prove(aim, grain=self._whatever) for aim in (Aim.KITS, Aim.DISLIKED)]
        floors, latest = self._prove_pull_by()
        coarse = Grain(floors=floors, is_relaxed=False)
        dated = Grain(floors=floors, is_relaxed=False, is_dated=True)
        proven += [latest, self._prove(Aim.OVER, grain=coarse)]
        proven += [self._prove(aim, grain=dated) for aim in (Aim.DAYS, Aim.PREFERENCE)]
        for one in proven:
            # What was proved is held against the kits themselves, apart from any program.
            if worth(self._best, one.aim) != one.value:
                raise SolverTrouble(f"the kits do not come to what was proved of them: {one.aim}")
        return self._best, tuple(proven)

    @property
    def _whatever(self) -> Grain:
        return Grain(floors=(ALL_DAYS,) * len(self._shelf.kinds), is_relaxed=True)

    def _prove(self, aim: Aim, *, grain: Grain) -> Proven:
        """Find the best by an aim, with those before held, and hold it."""
        found = self._found(aim, grain=grain)
        if isinstance(found, frozenset):
            raise AssertionError("nothing is valued at a floor that is used")
        return self._hold(aim, found)

    def _prove_pull_by(self) -> tuple[tuple[int, ...], Proven]:
        """Prove the latest pull-by dates, and give the days until which nothing good is needed."""
        ways, kinds = self._cuts.ways, len(self._shelf.kinds)
        tries = [floors_of(self._shelf, ways, fills=times * len(self._best)) for times in _WIDENED]
        tries.append((NO_DAY,) * kinds)
        at = [0] * kinds
        while True:
            floors = tuple(tries[n][kind] for kind, n in enumerate(at))
            found = self._found(Aim.PULL_BY, grain=Grain(floors=floors, is_relaxed=True))
            if not isinstance(found, frozenset):
                return tuple(day - 1 for day in floors), self._hold(Aim.PULL_BY, found)
            for kind in found:
                at[kind] += 1

    def _hold(self, aim: Aim, found: _Found) -> Proven:
        self._best = found.fillings
        loss = self._loss(aim)
        self._held[aim] = loss
        if aim not in (Aim.KITS, Aim.DISLIKED):
            self._cuts.close(loss)
        bound = float(ceil(found.bound - _WHOLE))
        columns, self._columns = self._columns, 0
        return Proven(
            aim=aim, value=self._worth(aim, loss), bound=self._worth(aim, bound), columns=columns
        )

    def _loss(self, aim: Aim) -> float:
        """Give what is to be least."""
        return self._worth(aim, worth(self._best, aim))

    def _worth(self, aim: Aim, loss: float) -> float:
        """Turn a loss into what it is a loss of, or back."""
        if aim is Aim.KITS:
            return 0.0 - loss
        return self._shelf.last_day * len(self._best) - loss if aim is Aim.PULL_BY else loss

    def _found(self, aim: Aim, *, grain: Grain) -> _Found | frozenset[int]:
        """Find the best by an aim; or the kinds of which the floor is to be lowered."""
        solution, counts = self._bounded(aim, grain=grain)
        if self._loss(aim) <= ceil(solution.bound - _WHOLE):
            return _Found(self._best, solution.bound)
        is_to_be_whole = not _are_whole(counts)
        while True:
            check()
            low = self._low(counts, grain=grain)
            if low:
                return low
            if not is_to_be_whole:
                bags = self._put_together(counts, aim=aim, grain=grain)
                if bags is not None:
                    return _Found(filled_from(self._shelf, bags), solution.bound)
            is_to_be_whole = False
            solution, counts = self._solved(aim, grain=grain, is_whole=True)

    def _low(self, counts: Sequence[Counts], *, grain: Grain) -> frozenset[int]:
        """List the kinds that use what is good until the floor or less, if that is valued at it."""
        return frozenset(
            way.kind
            for way, one in zip(self._cuts.ways, counts, strict=True)
            for pile, _ in one.piles
            if pile.level <= grain.floors[way.kind] < ALL_DAYS
        )

    def _bounded(self, aim: Aim, *, grain: Grain) -> tuple[Solution, tuple[Counts, ...]]:
        """Bound an aim with fills in parts, and cut off what no kits are, while that finds any."""
        for _ in range(_ROUNDS):
            solution, counts = self._solved(aim, grain=grain, is_whole=False)
            if not self._cuts.cut_off(counts):
                break
        return solution, counts

    def _solved(
        self, aim: Aim, *, grain: Grain, is_whole: bool
    ) -> tuple[Solution, tuple[Counts, ...]]:
        program = PackingProgram(
            self._shelf, self._cuts, grain=grain, held=self._held, aim=aim, is_whole=is_whole
        )
        self._columns = max(self._columns, program.columns)
        solution, counts = program.solve()
        if not is_whole:
            self._cuts.measure(program.away(solution), bound=solution.bound)
        return solution, counts

    def _put_together(
        self, counts: Sequence[Counts], *, aim: Aim, grain: Grain
    ) -> list[tuple[Way, Bag]] | None:
        """Put the kits of all ways together; None: some could not be, and the ways are finer."""
        ways = self._cuts.ways
        found = [matched(way, one) for way, one in zip(ways, counts, strict=True)]
        if aim in _FLAT:
            self._replace(found, grain=grain)
        stuck = [n for n, one in enumerate(found) if not one.is_done]
        if not stuck:
            return [(one.way, tuple(bag)) for one in found for bag in one.bags]
        if not self._cuts.cut_off(counts):
            for n in reversed(stuck):
                self._cuts.part(n, parted(ways[n], counts[n]))
        return None

    def _replace(self, found: Sequence[Matching], *, grain: Grain) -> None:
        spare = Spare(
            self._shelf.goods, (pile for one in found for bag in one.bags for pile in bag)
        )
        for n, one in enumerate(found):
            if not one.is_done:
                closed, top = self._cuts.closed[n], self._cuts.tops[n]
                piles = piles_of(one.way, top=top, shelf=self._shelf, grain=grain)
                replaced(one, [pile for pile in piles if not pile.is_closed(closed)], spare=spare)


def _are_whole(counts: Sequence[Counts]) -> bool:
    return all(
        abs(count - round(count)) <= _WHOLE
        for one in counts
        for _, count in (*one.piles, *one.kits)
    )
