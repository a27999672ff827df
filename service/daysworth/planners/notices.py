"""Find what a store's weekly notice lists by date: what is past it, and what soon will be.

Given are a snapshot, an as-of date `D` and the store's bands of days `b_1 < … < b_n`. For a lot
`l` let `u_l` be its units on hand, `p_l` those of them promised to a partner, and `g_l` its last
good day, as `shelf` finds it. Days are counted by the calendar, and `b_0` is -1.

    past       the lots that are past their last good day (g_l < D) with u_l > 0
    band i     the lots still good with u_l - p_l > 0 and b_(i-1) < g_l - D <= b_i

So a lot whose last good day is `D` itself is in the first band. What is past is listed whole, for
a promise of it cannot be kept; in a band, units that are promised leave anyway and do not count.
A lot that is damaged, quarantined or undated is in none of these, nor is one that is good for
longer than `b_n`. No lot is listed twice. Each list is by last good day, then by the food's name,
then by the lot's id. Water counts as food does.

What is due before the next round, undated, damaged or quarantined is found by `rotation`, and the
visits to partners by `coming_visits`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import DatedLot, Standing, dated_lots


@dataclass(frozen=True, slots=True)
class Band:
    """The lots that pass their last good day within so many days, and in no earlier band."""

    within_days: int
    lots: tuple[DatedLot, ...]


@dataclass(frozen=True, slots=True)
class Notice:
    """What is past its last good day and still on the shelf, and what soon will be, by band."""

    past: tuple[DatedLot, ...]
    bands: tuple[Band, ...]


def plan_notice(snapshot: Snapshot, as_of: date) -> Notice:
    """Sort a store's lots by when they pass their last good day, seen from a date."""
    dated = dated_lots(snapshot, as_of)
    past = (item for item in dated if item.standing is Standing.PAST and item.lot.units > 0)
    good = [(days, item) for item in dated if (days := _days_left(item, as_of)) is not None]
    edges = pairwise((-1, *snapshot.settings.notice_bands_days))
    return Notice(
        _in_order(past),
        tuple(
            Band(within, _in_order(item for days, item in good if after < days <= within))
            for after, within in edges
        ),
    )


def _days_left(item: DatedLot, as_of: date) -> int | None:
    """Count the days to the last good day of a good lot with units to eat; None: it has none."""
    if item.standing is not Standing.GOOD or item.lot.units_to_eat <= 0:
        return None
    return None if item.last_good_day is None else (item.last_good_day - as_of).days


def _in_order(items: Iterable[DatedLot]) -> tuple[DatedLot, ...]:
    return tuple(
        sorted(items, key=lambda one: (one.last_good_day or date.max, one.food.name, one.lot.id))
    )
