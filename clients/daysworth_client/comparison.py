"""Write a comparison as plain text, 80 columns wide, for a terminal or a printer."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.answers import ScenarioPart
from daysworth_client.comparison_answers import (
    ComparisonAnswer,
    CountChangePart,
    DaysChangePart,
    FigureChangePart,
    FoodChangePart,
    HouseholdChangePart,
    SidePart,
)
from daysworth_client.figures import columns, count, day_in_words, fitted, one_line, tenths
from daysworth_client.what_changed import change_in_tenths, signed, what_changed, who

WIDTH: Final = 80
MOST_LINES: Final = 15
"""How many households, foods or lots are listed before the rest are only counted."""
_QUESTION: Final = "how many days can all of us eat, before and after?"
_NOTHING: Final = "-"


def comparison_summary(answer: ComparisonAnswer) -> str:
    """Write a comparison for reading: what changed first, the cautions last."""
    parts = (
        _heading(answer),
        _sentences(answer),
        _figures(answer),
        _held_by(answer),
        _households(answer),
        _foods(answer),
        _passed(answer),
        _cautions(answer),
    )
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part))) + "\n"


def _heading(answer: ComparisonAnswer) -> Iterator[str]:
    title = f"{one_line(answer['store_name'])}: {_QUESTION}"
    if columns(title) <= WIDTH:
        yield title
    else:
        yield fitted(answer["store_name"], WIDTH).rstrip()
        yield _QUESTION.capitalize()
    before, after = answer["before"], answer["after"]
    yield from _side("Before", before, scenario=_scenario(before["scenario"]))
    is_same = before["scenario"] == after["scenario"]
    scenario = "otherwise the same" if is_same else _scenario(after["scenario"])
    yield from _side("After", after, scenario=scenario)


def _side(label: str, side: SidePart, *, scenario: str) -> Iterator[str]:
    week = "" if side["week"] is None else f"week {one_line(side['week'])} as it was kept, "
    erased = ", less the households erased since" if side["is_rewritten"] else ""
    yield from _wrapped(f"{label}: {week}as of {day_in_words(side['as_of'])}, {scenario}{erased}.")


def _scenario(asked: ScenarioPart) -> str:
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


def _sentences(answer: ComparisonAnswer) -> Iterator[str]:
    yield "What changed"
    for one in what_changed(answer):
        yield from _item(one)


def _figures(answer: ComparisonAnswer) -> Iterator[str]:
    yield _row("", ("before", "after", "change"))
    yield _days("Everyone is fed for, days", answer["everyone_fed_days"])
    yield _days("Next to run out, at day", answer["next_level_days"])
    yield _person_days("Shared fairly, person-days", answer["person_days"])
    yield _person_days("On paper, person-days", answer["person_days_on_paper"])
    yield _days("Stored water lasts, days", answer["water_days"])
    yield _days("  for drinking alone", answer["water_days_drinking_only"])
    yield _counts("Households", answer["household_count"])
    yield _counts("People", answer["members"])
    yield _counts("Units on hand", answer["units_on_hand"])
    yield _person_days("Energy on hand, kcal", answer["energy_on_hand_kcal"])


def _row(label: str, figures: tuple[str, str, str]) -> str:
    return f"  {label:<30}" + "".join(f"{one:>15}" for one in figures)


def _days(label: str, days: DaysChangePart | FigureChangePart) -> str:
    before, after = days["before"], days["after"]
    change = _NOTHING
    if before is not None and after is not None:
        change = signed(change_in_tenths(before, after) / 10, decimals=1)
    return _row(
        label,
        (
            _tenths(before, is_least=bool(days.get("before_at_least"))),
            _tenths(after, is_least=bool(days.get("after_at_least"))),
            change,
        ),
    )


def _tenths(days: float | None, *, is_least: bool = False) -> str:
    return _NOTHING if days is None else tenths(days) + ("+" if is_least else "")


def _person_days(label: str, figure: FigureChangePart) -> str:
    before, after = figure["before"], figure["after"]
    shown = [_NOTHING if one is None else f"{int(one):,}" for one in (before, after)]
    change = _NOTHING
    if before is not None and after is not None:
        change = signed(int(after) - int(before))
    return _row(label, (*shown, change))  # type: ignore[arg-type]


def _counts(label: str, counted: CountChangePart) -> str:
    shown = (f"{counted['before']:,}", f"{counted['after']:,}", signed(counted["change"]))
    return _row(label, shown)


def _held_by(answer: ComparisonAnswer) -> Iterator[str]:
    needed = answer["members_with_a_need"]
    for when, side, members in (
        ("Before", answer["before"], needed["before"]),
        ("After", answer["after"], needed["after"]),
    ):
        if side["held_by"]:
            yield from _wrapped(f"{when}, held down by {who(side['held_by'], of_members=members)}.")


def _households(answer: ComparisonAnswer) -> Iterator[str]:
    homes = answer["households"]
    if not homes:
        return
    yield "Households whose days changed, the most days lost first"
    for home in homes[:MOST_LINES]:
        yield _household(home)
    if len(homes) > MOST_LINES:
        yield f"  and {count(len(homes) - MOST_LINES, 'more household')}"


def _household(home: HouseholdChangePart) -> str:
    days = home["days"]
    before = _tenths(days["before"], is_least=days["before_at_least"])
    after = _tenths(days["after"], is_least=days["after_at_least"])
    said = "no need of its own on one side"
    if days["before"] is not None and days["after"] is not None:
        said = signed(change_in_tenths(days["before"], days["after"]) / 10, decimals=1)
    elif home["members_before"] is None:
        said = "not there before"
    elif home["members_after"] is None:
        said = "no longer there"
    return f"  {fitted(home['household'], 20)}{before:>8} to {after:>7}   {said}"


def _foods(answer: ComparisonAnswer) -> Iterator[str]:
    foods = answer["foods"]
    if not foods:
        return
    yield "Foods on hand that changed, the most energy lost first"
    for food in foods[:MOST_LINES]:
        yield _food(food)
    if len(foods) > MOST_LINES:
        yield f"  and {count(len(foods) - MOST_LINES, 'more food')}"


def _food(food: FoodChangePart) -> str:
    kcal = round(food["energy_kcal"]["change"] or 0.0)
    units = signed(food["units"]["change"])
    return f"  {units:>9} x {fitted(food['food_name'], 44)}{signed(kcal):>12} kcal"


def _passed(answer: ComparisonAnswer) -> Iterator[str]:
    lots = answer["passed"]
    if not lots:
        return
    yield "Passed its last good day between: units before, and still there"
    for lot in lots[:MOST_LINES]:
        units = f"{lot['units_before']:>8,} to {lot['units_still_there']:>6,}"
        food, place = fitted(lot["food"], 28), fitted(lot["place"], 16)
        yield f"  {lot['last_good_day']:<10}{units} x {food} {place}".rstrip()
    if len(lots) > MOST_LINES:
        yield f"  and {count(len(lots) - MOST_LINES, 'more lot')}"


def _cautions(answer: ComparisonAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from _item(caution["text"])


def _item(text: str) -> Iterator[str]:
    yield from _wrapped(text, first="  - ", rest="    ")


def _wrapped(text: str, *, first: str = "", rest: str = "") -> Iterator[str]:
    """Break a text between words, by the columns that they take and not by their letters."""
    line, is_empty = first, True
    for word in text.split():
        longer = f"{line}{'' if is_empty else ' '}{word}"
        if columns(longer) > WIDTH and not is_empty:
            yield line
            longer = rest + word
        line, is_empty = longer, False
    if not is_empty:
        yield line
