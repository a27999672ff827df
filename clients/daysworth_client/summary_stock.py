"""Write which lots want a hand: those due, set aside, or without a name. 80 columns wide."""

from collections.abc import Iterator, Sequence

from daysworth_client.answers import CoverageAnswer, LotPart, SetAsidePart
from daysworth_client.figures import count, day_in_words, fitted
from daysworth_client.store_answers import WaitingPart
from daysworth_client.summary_lines import MOST_LINES, more, wrapped


def next_round(answer: CoverageAnswer) -> Iterator[str]:
    """List what passes its last good day before the next round."""
    round_ = answer["before_next_round"]
    if round_["next_round_day"] is None:
        return
    said = f"We go through the shelves again on {day_in_words(round_['next_round_day'])}."
    if not round_["lots"]:
        yield from wrapped(f"{said} Nothing passes its date before that.")
        return
    pass_ = "passes its date" if round_["units"] == 1 else "pass their date"
    yield from wrapped(
        f"{said} {count(round_['units'], 'unit')} {pass_} before that: eat these first, in everyday"
        " meals, each by those whom it suits."
    )
    yield from _lots(round_["lots"])


def set_aside(aside: SetAsidePart) -> Iterator[str]:
    """List the lots that count in no plan, by reason."""
    for label, lots, do in (
        (
            "Past last good day",
            aside["past"],
            "Take off the shelf; make water safe, or replace it.",
        ),
        ("Undated", aside["undated"], "Read the dates."),
        ("Damaged", aside["damaged"], "Do not open them: throw them out."),
        ("Set aside until someone decides", aside["quarantined"], ""),
    ):
        if lots:
            lots_there = count(len(lots), "lot")
            yield from wrapped(f"{label}: {lots_there}, not counted in the days above. {do}")
            yield from _lots(lots) if lots is aside["past"] else _lots_by_place(lots)


def waiting_for_a_name(waiting: Sequence[WaitingPart]) -> Iterator[str]:
    """List the lots of which nobody has yet said what they are."""
    if not waiting:
        return
    yield f"Waiting for a coordinator to say what it is: {count(len(waiting), 'lot')}"
    for lot in waiting[:MOST_LINES]:
        words, place = fitted(lot["words"], 40), fitted(lot["place"], 27)
        yield f"  {lot['units']:>7} x {words} {place}".rstrip()
    if len(waiting) > MOST_LINES:
        yield more(len(waiting) - MOST_LINES, "lot")


def lot_line(units: str, *, food: str, place: str, day: str | None) -> str:
    """Write one lot: its last good day, units, food and place."""
    named = f"{fitted(food, 29)} {fitted(place, 27)}"
    return f"  {day or 'no date':<10}{units:>8} x {named}".rstrip()


def _lots_by_place(lots: Sequence[LotPart]) -> Iterator[str]:
    """List lots whose dates tell nothing."""
    for lot in lots[:MOST_LINES]:
        named = f"{fitted(lot['food'], 37)} {fitted(lot['place'], 30)}"
        yield f"  {lot['units']:>7} x {named}".rstrip()
    if len(lots) > MOST_LINES:
        yield more(len(lots) - MOST_LINES, "lot")


def _lots(lots: Sequence[LotPart]) -> Iterator[str]:
    for lot in lots[:MOST_LINES]:
        yield lot_line(
            str(lot["units"]), food=lot["food"], place=lot["place"], day=lot["last_good_day"]
        )
    if len(lots) > MOST_LINES:
        yield more(len(lots) - MOST_LINES, "lot")
