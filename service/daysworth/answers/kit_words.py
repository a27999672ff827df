"""Say in words what patterns, kits and rounds are made of: parts of a meal, wares, rules."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import RuleFigure, RuleFinding, RuleStatus
from daysworth.domain.meal_patterns import MealRule, Served, SlotKind
from daysworth.domain.wares import WareKind

SLOT_WORDS: Final[Mapping[SlotKind, str]] = {
    SlotKind.PROTEIN: "protein",
    SlotKind.STARCH: "starch",
    SlotKind.FRUIT_OR_VEGETABLE: "fruit or vegetable",
    SlotKind.EXTRA: "extra",
}

SERVED_WORDS: Final[Mapping[Served, str]] = {
    Served.OWN_PACK: "from its own pack",
    Served.PLATE: "on a plate",
    Served.BOWL: "in a bowl",
    Served.MIXED_IN: "mixed into the dish",
}

RULE_WORDS: Final[Mapping[MealRule, str]] = {
    MealRule.COMPLETE: "a complete meal: protein, starch, and fruit or vegetable for everyone",
    MealRule.ENERGY: "enough energy for everyone at this meal",
    MealRule.NO_ADDED_WATER: "nothing needs added water",
    MealRule.NO_HEATING: "nothing must be heated",
    MealRule.KEEPS: "every food keeps long enough from packing",
    MealRule.OPENER: "a tin opener where a tin has no pull tab",
    MealRule.UTENSILS: "a fork or spoon and a napkin for everyone",
    MealRule.PLATES: "a plate or bowl for everyone, where one is needed",
    MealRule.ONE_MEAL_PACKS: "packs of a size eaten at one meal",
    MealRule.BAG: "all of it fits in the bag",
}

_PLURALS: Final[Mapping[WareKind, str]] = {
    WareKind.OPENER: "tin openers",
    WareKind.PLATE: "plates",
    WareKind.BOWL: "bowls",
    WareKind.FORK: "forks",
    WareKind.SPOON: "spoons",
    WareKind.NAPKIN: "napkins",
    WareKind.BAG: "bags",
}

_MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)

_WITH_FOODS: Final[Mapping[MealRule, tuple[str, str]]] = {
    MealRule.NO_ADDED_WATER: ("nothing needs added water", "added water is needed by"),
    MealRule.NO_HEATING: ("nothing must be heated", "heating is needed by"),
}


def ware_words(kind: WareKind, *, units: int = 2) -> str:
    """Name so many of a ware."""
    plural = _PLURALS[kind]
    return plural.removesuffix("s") if units == 1 else plural


def group_words(group: FoodGroup) -> str:
    """Name a group of foods."""
    return group.replace("_", " ")


def number_words(value: float) -> str:
    """Write a figure for reading: whole where it is, else with one decimal."""
    return f"{value:,.0f}" if value == round(value) or abs(value) >= 100 else f"{value:,.1f}"


def rule_in_words(finding: RuleFinding, *, names: Mapping[FoodId, str]) -> str:
    """Say how a kit stands by a rule, with the figures and the foods behind it."""
    is_met = finding.status is RuleStatus.PASSED
    match finding.rule:
        case MealRule.COMPLETE | MealRule.ENERGY:
            said = "; ".join(_beside(one, is_met=is_met) for one in finding.figures)
        case MealRule.NO_ADDED_WATER | MealRule.NO_HEATING:
            met, lacking = _WITH_FOODS[finding.rule]
            said = met if is_met else f"{lacking} {_named(finding.foods, names)}"
        case MealRule.KEEPS:
            said = _keeps(finding, names=names)
        case MealRule.OPENER if not finding.figures:
            said = "no tin needs an opener"
        case MealRule.OPENER:
            said = "it is in the bag" if is_met else "there is none in the bag"
            said += f", for {_named(finding.foods, names)}" if finding.foods else ""
        case MealRule.PLATES if not finding.figures:
            said = "everything is eaten from its own pack"
        case MealRule.ONE_MEAL_PACKS:
            said = _one_meal_packs(finding, names=names)
        case _:
            said = "; ".join(_counted(one) for one in finding.figures)
    return said


def day_words(day: date) -> str:
    """Write a day in words: 2 October 2026."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def listed(words: Iterable[str]) -> str:
    """Write words as a list in a sentence: a, b and c."""
    given = list(words)
    return " and ".join([", ".join(given[:-1]), given[-1]]) if len(given) > 1 else "".join(given)


def _named(foods: Iterable[FoodId], names: Mapping[FoodId, str]) -> str:
    return listed(names.get(food, food) for food in foods)


def _beside(figure: RuleFigure, *, is_met: bool) -> str:
    """Write what there is of something beside what is asked for; what lacks says so."""
    of = figure.of.replace("_", " ")
    found, asked = number_words(figure.found), number_words(figure.asked)
    lacks = "" if is_met or figure.found >= figure.asked else ": too little"
    return f"{of}: {found} {figure.unit}, {asked} asked for{lacks}"


def _counted(figure: RuleFigure) -> str:
    found, asked = number_words(figure.found), number_words(figure.asked)
    if figure.unit == "L":
        return f"{found} L, and a bag holds {asked} L"
    return f"{figure.unit}: {found} of {asked}"


def _keeps(finding: RuleFinding, *, names: Mapping[FoodId, str]) -> str:
    asked = max((one.asked for one in finding.figures), default=0.0)
    if finding.status is RuleStatus.PASSED:
        return f"every food keeps at least {number_words(asked)} months from packing"
    months = {one.of: one.found for one in finding.figures}
    short = (
        f"{names.get(food, food)} ({number_words(months.get(food, 0.0))})" for food in finding.foods
    )
    return f"fewer than {number_words(asked)} months from packing: {listed(short)}"


def _one_meal_packs(finding: RuleFinding, *, names: Mapping[FoodId, str]) -> str:
    if not finding.figures:
        return "no pack is left open after the meal"
    said = (
        f"{names.get(FoodId(one.of), one.of)} ({number_words(one.found)} g each, and "
        f"{number_words(one.asked)} g are eaten at one meal)"
        for one in finding.figures
    )
    return f"too large, and does not keep once it is open: {listed(said)}"
