"""Give the shelf of a store on any day ahead, less what has gone to partners by then.

Nobody is taken to have eaten, as in coverage. The stacks are merged once; on a day those past their
date are next to nothing, as are those that have all gone, and days are capped at the floor. Many
days are planned with the same shelf, so who sits at the table is sorted once for all of them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.demands import Eater
from daysworth.domain.offers import offer_of
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import EatingClass, Mouth, Suits, eating_class, in_order
from daysworth.planners.figures import Figures
from daysworth.planners.proving import everyone_priced
from daysworth.planners.question import Question
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import DatedLot, Standing, dated_lots, stacks_of
from daysworth.planners.supply import UNREFINED, Floats, Refinement
from daysworth.planners.water import stored_water

NOT_EATEN: Final = -1
_NOTHING: Final[frozenset[int]] = frozenset()
_CRUMB: Final = 1e-9
"""So much of a stack stays in the program when all of it has gone, so that it has a price."""

_UNCAPPED: Final = 100 * 366
"""Longer than any date is ahead: a stack keeps its own day."""


@dataclass(frozen=True, slots=True)
class Table:
    """Those who eat, pooled by what suits them, and the mean of their needs a day."""

    classes: tuple[EatingClass, ...]
    mean_kcal: float


@dataclass(frozen=True, slots=True)
class DaysThen:
    """Everyone-fed days on a day, or no fewer than they are, and the price of a kcal of stacks."""

    days: float
    prices: Floats
    is_exact: bool = True


class ShelfAhead:
    """The stock of a snapshot from a date on, in a scenario."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, scenario: Scenario, judge: Judge
    ) -> None:
        self._as_of, self._scenario = as_of, scenario
        self._extras_share = snapshot.settings.extras_share
        dated = [one for one in dated_lots(snapshot, as_of) if one.standing is Standing.GOOD]
        self._water = [one for one in dated if one.food.is_water]
        self._stacks = stacks_of(dated, scenario=scenario, as_of=as_of, horizon_days=_UNCAPPED)
        self._at = {(stack.offer, stack.day): n for n, stack in enumerate(self._stacks)}
        self._whole = Question(self._stacks, None, self._extras_share, scenario.horizon_days)
        self._suits = Suits(self._stacks, judge=judge)
        self._suiting: dict[Eater, frozenset[int]] = {}
        self._tables: dict[tuple[int, ...], Table] = {}
        self._refinements: dict[tuple[date, int], Refinement] = {}
        self._alike: tuple[int, Figures] = (0, self._whole.figures)

    @property
    def stacks(self) -> int:
        """Count the stacks."""
        return len(self._stacks)

    def stack_of(self, item: DatedLot) -> int:
        """Give the position of the stack that a lot is in; NOT_EATEN: it feeds nobody here."""
        if item.last_good_day is None:
            return NOT_EATEN
        day = (item.last_good_day - self._as_of).days + 1
        return self._at.get((offer_of(item.lot, item.food), day), NOT_EATEN)

    def table(self, mouths: Sequence[Mouth]) -> Table:
        """Pool members by what suits them."""
        # The same members are mostly the same objects, which the table that they sit at keeps.
        key = tuple(map(id, mouths))
        if key not in self._tables:
            self._tables[key] = self._seated(mouths)
        return self._tables[key]

    def _seated(self, mouths: Sequence[Mouth]) -> Table:
        pools: dict[frozenset[int], list[Mouth]] = {}
        for mouth in mouths:
            if mouth.eater not in self._suiting:
                offers = self._suits.offers(mouth.eater, _NOTHING)
                self._suiting[mouth.eater] = self._suits.shared(offers)
            pools.setdefault(self._suiting[mouth.eater], []).append(mouth)
        classes = in_order(
            eating_class(pool, shared=shared, keeper=None) for shared, pool in pools.items()
        )
        kcal = fsum(mouth.energy_kcal for mouth in mouths)
        return Table(classes, kcal / len(mouths) if mouths else 0.0)

    def days(
        self, day: date, *, table: Table, gone_kcal: Floats, at_least: float = 0.0
    ) -> "DaysThen":
        """Give everyone-fed days on a day, capped, and what a kcal of each stack is worth of them.

        `gone_kcal` is what has gone of each stack by then, shape (stacks,). Fewer than `at_least`
        days may in truth be fewer still.
        """
        most = float(self._scenario.horizon_days)
        if not self._stacks:
            return DaysThen(0.0 if table.classes else most, np.zeros(0))
        if not table.classes:
            return DaysThen(most, np.zeros(len(self._stacks)))
        key = day, id(table)
        found = everyone_priced(
            self._question(day, gone_kcal=gone_kcal),
            table.classes,
            mean_kcal=table.mean_kcal,
            at_least=at_least,
            refinement=self._refinements.get(key, UNREFINED),
        )
        assert found.days is not None, "there is somebody with a need"
        self._refinements[key] = found.refinement
        prices = np.where(self.is_good(day), found.a_helping, 0.0) / table.mean_kcal
        return DaysThen(found.days, prices, is_exact=found.is_proved)

    def is_good(self, day: date) -> NDArray[np.bool_]:
        """Tell of each stack whether it may still be eaten on a day."""
        return self._whole.figures.day > (day - self._as_of).days

    def _question(self, day: date, *, gone_kcal: Floats) -> Question:
        ahead = (day - self._as_of).days
        whole = self._figures()
        left = np.maximum(whole.energy_kcal - gone_kcal, _CRUMB * whole.energy_kcal)
        days_left = whole.day - ahead
        water = stored_water(self._water_on(day), self._scenario)
        question = Question(
            self._stacks,
            None if self._scenario.running_water else water,
            self._extras_share,
            self._scenario.horizon_days,
        )
        return question.with_figures(
            energy_kcal=np.where(self.is_good(day), left, _CRUMB * whole.energy_kcal),
            day=np.clip(days_left, 1, self._scenario.horizon_days),
            like=whole,
        )

    def _figures(self) -> Figures:
        """Give the figures of the stacks, those of one kind that suit the same of all seen so far.

        So few kinds are sorted anew for each day.
        """
        sets = set(self._suiting.values())
        if len(sets) != self._alike[0]:
            suits = np.zeros((len(self._stacks), len(sets)), dtype=np.bool_)
            for n, positions in enumerate(sets):
                suits[list(positions), n] = True
            # Nothing hangs on the order of the sets: kinds stand in the order of their first stack.
            _, first, kind = np.unique(
                np.packbits(suits, axis=1), axis=0, return_index=True, return_inverse=True
            )
            order = np.argsort(first)
            figures = replace(
                self._whole.figures,
                kind=np.argsort(order)[kind.reshape(-1)],
                first=tuple(first[order].tolist()),
            )
            self._alike = len(sets), figures
        return self._alike[1]

    def _water_on(self, day: date) -> Iterable[DatedLot]:
        return (
            one for one in self._water if one.last_good_day is not None and one.last_good_day >= day
        )
