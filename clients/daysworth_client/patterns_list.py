"""Write patterns as plain text, 80 columns wide: what kits are put together from."""

from collections.abc import Iterator, Sequence

from daysworth_client.figures import count, one_line
from daysworth_client.kit_lines import item, people, put_together
from daysworth_client.kit_plan_answers import PatternPart, SlotPart
from daysworth_client.summary_lines import wrapped


def patterns_text(patterns: Sequence[PatternPart]) -> str:
    """Write patterns for reading, one after another, each with what fills it."""
    return put_together(_heading(patterns), *(_pattern(one) for one in patterns), _reminder())


def _heading(patterns: Sequence[PatternPart]) -> Iterator[str]:
    own = sum(not one["is_built_in"] for one in patterns)
    said = f"{count(len(patterns), 'pattern')} for kits: meals that need no heat and no water"
    if own:
        said += f", {own} of them the store's own"
    yield from wrapped(f"{said}.")
    yield from wrapped("In each part of a meal the food named first is preferred.")


def _pattern(one: PatternPart) -> Iterator[str]:
    yield one_line(one["id"])
    own = "" if one["is_built_in"] else ", the store's own"
    yield from wrapped(
        f"{one_line(one['name'])}: for {people(one['persons'])} unless told otherwise,"
        f" eaten with a {one['utensil']}{own}.",
        indent="  ",
    )
    for slot in one["slots"]:
        yield from wrapped(_slot(slot), indent="    ", hanging="      ")
    for waiver in one["waivers"]:
        yield from item(f"waived: {one_line(waiver['words'])}, because {one_line(waiver['why'])}")
    warmed = one["may_be_warmed"]
    if warmed is not None:
        yield from wrapped(one_line(warmed), indent="    ")


def _slot(slot: SlotPart) -> str:
    amount = f"{slot['servings_each']:g} servings each"
    if slot["servings_each"] == 1:
        amount = "a serving each"
    if slot["grams_in_all"] is not None:
        amount = f"{slot['grams_in_all']:g} g in all"
    choices = "; or ".join(
        " with ".join(one_line(wanted["words"]) for wanted in choice) for choice in slot["choices"]
    )
    return f"{slot['words']}, {amount}, {slot['served_words']}: {choices}"


def _reminder() -> Iterator[str]:
    yield from wrapped(
        "A pattern says what is meant to go in. Whether a pack suits somebody is said by its own"
        " label alone: read every label every time."
    )
