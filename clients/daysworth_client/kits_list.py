"""Write the closed kits of a store as plain text, 80 columns wide: by place, first pulled first."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from daysworth_client.figures import count, fitted, one_line
from daysworth_client.kit_answers import KitInListPart
from daysworth_client.kit_lines import kilograms, put_together
from daysworth_client.summary_lines import wrapped


def kits_text(kits: Sequence[KitInListPart]) -> str:
    """Write kits for reading: place by place, by the day on which they are to be pulled."""
    if not kits:
        return "No closed kit is here.\n"
    ordered = sorted(kits, key=_order)
    places = [list(found) for _, found in groupby(ordered, key=lambda one: one["place"])]
    return put_together(
        _heading(kits),
        *(_place(found) for found in places),
        _to_look_at(kits),
        _reminder(),
    )


def _order(one: KitInListPart) -> tuple[str, ...]:
    return one["place_name"], one["place"], one["pull_by_day"] or "", one["name"], one["id"]


def _heading(kits: Sequence[KitInListPart]) -> Iterator[str]:
    meals = sum(one["persons"] for one in kits)
    mass_g = sum(one["mass_g"] or 0.0 for one in kits)
    yield (
        f"{count(len(kits), 'closed kit')}: {count(meals, 'meal')} for one person,"
        f" {kilograms(mass_g)} of food."
    )


def _place(kits: Sequence[KitInListPart]) -> Iterator[str]:
    yield fitted(kits[0]["place_name"], 80).rstrip()
    yield f"  {'pull by':<11}{'serves':>6}  {'for':<12}{fitted('kit', 33)} its id"
    for one in kits:
        number = one["parcel_number"]
        mark = "!" if one["changed_since_packing"] else " "
        yield (
            f"{mark} {one['pull_by_day'] or 'undated':<11}{one['persons']:>6}  "
            f"{'anybody' if number is None else f'parcel {number}':<12}"
            f"{fitted(one['name'], 33)} {fitted(one_line(one['id']), 13)}"
        ).rstrip()


def _to_look_at(kits: Sequence[KitInListPart]) -> Iterator[str]:
    changed = sum(one["changed_since_packing"] for one in kits)
    if changed:
        yield from wrapped(
            f"{count(changed, 'kit')} marked !: something about its food, or about those it is for,"
            " was changed since it was packed. A coordinator looks at it before anybody eats of it."
        )


def _reminder() -> Iterator[str]:
    yield from wrapped("A kit for anybody is for those whom it suits: read every label every time.")
