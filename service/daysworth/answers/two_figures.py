"""Put two figures side by side, with the change from the one to the other."""

from dataclasses import dataclass
from typing import Self

from daysworth.answers.coverage import figure


@dataclass(frozen=True, slots=True)
class FigureChange:
    """A figure before and after; null: there was nothing to count. `change`: after less before."""

    before: float | None
    after: float | None
    change: float | None

    @classmethod
    def of(cls, before: float | None, after: float | None) -> Self:
        """Put two figures side by side."""
        return cls(_published(before), _published(after), _change(before, after))


@dataclass(frozen=True, slots=True)
class DaysChange:
    """Days before and after; `_at_least`: they reach as far as was counted."""

    before: float | None
    before_at_least: bool
    after: float | None
    after_at_least: bool
    change: float | None

    @classmethod
    def of(
        cls,
        before: float | None,
        after: float | None,
        *,
        before_at_least: bool,
        after_at_least: bool,
    ) -> Self:
        """Put days side by side."""
        return cls(
            _published(before),
            before_at_least,
            _published(after),
            after_at_least,
            _change(before, after),
        )


@dataclass(frozen=True, slots=True)
class CountChange:
    """A count before and after; `change`: after less before."""

    before: int
    after: int
    change: int

    @classmethod
    def of(cls, before: int, after: int) -> Self:
        """Put two counts side by side."""
        return cls(before, after, after - before)


def _published(value: float | None) -> float | None:
    return None if value is None else figure(value)


def _change(before: float | None, after: float | None) -> float | None:
    if before is None or after is None:
        return None
    return figure(figure(after) - figure(before))
