"""Hold the floor by asking the coverage planner, day by day, with what has gone taken away."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from daysworth.domain.identifiers import LotId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import plan_days
from daysworth.planners.scenario import Scenario

_TOLERANCE_DAYS: Final = 1e-6
Gone = tuple[int, ...]
"""Units that are gone by a day, of each lot that may go."""


class Floor:
    """Everyone-fed days on every day from one to another, capped at the floor.

    What holds with more gone holds with less gone, and what does not hold with less gone does not
    hold with more: no day is asked about where one of the two settles it.
    """

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, days: int, until_on: date, lots: Sequence[LotId]
    ) -> None:
        self._snapshot, self._days, self._lots = snapshot, days, tuple(lots)
        self._all: Gone = tuple(_free(snapshot, lot) for lot in lots)
        self._held: dict[date, list[Gone]] = {}
        self._broken: dict[date, list[Gone]] = {}
        ahead = (until_on - as_of).days
        self.dates = tuple(as_of + timedelta(days=n) for n in range(ahead + 1))
        self._before: dict[date, float | None] = {}

    def days_on(self, day: date, gone: Gone) -> float | None:
        """Give everyone-fed days on a day, capped at the floor; None: nobody has a need."""
        taken = dict(zip(self._lots, gone, strict=True))
        lots = tuple(
            replace(lot, units=lot.units - taken.get(lot.id, 0)) for lot in self._snapshot.lots
        )
        left = replace(self._snapshot, lots=lots)
        scenario = Scenario(horizon_days=max(1, self._days))
        return plan_days(left, day, scenario=scenario).everyone_fed_days

    def before(self, day: date) -> float | None:
        """Give the same if nothing goes."""
        if day not in self._before:
            self._before[day] = self.days_on(day, (0,) * len(self._lots))
        return self._before[day]

    def is_kept_on(self, day: date, gone: Gone) -> bool:
        """Tell whether a day has the floor, or what it would have had if that is less."""
        if self._days == 0 or not any(gone):
            return True
        held, broken = self._held.setdefault(day, []), self._broken.setdefault(day, [])
        if any(_is_within(gone, one) for one in held):
            return True
        if any(_is_within(one, gone) for one in broken):
            return False
        is_kept = self._asked(day, gone)
        (held if is_kept else broken).append(gone)
        return is_kept

    def _asked(self, day: date, gone: Gone) -> bool:
        days = self.days_on(day, gone)
        if days is None or days >= self._days - _TOLERANCE_DAYS:
            return True
        before = self.before(day)
        assert before is not None, "somebody has a need with less food, and so with more"
        return days >= min(self._days, before) - _TOLERANCE_DAYS

    def is_kept(self, taken: Mapping[date, Gone]) -> bool:
        """Tell whether every day keeps the floor, with what goes on each date."""
        return all(self.is_kept_on(day, self._gone(taken, day)) for day in self._tight)

    @property
    def _tight(self) -> tuple[date, ...]:
        return tuple(day for day in self.dates if not self.is_kept_on(day, self._all))

    def _gone(self, taken: Mapping[date, Gone], day: date) -> Gone:
        until = [units for on, units in taken.items() if on <= day]
        return tuple(sum(each) for each in zip(*until, strict=True)) or (0,) * len(self._lots)


def _free(snapshot: Snapshot, id_: LotId) -> int:
    lot = next(one for one in snapshot.lots if one.id == id_)
    return lot.units - lot.units_in_kits - lot.units_promised


def _is_within(one: Gone, other: Gone) -> bool:
    return all(less <= more for less, more in zip(one, other, strict=True))
