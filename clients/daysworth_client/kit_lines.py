"""Write the lines that texts on kits share: whom a kit is for, what is in it, how it is headed."""

from collections.abc import Iterator, Sequence
from typing import Final

from daysworth_client.answers import CautionPart
from daysworth_client.figures import columns, count, day_in_words, fitted, one_line
from daysworth_client.kit_answers import KitFoodPart, KitWarePart
from daysworth_client.summary_lines import WIDTH, wrapped

_ONE_KG_G: Final = 1000.0


def titled(store_name: str, question: str) -> Iterator[str]:
    """Write a store's name and what is asked of it, on one line where there is room."""
    title = f"{one_line(store_name)}: {question}"
    if columns(title) <= WIDTH:
        yield title
    else:
        yield fitted(store_name, WIDTH).rstrip()
        yield question[:1].upper() + question[1:]


def put_together(*parts: Iterator[str]) -> str:
    """Join the parts of a text, a blank line between those that have something in them."""
    written = ("\n".join(lines) for part in parts if (lines := list(part)))
    return "\n\n".join(written) + "\n"


def cautions(listed: Sequence[CautionPart]) -> Iterator[str]:
    """Write the cautions, which stand last."""
    yield "Cautions"
    for caution in listed:
        yield from item(caution["text"])


def item(text: str) -> Iterator[str]:
    """Write one thing of a list."""
    yield from wrapped(text, indent="  - ", hanging="    ")


def whom(parcel_number: int | None, household: str | None) -> str:
    """Say whom a kit is for: a household by its id where it is told, else its parcel's number."""
    if household is not None:
        return f"household {one_line(household)}"
    return "anybody" if parcel_number is None else f"parcel {parcel_number}"


def people(persons: int) -> str:
    """Count those whom a kit serves."""
    return count(persons, "person", many="people")


def kilograms(mass_g: float) -> str:
    """Write a mass in kilograms, to a tenth."""
    return f"{mass_g / _ONE_KG_G:,.1f} kg"


def pack_size(mass_g: float) -> str:
    """Write the net mass of one pack: "425 g", "1.36 kg"."""
    return f"{mass_g / _ONE_KG_G:.3g} kg" if mass_g >= _ONE_KG_G else f"{mass_g:.0f} g"


def pull_by(day: str | None) -> str:
    """Say until when a kit is good."""
    return "something in it is undated" if day is None else f"pull by {day_in_words(day)}"


def foods_in(contents: Sequence[KitFoodPart]) -> str:
    """List the foods of a kit with their packs, those of a food together."""
    packs: dict[tuple[str, float], int] = {}
    for one in contents:
        pack = (one["food_name"], one["unit_mass_g"])
        packs[pack] = packs.get(pack, 0) + one["units"]
    return "; ".join(
        f"{units} x {one_line(name)} ({pack_size(mass_g)})"
        for (name, mass_g), units in packs.items()
    )


def wares_in(wares: Sequence[KitWarePart]) -> str:
    """List what is in a kit beside food; a bag goes without saying its number."""
    return ", ".join(f"{one['units']} {one['name']}" for one in wares)
