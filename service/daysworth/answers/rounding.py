"""Round figures for publishing."""

from typing import Final

DECIMALS: Final = 6


def figure(value: float) -> float:
    """Round a figure for publishing, never to minus nought."""
    return round(value, DECIMALS) + 0.0


def figure_or_none(value: float | None) -> float | None:
    """Round a figure, if there is one."""
    return None if value is None else figure(value)
