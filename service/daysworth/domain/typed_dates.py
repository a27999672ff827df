"""Read a label's date as a volunteer types it.

What is typed is cut into words and figures; their shape ("4 APR 27" is figures, a month's name,
figures) says which readings there are, the likeliest first. The first that is a possible date is
the date, and the rest are kept beside it, so that a person can be asked which of them is meant.
"""

import calendar
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.domain.errors import DateRefused
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR

MOST_CHARACTERS: Final = 40
"""A label's date is shorter, with all the words before it."""

HOW_TO_WRITE: Final = "write it as 2027-04, 04/2027 or 4 Apr 2027"

_MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_SYMBOLS: Final = ("ja", "fe", "mr", "al", "ma", "jn", "jl", "au", "se", "oc", "no", "de")
"""The months on bilingual packs: Food and Drug Regulations of Canada, B.01.007(5)."""

_KIND_WORDS: Final = re.compile(
    # "BB/MA" is "best before" in two languages on packs where MA alone is the month of May.
    r"(?:(?:bb\s*/\s*ma|bb|bbe|bbd|best|before|by|end|if|used?|or|freeze|enjoy|eat|consume"
    r"|exp|expires?|expiry|expiration|sell|display|until|date|packed|pkd|made|mfg|mfd|on)"
    r"(?![a-z])[\s.,:/-]*)+"
)
_ORDINAL: Final = re.compile(r"(?<=[0-9])(?:st|nd|rd|th)(?![a-z])(?:\s+of(?![a-z]))?")
_DASHES: Final = re.compile("[\u2010-\u2015\u2212]")
_LETTERS_AND_FIGURES: Final = re.compile(r"[a-z0-9 ./,'’-]*")
_WORD: Final = re.compile(r"[a-z]+|[0-9]+")


