"""Describe what was promised to a partner for a visit, and what became of it.

A promise reserves units: they count in no coverage. It is kept by a hand-off, in full or in part,
or it lapses; what did not go is free again.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Len

from daysworth.domain.identifiers import IdLength, LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR

LAPSES_AFTER_DAYS: Final = 2
"""How many days after its visit is over a promise lapses by itself."""

MOST_ITEMS: Final = 2_000
"""Lots in one promise."""


class PromiseState(StrEnum):
    """What became of a promise.

    `open`: it waits for its day. `kept`: all of it went. `kept_in_part`: some of it went.
    `refused`: the partner took nothing. `lapsed`: nothing was brought.
    """

    OPEN = "open"
    KEPT = "kept"
    KEPT_IN_PART = "kept_in_part"
    REFUSED = "refused"
    LAPSED = "lapsed"


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisedLot:
    """Whole units of a lot."""

    lot: Annotated[LotId, IdLength]
    units: Annotated[int, Ge(1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """An open promise: units of lots for one visit.

    `opens_at` is the wall-clock time at the partner's, in hours and minutes, which together with
    the window names the visit; `on` is its date there. Raises ValueError where a lot stands twice,
    and for a time that names no visit.
    """

    id: Annotated[PromiseId, IdLength]
    partner: Annotated[PartnerId, IdLength]
    window: Annotated[WindowId, IdLength]
    opens_at: datetime
    items: Annotated[tuple[PromisedLot, ...], Len(1, MOST_ITEMS)]

    def __post_init__(self) -> None:
        lots = [item.lot for item in self.items]
        if len(set(lots)) < len(lots):
            raise ValueError("a lot stands in a promise once")
        if self.opens_at.tzinfo is not None:
            raise ValueError("give the time on the clock there, without an offset")
        if self.opens_at.second or self.opens_at.microsecond:
            raise ValueError("give a time in hours and minutes")
        if not FIRST_YEAR <= self.opens_at.year <= LAST_YEAR:
            raise ValueError(f"a visit is between {FIRST_YEAR} and {LAST_YEAR}")

    @property
    def on(self) -> date:
        """Give the date of the visit, as it is at the partner's."""
        return self.opens_at.date()
