"""Write a wish list as plain text, 80 columns wide, for a terminal or a printer."""

import textwrap
from collections.abc import Iterator
from typing import Final

from daysworth_client.figures import columns, count, day_in_words, fitted, one_line, tenths
from daysworth_client.wish_list_answers import (
    LackingPart,
    WishLinePart,
    WishListAnswer,
)

WIDTH: Final = 80
_QUESTION: Final = "what should be brought?"
_NAME: Final = 40
_LEAST: Final = {
    "mass": "Nothing lighter is enough.",
    "units": "Nothing with fewer packs is enough.",
    "cost": "Nothing cheaper is enough.",
}


def wish_list_summary(answer: WishListAnswer) -> str:
    """Write a wish list for reading: how it ended first, the cautions last."""
    parts = (
        _heading(answer),
        _outcome(answer),
        _lines(answer),
        _lacking(answer),
        _cautions(answer),
    )
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part))) + "\n"


def _heading(answer: WishListAnswer) -> Iterator[str]:
    title = f"{one_line(answer['store_name'])}: {_QUESTION}"
    if columns(title) <= WIDTH:
        yield title
    else:
        yield fitted(answer["store_name"], WIDTH).rstrip()
        yield _QUESTION.capitalize()
    wish, scenario = answer["wish"], answer["scenario"]
    said = [
        "heating" if scenario["heating"] else "no heating",
        "running water" if scenario["running_water"] else "no running water",
    ]
    if wish["is_usual_only"]:
        said.append("only what ordinary shops usually have")
    if wish["keeps_past_target"]:
        said.append("only what keeps longer than the target")
    yield from _wrapped(f"As of {day_in_words(answer['as_of'])}, {', '.join(said)}.")


def _outcome(answer: WishListAnswer) -> Iterator[str]:
    wish, before, after = answer["wish"], answer["days_before"], answer["days_after"]
    home = wish["household"]
    who = "everyone" if home is None else f"household {one_line(home)}"
    target = f"{wish['target_days']:g} days"
    if before is None or after is None:
        yield from _wrapped("Nobody who is asked about has a need of their own.")
        return
    if answer["outcome"] == "met":
        said = f"Nothing need be brought: {who} can eat for {tenths(before)} days already."
    elif answer["outcome"] == "listed":
        said = f"With this list {who} can eat for {target}: {tenths(before)} without it."
    else:
        said = (
            f"No food on offer feeds all of them for {target}. The list feeds the others, and "
            f"those named below as long as it can: {tenths(before)} days without it, "
            f"{tenths(after)} with it."
        )
    yield from _wrapped(said)


def _lines(answer: WishListAnswer) -> Iterator[str]:
    if not answer["lines"]:
        return
    yield f"{fitted('Bring', _NAME)}{'packs':>8}{'each':>10}  keeps until about"
    for line in answer["lines"]:
        size = _size(line)
        day = day_in_words(line["last_good_day"])
        yield f"{fitted(line['food_name'], _NAME)}{line['units']:>8,}{size:>10}  {day}"
    totals = answer["totals"]
    cost = "" if totals["cost"] is None else f", at a cost of {totals['cost']:,.2f}"
    said = f"{count(totals['units'], 'pack')}, {totals['mass_kg']:,.1f} kg{cost}."
    least = answer["wish"]["least"]
    if answer["is_least"]:
        said += f" {_LEAST[least]}"
    else:
        said += f" Proved: no list with less than {answer['amount_at_least']:,.2f}"
        said += f" of {answer['amount']:,.2f} is enough."
    yield from _wrapped(said)


def _size(line: WishLinePart) -> str:
    if line["water_l"] > 0:
        return f"{line['unit_mass_g'] / 1000:g} L"
    grams = line["unit_mass_g"]
    return f"{grams / 1000:.3g} kg" if grams >= 1000 else f"{grams:.0f} g"


def _lacking(answer: WishListAnswer) -> Iterator[str]:
    if answer["lacking"]:
        yield "Whom none of this helps for long enough"
    for one in answer["lacking"]:
        yield from _item(_lacking_in_words(one))


def _lacking_in_words(one: LackingPart) -> str:
    who = count(one["members"], "person", many="people")
    said = f"{who} ({one_line(one['need'])}): {tenths(one['days'])} days at most."
    if one["may_suit"]:
        foods = "; ".join(one_line(food) for food in one["may_suit"])
        said += f" Look for packs whose own label shows that they suit: {foods}"
        left = one["may_suit_count"] - len(one["may_suit"])
        said += f"; and {left} more." if left else "."
    return said


def _cautions(answer: WishListAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from _item(caution["text"])


def _item(text: str) -> Iterator[str]:
    yield from textwrap.wrap(text, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def _wrapped(text: str) -> Iterator[str]:
    yield from textwrap.wrap(text, WIDTH)
