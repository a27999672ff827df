"""Turn the reference tables of menus into patterns of no-cook meals, for every store to use."""

from collections.abc import Mapping, Sequence
from functools import cache
from types import MappingProxyType
from typing import Final, TypeVar

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.identifiers import FoodId, PatternId
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    Served,
    Slot,
    SlotKind,
    Utensil,
    Wanted,
)
from daysworth.reference.meal_patterns import (
    PatternRow,
    SlotRow,
    pattern_rows,
    slot_rows,
    step_rows,
)
from daysworth.reference.rows import ReferenceDataError

BUILT_IN_BEGINS: Final = "std-"
"""How the ids of built-in patterns begin, and no store's own."""


Part = TypeVar("Part")


@cache
def built_in_patterns() -> Mapping[PatternId, MealPattern]:
    """Give every built-in pattern by its id, in the table's order.

    Raises ReferenceDataError where a table names a food or a menu that there is not, ValueError
    where a figure or a word in it does not fit.
    """
    slots: dict[str, list[Slot]] = {row.pattern: [] for row in pattern_rows()}
    steps: dict[str, list[str]] = {row.pattern: [] for row in pattern_rows()}
    for slot in slot_rows():
        _of_menu(slots, slot.pattern).append(_slot(slot))
    for pattern, step in step_rows():
        _of_menu(steps, pattern).append(step)
    made = (
        _pattern(row, slots=slots[row.pattern], steps=steps[row.pattern]) for row in pattern_rows()
    )
    return MappingProxyType({one.id: one for one in made})


def _of_menu(parts: Mapping[str, list[Part]], pattern: str) -> list[Part]:
    if pattern not in parts:
        raise ReferenceDataError(f"{pattern!r} is not in meal_patterns.csv")
    return parts[pattern]


def _pattern(row: PatternRow, *, slots: Sequence[Slot], steps: Sequence[str]) -> MealPattern:
    if not row.pattern.startswith(BUILT_IN_BEGINS):
        raise ReferenceDataError(f"meal_patterns.csv: {row.pattern!r} begins otherwise")
    return MealPattern(
        id=PatternId(row.pattern),
        name=row.name,
        persons=row.persons,
        slots=tuple(slots),
        utensil=Utensil(row.utensil),
        steps=tuple(steps),
        may_be_warmed=row.may_be_warmed,
    )


def _slot(row: SlotRow) -> Slot:
    return Slot(
        kind=SlotKind(row.kind),
        choices=tuple(_choice(foods) for foods in row.choices),
        servings_each=row.servings_each,
        grams_in_all=row.grams_in_all,
        served=Served(row.served),
    )


def _choice(foods: Sequence[str]) -> Choice:
    for food in foods:
        if food not in generic_foods():
            raise ReferenceDataError(f"meal_pattern_slots.csv: {food!r} is no generic food")
    return Choice(foods=tuple(Wanted(food=FoodId(food)) for food in foods))
