"""Write the coverage summary as plain text, 80 columns wide, for a terminal or a printer."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from daysworth_client.answers import ClassPart, CoverageAnswer, HouseholdPart, LotPart
from daysworth_client.figures import (
    columns,
    count,
    day_in_words,
    fitted,
    in_words,
    litres,
    one_line,
    tenths,
)
from daysworth_client.store_answers import StoreSummary, WaitingPart

WIDTH: Final = 80
MOST_LINES: Final = 30
"""How many households or lots are listed before the rest are only counted."""
_BAR: Final = 32
_WORTH_SAYING: Final = 0.1
"""Fewer days than this are not told as a gain."""
_QUESTION: Final = "how many days can all of us eat?"


def coverage_summary(answer: CoverageAnswer) -> str:
    """Write a coverage answer for reading: the two headlines first, the cautions last."""
    return _written(answer, waiting=())


def store_summary(summary: StoreSummary) -> str:
    """Write a store's summary: its coverage, and what waits for a coordinator."""
    return _written(summary["coverage"], waiting=summary["waiting"])


def _written(answer: CoverageAnswer, *, waiting: Sequence[WaitingPart]) -> str:
    parts = (
        _heading(answer),
        _headlines(answer),
        _held_by(answer),
        _labels_to_read(answer),
        _households(answer),
        _water(answer),
        _next_round(answer),
        _set_aside(answer),
        _waiting(waiting),
        _cautions(answer),
    )
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part))) + "\n"


def _heading(answer: CoverageAnswer) -> Iterator[str]:
    title = f"{one_line(answer['store_name'])}: {_QUESTION}"
    if columns(title) <= WIDTH:
        yield title
    else:
        yield fitted(answer["store_name"], WIDTH).rstrip()
        yield _QUESTION.capitalize()
    yield from _wrapped(f"As of {day_in_words(answer['as_of'])}, {_scenario(answer)}.")
    yield ""
    people = count(answer["members"], "person", many="people")
    homes = count(answer["household_count"], "household")
    yield f"{people} in {homes}; {count(answer['units_on_hand'], 'unit')} on hand."


def _scenario(answer: CoverageAnswer) -> str:
    asked = answer["scenario"]
    words = [
        "something to heat with" if asked["heating"] else "nothing to heat with",
        "running water" if asked["running_water"] else "no running water",
        "shared stock only" if asked["stock"] == "shared" else "shared and households' own stock",
    ]
    if asked["basis"] == "flat":
        words.append("2,100 kcal for everyone")
    if asked["ration"] < 1:
        words.append(f"{asked['ration'] * 100:g}% rations")
    if asked["places_lost"]:
        words.append("without " + ", ".join(map(one_line, asked["places_lost"])))
    if asked["households_away"]:
        words.append(", ".join(map(one_line, asked["households_away"])) + " away")
    return ", ".join(words)


def _headlines(answer: CoverageAnswer) -> Iterator[str]:
    days = answer["everyone_fed_days"]
    if days is None:
        yield "Nobody here has a need to meet, so there are no days to count."
        return
    fed = in_words(days, at_least=answer["everyone_fed_at_least"])
    yield from _figure("Everyone is fed for", fed, note=tenths(days))
    fair = f"{int(answer['person_days']):,} person-days"
    each = answer["person_days"] / answer["members_with_a_need"]
    yield from _figure("Shared fairly, in all", fair, note=f"{tenths(each)} days each, on average")
    paper = f"{int(answer['person_days_on_paper']):,} person-days"
    yield from _figure("On paper", paper, note="whoever could eat it, and when")


def _figure(label: str, value: str, *, note: str) -> Iterator[str]:
    yield f"  {label:<23}{value} ({note})"


def _held_by(answer: CoverageAnswer) -> Iterator[str]:
    days = answer["everyone_fed_days"]
    if days is None:
        return
    if not answer["everyone_fed_at_least"]:
        yield from _wrapped(_holding(answer, days))
    unread = answer["everyone_fed_days_if_unread_suit"]
    if unread is not None and tenths(unread) != tenths(days):
        least = "at least " if unread >= answer["scenario"]["horizon_days"] else ""
        yield from _wrapped(
            f"If every label not yet read proved suitable: {least}{tenths(unread)} days for"
            " everyone."
        )
    after = answer["next_level_days"]
    if after is None:
        return
    if after >= answer["scenario"]["horizon_days"]:
        yield from _wrapped(f"Everyone else is fed for at least {tenths(after)} days.")
    else:
        yield from _wrapped(f"Next to run out: at {tenths(after)} days.")


def _holding(answer: CoverageAnswer, days: float) -> str:
    wet = answer["everyone_fed_days_if_enough_to_drink"]
    if wet is not None and tenths(wet) != tenths(days):
        return f"Held down by the stored water: with enough of it, {tenths(wet)} days for everyone."
    held = answer["held_by"]
    if sum(one["members"] for one in held) == answer["members_with_a_need"]:
        return "Held down by all together: everyone runs out on the same day."
    return f"Held down by {_who(held)}."


