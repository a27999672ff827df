"""Write patterns: what kits are put together from, with words beside every closed list.

The names here are the names in JSON.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from daysworth.answers.kit_words import RULE_WORDS, SERVED_WORDS, SLOT_WORDS, group_words
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.domain.identifiers import FoodId
from daysworth.domain.meal_patterns import Choice, MealPattern, Slot, Wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedAnswer:
    """A food, or any food of a group; `words` name it."""

    food: str | None
    group: str | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotAnswer:
    """One part of the meal; its choices, of one or two foods each, are in order of preference."""

    kind: str
    words: str
    choices: list[list[WantedAnswer]]
    servings_each: float
    grams_in_all: float | None
    served: str
    served_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternWaiver:
    """A rule that kits of a pattern are not held to, in words, and why."""

    rule: str
    words: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternAnswer:
    """One pattern; a built-in one comes with the release and cannot be changed."""

    id: str
    name: str
    is_built_in: bool
    etag: str | None
    persons: int
    slots: list[SlotAnswer]
    utensil: str
    waivers: list[PatternWaiver]
    steps: list[str]
    may_be_warmed: str | None


def pattern_answer(
    pattern: MealPattern, *, names: Mapping[FoodId, str], revision: int | None
) -> PatternAnswer:
    """Write a pattern, its foods by their names; `revision` None: it is built in."""
    return PatternAnswer(
        id=pattern.id,
        name=pattern.name,
        is_built_in=revision is None,
        etag=None if revision is None else f'"r{revision}"',
        persons=pattern.persons,
        slots=[_slot(one, names) for one in pattern.slots],
        utensil=pattern.utensil,
        waivers=[
            PatternWaiver(rule=one.rule, words=RULE_WORDS[one.rule], why=one.why)
            for one in pattern.waivers
        ],
        steps=list(pattern.steps),
        may_be_warmed=pattern.may_be_warmed,
    )


def choice_words(choice: Choice, names: Mapping[FoodId, str]) -> str:
    """Name what a choice fills a slot with."""
    return " with ".join(_wanted_words(one, names) for one in choice.foods)


def _slot(slot: Slot, names: Mapping[FoodId, str]) -> SlotAnswer:
    return SlotAnswer(
        kind=slot.kind,
        words=SLOT_WORDS[slot.kind],
        choices=[[_wanted(one, names) for one in choice.foods] for choice in slot.choices],
        servings_each=figure(slot.servings_each),
        grams_in_all=figure_or_none(slot.grams_in_all),
        served=slot.served,
        served_words=SERVED_WORDS[slot.served],
    )


def _wanted(one: Wanted, names: Mapping[FoodId, str]) -> WantedAnswer:
    return WantedAnswer(food=one.food, group=one.group, words=_wanted_words(one, names))


def _wanted_words(one: Wanted, names: Mapping[FoodId, str]) -> str:
    if one.group is not None:
        return f"any {group_words(one.group)}"
    return "" if one.food is None else names.get(one.food, one.food)
