"""Read the date on a label, and work out the last day on which a lot may be eaten."""

import calendar
import re
from collections.abc import Mapping
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.errors import DateRefused
from daysworth.domain.foods import Food, FoodGroup

FIRST_YEAR: Final = 2000
LAST_YEAR: Final = 2099
"""Dates outside these years are taken for a slip of the pen."""

PRINTED_PATTERN: Final = r"^([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?$"
"""A label's date as it is written here: YYYY-MM-DD, YYYY-MM or YYYY."""

_DAYS_REMEMBERED: Final = 4_096
"""A large store's lots share their dates: eleven years of days are remembered."""

_PRINTED: Final = re.compile(PRINTED_PATTERN)
_GS1: Final = re.compile(r"[0-9]{6}")


class LabelKind(StrEnum):
    """What the date on a label stands for."""

    USE_BY = "use_by"
    BEST_BY = "best_by"
    SELL_BY = "sell_by"
    PACKED_ON = "packed_on"
    UNLABELLED = "unlabelled"


_USE_BY: Final = LabelKind.USE_BY
_PACKED_ON: Final = LabelKind.PACKED_ON
_UNLABELLED: Final = LabelKind.UNLABELLED
"""An enum's members take long to look up, next to all else that is asked of each label."""


@lru_cache(maxsize=_DAYS_REMEMBERED)
def printed_day(printed: str) -> date:
    """Read "YYYY-MM-DD", "YYYY-MM" (its last day) or "YYYY" (31 December), as printed.

    Month and year ends are common practice, as GS1 (General Specifications, day 00) and Regulation
    (EU) 1169/2011, Annex X, "best before end", have them. Raises DateRefused where there is no
    such day, or it lies outside 2000 to 2099.
    """
    match = _PRINTED.fullmatch(printed)
    if match is None:
        raise DateRefused(f"{printed!r} is not a date written YYYY-MM-DD, YYYY-MM or YYYY")
    year, month, day = int(match[1]), match[2], match[3]
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise DateRefused(f"{printed} is not between {FIRST_YEAR} and {LAST_YEAR}")
    return _day(year, month=int(month or 12), day=None if day is None else int(day))


def first_day(printed: str) -> date:
    """Give the first day that a date printed as YYYY-MM-DD, YYYY-MM or YYYY can mean.

    Raises DateRefused as `printed_day`.
    """
    last = printed_day(printed)
    written = printed.count("-")
    if written == 2:
        return last
    return last.replace(day=1) if written == 1 else last.replace(month=1, day=1)


def gs1_day(six_digits: str, *, read_in_year: int) -> date:
    """Read a GS1 date YYMMDD (application identifiers 11 to 17) as it reads in a given year.

    Day 00 is the last day of the month; the century is the one that puts the year at most 49
    years back and 50 years ahead (GS1 General Specifications 3.4.7 and 7.12). Raises DateRefused
    where there is no such day.
    """
    if _GS1.fullmatch(six_digits) is None:
        raise DateRefused(f"{six_digits!r} is not six digits, YYMMDD")
    year = read_in_year - read_in_year % 100 + int(six_digits[:2])
    if year - read_in_year > 50:
        year -= 100
    elif year - read_in_year < -49:
        year += 100
    return _day(year, month=int(six_digits[2:4]), day=int(six_digits[4:]) or None)


def _day(year: int, *, month: int, day: int | None) -> date:
    try:
        return date(year, month, calendar.monthrange(year, month)[1] if day is None else day)
    except ValueError as fault:
        written = f"{year:04}-{month:02}" + ("" if day is None else f"-{day:02}")
        raise DateRefused(f"there is no day {written}") from fault


def label_last_good_day(
    food: Food,
    *,
    kind: LabelKind,
    printed: str | None,
    grace_days: Mapping[FoodGroup, int],
    is_opened: bool,
) -> date | None:
    """Give the last good day that a label alone supports, or None: undated.

    Use-by is safety and never extended; best-by and sell-by are quality and get the store's grace
    for the food's group, save for formula, baby food and anything opened; packed-on adds the
    food's shelf life in calendar months. Raises DateRefused as `printed_day`.
    """
    if printed is None or kind is _UNLABELLED:
        return None
    day = printed_day(printed)
    if kind is _USE_BY:
        return day
    if kind is _PACKED_ON:
        months = food.shelf_life_months
        return None if months is None else _months_on(day, months)
    grace = grace_days.get(food.group, 0) if grace_days else 0
    if grace == 0 or is_opened or food.is_for_infants:
        return day
    return day + timedelta(days=grace)


@lru_cache(maxsize=_DAYS_REMEMBERED)
def _months_on(day: date, months: int) -> date:
    return day + relativedelta(months=months)


def earliest_kept_day(
    label_day: date | None,
    *,
    since_on: date,
    keeps_days: int | None,
) -> date | None:
    """Give the earlier of the label's day and `since_on + keeps_days`; either unknown: undated."""
    if label_day is None or keeps_days is None:
        return None
    return min(label_day, since_on + timedelta(days=keeps_days))
