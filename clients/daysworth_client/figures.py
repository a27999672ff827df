"""Show figures to a person: days rounded down, so that nobody counts on a day that is not there."""

from datetime import date
from math import floor
from typing import Final
from unicodedata import east_asian_width

_TENTHS: Final = 10
_GRAIN: Final = 1e-6
"""Answers are published to six decimals; a figure this near the next tenth has reached it."""


def tenths(days: float) -> str:
    """Write days to a tenth, rounded down: 2.96 is "2.9"."""
    return f"{floor((days + _GRAIN) * _TENTHS) / _TENTHS:.1f}"


def in_words(days: float, *, at_least: bool = False) -> str:
    """Write days as a person would say them: "7 days and some", "at least 180 days"."""
    whole = floor(days + _GRAIN)
    unit = "day" if whole == 1 else "days"
    if at_least:
        return f"at least {whole} {unit}"
    return f"{whole} {unit} and some" if days - whole > _GRAIN else f"{whole} {unit}"


def count(number: int, one: str, *, many: str | None = None) -> str:
    """Write a count with its noun: "1 person", "3 people"."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def one_line(name: str) -> str:
    """Write a name so that nothing in it moves the cursor, turns the line round or breaks it."""
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in name)


def litres(stored_l: float) -> str:
    """Write litres, rounded down: "1 litre", "4,484 litres"."""
    return count(floor(stored_l + _GRAIN), "litre")


def columns(text: str) -> int:
    """Count the columns a text takes on a terminal, where wide letters take two."""
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def fitted(name: str, width: int) -> str:
    """Write a name in exactly `width` columns, cut short or filled with spaces."""
    kept = one_line(name)
    while columns(kept) > width:
        kept = kept[:-1]
    return kept + " " * (width - columns(kept))


def day_in_words(iso: str) -> str:
    """Write an ISO date so that month and day cannot be mistaken: "1 March 2027"."""
    day = date.fromisoformat(iso)
    return f"{day.day} {day:%B} {day.year}"
