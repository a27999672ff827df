"""Read a label's date as a volunteer types it."""

from enum import StrEnum


class DateOrder(StrEnum):
    """Which part of a date in figures comes first, where the store is."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"
