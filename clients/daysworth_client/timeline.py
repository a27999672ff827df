"""Write a timeline as plain text, 80 columns wide, for a terminal or a printer."""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from daysworth_client.figures import (
    columns,
    count,
    day_in_words,
    fitted,
    in_words,
    one_line,
    tenths,
)
from daysworth_client.timeline_answers import (
    ClassLinePart,
    HouseholdLinePart,
    PointPart,
    RunPart,
    TimelineAnswer,
)

WIDTH: Final = 80
MOST_FOODS: Final = 8
"""How many foods of one stretch of days are listed for a class before the rest are counted."""
MOST_STRETCHES: Final = 6
"""How many stretches of days are listed for a class before the rest are counted."""
_LEAST_UNITS: Final = 0.05
"""Less than this would be told as none of a unit."""
_QUESTION: Final = "how long does it wait, and when is it eaten?"


def timeline_text(answer: TimelineAnswer) -> str:
    """Write a timeline for reading: the dates to come first, then what is eaten when."""
    home = answer["household"]
    parts = [_heading(answer), _cliff(answer)]
    if home is not None:
        parts.append(_household(home))
    parts.extend(_class_line(one) for one in answer["classes"])
    parts.append(_cautions(answer))
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part))) + "\n"


def _heading(answer: TimelineAnswer) -> Iterator[str]:
    title = f"{one_line(answer['store_name'])}: {_QUESTION}"
    if columns(title) <= WIDTH:
        yield title
    else:
        yield fitted(answer["store_name"], WIDTH).rstrip()
        yield _QUESTION.capitalize()
    scenario = answer["scenario"]
    said = [
        "something to heat with" if scenario["heating"] else "nothing to heat with",
        "running water" if scenario["running_water"] else "no running water",
    ]
    yield from _wrapped(f"As of {day_in_words(answer['as_of'])}, {', '.join(said)}.")


def _cliff(answer: TimelineAnswer) -> Iterator[str]:
    cliff = answer["cliff"]
    yield "If nothing is added and nobody eats, everyone is fed for"
    for point in cliff["points"]:
        yield _point(point)
    floor, below = cliff["floor_days"], cliff["below_floor_on"]
    floor_in_words = count(floor, "day")
    if below is None:
        last = day_in_words(cliff["last_day"])
        yield from _wrapped(f"On none of these dates, until {last}, fewer than {floor_in_words}.")
    elif below == answer["as_of"]:
        yield from _wrapped(f"That is below the floor of {floor_in_words} already.")
    else:
        yield from _wrapped(f"Below the floor of {floor_in_words} from {day_in_words(below)}.")


def _point(point: PointPart) -> str:
    days = point["everyone_fed_days"]
    if days is None:
        fed = "nobody has a need"
    else:
        fed = in_words(days, at_least=point["everyone_fed_at_least"])
    mark = " (round)" if point["is_round"] else ""
    head = f"  {day_in_words(point['point_day'])}{mark}"
    person_days = f"{int(point['person_days']):,} person-days"
    tail = f"{int(point['passing_kcal']):,} kcal"
    return f"{head:<28}{fed:<22}{person_days:>19}".rstrip() + _passing(tail, point)


def _passing(tail: str, point: PointPart) -> str:
    return f"\n{'':<28}{tail} pass their date after that" if point["passing_kcal"] >= 1 else ""


def _household(home: HouseholdLinePart) -> Iterator[str]:
    people = count(home["members"], "person", many="people")
    yield f"What household {one_line(home['household'])} eats ({people} with a need)"
    if not home["runs"]:
        yield "  Nothing in the store is for them."
        return
    yield from _stretches(home["runs"], most_stretches=None, most_foods=None)


def _class_line(one: ClassLinePart) -> Iterator[str]:
    people = count(one["members"], "person", many="people")
    fed = in_words(one["days"], at_least=one["at_least"])
    eat = "eats" if one["members"] == 1 else "eat"
    yield from _wrapped(f"What {people} {eat} ({one['need']}), fed for {fed}")
    if one["runs"]:
        yield from _stretches(one["runs"], most_stretches=MOST_STRETCHES, most_foods=MOST_FOODS)
    else:
        yield "  Nothing in the store is for them."


def _stretches(
    runs: Sequence[RunPart], *, most_stretches: int | None, most_foods: int | None
) -> Iterator[str]:
    found = [list(group) for _, group in groupby(runs, key=lambda run: run["starts_days"])]
    for stretch in found[:most_stretches]:
        yield f"  {_dates(stretch)}"
        largest = sorted(stretch, key=lambda run: (-run["energy_kcal"], run["food"]))
        for run in largest[:most_foods]:
            yield _run(run)
        if most_foods is not None and len(largest) > most_foods:
            yield f"    and {count(len(largest) - most_foods, 'more food')}"
    if most_stretches is not None and len(found) > most_stretches:
        left = len(found) - most_stretches
        yield f"  and {count(left, 'more stretch', many='more stretches')} of days"


def _dates(stretch: Sequence[RunPart]) -> str:
    first = day_in_words(min(run["first_day"] for run in stretch))
    last = day_in_words(max(run["last_day"] for run in stretch))
    return f"On {first}" if first == last else f"From {first} to {last}"


def _run(run: RunPart) -> str:
    good_to = run["good_to_day"]
    until = "" if good_to is None else f"good to {day_in_words(good_to)}"
    units = tenths(run["units"]) if run["units"] >= _LEAST_UNITS else "< 0.1"
    return f"    {units:>8} x {fitted(run['food_name'], 38)} {until}".rstrip()


def _cautions(answer: TimelineAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from textwrap.wrap(
            caution["text"], WIDTH, initial_indent="  - ", subsequent_indent="    "
        )


def _wrapped(text: str) -> Iterator[str]:
    yield from textwrap.wrap(text, WIDTH, break_on_hyphens=False)
