"""Write who runs out first, what holds them, and what would give them another day."""

from collections.abc import Iterable, Iterator
from math import ceil
from typing import Final

from daysworth_client.answers import (
    ClassPart,
    CoverageAnswer,
    FoodGainPart,
    LabelPart,
    RunsOutPart,
)
from daysworth_client.figures import columns, count, day_in_words, fitted, one_line, tenths
from daysworth_client.summary_lines import (
    WIDTH,
    WORTH_SAYING,
    day_number,
    gain_in_days,
    people,
    people_of,
    whole,
    wrapped,
)

MOST_GROUPS: Final = 3
MOST_FOODS: Final = 5
MOST_NEXT: Final = 6
_LIMITS: Final = (
    ("water", "Too little stored water: if water were no limit"),
    ("protein", "Too little protein in what is left for them: if protein were no limit"),
    (
        "extras",
        "Of what is known to suit them, too much is oil, sugar, sauce or drink, which can be only"
        " a small part of a diet: were that no limit",
    ),
    ("dates", "Some of it passes its date before they can eat it: if no date ran out"),
)
_NOTHING_ELSE: Final = "There is simply not enough food that suits them."
_A_GRAIN: Final = 1e-9
_LABEL: Final = 24


def runs_out_first(answer: CoverageAnswer) -> Iterator[str]:
    """Say for each group that runs out first when, why, and how to add a day."""
    days = answer["everyone_fed_days"]
    if days is None or answer["everyone_fed_at_least"]:
        yield from _the_rest(answer)
        return
    told = answer["runs_out_first"]
    if told:
        yield "What runs out first, and why"
        if wet := _held_by_water(answer, days):
            yield from wrapped(wet, indent="  ")
        for one in told[:MOST_GROUPS]:
            yield from _group(one, answer)
        yield from _several(answer)
    else:
        yield from wrapped(_held_by(answer, days))
    yield from _the_rest(answer)


def labels_to_read(answer: CoverageAnswer) -> Iterator[str]:
    """List the labels to read first, and the days that all of them together may be worth."""
    labels = answer["labels_to_read"]
    days = answer["everyone_fed_days"]
    if labels and days is not None:
        yield from wrapped(_not_before_it_is_read(answer))
        yield from wrapped(
            "Labels to read first, and for how many days longer everyone would be fed if that one"
            " alone proves to suit (the days are not to be added together):"
        )
        for one in labels:
            then = one["everyone_fed_days_if_it_suits"]
            least = "at least " if then >= answer["scenario"]["horizon_days"] else ""
            adds = "a part of it"
            if then - days >= WORTH_SAYING:
                adds = f"{least}+{tenths(then - days)} days if it suits"
            yield from _label(one, adds)
    yield from wrapped(_if_all_were_read(answer))


def _not_before_it_is_read(answer: CoverageAnswer) -> str:
    """Warn of food whose label is unread, naming the needs to readers who may know them."""
    whom = "anyone who must avoid something"
    if told := answer["runs_out_first"]:
        whom = f"{_named(told)}, or to {whom}"
    return f"Do not give these to {whom}, before the label is read and proves to suit that person."


def _label(one: LabelPart, adds: str) -> Iterator[str]:
    """Write a label, what it adds, and where the first lot with it stands."""
    line = f"  {one['units']:>5} x {fitted(one['food_name'], _LABEL)} {adds}"
    place = one_line(one["lots"][0]["place"]) if one["lots"] else ""
    if columns(line) + len(", ") + columns(place) <= WIDTH:
        yield f"{line}, {place}" if place else line
    else:
        yield line
        yield " " * 10 + fitted(place, WIDTH - 10).rstrip()


def _if_all_were_read(answer: CoverageAnswer) -> str:
    days, unread = answer["everyone_fed_days"], answer["everyone_fed_days_if_unread_suit"]
    if days is None or unread is None or tenths(unread) == tenths(days):
        return ""
    least = "at least " if unread >= answer["scenario"]["horizon_days"] else ""
    return (
        f"All unread labels together, if they prove to suit: {least}{tenths(unread)} days for"
        " everyone."
    )


def _group(one: RunsOutPart, answer: CoverageAnswer) -> Iterator[str]:
    yield from wrapped(f"{_who(one, answer)}: {_until(one, answer)}", indent="  ", hanging="    ")
    for reason in _reasons(one, answer):
        yield from wrapped(f"Why: {reason}", indent="    ", hanging="      ")
    yield from _another_day(one)


def _who(one: RunsOutPart, answer: CoverageAnswer) -> str:
    if one["members"] == answer["members_with_a_need"]:
        return f"All {people(one['members'])} together"
    return people_of(one)


def _until(one: RunsOutPart, answer: CoverageAnswer) -> str:
    """Say the last day on which they are fed in full."""
    if whole(one["days"]) < 1:
        return "not fed in full for a single day."
    last = day_in_words(day_number(answer["as_of"], whole(one["days"])))
    return f"fed in full through {last}."


