"""Lay out a wish list for reading, and read the form by which it is published."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from daysworth.answers.wish_list import WishListAnswer
from daysworth.db.bring_lists import MOST_LINES, BringListAsked, LineAsked
from daysworth.domain.identifiers import FoodId, is_plain
from daysworth.pages.typed_box import whole_number

UNITS: Final = "units."
"""How the field of a line is called, before its food."""

MOST_TITLE: Final = 120
MOST_NOTE: Final = 400
MOST_UNITS: Final = 1_000_000

Said = tuple[str, dict[str, float]]


def size_of(mass_g: float, *, is_water: bool) -> Said:
    """Say how big a pack is, as a message's key and its values."""
    if is_water:
        return "size-l", {"litres": round(mass_g / 1000, 2)}
    if mass_g >= 1000:
        return "size-kg", {"kilograms": round(mass_g / 1000, 2)}
    return "size-g", {"grams": round(mass_g)}


@dataclass(frozen=True, slots=True)
class TypedLine:
    """One line of the form: the food, and its number as it was typed."""

    food: str
    food_name: str
    units: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedList:
    """What was typed to publish a list."""

    title: str
    note: str = ""
    lines: tuple[TypedLine, ...] = ()
    confirms_infant_food: bool = False


@dataclass(frozen=True, slots=True)
class ReadList:
    """What a form asks to publish, and what is wrong with it, by field; with faults it is None."""

    asked: BringListAsked | None
    faults: dict[str, str] = field(default_factory=dict)


def from_answer(answer: WishListAnswer, *, title: str) -> TypedList:
    """Fill the form from what was found."""
    lines = (TypedLine(line.food, line.food_name, str(line.units)) for line in answer.lines)
    return TypedList(title=title, lines=tuple(lines))


def from_form(form: Mapping[str, str], *, names: Mapping[str, str]) -> TypedList:
    """Take what a form sent; a food without a name is shown by its id."""
    named = ((key.removeprefix(UNITS), str(form[key])) for key in form if key.startswith(UNITS))
    return TypedList(
        title=str(form.get("title", "")).strip(),
        note=str(form.get("note", "")).strip(),
        lines=tuple(TypedLine(food, names.get(food, food), units) for food, units in named),
        confirms_infant_food=form.get("confirms") == "yes",
    )


def read_list(typed: TypedList) -> ReadList:
    """Understand what was typed; a line that was emptied is left out."""
    faults: dict[str, str] = {}
    if not 1 <= len(typed.title) <= MOST_TITLE or not is_plain(typed.title):
        faults["title"] = "fault-bring-title"
    if len(typed.note) > MOST_NOTE or not is_plain(typed.note):
        faults["note"] = "fault-bring-note"
    lines = []
    for line in typed.lines:
        units = whole_number(line.units.strip() or "0")
        if units is None or units > MOST_UNITS:
            faults[UNITS + line.food] = "fault-bring-units"
        elif units > 0:
            lines.append(LineAsked(food=FoodId(line.food), units=units))
    if not 1 <= len(lines) <= MOST_LINES:
        faults.setdefault("lines", "fault-bring-lines")
    if faults:
        return ReadList(None, faults)
    return ReadList(
        BringListAsked(
            title=typed.title,
            note=typed.note or None,
            lines=lines,
            confirms_infant_food=typed.confirms_infant_food,
        )
    )
