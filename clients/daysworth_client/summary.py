"""Write the coverage summary as plain text, 80 columns wide, for a terminal or a printer.

What matters most comes first: the days, who runs out first and what would help, then where the
rest went, then what wants a hand.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from daysworth_client.answers import CoverageAnswer
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
from daysworth_client.summary_days import where_the_days_go
from daysworth_client.summary_first_out import labels_to_read, runs_out_first
from daysworth_client.summary_homes import households
from daysworth_client.summary_lines import WIDTH, day_number, sentence, whole, wrapped
from daysworth_client.summary_meals import complete_meals, diet_mix
from daysworth_client.summary_stock import next_round, set_aside, waiting_for_a_name
from daysworth_client.summary_uneaten import will_spoil

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
        runs_out_first(answer),
        labels_to_read(answer),
        where_the_days_go(answer),
        households(answer["households"]),
        _water(answer),
        will_spoil(answer),
        next_round(answer),
        set_aside(answer["set_aside"]),
        waiting_for_a_name(waiting),
        diet_mix(answer),
        complete_meals(answer),
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
    yield from wrapped(f"As of {day_in_words(answer['as_of'])}, supposing {_scenario(answer)}.")
    yield ""
    people = count(answer["members"], "person", many="people")
    homes = count(answer["household_count"], "household")
    yield f"{people} in {homes}; {count(answer['units_on_hand'], 'unit')} on hand."
    if answer["runs_out_first"]:
        yield "This tells of people's needs: it is for coordinators, and not for a wall."


def _scenario(answer: CoverageAnswer) -> str:
    asked = answer["scenario"]
    words = [
        "something to heat with" if asked["heating"] else "nothing to heat with",
        "running water" if asked["running_water"] else "no running water",
        "households' own cupboards not counted"
        if asked["stock"] == "shared"
        else "shared and households' own stock",
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
    yield from sentence(_fed_in_full(answer, days))
    fair = f"{whole(answer['person_days']):,} person-days"
    each = answer["person_days"] / answer["members_with_a_need"]
    yield from _figure("Shared fairly, in all", fair, note=f"{tenths(each)} days each, on average")
    yield from sentence(
        "A person-day is one person's food for one day. Those who run out first come first; the"
        " others then eat what the first cannot."
    )


def _fed_in_full(answer: CoverageAnswer, days: float) -> str:
    said = "food that suits them and is in date"
    if len(answer["classes"]) > 1:
        said += ", if the little some can eat is kept for them"
    if answer["everyone_fed_at_least"]:
        return f"All that time all have {said}."
    if whole(days) < 1:
        return f"Not for one whole day do all have {said}."
    last = day_in_words(day_number(answer["as_of"], whole(days)))
    full = f"{count(whole(days), 'full day')}, today the first"
    return f"{full}: through {last} all have {said}."


def _figure(label: str, value: str, *, note: str) -> Iterator[str]:
    yield f"  {label:<23}{value} ({note})"


def _water(answer: CoverageAnswer) -> Iterator[str]:
    water = answer["water"]
    days, drinking = water["days"], water["days_drinking_only"]
    if days is None or drinking is None:
        return
    yield "Stored water"
    yield from wrapped(
        f"{litres(water['stored_l'])} inside their date: {in_words(days)} ({tenths(days)}) at"
        f" {water['litres_a_day']:,.0f} litres a day; {tenths(drinking)} days if people's share"
        " is halved, for drinking alone.",
        indent="  ",
    )
    if water["overdue_l"] > 0 and water["overdue_days"] is not None:
        yield from wrapped(
            f"{litres(water['overdue_l'])} are past their date: made safe or replaced, they"
            f" add {tenths(water['overdue_days'])} days.",
            indent="  ",
        )


def _cautions(answer: CoverageAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from wrapped(caution["text"], indent="  - ", hanging="    ")
