"""Offsets in the tables of the invented neighbourhood are read by the calendar."""

from datetime import date

import pytest

from daysworth.demo.offsets import offset


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("14m", date(2025, 3, 31)),
        ("-12d", date(2024, 1, 19)),
        ("1y1m1d", date(2025, 3, 1)),
        ("-84y", date(1940, 1, 31)),
    ],
)
def test_an_offset_moves_by_the_calendar(cell: str, expected: date) -> None:
    assert date(2024, 1, 31) + offset(cell) == expected


def test_a_month_that_is_too_short_ends_on_its_last_day() -> None:
    assert date(2024, 1, 31) + offset("1m") == date(2024, 2, 29)
    assert date(2025, 1, 31) + offset("1m") == date(2025, 2, 28)


@pytest.mark.parametrize("cell", ["", "-", "12", "3d2m", "2w", "+3m", "1.5m", "m"])
def test_anything_else_is_refused(cell: str) -> None:
    with pytest.raises(ValueError, match="is not an offset"):
        offset(cell)
