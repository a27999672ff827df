"""Read the built-in menus of no-cook meals: their slots, and the steps to serve them by."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from daysworth.reference.rows import number, optional_number, read_table

MOST_SERVINGS: Final = 20
MOST_GRAMS: Final = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternRow:
    """One menu, its slots apart. `may_be_warmed` None: nothing of it may."""

    pattern: str
    name: str
    persons: int
    utensil: str
    may_be_warmed: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotRow:
    """One slot of a menu: its choices in order of preference, each of one food or of two.

    `servings_each` are reference amounts for each person; `grams_in_all` asks for grams instead.
    """

    pattern: str
    kind: str
    choices: tuple[tuple[str, ...], ...]
    servings_each: float
    grams_in_all: float | None
    served: str


@cache
def pattern_rows() -> tuple[PatternRow, ...]:
    """Read every menu in order. Raises ReferenceDataError for a broken table."""
    return read_table("meal_patterns.csv", _pattern)


@cache
def slot_rows() -> tuple[SlotRow, ...]:
    """Read every slot in its menu's order. Raises ReferenceDataError for a broken table."""
    return read_table("meal_pattern_slots.csv", _slot)


@cache
def step_rows() -> tuple[tuple[str, str], ...]:
    """Read every menu's id and step, in order. Raises ReferenceDataError for a broken table."""
    return read_table("meal_pattern_steps.csv", _step)


def _pattern(cells: Mapping[str, str]) -> PatternRow:
    return PatternRow(
        pattern=_filled(cells, "pattern"),
        name=_filled(cells, "name"),
        persons=int(_filled(cells, "persons")),
        utensil=_filled(cells, "utensil"),
        may_be_warmed=cells["may_be_warmed"] or None,
    )


def _slot(cells: Mapping[str, str]) -> SlotRow:
    ways = [way.split("+") for way in _filled(cells, "choices").split(";")]
    choices = tuple(tuple(food.strip() for food in way) for way in ways)
    if not all(food for way in choices for food in way):
        raise ValueError("a choice is one food, or two with a plus sign between them")
    return SlotRow(
        pattern=_filled(cells, "pattern"),
        kind=_filled(cells, "kind"),
        choices=choices,
        servings_each=number(cells["servings_each"], least=0.01, most=MOST_SERVINGS),
        grams_in_all=optional_number(cells["grams_in_all"], most=MOST_GRAMS),
        served=_filled(cells, "served"),
    )


def _step(cells: Mapping[str, str]) -> tuple[str, str]:
    return _filled(cells, "pattern"), _filled(cells, "step")


def _filled(cells: Mapping[str, str], column: str) -> str:
    if not (cells[column] and cells["source"]):
        raise ValueError(f"a row has its {column} and its source")
    return cells[column]
