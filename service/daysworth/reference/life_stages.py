"""Read the columns that the published tables of needs share: a choice, an age span, a source.

Published age groups never overlap and leave no gap, so a table that does either is broken.
"""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol, TypeVar

from daysworth.reference.rows import ReferenceDataError, optional_int

MONTHS_PER_YEAR = 12
_MOST_MONTHS = 1500


@dataclass(frozen=True, slots=True)
class AgeSpan:
    """Ages in completed months, from the first up to but not the second; None is without end."""

    from_months: int
    below_months: int | None

    def __post_init__(self) -> None:
        if self.below_months is not None and self.below_months <= self.from_months:
            raise ValueError(f"ages {self.from_months} to {self.below_months} run backwards")

    def holds(self, months: int) -> bool:
        """Tell whether an age in completed months lies in the span."""
        return self.from_months <= months and (
            self.below_months is None or months < self.below_months
        )


class Spanned(Protocol):
    """A row that holds for a span of ages."""

    @property
    def span(self) -> AgeSpan:
        """Give the ages that the row holds for."""


SpannedRow = TypeVar("SpannedRow", bound=Spanned)


def span_of_months(from_cell: str, below_cell: str) -> AgeSpan:
    """Read a span from two cells in months; an empty second cell is without end.

    Raises ValueError for a cell that is not a whole number, or a span that runs backwards.
    """
    return AgeSpan(_months(from_cell), _months(below_cell) if below_cell else None)


def span_of_years(from_cell: str, below_cell: str) -> AgeSpan:
    """Read a span from two cells in whole years; an empty second cell is without end.

    Raises ValueError as `span_of_months`.
    """
    return AgeSpan(
        _months(from_cell, months_each=MONTHS_PER_YEAR),
        _months(below_cell, months_each=MONTHS_PER_YEAR) if below_cell else None,
    )


def _months(cell: str, *, months_each: int = 1) -> int:
    count = optional_int(cell, most=_MOST_MONTHS // months_each)
    if count is None:
        raise ValueError("an age is missing")
    return count * months_each


def one_of(cell: str, *allowed: str) -> str:
    """Read a cell that holds one of the allowed words. Raises ValueError for another."""
    if cell not in allowed:
        raise ValueError(f"{cell!r} is none of {', '.join(allowed)}")
    return cell


def stated(cell: str) -> str:
    """Read a cell that must say something, such as a source. Raises ValueError when it is blank."""
    if not cell.strip():
        raise ValueError("a cell that must say something is blank")
    return cell


def row_at(rows: Iterable[SpannedRow], *, months: int) -> SpannedRow:
    """Find the row that holds at an age in completed months. Raises LookupError when none does."""
    for row in rows:
        if row.span.holds(months):
            return row
    raise LookupError(f"no published figure at {months} months")


def refuse_broken_spans(filename: str, spans: Iterable[tuple[Hashable, AgeSpan]]) -> None:
    """Check that the spans of each key follow one another without a gap or an overlap.

    Raises ReferenceDataError, naming the table and the key, where they do not.
    """
    by_key: dict[Hashable, list[AgeSpan]] = {}
    for key, span in spans:
        by_key.setdefault(key, []).append(span)
    for key, held in by_key.items():
        if any(this.below_months != after.from_months for this, after in pairwise(held)):
            raise ReferenceDataError(f"{filename}: the ages of {key} leave a gap or overlap")
