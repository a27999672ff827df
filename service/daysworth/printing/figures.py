"""Show figures to a person: rounded down, so that nobody counts on a day that is not there."""

from math import floor
from typing import Final

_TENTHS: Final = 10
_GRAIN: Final = 1e-6
"""Answers are published to six decimals; a figure this near the next step has reached it."""


def tenths(figure: float) -> float:
    """Round days down to a tenth: 2.96 is 2.9."""
    return floor((figure + _GRAIN) * _TENTHS) / _TENTHS


def whole(figure: float) -> int:
    """Round days, person-days or litres down to a whole one."""
    return floor(figure + _GRAIN)


def is_short_of(days: float, floor_days: int) -> bool:
    """Say whether days are fewer than a floor, as far as the figures tell them apart."""
    return days + _GRAIN < floor_days