class DateOrder(StrEnum):
    """Which part of a date in figures comes first, where the store is."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"


@dataclass(frozen=True, slots=True)
class TypedDate:
    """A label's date (YYYY-MM-DD, YYYY-MM or YYYY), and what else the same figures may mean.

    `others` are possible dates, the likeliest first; with none of them the date is not ambiguous.
    """

    printed: str
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Reading:
    """Figures as typed, each given a part of a date to play."""

    year: str
    month: str | None = None
    day: str | None = None


def read_typed_date(typed: str, *, order: DateOrder, read_in_year: int) -> TypedDate:
    """Read a label's date as typed, dates in figures by the store's order.

    A year of two figures is the one at most 49 years back and 50 years ahead of `read_in_year`
    (GS1 General Specifications 7.12); day 00 is the month (3.4.7). Raises DateRefused, in words
    for whoever typed it, where there is no such date between 2000 and 2099.
    """
    text = _cleaned(typed)
    found: dict[str, None] = {}
    why_not = HOW_TO_WRITE
    for reading in _readings(text.casefold(), order=order):
        year = _year(reading.year, read_in_year=read_in_year)
        if year is None or not _can_be(reading):
            continue
        fault = _fault(reading, year=year)
        if fault is None:
            found.setdefault(_printed(reading, year=year))
            continue
        why_not = fault
        # A day that its month does not have is a slip of the pen: read in another order, 27/02/30
        # would be a date three years later that nobody meant.
        if not found and _is_in_range(year):
            break
    if not found:
        raise DateRefused(f"“{text}” cannot be read as a date: {why_not}")
    printed, *others = found
    return TypedDate(printed, tuple(others))


def _cleaned(typed: str) -> str:
    text = unicodedata.normalize("NFKC", typed[: MOST_CHARACTERS + 1]).strip()
    if max(len(typed), len(text)) > MOST_CHARACTERS:
        raise DateRefused(f"a date has no more than {MOST_CHARACTERS} characters: {HOW_TO_WRITE}")
    if not text:
        raise DateRefused(f"no date was typed: {HOW_TO_WRITE}")
    if not text.isprintable():
        raise DateRefused(f"the date has a character in it that cannot be read: {HOW_TO_WRITE}")
    return text


@dataclass(frozen=True, slots=True)
class _Month:
    """A month that was named: its number in figures, and how it stood in what was typed."""

    number: str
    is_symbol: bool
    is_joined: bool


def _readings(text: str, *, order: DateOrder) -> Iterable[_Reading]:
    """List what a text may mean, the likeliest first; there may be impossible dates among them."""
    words = _words(text)
    figures = [word for word in words if isinstance(word, str)]
    if len(figures) == len(words):
        return _of_figures(figures, order=order)
    match words:
        case [_Month() as month, str(run)]:
            return _of_month_first(month, run)
        case [str(run), _Month(number=number)] if len(run) == 4:
            return (_Reading(run, number),)
        case [str(first), _Month() as month, str(last)]:
            return _of_month_between(first, month, last=last, order=order)
        case [_Month(number=number), str(day), str(year)]:
            return (_Reading(year, number, day),)
    # "27 Apr" is a day without its year; whatever else is left is no date.
    return ()


def _words(text: str) -> Sequence[str | _Month]:
    """Cut a text into figures and months, or into nothing where anything else is in it."""
    kinds = _KIND_WORDS.match(text)
    rest = _ORDINAL.sub(" ", _DASHES.sub("-", text[kinds.end() if kinds else 0 :]))
    if _LETTERS_AND_FIGURES.fullmatch(rest) is None:
        return ()
    words: list[str | _Month] = []
    for match in _WORD.finditer(rest):
        number = _month_number(match[0])
        if number is not None:
            is_joined = rest[match.end() : match.end() + 1].isdigit()
            words.append(_Month(f"{number:02}", match[0] in _SYMBOLS, is_joined))
        elif match[0].isdigit():
            words.append(match[0])
        else:
            return ()
    return words


def _month_number(word: str) -> int | None:
    if word in _SYMBOLS:
        return _SYMBOLS.index(word) + 1
    for number, name in enumerate(_MONTHS, start=1):
        if len(word) >= 3 and name.casefold().startswith(word):
            return number
    return None


def _of_figures(figures: list[str], *, order: DateOrder) -> Iterable[_Reading]:
    match figures:
        case [run]:
            return _of_one_run(run, order=order)
        case [first, second]:
            return _of_two(first, second, order=order)
        case [first, second, third]:
            return _of_three(first, second, third=third, order=order)
    return ()


def _of_one_run(run: str, *, order: DateOrder) -> Iterable[_Reading]:
    match len(run):
        case 4:
            return (_Reading(run),)
        case 6:
            return _of_six(run, order=order)
        case 8:
            year_last = _of_three(run[:2], run[2:4], third=run[4:], order=order)
            return (_Reading(run[:4], run[4:6], run[6:]), *year_last)
    return ()


def _of_six(run: str, *, order: DateOrder) -> Iterable[_Reading]:
    first, second, third = run[:2], run[2:4], run[4:]
    readings = [*_of_three(first, second, third=third, order=order)]
    if second == "20":
        readings.append(_Reading(year=run[2:], month=first))
    year_first = _Reading(first, second, third)
    if third == "00":
        # Day 00 is GS1's way to print a month, and GS1 prints the year first.
        return (year_first, *readings)
    if first > "31":
        return (*readings, year_first)
    if first == "20" and second > "12":
        return (*readings, _Reading(run[:4], third))
    return readings


def _of_two(first: str, second: str, *, order: DateOrder) -> Iterable[_Reading]:
    month_first = _Reading(year=second, month=first)
    if len(first) == 4 or order is DateOrder.YEAR:
        return (_Reading(year=first, month=second), month_first)
    # "27/04" may be a day without its year, so it is not taken for a year and its month.
    return (month_first,)


def _of_three(first: str, second: str, *, third: str, order: DateOrder) -> Iterable[_Reading]:
    year_first = _Reading(first, second, third)
    day_first = _Reading(third, second, first)
    month_first = _Reading(third, first, second)
    if len(first) == 4:
        return (year_first,)
    match order:
        case DateOrder.YEAR:
            return (year_first, day_first, month_first)
        case DateOrder.MONTH:
            return (month_first, day_first)
        case DateOrder.DAY:
            return (day_first, month_first)


def _of_month_first(month: _Month, run: str) -> Iterable[_Reading]:
    """Read "APR 2027", "APR 27", "APR0427" and "APR042027".

    A month and two figures are a month and a year: what keeps for months prints its year (USDA
    FSIS, food product dating; Regulation (EU) 1169/2011, Annex X). Bilingual packs do print
    "JN 28" for a day without its year, so there the year has to be added.
    """
    month_and_year = _Reading(run, month.number)
    if month.is_symbol:
        # Nor is "NO 1234" a day and a year of November: it may be the number of a lot.
        return () if len(run) == 2 and run <= "31" else (month_and_year,)
    # "APR2027" in one may be 20 April 2027, as "APR0427" is 4 April; "APR 2027" may not.
    if len(run) not in (4, 6) or (run.startswith("20") and not month.is_joined):
        return (month_and_year,)
    return (month_and_year, _Reading(run[2:], month.number, run[:2]))


def _of_month_between(
    first: str, month: _Month, *, last: str, order: DateOrder
) -> Iterable[_Reading]:
    """Read "4 APR 2027", "04APR27", "2027 APR 04" and, on bilingual packs, "27 AL 04"."""
    day_first = _Reading(last, month.number, first)
    year_first = _Reading(first, month.number, last)
    if month.is_symbol and order is DateOrder.YEAR:
        return (year_first, day_first)
    if month.is_symbol or order is DateOrder.YEAR or len(first) == 4:
        return (day_first, year_first)
    return (day_first,)


def _year(figures: str, *, read_in_year: int) -> int | None:
    if len(figures) == 2:
        earliest = read_in_year - 49
        return earliest + (int(figures) - earliest) % 100
    return int(figures) if len(figures) == 4 else None


def _can_be(reading: _Reading) -> bool:
    """Say whether there are such months, and whether any month has such a day."""
    month, day = reading.month, reading.day
    is_month = month is None or (len(month) <= 2 and 1 <= int(month) <= 12)
    return is_month and (day in (None, "00") or (len(day) <= 2 and 1 <= int(day) <= 31))


def _fault(reading: _Reading, *, year: int) -> str | None:
    if not _is_in_range(year):
        return f"its year is not between {FIRST_YEAR} and {LAST_YEAR}"
    if reading.month is None or reading.day is None:
        return None
    month, day = int(reading.month), int(reading.day)
    if day > calendar.monthrange(year, month)[1]:
        return f"there is no {day} {_MONTHS[month - 1]} {year}"
    return None


def _is_in_range(year: int) -> bool:
    return FIRST_YEAR <= year <= LAST_YEAR


def _printed(reading: _Reading, *, year: int) -> str:
    parts = [reading.month, None if reading.day == "00" else reading.day]
    return "-".join([f"{year:04}", *(part.zfill(2) for part in parts if part is not None)])
