"""Lay out a comparison for reading: each figure before, after, and what changed.

Figures are rounded down first, so that what changed is the difference of the figures shown.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from daysworth.answers.comparison import ComparisonAnswer, HouseholdChange
from daysworth.answers.stock_comparison import FoodChange
from daysworth.answers.two_figures import CountChange, DaysChange, FigureChange
from daysworth.domain.identifiers import HouseholdId
from daysworth.pages.coverage_shown import Said
from daysworth.printing.figures import tenths, whole


@dataclass(frozen=True, slots=True)
class RowShown:
    """One figure: the key of its name, then before, after and change as messages."""

    key: str
    before: Said
    after: Said
    change: Said


@dataclass(frozen=True, slots=True)
class HomeShown:
    """A household whose days changed; it is shown by its name where the store still has it."""

    name: str
    before: Said
    after: Said
    change: Said


def figures_compared(answer: ComparisonAnswer) -> Iterator[RowShown]:
    """Give the figures that matter most, in the order of the summary."""
    yield _row("everyone-fed", _days_shown(answer.everyone_fed_days))
    yield _row("next-level", _days_shown(answer.next_level_days))
    yield _row("person-days", _wholes_shown(answer.person_days))
    yield _row("on-paper", _wholes_shown(answer.person_days_on_paper))
    yield _row("water", _tenths_shown(answer.water_days))
    yield _row("drinking", _tenths_shown(answer.water_days_drinking_only))
    yield _row("households", _count_shown(answer.household_count))
    yield _row("people", _count_shown(answer.members))
    yield _row("units", _count_shown(answer.units_on_hand))


def headline(answer: ComparisonAnswer) -> Said:
    """Say in one sentence what becomes of everyone-fed days."""
    days = answer.everyone_fed_days
    if days.before is None or days.after is None:
        return "compared-nobody", {}
    if days.before_at_least and days.after_at_least:
        return "compared-same", {"days": tenths(days.after)}
    gained = _difference(tenths(days.before), tenths(days.after))
    if gained == 0:
        return "compared-same", {"days": tenths(days.after)}
    key = "compared-longer" if gained > 0 else "compared-shorter"
    if days.after_at_least or days.before_at_least:
        key += "-at-least"
    return key, {
        "before": tenths(days.before),
        "after": tenths(days.after),
        "change": abs(gained),
    }


def homes_compared(
    answer: ComparisonAnswer, names: Mapping[HouseholdId, tuple[int, str]]
) -> list[HomeShown]:
    """Name the households whose days changed, the most days lost first."""
    return [HomeShown(_named(one, names), *_days_shown(one.days)) for one in answer.households]


def food_change(food: FoodChange) -> Said:
    """Say how many units of a food there are more or less."""
    return _count_shown(food.units)[2]


def _named(one: HouseholdChange, names: Mapping[HouseholdId, tuple[int, str]]) -> str:
    return names.get(HouseholdId(one.household), (0, one.household))[1]


Shown = tuple[Said, Said, Said]
"""Before, after and change."""


def _row(key: str, shown: Shown) -> RowShown:
    return RowShown(key, *shown)


def _days_shown(days: DaysChange) -> Shown:
    # How far days go beyond the horizon is not known, nor is what changed there.
    is_known = not (days.before_at_least or days.after_at_least)
    return (
        _days(days.before, is_least=days.before_at_least),
        _days(days.after, is_least=days.after_at_least),
        _change(_down(days.before), _down(days.after)) if is_known else ("figure-none", {}),
    )


def _days(days: float | None, *, is_least: bool) -> Said:
    if days is None:
        return "figure-none", {}
    return ("figure-at-least" if is_least else "figure-days"), {"days": tenths(days)}


def _down(days: float | None) -> float | None:
    return None if days is None else tenths(days)


def _tenths_shown(figure: FigureChange) -> Shown:
    return (
        _days(figure.before, is_least=False),
        _days(figure.after, is_least=False),
        _change(_down(figure.before), _down(figure.after)),
    )


def _wholes_shown(figure: FigureChange) -> Shown:
    before, after = whole(figure.before or 0.0), whole(figure.after or 0.0)
    return _whole(before), _whole(after), _whole_change(before, after)


def _count_shown(count: CountChange) -> Shown:
    return _whole(count.before), _whole(count.after), _whole_change(count.before, count.after)


def _whole(figure: int) -> Said:
    return "figure-whole", {"figure": figure}


def _whole_change(before: int, after: int) -> Said:
    if after == before:
        return "figure-same", {}
    return ("figure-more" if after > before else "figure-less"), {"figure": abs(after - before)}


def _change(before: float | None, after: float | None) -> Said:
    if before is None or after is None:
        return "figure-none", {}
    gained = _difference(before, after)
    if gained == 0:
        return "figure-same", {}
    return ("figure-more-days" if gained > 0 else "figure-less-days"), {"days": abs(gained)}


def _difference(before: float, after: float) -> float:
    """Give the difference of two figures of tenths, itself in tenths."""
    return round(after - before, 1)
