"""Hold a plan for what goes to partners to the days that everyone must stay fed for.

On every day `D` up to the end of the look-ahead, with what has gone on or before `D` away,

    T*(D, plan) >= min(floor, T*(D, nothing goes)) - 1e-6

Each day is a plan of coverage, so as few as may be are planned. Over some days with no change in
who eats what, everyone needing the most of those days, with only what keeps to the last of them
and has not gone by then, is fed for no longer than on any of them. Where that reaches the floor,
or as far as anyone is fed with nothing gone, all those days hold; else they are halved, down to
single days. Where even with nothing gone it does not reach so far, they are halved at once. First
all that could go is taken to have gone: days that hold even so hold for every plan. The rest are
watched. What held with more gone holds with less, and only what may still be eaten counts. Where
over some days nobody's need changes, nor how long all are fed with nothing gone, or it reaches the
floor, the last of them stands for all: no day before it has less on the shelf.

Where a plan breaks a watched day, the prices of that day's program give a row that it breaks and
that no plan breaks which holds the day: days for everyone are concave in what is on the shelf, so

    T*(D, gone) <= T*(D, gone by this plan) - sum_s price_s (gone_s - gone_s by this plan)
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from daysworth.planners.stopping import check
from daysworth.planners.supply import Floats
from daysworth.planners.surplus_needs import NeedsOver
from daysworth.planners.surplus_shelf import DaysThen, ShelfAhead, Table

KEPT: Final = 1e-6
"""Days nearer to the floor than this have reached it: published figures have six decimals."""
_AIM: Final = 0.5 * KEPT
"""A row asks for a little more than what is held to be kept, so that rounding breaks nothing."""

_FLAT: Final = 0.1 * KEPT
"""Days that differ by less over a span, with nothing gone, are the same throughout."""

_WATCHED_TOGETHER: Final = 16
"""So many days in a row that may break are looked at one by one only for a plan."""

_AT_ONCE: Final = 24
"""After so many broken days a plan is made anew before more are looked at."""

_HELD_REMEMBERED: Final = 12
"""So many ways for food to have gone are remembered with which a day held, the latest."""

Days = tuple[date, date]
"""From a first day to a last."""

GoneBy = Callable[[date], Floats]
"""The kcal of each stack that have gone on or before a day, shape (stacks,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A row that every plan keeps which holds a day: sum of price x kcal gone by then <= `most`.

    Its day stands for all days from `from_on` on.
    """

    held_on: date
    from_on: date
    prices: Floats
    most: float


class Floor:
    """The days of a look-ahead on which everyone must stay fed for as long as the floor says."""

    def __init__(
        self, shelf: ShelfAhead, needs: NeedsOver, *, floor_days: int, from_on: date, to_on: date
    ) -> None:
        self._shelf, self._needs, self._floor_days = shelf, needs, float(floor_days)
        self._from_on, self._to_on = from_on, to_on
        self._nothing = np.zeros(shelf.stacks)
        self._tables: dict[tuple[Days, bool], Table | None] = {}
        self._aims: dict[Days, float | None] = {}
        self._flat: list[tuple[Days, float]] = []
        self._whole: dict[tuple[date, int], float] = {}
        self._held: dict[Days, list[Floats]] = {}
        self._asked: dict[tuple[date, int], tuple[Floats, DaysThen]] = {}
        self._fine: list[Days] = []
        self._next = 0
        self.watched: tuple[Days, ...] = ()

    def watch(self, could_go: GoneBy) -> list[Cut]:
        """Find the days that could break were all gone that could go, and a few rows they give."""
        self._fine, watched = [], []
        left = list(reversed(self._needs.steady(self._from_on, self._to_on)))
        while left:
            check()
            span = left.pop()
            if self._is_held(span, gone_by=could_go):
                continue
            if (span[1] - span[0]).days < _WATCHED_TOGETHER or self._is_level(span):
                watched.append(span)
            else:
                left.extend(reversed(_halves(*span)))
        self.watched = tuple(watched)
        ends = [span if self._is_level(span) else (span[1], span[1]) for span in watched]
        return [cut for span in ends if (cut := self._cut(span, gone_by=could_go)) is not None]

    def broken(self, gone_by: GoneBy) -> list[Cut]:
        """Give rows for watched days that a plan breaks, of as many as are asked for at once.

        None: it breaks no day. It goes on where it stopped the last time, for what held a moment
        ago is likely to hold still.
        """
        found: list[Cut] = []
        spans = (*self.watched[self._next :], *self.watched[: self._next])
        for number, span in enumerate(spans):
            found.extend(self._broken_within(span, gone_by=gone_by))
            if len(found) >= _AT_ONCE:
                self._next = (self._next + number) % len(spans)
                break
        return found

    def _broken_within(self, span: Days, *, gone_by: GoneBy) -> Iterator[Cut]:
        left = [span]
        while left:
            check()
            some = left.pop()
            if self._is_level(some):
                cut = self._cut(some, gone_by=gone_by)
                if cut is not None:
                    yield cut
            elif not self._is_held(some, gone_by=gone_by):
                left.extend(reversed(_halves(*some)))

    def first_below(self) -> date | None:
        """Give the first day on which everyone is fed for less than the floor, nothing gone.

        Days that reach the floor with all gone that could go are not planned again.
        """
        fine = sorted(set(self._fine))
        spans = list(reversed(_without(fine, within=(self._from_on, self._to_on))))
        while spans:
            check()
            first, last = spans.pop()
            if self._least((first, last), gone=self._nothing) >= self._floor_days - KEPT:
                continue
            if first == last:
                return first
            spans.extend(reversed(_halves(first, last)))
        return None

    def _is_held(self, span: Days, *, gone_by: GoneBy) -> bool:
        """Tell whether some days are known to hold, without looking at each."""
        first, last = span
        gone = gone_by(last)
        if not gone[self._shelf.is_good(first)].any():
            return True
        aim = self._aim(span)
        if aim is None:
            return False
        gone = np.where(self._shelf.is_good(last), gone, 0.0)
        if self._has_held(span, gone):
            return True
        least = self._least(span, gone=gone, at_least=aim - KEPT)
        if least >= self._floor_days - KEPT:
            self._fine.append(span)
        if least < aim - KEPT:
            return False
        self._remember(span, gone)
        return True

    def _is_level(self, span: Days) -> bool:
        """Tell whether the last of some days stands for all."""
        table = self._table(span, is_most=True)
        if span[0] == span[1]:
            return True
        if table is None or table is not self._table(span, is_most=False):
            return False
        first, last = (min(self._floor_days, self._untouched(day, table=table)) for day in span)
        return first - last <= _FLAT

    def _cut(self, level: Days, *, gone_by: GoneBy) -> Cut | None:
        on = level[1]
        span = on, on
        gone = np.where(self._shelf.is_good(on), gone_by(on), 0.0)
        if not gone.any() or self._has_held(span, gone):
            return None
        table = self._table(span, is_most=True)
        assert table is not None, "on one day everyone is who they are"
        known = self._aims.get(span)
        kept = self._floor_days if known is None else known
        found = self._days(on, table=table, gone=gone, at_least=kept - (KEPT - _FLAT))
        if found.days < kept - (KEPT - _FLAT) and known is None:
            aim = self._aim(span)
            assert aim is not None, "on one day nothing changes"
            kept = min(kept, aim)
            found = self._days(on, table=table, gone=gone, at_least=kept - (KEPT - _FLAT))
        if found.days >= kept - (KEPT - _FLAT):
            self._remember(span, gone)
            return None
        most = found.days - (kept - _AIM) + float((found.prices * gone).sum())
        return Cut(held_on=on, from_on=level[0], prices=found.prices, most=most)

    def _has_held(self, span: Days, gone: Floats) -> bool:
        return any(bool((gone <= more).all()) for more in self._held.get(span, ()))

    def _remember(self, span: Days, gone: Floats) -> None:
        held = self._held.setdefault(span, [])
        held[:] = [one for one in held if not (one <= gone).all()][1 - _HELD_REMEMBERED :]
        held.append(gone)

    def _aim(self, span: Days) -> float | None:
        """Give days that nobody exceeds on any of some days with nothing gone, or the floor.

        None: what is known of these days together does not reach so far even with nothing gone.
        """
        if span not in self._aims:
            self._aims[span] = self._aimed(span)
        return self._aims[span]

    def _aimed(self, span: Days) -> float | None:
        for (first, last), days in self._flat:
            if first <= span[0] and span[1] <= last:
                return days
        reached = self._least(span, gone=self._nothing)
        if span[0] == span[1] or reached >= self._floor_days - KEPT:
            return min(self._floor_days, reached)
        table = self._table(span, is_most=False)
        if table is None or reached < 0:
            return None
        most = min(self._floor_days, self._untouched(span[0], table=table))
        if reached >= most - _FLAT:
            self._flat.append((span, reached))
        return most if reached >= most - KEPT else None

    def _least(self, span: Days, *, gone: Floats, at_least: float = 0.0) -> float:
        """Give days that everyone is fed for on each of some days at least; below 0: not known.

        Fewer than `at_least` days may be fewer still.
        """
        table = self._table(span, is_most=True)
        if table is None:
            return -1.0
        if gone is self._nothing:
            return self._untouched(span[1], table=table)
        is_good = self._shelf.is_good(span[1])
        gone = np.where(is_good, gone, 0.0)
        return self._days(span[1], table=table, gone=gone, at_least=at_least).days

    def _untouched(self, on: date, *, table: Table) -> float:
        """Give everyone-fed days with nothing gone."""
        key = on, id(table)
        if key not in self._whole:
            found = self._shelf.days(on, table=table, gone_kcal=self._nothing)
            self._whole[key] = found.days
        return self._whole[key]

    def _days(self, on: date, *, table: Table, gone: Floats, at_least: float) -> DaysThen:
        """Plan a day, or give what was found when the same was asked the last time."""
        key = on, id(table)
        if key in self._asked:
            before, found = self._asked[key]
            is_known = found.is_exact or found.days < at_least
            if is_known and np.array_equal(before, gone):
                return found
        found = self._shelf.days(on, table=table, gone_kcal=gone, at_least=at_least)
        self._asked[key] = gone, found
        return found

    def _table(self, span: Days, *, is_most: bool) -> Table | None:
        """Give those who eat on some days as needing the most, or the least, of those days."""
        key = span, is_most
        if key not in self._tables:
            needs = self._needs.most if is_most else self._needs.least
            mouths = needs(*span)
            self._tables[key] = None if mouths is None else self._shelf.table(mouths)
        return self._tables[key]


def _without(spans: Sequence[Days], *, within: Days) -> list[Days]:
    """Give what is left of some days without spans of them, which stand in order."""
    found, begins = [], within[0]
    for first, last in spans:
        if begins < first:
            found.append((begins, first - timedelta(days=1)))
        begins = last + timedelta(days=1)
    if begins <= within[1]:
        found.append((begins, within[1]))
    return found


def _halves(first: date, last: date) -> list[Days]:
    middle = first + timedelta(days=(last - first).days // 2)
    return [(first, middle), (middle + timedelta(days=1), last)]
