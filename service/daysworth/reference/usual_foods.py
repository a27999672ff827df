"""Read which generic foods people can usually buy in ordinary shops: common practice."""

from collections.abc import Mapping
from functools import cache

from daysworth.reference.foods import food_rows
from daysworth.reference.rows import ReferenceDataError, read_table


@cache
def usual_foods() -> frozenset[str]:
    """Give the ids of the usual foods.

    Raises ReferenceDataError where the table is broken, or names what is no generic food.
    """
    rows = read_table("usual_foods.csv", _food_id)
    if len(set(rows)) < len(rows):
        raise ReferenceDataError("usual_foods.csv: an id stands twice")
    unknown = sorted(set(rows) - {row.food_id for row in food_rows()})
    if unknown:
        raise ReferenceDataError(f"usual_foods.csv: {unknown[0]!r} is no generic food")
    return frozenset(rows)


def _food_id(cells: Mapping[str, str]) -> str:
    if not (cells["food_id"] and cells["source"]):
        raise ValueError("every cell is filled")
    return cells["food_id"]
