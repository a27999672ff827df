"""Write which kits to take along as plain text, 80 columns wide: where to fetch what, in order."""

from collections.abc import Iterator

from daysworth_client.figures import count, day_in_words, fitted, one_line, tenths
from daysworth_client.kit_answers import TakeAlongAnswer, TakenKitPart
from daysworth_client.kit_lines import cautions, item, kilograms, put_together, titled, whom
from daysworth_client.summary_lines import MOST_LINES, more, wrapped


def take_along_text(answer: TakeAlongAnswer) -> str:
    """Write what to take for reading: the kits in order, then what stays, the cautions last."""
    return put_together(
        _heading(answer),
        _taken(answer),
        _left(answer),
        cautions(answer["cautions"]),
    )


def _heading(answer: TakeAlongAnswer) -> Iterator[str]:
    yield from titled(answer["store_name"], "which kits should we take along?")
    home = answer["household"]
    limit = answer["most_kg"]
    said = [f"As of {day_in_words(answer['as_of'])}"]
    said.append("for anybody" if home is None else f"for {whom(None, home)}")
    said.append("all that are good" if limit is None else f"up to {limit:g} kg of food")
    yield from wrapped(", ".join(said) + ".")
    yield ""
    kits = answer["kits"]
    if not kits:
        yield from wrapped("No kit here can be taken: what stays, and why, is below.")
        return
    yield from wrapped(
        f"{count(len(kits), 'kit')}: {count(answer['person_meals'], 'meal')} for one person, or"
        f" {tenths(answer['person_days'])} person-days; {kilograms(answer['mass_g'])} of food"
        f" ({answer['energy_kcal']:,.0f} kcal). Packs and bags weigh more."
    )


def _taken(answer: TakeAlongAnswer) -> Iterator[str]:
    if not answer["kits"]:
        return
    yield "Take them in this order: no opener needed first, then the most for its weight"
    for number, kit in enumerate(answer["kits"], start=1):
        yield from _kit(kit, number=number)


def _kit(kit: TakenKitPart, *, number: int) -> Iterator[str]:
    so_far = f"{kilograms(kit['mass_g_so_far'])} so far"
    yield f"  {number:>3}  {fitted(kit['name'], 56)} {so_far:>16}".rstrip()
    tells = [
        f"for {kit['persons']}",
        whom(kit["parcel_number"], kit["household"]),
        one_line(kit["place_name"]),
        f"{kit['energy_kcal']:,.0f} kcal",
        "no date" if kit["pull_by_day"] is None else f"pull by {kit['pull_by_day']}",
    ]
    if kit["needs_opener"]:
        tells.append("its opener is in it" if kit["has_opener"] else "TAKE AN OPENER")
    yield from wrapped(", ".join(tells) + f" ({kit['kit']})", indent="       ")


def _left(answer: TakeAlongAnswer) -> Iterator[str]:
    if not answer["left"]:
        return
    yield f"Stays here: {count(len(answer['left']), 'kit')}"
    for kit in answer["left"][:MOST_LINES]:
        yield from item(
            f"{one_line(kit['name'])}, {one_line(kit['place_name'])}: {kit['words']} ({kit['kit']})"
        )
    if len(answer["left"]) > MOST_LINES:
        yield more(len(answer["left"]) - MOST_LINES, "kit")