def _reasons(one: RunsOutPart, answer: CoverageAnswer) -> Iterator[str]:
    """Give what holds them, the limit that costs most days first; else that there is no more."""
    horizon_days = answer["scenario"]["horizon_days"]
    without = one["days_without"]
    gained = {
        "extras": without["extras"] - one["days"],
        "protein": without["protein"] - one["days"],
        "water": without["water"] - one["days"],
        "dates": without["dates"] - one["days"],
    }
    found = [(limit, words) for limit, words in _LIMITS if gained[limit] >= WORTH_SAYING]
    unread = _unread(one, answer, most_gained=max(gained.values()))
    if unread:
        yield unread
    for limit, words in sorted(found, key=lambda one: -gained[one[0]]):
        gain = gain_in_days(one["days"], gained=gained[limit], horizon_days=horizon_days)
        yield f"{words}, {gain}."
    if not found and not unread:
        yield _NOTHING_ELSE


def _unread(one: RunsOutPart, answer: CoverageAnswer, *, most_gained: float) -> str:
    """Say that unread labels are what costs most, where no rule let go would add as much."""
    days = answer["everyone_fed_days_if_unread_suit"]
    if days is None or days - one["days"] < max(WORTH_SAYING, most_gained):
        return ""
    least = "at least " if days >= answer["scenario"]["horizon_days"] else ""
    whom = "them" if len(answer["held_by"]) == 1 else "those who run out first"
    return (
        f"There is food here that nobody has yet checked for {whom}: if every unread label proved"
        f" to suit, everyone would be fed for {least}{tenths(days)} days."
    )


def _another_day(one: RunsOutPart) -> Iterator[str]:
    foods = [food for food in one["foods"] if food["days"] > _A_GRAIN]
    if not foods:
        return
    them = "this 1 person" if one["members"] == 1 else f"these {people(one['members'])}"
    if_it_suits = "; read the label of what is brought"
    if foods[0]["only_if_label_suits"]:
        if_it_suits = ", if its label proves that it suits them"
    yield from wrapped(
        "To buy or be given, sealed, beyond what is on the shelves. Any one of these is one more"
        f" day for {them}{if_it_suits}:",
        indent="    ",
    )
    for food in foods[:MOST_FOODS]:
        yield _food(food)


def _food(food: FoodGainPart) -> str:
    """Write how many packs make a day; the more are added, the less each may add."""
    packs = packs_for_a_day(food["days"])
    size = f"pack{'' if packs == 1 else 's'} of {food['unit_kcal']:,.0f} kcal"
    return f"{packs:>9,} or more {size:<19} {fitted(food['food_name'], 38)}".rstrip()


def packs_for_a_day(days: float) -> int:
    """Give the whole packs that add a day, where one pack adds so many days (more than 0)."""
    return ceil(1 / days - _A_GRAIN)


def _several(answer: CoverageAnswer) -> Iterator[str]:
    told = answer["runs_out_first"]
    held = max(len(answer["held_by"]), len(told))
    if held > len(told[:MOST_GROUPS]):
        yield f"  and {count(held - len(told[:MOST_GROUPS]), 'more group')} on the same day"
    if held > 1:
        which = "both of them are" if held == 2 else "all of them are"
        yield from wrapped(
            f"They run out on the same day: everyone is fed for longer only when {which} given"
            " more.",
            indent="  ",
        )


def _the_rest(answer: CoverageAnswer) -> Iterator[str]:
    after = answer["next_level_days"]
    if after is None:
        return
    if after >= answer["scenario"]["horizon_days"]:
        yield from wrapped(f"Everyone else is fed for at least {tenths(after)} days.")
    else:
        yield from wrapped(f"Next to run out, at {tenths(after)} days{_next(answer, after)}.")


def _next(answer: CoverageAnswer, after: float) -> str:
    """Name who runs out next; only count them to readers who are not told more."""
    found = [one for one in answer["classes"] if tenths(one["days"]) == tenths(after)]
    if not found:
        return ""
    said = f": {people(sum(one['members'] for one in found))}"
    if not answer["runs_out_first"]:
        return said
    needs = [f"{one['need']} {one['members']}" for one in found[:MOST_NEXT]]
    if len(found) > MOST_NEXT:
        needs.append(count(len(found) - MOST_NEXT, "more group"))
    return f"{said} ({', '.join(needs)})"


def _held_by_water(answer: CoverageAnswer, days: float) -> str:
    wet = answer["everyone_fed_days_if_enough_to_drink"]
    if wet is None or tenths(wet) == tenths(days):
        return ""
    least = "at least " if wet >= answer["scenario"]["horizon_days"] else ""
    return (
        f"Held down by the stored water: with enough of it, {least}{tenths(wet)} days for everyone."
    )


def _held_by(answer: CoverageAnswer, days: float) -> str:
    """Say who holds the days down, to readers who are not told more."""
    if wet := _held_by_water(answer, days):
        return wet
    held = answer["held_by"]
    if sum(one["members"] for one in held) == answer["members_with_a_need"]:
        return "Held down by all together: everyone runs out on the same day."
    return f"Held down by {_named(held)}."


def _named(classes: Iterable[ClassPart | RunsOutPart]) -> str:
    named = [people_of(one) for one in classes]
    rest = len(named) - MOST_GROUPS
    more = f" and {count(rest, 'more group')}" if rest > 0 else ""
    return "; ".join(named[:MOST_GROUPS]) + more
