"""Describe who takes what a store can spare: partners, when they receive, and what they take."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Annotated, Final

from annotated_types import Ge, Gt, Le, Len

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import IdLength, Name, PartnerId, WindowId
from daysworth.domain.label_dates import LAST_YEAR
from daysworth.domain.recurrence import MOST_LISTED, MOST_YEARS, Recurrence, occurrences

MOST_WINDOWS: Final = 20
SHORTEST_MINUTES: Final = 5
LONGEST_MINUTES: Final = 24 * 60
MONTHS: Final = frozenset(range(1, 13))

OVERLAP_LOOKED_AT_DAYS: Final = 731
"""How long from each first date windows are held against one another: two years."""

MOST_OPENINGS: Final = 20_000
"""How many openings are held against one another: more than 20 windows have daily in two years."""

Kilograms = Annotated[float, Gt(0), Le(100_000)]
Line = Annotated[str, Len(0, 200)]
"""Words on one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptanceRule:
    """What a partner takes of a food group; `group` None: of every group with no rule of its own.

    `least_days_left` are the days that the printed date is ahead at the hand-off at least; below
    0, how many days past a best-by or sell-by date may be (never past a use-by date, nor for
    formula or baby food). `most_kg_per_visit` and `most_units_per_visit` bound what one window
    takes of it. Where `takes` is false, nothing of it is taken.
    """

    group: FoodGroup | None = None
    takes: bool = True
    least_days_left: Annotated[int, Ge(-3_650), Le(3_650)] = 0
    most_kg_per_visit: Kilograms | None = None
    most_units_per_visit: Annotated[int, Ge(1), Le(1_000_000)] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """When a partner receives, how much, and what there is to know before driving there.

    `most_kg` and `most_units` bound what is taken at one visit, `vehicle_kg` what our vehicle
    carries on a trip; None: no bound. `notice_days` are how many days before the visit it has to
    be promised. In months outside `open_months` it does not open. Raises ValueError for a time
    that is too short or too long, and for a window that never opens.
    """

    id: Annotated[WindowId, IdLength]
    recurrence: Recurrence
    minutes: Annotated[int, Ge(SHORTEST_MINUTES), Le(LONGEST_MINUTES)]
    most_kg: Kilograms | None = None
    most_units: Annotated[int, Ge(1), Le(1_000_000)] | None = None
    vehicle_kg: Kilograms | None = None
    notice_days: Annotated[int, Ge(0), Le(365)] = 0
    open_months: frozenset[Annotated[int, Ge(1), Le(12)]] = MONTHS
    driver: Line = ""
    appointment: Line = ""
    contact: Line = ""

    def __post_init__(self) -> None:
        if not SHORTEST_MINUTES <= self.minutes <= LONGEST_MINUTES:
            raise ValueError(
                f"a window lasts {SHORTEST_MINUTES} minutes to {LONGEST_MINUTES // 60} hours"
            )
        if not self.open_months:
            raise ValueError("a window opens in one month of the year at least")
        if not _opens_ever(self):
            raise ValueError("this never opens: its dates are all in months that it is closed in")

    @property
    def lasts(self) -> timedelta:
        """Give how long it is open, by the clock there."""
        return timedelta(minutes=self.minutes)

    @property
    def carried_kg(self) -> float | None:
        """Give the kilograms that one visit can bring; None: as many as there are."""
        bounds = [one for one in (self.most_kg, self.vehicle_kg) if one is not None]
        return min(bounds, default=None)

    def opens(self, *, from_on: date, to_on: date) -> tuple[datetime, ...]:
        """List the instants at which it opens, from one local date to another."""
        # By its rule it opens once a day at most, so that nothing is cut.
        most = max(0, (to_on - from_on).days + 1) + 1 + MOST_LISTED
        found = occurrences(self.recurrence, from_on=from_on, to_on=to_on, most=most)
        return tuple(at for at in found.at if at.month in self.open_months)


