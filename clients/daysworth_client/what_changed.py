"""Say in short sentences what changed from one side of a comparison to the other."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.answers import ClassPart
from daysworth_client.comparison_answers import ComparisonAnswer, DaysChangePart, FoodChangePart
from daysworth_client.figures import count, fitted, tenths

_SHOWN_GROUPS: Final = 3
_NAME_COLUMNS: Final = 40


def what_changed(answer: ComparisonAnswer) -> list[str]:
    """Say what changed, the days for everyone first; always at least one sentence."""
    return [
        *_everyone(answer["everyone_fed_days"]),
        *_held(answer),
        *_homes(answer),
        *_water(answer),
        *_stock(answer),
        *_passed(answer),
    ]


def change_in_tenths(before: float, after: float) -> int:
    """Give the change between two figures as they are shown, each rounded down to a tenth."""
    return round(float(tenths(after)) * 10) - round(float(tenths(before)) * 10)


def who(classes: list[ClassPart], *, of_members: int) -> str:
    """Name groups by count and need: "2 people (egg allergy)"; "all together" if they are all."""
    if classes and sum(one["members"] for one in classes) == of_members:
        return "all together"
    named = [f"{count(one['members'], 'person', many='people')} ({one['need']})" for one in classes]
    left_out = len(named) - _SHOWN_GROUPS
    more = f" and {count(left_out, 'more group')}" if left_out > 0 else ""
    return "; ".join(named[:_SHOWN_GROUPS]) + more


def signed(change: float, *, decimals: int = 0) -> str:
    """Write a change with its sign, and none without."""
    return f"{change:+,.{decimals}f}" if round(change, decimals) else f"{0:.{decimals}f}"


def shown_days(days: float, *, at_least: bool) -> str:
    """Write days to a tenth, rounded down, with whether they are the least."""
    return ("at least " if at_least else "") + tenths(days)


def _everyone(days: DaysChangePart) -> Iterator[str]:
    before, after = days["before"], days["after"]
    if after is None:
        was = "" if before is None else f"; before, everyone was fed for {tenths(before)} days"
        yield f"Nobody has a need to meet, so there are no days to count{was}."
        return
    now = f"Everyone is fed for {shown_days(after, at_least=days['after_at_least'])} days"
    if before is None:
        yield f"{now}; before, nobody had a need to meet."
        return
    change = change_in_tenths(before, after)
    was = shown_days(before, at_least=days["before_at_least"])
    if change == 0:
        yield f"{now}, as before."
    else:
        yield f"{now}, {abs(change) / 10:.1f} {_fewer(change)} than the {was} before."


def _held(answer: ComparisonAnswer) -> Iterator[str]:
    needed = answer["members_with_a_need"]
    before = who(answer["before"]["held_by"], of_members=needed["before"])
    after = who(answer["after"]["held_by"], of_members=needed["after"])
    if before and after and before != after:
        yield f"Held down by {after}; before, by {before}."


def _homes(answer: ComparisonAnswer) -> Iterator[str]:
    joined = [home for home in answer["households"] if home["members_before"] is None]
    left = [home for home in answer["households"] if home["members_after"] is None]
    for homes, what in ((joined, "more, not there before"), (left, "no longer there")):
        if homes:
            yield f"{count(len(homes), 'household')} {what}."
    losing = [home for home in answer["households"] if (home["days"]["change"] or 0.0) < 0]
    gaining = [home for home in answer["households"] if (home["days"]["change"] or 0.0) > 0]
    told = [f"{count(len(losing), 'household')} with fewer days"] if losing else []
    told += [f"{count(len(gaining), 'household')} with more"] if gaining else []
    if told:
        yield f"{', '.join(told)}; {answer['households_unchanged']} unchanged."


def _water(answer: ComparisonAnswer) -> Iterator[str]:
    before, after = answer["water_days"]["before"], answer["water_days"]["after"]
    if before is None or after is None:
        return
    change = change_in_tenths(before, after)
    if change:
        yield f"The stored water lasts {abs(change) / 10:.1f} days {_longer(change)}."


def _stock(answer: ComparisonAnswer) -> Iterator[str]:
    if not answer["foods"]:
        return
    units = answer["units_on_hand"]["change"]
    kcal = round(answer["energy_on_hand_kcal"]["change"] or 0.0)
    yield (
        f"{abs(units):,} units {_fewer(units)} on hand, and {abs(kcal):,} kcal {_less(kcal)}."
        if units or kcal
        else "As many units and as much energy on hand as before, of other foods."
    )
    lost, gained = answer["foods"][0], answer["foods"][-1]
    if (lost["energy_kcal"]["change"] or 0.0) < 0:
        yield f"Most energy lost: {_food(lost)}."
    if (gained["energy_kcal"]["change"] or 0.0) > 0:
        yield f"Most energy gained: {_food(gained)}."


def _food(food: FoodChangePart) -> str:
    kcal = round(abs(food["energy_kcal"]["change"] or 0.0))
    name = fitted(food["food_name"], _NAME_COLUMNS).rstrip()
    return f"{name} ({signed(food['units']['change'])} units, {kcal:,} kcal)"


def _passed(answer: ComparisonAnswer) -> Iterator[str]:
    lots = answer["passed"]
    if lots:
        still = sum(lot["units_still_there"] for lot in lots)
        yield (
            f"The date of {count(len(lots), 'lot')} passed between;"
            f" {count(still, 'unit')} of that {'is' if still == 1 else 'are'} still there."
        )


def _fewer(change: float) -> str:
    return "fewer" if change < 0 else "more"


def _less(change: float) -> str:
    return "less" if change < 0 else "more"


def _longer(change: float) -> str:
    return "less" if change < 0 else "longer"
