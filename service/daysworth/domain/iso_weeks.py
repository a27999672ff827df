"""Count weeks as ISO 8601 does: from Monday, the first being the one with 4 January in it.

So the first days of January may belong to the year before, and the last of December to the year
after. A year has 52 weeks or 53, and 28 December is always in its last.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from daysworth.domain.errors import InputRefused

FIRST_READ_YEAR: Final = 2010
LAST_READ_YEAR: Final = 2090
"""A week of another year, when somebody writes one, is taken for a slip of the pen."""

_WRITTEN: Final = re.compile(r"([0-9]{4})-W([0-9]{2})")


@dataclass(frozen=True, slots=True, order=True)
class Week:
    """One week of ISO 8601: its year, and its number in that year from 1.

    Raises ValueError where the year has no week of that number.
    """

    year: int
    number: int

    def __post_init__(self) -> None:
        date.fromisocalendar(self.year, self.number, 1)

    @classmethod
    def of(cls, day: date) -> "Week":
        """Give the week that a day is in."""
        year, number, _ = day.isocalendar()
        return cls(year, number)

    @classmethod
    def read(cls, written: str) -> "Week":
        """Read "2026-W48". Raises InputRefused for another form, or a week that is not there."""
        match = _WRITTEN.fullmatch(written)
        if match is None:
            raise InputRefused("a week is written as its year and its number, such as 2026-W48")
        year, number = int(match[1]), int(match[2])
        if not FIRST_READ_YEAR <= year <= LAST_READ_YEAR:
            raise InputRefused(f"{written} is not between {FIRST_READ_YEAR} and {LAST_READ_YEAR}")
        last = cls.last_of(year)
        if not 1 <= number <= last.number:
            raise InputRefused(
                f"there is no week {written}: the weeks of {year} are {cls(year, 1)} to {last}"
            )
        return cls(year, number)

    @classmethod
    def last_of(cls, year: int) -> "Week":
        """Give a year's last week."""
        return cls.of(date(year, 12, 28))

    @property
    def first_day(self) -> date:
        """Give its Monday."""
        return date.fromisocalendar(self.year, self.number, 1)

    @property
    def last_day(self) -> date:
        """Give its Sunday."""
        return date.fromisocalendar(self.year, self.number, 7)

    def previous(self) -> "Week":
        """Give the week before."""
        return Week.of(self.first_day - timedelta(days=7))

    def __str__(self) -> str:
        return f"{self.year:04}-W{self.number:02}"
