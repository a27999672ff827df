"""Read which substances a label must declare, under which law, and on what is packed since when."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache

from daysworth.reference.rows import read_table, yes_no


@dataclass(frozen=True, slots=True, kw_only=True)
class RegimeRow:
    """One substance under one law.

    `how` is "declared" where the law obliges the maker to declare it by its name, and "by_list"
    where it only obliges the maker to list every ingredient by its common name. `needs_pack_date`:
    food from before `from_on` may still be about, so that it counts only where the day of packing
    is known.
    """

    regime: str
    substance: str
    how: str
    from_on: date
    needs_pack_date: bool
    source: str


@cache
def regime_rows() -> tuple[RegimeRow, ...]:
    """Read every row. Raises ReferenceDataError where the table is broken."""
    return read_table("regimes.csv", _row)


def _row(cells: Mapping[str, str]) -> RegimeRow:
    if cells["how"] not in ("declared", "by_list"):
        raise ValueError(f"{cells['how']!r} is neither declared nor by_list")
    if not cells["source"]:
        raise ValueError("a row has its source")
    return RegimeRow(
        regime=cells["regime"],
        substance=cells["substance"],
        how=cells["how"],
        from_on=date.fromisoformat(cells["from_on"]),
        needs_pack_date=yes_no(cells["needs_pack_date"]),
        source=cells["source"],
    )
