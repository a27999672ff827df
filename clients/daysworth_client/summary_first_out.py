"""Write who runs out first, what holds them, and what would give them another day."""

from collections.abc import Iterable, Iterator
from math import ceil
from typing import Final

from daysworth_client.answers import ClassPart, CoverageAnswer, FoodGainPart, RunsOutPart
from daysworth_client.figures import count, day_in_words, fitted, tenths
from daysworth_client.summary_lines import (
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
_LIMITS: Final = (
    ("water", "Too little stored water: if water were no limit"),
    ("protein", "Too little protein in what is left for them: if protein were no limit"),
    (
        "extras",
        "Too much of their food is oil, sugar, sauce or drink, which may be only a small part of"
        " what anybody eats: without that rule",
    ),
    ("dates", "Some of it passes its date before they can eat it: if no date ran out"),
)
_NOTHING_ELSE: Final = "There is simply not enough food that suits them."
_A_GRAIN: Final = 1e-9


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
        yield "Labels to read first: those who run out first may not eat these unread"
        for one in labels:
            then = one["everyone_fed_days_if_it_suits"]
            least = "at least " if then >= answer["scenario"]["horizon_days"] else ""
            adds = "a part of it"
            if then - days >= WORTH_SAYING:
                adds = f"{least}+{tenths(then - days)} days for everyone"
            yield f"  {one['units']:>5} x {fitted(one['food_name'], 36)} {adds}"
    yield from _if_all_were_read(answer)


def _if_all_were_read(answer: CoverageAnswer) -> Iterator[str]:
    days, unread = answer["everyone_fed_days"], answer["everyone_fed_days_if_unread_suit"]
    if days is None or unread is None or tenths(unread) == tenths(days):
        return
    least = "at least " if unread >= answer["scenario"]["horizon_days"] else ""
    yield from wrapped(
        f"If every label not yet read proved suitable: {least}{tenths(unread)} days for everyone."
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
    for limit, words in sorted(found, key=lambda one: -gained[one[0]]):
        gain = gain_in_days(one["days"], gained=gained[limit], horizon_days=horizon_days)
        yield f"{words}, {gain}."
    if not found:
        yield _NOTHING_ELSE


def _another_day(one: RunsOutPart) -> Iterator[str]:
    foods = [food for food in one["foods"] if food["days"] > _A_GRAIN]
    if not foods:
        return
    them = "this 1 person" if one["members"] == 1 else f"these {people(one['members'])}"
    intro = f"Any one of these is one more day for {them}, if its label proves that it suits them:"
    if not foods[0]["only_if_label_suits"]:
        intro = f"Any one of these is one more day for {them}; read the label of what is brought:"
    yield from wrapped(intro, indent="    ", hanging="      ")
    for food in foods[:MOST_FOODS]:
        yield _food(food)


def _food(food: FoodGainPart) -> str:
    """Write how many packs make a day; the more are added, the less each may add."""
    each = f", each +{tenths(food['days'])} days" if food["days"] >= WORTH_SAYING else ""
    packs = f"{packs_for_a_day(food['days']):,} or more"
    return f"{packs:>17} x {fitted(food['food_name'], 29)} of {food['unit_kcal']:,.0f} kcal{each}"


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
        yield from wrapped(
            f"Next to run out: at {tenths(after)} days. More for the first alone does not take"
            " everyone beyond that."
        )


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


def _named(classes: Iterable[ClassPart]) -> str:
    named = [people_of(one) for one in classes]
    rest = len(named) - MOST_GROUPS
    more = f" and {count(rest, 'more group')}" if rest > 0 else ""
    return "; ".join(named[:MOST_GROUPS]) + more
