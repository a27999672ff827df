"""Read the amounts of food that claims on a label are made for: one customary serving a group."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from daysworth.reference.rows import number, read_table, yes_no


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceAmount:
    """Grams customarily eaten at once of a group's food; a meal goes by 100 g."""

    group: str
    amount_g: float
    is_meal: bool
    source: str


@cache
def reference_amounts() -> Mapping[str, ReferenceAmount]:
    """Read every group's amount. Raises ReferenceDataError where the table is broken."""
    return {row.group: row for row in read_table("reference_amounts.csv", _row)}


def _row(cells: Mapping[str, str]) -> ReferenceAmount:
    if not cells["source"]:
        raise ValueError("a row has its source")
    return ReferenceAmount(
        group=cells["group"],
        amount_g=number(cells["amount_g"], least=1, most=1_000),
        is_meal=yes_no(cells["is_meal"]),
        source=cells["source"],
    )