def _who(classes: Iterable[ClassPart]) -> str:
    named = [f"{count(one['members'], 'person', many='people')} ({one['need']})" for one in classes]
    more = f" and {count(len(named) - 3, 'more group')}" if len(named) > 3 else ""
    return "; ".join(named[:3]) + more


def _labels_to_read(answer: CoverageAnswer) -> Iterator[str]:
    labels = answer["labels_to_read"]
    days = answer["everyone_fed_days"]
    if not labels or days is None:
        return
    yield "Labels to read first, for those who run out first may not eat it unread"
    for one in labels:
        then = one["everyone_fed_days_if_it_suits"]
        least = "at least " if then >= answer["scenario"]["horizon_days"] else ""
        is_worth = then - days >= _WORTH_SAYING
        gain = f"{least}+{tenths(then - days)} days for everyone" if is_worth else "a part of it"
        yield f"  {one['units']:>5} x {fitted(one['food_name'], 36)} {gain}"


def _households(answer: CoverageAnswer) -> Iterator[str]:
    homes = answer["households"]
    if not homes:
        return
    yield "Days by household, worst first"
    longest = max((home["days"] or 0.0 for home in homes), default=0.0)
    for home in homes[:MOST_LINES]:
        yield _household(home, longest=longest)
    if len(homes) > MOST_LINES:
        rest = count(len(homes) - MOST_LINES, "more household")
        all_fed = all(home["days"] is not None for home in homes[MOST_LINES:])
        yield f"  and {rest}" + (", with as many days or more" if all_fed else "")


def _household(home: HouseholdPart, *, longest: float) -> str:
    people = count(home["members"], "person", many="people")
    head = f"  {fitted(home['household'], 16)}{people:>10}"
    days = home["days"]
    if days is None:
        return f"{head}   no need of its own"
    bar = "=" * (int(days / longest * _BAR) if longest > 0 else 0)
    return f"{head}{tenths(days):>8}{'+' if home['at_least'] else ' '} {bar}"


def _water(answer: CoverageAnswer) -> Iterator[str]:
    water = answer["water"]
    days, drinking = water["days"], water["days_drinking_only"]
    if days is None or drinking is None:
        return
    yield "Stored water"
    yield from _wrapped(
        f"{litres(water['stored_l'])} inside their date: {in_words(days)} at "
        f"{water['litres_a_day']:,.0f} litres a day ({tenths(days)}), or {tenths(drinking)} days"
        " at half of that for people, for drinking alone.",
        indent="  ",
    )
    if water["overdue_l"] > 0 and water["overdue_days"] is not None:
        yield from _wrapped(
            f"{litres(water['overdue_l'])} are past their date: replaced or made safe, they"
            f" add {tenths(water['overdue_days'])} days.",
            indent="  ",
        )


def _next_round(answer: CoverageAnswer) -> Iterator[str]:
    round_ = answer["before_next_round"]
    if round_["next_round_day"] is None:
        return
    day = day_in_words(round_["next_round_day"])
    yield f"Passes its date before the next round, {day}: {count(round_['units'], 'unit')}"
    yield from _lots(round_["lots"])


def _set_aside(answer: CoverageAnswer) -> Iterator[str]:
    aside = answer["set_aside"]
    for label, lots in (
        ("Past its last good day, counted in nothing", aside["past"]),
        ("Undated, counted in nothing until someone dates it", aside["undated"]),
        ("Damaged, to be discarded unopened", aside["damaged"]),
        ("Set aside until someone decides", aside["quarantined"]),
    ):
        if lots:
            yield f"{label}: {count(len(lots), 'lot')}"
            yield from _lots(lots)


def _lots(lots: list[LotPart]) -> Iterator[str]:
    for lot in lots[:MOST_LINES]:
        day = lot["last_good_day"] or "no date"
        food, place = fitted(lot["food"], 29), fitted(lot["place"], 27)
        yield f"  {day:<10}{lot['units']:>8} x {food} {place}".rstrip()
    if len(lots) > MOST_LINES:
        yield f"  and {count(len(lots) - MOST_LINES, 'more lot')}"


def _waiting(waiting: Sequence[WaitingPart]) -> Iterator[str]:
    if not waiting:
        return
    yield f"Waiting for a coordinator to say what it is: {count(len(waiting), 'lot')}"
    for lot in waiting[:MOST_LINES]:
        words, place = fitted(lot["words"], 40), fitted(lot["place"], 27)
        yield f"  {lot['units']:>7} x {words} {place}".rstrip()
    if len(waiting) > MOST_LINES:
        yield f"  and {count(len(waiting) - MOST_LINES, 'more lot')}"


def _cautions(answer: CoverageAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from textwrap.wrap(
            caution["text"], WIDTH, initial_indent="  - ", subsequent_indent="    "
        )


def _wrapped(text: str, *, indent: str = "") -> Iterator[str]:
    yield from textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
