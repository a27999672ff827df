"""Read how much room packs take in a bag: litres for a kilogram of food, with its packing."""

from collections.abc import Mapping
from functools import cache

from daysworth.reference.rows import number, read_table


@cache
def pack_litres_per_kg() -> Mapping[str, float]:
    """Read every group's litres per net kilogram. Raises ReferenceDataError for a broken table."""
    return dict(read_table("pack_volumes.csv", _row))


def _row(cells: Mapping[str, str]) -> tuple[str, float]:
    if not cells["source"]:
        raise ValueError("a row has its source")
    return cells["group"], number(cells["litres_per_kg"], least=0.5, most=20)
