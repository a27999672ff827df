"""Read the usual cautions, each with its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from daysworth.reference.rows import read_table


@dataclass(frozen=True, slots=True)
class CautionRow:
    """One caution: a stable id, the topic it belongs to, its text and its source."""

    id: str
    topic: str
    text: str
    source: str


@cache
def caution_rows() -> tuple[CautionRow, ...]:
    """Read every caution in the order shown. Raises ReferenceDataError for a broken table."""
    return read_table("cautions.csv", _caution)


def _caution(cells: Mapping[str, str]) -> CautionRow:
    row = CautionRow(cells["id"], cells["topic"], cells["text"], cells["source"])
    if not (row.id and row.topic and row.text and row.source):
        raise ValueError("every cell of a caution is filled")
    return row