@dataclass(frozen=True, slots=True, kw_only=True)
class Partner:
    """Who takes food for people in need: a food bank, a soup kitchen, a shelter.

    Where `rules` say nothing of a food's group, the customary rule holds (`acceptance`). Where
    `asks_read_label` is set, only food goes whose whole label was read here. `notes` are words on
    one line. Raises ValueError where a group or a window stands twice, windows overlap, or
    too many openings would have to be looked at to tell.
    """

    id: Annotated[PartnerId, IdLength]
    name: Name
    is_nonprofit: bool = True
    contact: Line = ""
    notes: Line = ""
    asks_read_label: bool = False
    rules: Annotated[tuple[AcceptanceRule, ...], Len(0, 40)] = ()
    windows: Annotated[tuple[Window, ...], Len(0, MOST_WINDOWS)] = ()

    def __post_init__(self) -> None:
        groups = [rule.group for rule in self.rules]
        if len(set(groups)) < len(groups):
            raise ValueError("a food group has one rule at most")
        ids = [window.id for window in self.windows]
        if len(set(ids)) < len(ids):
            raise ValueError("a window stands once with a partner")
        if len(ids) > MOST_WINDOWS:
            raise ValueError(f"a partner has at most {MOST_WINDOWS} windows")
        overlap = _overlap(self.windows)
        if overlap is not None:
            raise ValueError(overlap)


def _opens_ever(window: Window) -> bool:
    """Tell whether any of its times is in a month that it opens in."""
    if window.open_months == MONTHS:
        return True
    last = min(window.recurrence.starts_at.year + MOST_YEARS, LAST_YEAR)
    return any(
        window.opens(from_on=date(year, 1, 1), to_on=date(year, 12, 31))
        for year in range(_first(window.recurrence).year, last + 1)
    )


def _first(of: Recurrence) -> date:
    return min((of.starts_at, *of.also_at)).date()


_NEARER: Final = "give first dates that are nearer to one another, or fewer dates"


@lru_cache(maxsize=128)
def _overlap(windows: tuple[Window, ...]) -> str | None:
    """Say that windows overlap, and when first; None: they do not, as far as it is looked at.

    What is read again and again from the same words is looked at once.
    """
    looked_at = 0
    for from_on, to_on in _spans(windows):
        opened: list[tuple[float, int, datetime]] = []
        for number, window in enumerate(windows):
            each = window.opens(from_on=from_on, to_on=to_on)
            opened.extend((at.timestamp(), number, at) for at in each)
            looked_at += len(each)
            if looked_at > MOST_OPENINGS:
                return "the windows open too often to be held against one another: " + _NEARER
        for (_, one, before), (_, other, after) in pairwise(sorted(opened)):
            if not _is_open(windows[one], since=before, at=after):
                continue
            if one == other:
                return f"a window opens again on {after:%Y-%m-%d} before it has closed"
            return f"two windows overlap on {after:%Y-%m-%d}: change one of them"
    return None


def _spans(windows: tuple[Window, ...]) -> list[tuple[date, date]]:
    """Give the days that are looked at, once each: from the day before every first date on."""
    spans: list[tuple[date, date]] = []
    firsts = {day for one in windows for day in (_first(one.recurrence), _starts_on(one))}
    for first in sorted(firsts):
        from_on = first - timedelta(days=1)
        to_on = first + timedelta(days=OVERLAP_LOOKED_AT_DAYS)
        if spans and from_on <= spans[-1][1]:
            spans[-1] = (spans[-1][0], to_on)
        else:
            spans.append((from_on, to_on))
    return spans


def _starts_on(window: Window) -> date:
    return window.recurrence.starts_at.date()


def _is_open(window: Window, *, since: datetime, at: datetime) -> bool:
    """Tell whether a window that opened is open still; in one zone the clock there says it.

    So a window of a whole day, every day, does not overlap itself on a day of 23 hours.
    """
    if since.tzinfo is at.tzinfo:
        return at.replace(tzinfo=None) < since.replace(tzinfo=None) + window.lasts
    return at.astimezone(UTC) < since.astimezone(UTC) + window.lasts
