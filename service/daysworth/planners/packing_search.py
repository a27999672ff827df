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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, NamedTuple

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.packing_cuts import Cuts
from daysworth.planners.packing_fills import Way
from daysworth.planners.packing_floors import floors_of
from daysworth.planners.packing_matching import (
    Bag,
    Matching,
    Spare,
    exchange_among,
    matched,
    parted,
    replace_piles,
)
from daysworth.planners.packing_piles import ALL_DAYS, NO_DAY, Aim, Counts, Grain, Shelf
from daysworth.planners.packing_program import PackingProgram
from daysworth.planners.packing_putting import Filling, filled_from, worth
from daysworth.planners.stopping import check

_WIDENED: Final = (1.0, 1.5, 2.0, 3.0, 5.0)
"""How many times the fills that are wanted a floor leaves to choose from; after that, all."""
_WHOLE: Final = 1e-6
_HEAVY: Final = 20_000.0
"""What a day of the pull-by dates weighs at least: measured, on stores of hundreds of foods."""
_WEIGHED: Final = 1e-3
"""How far sums of whole figures may be from whole where some are weighed heavily."""
_RAISED: Final = 1e-3
_IDLE_ROUNDS: Final = {Aim.PULL_BY: 3}
"""How often in a row cuts may leave a bound as it is before whole numbers are asked for; else 0."""
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
        loss = self._held[aim] = self._loss(aim)
        for before, held in self._held.items():
            # What was proved is held against the kits themselves, apart from any program.
            if self._loss(before) != held:
                raise SolverTrouble(f"the kits do not come to what was proved of them: {before}")
        if aim not in (Aim.KITS, Aim.DISLIKED):
            self._cuts.close(loss)
        columns, self._columns = self._columns, 0
        return Proven(
            aim=aim,
            value=self._worth(aim, loss),
            bound=self._worth(aim, found.bound),
            columns=columns,
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
        bound, counts = self._bounded(aim, grain=grain)
        if self._loss(aim) <= bound:
            return _Found(self._best, bound)
        is_to_be_whole = not _are_whole(counts)
        while True:
            check()
            low = self._low(counts, grain=grain)
            if low:
                return low
            if not is_to_be_whole:
                bags = self._put_together(counts, aim=aim, grain=grain)
                if bags is not None:
                    return _Found(filled_from(self._shelf, bags), bound)
            is_to_be_whole = False
            bound, counts = self._in_whole_fills(aim, grain=grain)

    def _low(self, counts: Sequence[Counts], *, grain: Grain) -> frozenset[int]:
        """List the kinds that use what is good until the floor or less, if that is valued at it."""
        return frozenset(
            way.kind
            for way, one in zip(self._cuts.ways, counts, strict=True)
            for pile, _ in one.piles
            if pile.level <= grain.floors[way.kind] < ALL_DAYS
        )

    def _bounded(self, aim: Aim, *, grain: Grain) -> tuple[float, tuple[Counts, ...]]:
        """Bound an aim with fills in parts, and cut off what no kits are, while that finds any.

        It ends too where the best kits so far are as good as the bound, or cuts raise it no more.
        """
        idle, bound = 0, -1e30
        program = self._program(grain, weights={aim: 1.0}, held=self._held, is_whole=False)
        while True:
            solution, counts = program.solve()
            is_raised = solution.bound > bound + _RAISED * (1 + abs(bound))
            idle, bound = 0 if is_raised else idle + 1, solution.bound
            is_idle = idle > _IDLE_ROUNDS.get(aim, 0)
            is_done = self._loss(aim) <= ceil(bound - _WHOLE) or is_idle
            if is_done or not self._cuts.cut_off(counts):
                self._cuts.measure(program.away(solution), bound=bound)
                return float(ceil(bound - _WHOLE)), counts
            program.tighten()

    def _in_whole_fills(self, aim: Aim, *, grain: Grain) -> tuple[float, tuple[Counts, ...]]:
        """Find the least loss by an aim, in whole fills.

        Once the latest pull-by dates are proved they are not held, but weighed: so heavily that no
        loss by the aim makes up for a day. The solver proves that sooner: it begins where no date
        is lost, and what takes a plan from there is soon closed.
        """
        if Aim.PULL_BY not in self._held:
            return self._weighed(aim, grain=grain, day_weight=0.0)
        try:
            return self._weighed(aim, grain=grain, day_weight=max(_HEAVY, self._loss(aim) + 1.0))
        except SolverTrouble:
            # Seldom, figures so far apart are too much for the solver; it takes longer then.
            return self._weighed(aim, grain=grain, day_weight=0.0)

    def _weighed(
        self, aim: Aim, *, grain: Grain, day_weight: float
    ) -> tuple[float, tuple[Counts, ...]]:
        held, weights, latest = dict(self._held), {aim: 1.0}, 0.0
        if day_weight:
            latest, weights[Aim.PULL_BY] = held.pop(Aim.PULL_BY), day_weight
        program = self._program(grain, weights=weights, held=held, is_whole=True)
        solution, counts = program.solve()
        return float(ceil(solution.bound - day_weight * latest - _WEIGHED)), counts

    def _program(
        self,
        grain: Grain,
        *,
        weights: Mapping[Aim, float],
        held: Mapping[Aim, float],
        is_whole: bool,
    ) -> PackingProgram:
        program = PackingProgram(
            self._shelf, self._cuts, grain=grain, held=held, weights=weights, is_whole=is_whole
        )
        self._columns = max(self._columns, program.columns)
        return program

    def _put_together(
        self, counts: Sequence[Counts], *, aim: Aim, grain: Grain
    ) -> list[tuple[Way, Bag]] | None:
        """Put the kits of all ways together; None: some could not be, and the ways are finer."""
        cuts = self._cuts
        found = [matched(way, one) for way, one in zip(cuts.ways, counts, strict=True)]
        stuck = [n for n, one in enumerate(found) if not one.is_done]
        for origin in sorted({cuts.origins[n] for n in stuck}):
            same = [n for n, one in enumerate(cuts.origins) if one == origin]
            exchange_among([found[n] for n in same])
        if aim in _FLAT:
            self._replace(found, grain=grain)
        if all(one.is_done for one in found):
            return [(one.way, tuple(bag)) for one in found for bag in one.bags]
        is_new = cuts.cut_off(counts)
        for n in reversed(stuck):
            halves = parted(cuts.ways[n], counts[n])
            if halves is not None:
                cuts.part(n, halves)
                is_new = True
        if not is_new:
            raise AssertionError("fills that are alike are put together in any order")
        return None

    def _replace(self, found: Sequence[Matching], *, grain: Grain) -> None:
        """Let packs that are left take the place of others that the aim does not tell from them."""
        bags = [bag for one in found for bag in one.bags]
        spare = Spare(self._shelf.goods, (pile for bag in bags for pile in bag))
        for n, one in enumerate(found):
            if not one.is_done:
                replace_piles(one, self._cuts.piles(n, grain=grain), spare=spare)


def _are_whole(counts: Sequence[Counts]) -> bool:
    return all(
        abs(count - round(count)) <= _WHOLE
        for one in counts
        for _, count in (*one.piles, *one.kits)
    )
