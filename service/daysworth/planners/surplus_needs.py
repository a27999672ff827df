"""Bound who eats what over some days, so that days need not be planned one by one.

Between birthdays a need changes one way with age (`energy_needs`): its most and its least stand at
the ends. Below three years, and while somebody nurses, that holds from month to month. So a member
is looked at on the first day and the last, and on each day on which another year or month begins
and the day before it; one who is pregnant on every day. Everyone needing the most of energy, of
protein to energy and of water can be fed for no longer than on any of the days, and everyone
needing the least for no shorter.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from daysworth.domain.ages import MONTHS_PER_YEAR, completed_months, months_after
from daysworth.domain.energy_needs import ACTIVITY_FROM_MONTHS
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.classes import Mouth, household_mouths, present_households
from daysworth.planners.scenario import Scenario


class NeedsOver:
    """The needs of everyone present over any days of some, of one snapshot and scenario."""

    def __init__(
        self, snapshot: Snapshot, scenario: Scenario, *, from_on: date, to_on: date
    ) -> None:
        self._from_on, self._to_on = from_on, to_on
        self._snapshot, self._scenario = snapshot, scenario
        self._homes = present_households(snapshot, scenario)
        self._known: dict[tuple[int, date], list[Mouth]] = {}
        self._same: dict[Mouth, Mouth] = {}
        self._still: dict[tuple[int, date], bool] = {}
        self._turns: dict[int, list[date]] = {}

    def most(self, from_on: date, to_on: date) -> tuple[Mouth, ...] | None:
        """Give everyone as needing the most; None: who eats, or what suits them, changes."""
        return self._bounded(from_on, to_on, is_most=True)

    def least(self, from_on: date, to_on: date) -> tuple[Mouth, ...] | None:
        """Give everyone as needing the least; None as for the most."""
        return self._bounded(from_on, to_on, is_most=False)

    def steady(self, from_on: date, to_on: date) -> list[tuple[date, date]]:
        """Part some days so that within each part the same eat, and the same suits them."""
        changes = set()
        for h, home in enumerate(self._homes):
            turns = self._turns_of(h, home)
            for day in turns[bisect_right(turns, from_on) : bisect_right(turns, to_on)]:
                before = self._mouths(h, home, on=day - timedelta(days=1))
                after = self._mouths(h, home, on=day)
                if [one.eater for one in before] != [one.eater for one in after]:
                    changes.add(day)
        begins = [from_on, *sorted(changes - {from_on})]
        ends = [*(day - timedelta(days=1) for day in begins[1:]), to_on]
        return list(zip(begins, ends, strict=True))

    def _bounded(self, from_on: date, to_on: date, *, is_most: bool) -> tuple[Mouth, ...] | None:
        found: list[Mouth] = []
        for h, home in enumerate(self._homes):
            days = {from_on, to_on}
            if from_on < to_on:
                turns = self._turns_of(h, home)
                days.update(turns[bisect_right(turns, from_on) : bisect_left(turns, to_on)])
            each = [self._mouths(h, home, on=day) for day in sorted(days)]
            eaters = [mouth.eater for mouth in each[0]]
            if any([mouth.eater for mouth in mouths] != eaters for mouths in each[1:]):
                return None
            found.extend(_bound(at_table, is_most=is_most) for at_table in zip(*each, strict=True))
        return tuple(found)

    def _turns_of(self, h: int, home: Household) -> list[date]:
        """List the days on which a need of a household may turn, and the day before each."""
        if h not in self._turns:
            each = (
                _turns(member, from_on=self._from_on, to_on=self._to_on) for member in home.members
            )
            self._turns[h] = sorted({day for days in each for day in days})
        return self._turns[h]

    def _mouths(self, h: int, home: Household, *, on: date) -> list[Mouth]:
        turns = self._turns_of(h, home)
        at = bisect_left(turns, on)
        before = turns[at - 1] if at else self._from_on
        after = turns[at] if at < len(turns) else self._to_on
        if on not in (before, after) and self._is_still(h, home, between=(before, after)):
            return self._known[h, before]
        return self._looked_up(h, home, on=on)

    def _is_still(self, h: int, home: Household, *, between: tuple[date, date]) -> bool:
        """Tell whether needs are the same at both ends of days on which they change one way."""
        before, after = between
        key = h, before
        if key not in self._still:
            same = self._looked_up(h, home, on=before) == self._looked_up(h, home, on=after)
            self._still[key] = same
        return self._still[key]

    def _looked_up(self, h: int, home: Household, *, on: date) -> list[Mouth]:
        key = h, on
        if key not in self._known:
            mouths = household_mouths(
                home, snapshot=self._snapshot, scenario=self._scenario, as_of=on
            )
            # Who needs the same as on another day is the same object, and soon known to be.
            self._known[key] = [self._same.setdefault(one, one) for one in mouths]
        return self._known[key]


def _bound(same: Sequence[Mouth], *, is_most: bool) -> Mouth:
    """Give one who needs the most, or the least, of what the same member needs on some days."""
    first = same[0]
    if all(mouth is first or mouth == first for mouth in same):
        return first
    take = max if is_most else min
    kcal = take(mouth.energy_kcal for mouth in same)
    ratio = take(mouth.ratio for mouth in same)
    water_l = take(mouth.water_l for mouth in same)
    return Mouth(first.household, first.eater, kcal, ratio * kcal, water_l)


def _turns(member: Member, *, from_on: date, to_on: date) -> Iterator[date]:
    """List the days within some at which a need may turn, and the day before each."""
    if member.pregnancy_due_on is not None:
        days = (to_on - from_on).days
        yield from (from_on + timedelta(days=n) for n in range(days + 1))
        return
    if member.breastfeeding_since_on is not None:
        turns = _monthly(member.breastfeeding_since_on, step=1, from_on=from_on, to_on=to_on)
        yield from _both(turns, from_on)
    if member.born_on is not None:
        turns = _monthly(member.born_on, step=MONTHS_PER_YEAR, from_on=from_on, to_on=to_on)
        yield from _both(turns, from_on)


def _both(turns: Iterable[date], from_on: date) -> Iterator[date]:
    for turn in turns:
        yield turn
        if turn - timedelta(days=1) > from_on:
            yield turn - timedelta(days=1)


def _monthly(since_on: date, *, step: int, from_on: date, to_on: date) -> Iterator[date]:
    """List the days within some on which a month begins, from three years on each `step` months."""
    months = max(0, completed_months(since_on, from_on))
    while (turn := months_after(since_on, months)) <= to_on:
        if turn > from_on and (months <= ACTIVITY_FROM_MONTHS or months % step == 0):
            yield turn
        months += 1
