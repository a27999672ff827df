"""Write what stands in a kit: foods, wares, how it stands by the rules, and whom it does not suit.

The names here are the names in JSON.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.kit_words import RULE_WORDS, SERVED_WORDS, rule_in_words, ware_words
from daysworth.answers.rounding import figure
from daysworth.answers.suitability_in_words import (
    FindingAnswer,
    PackAnswer,
    finding_answer,
    pack_answer,
)
from daysworth.domain.demands import substance_words
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_allergens import KitAllergens
from daysworth.domain.kit_rules import RuleFinding
from daysworth.domain.meal_patterns import Waiver
from daysworth.domain.wares import WareKind
from daysworth.planners.kit_contents import ItemTrouble, KitFood
from daysworth.planners.warnings import FoodWarning


@dataclass(frozen=True, slots=True, kw_only=True)
class KitFoodAnswer:
    """Units of a food in a kit; `lot` null: it is not stock. `served` says from what it is eaten.

    `trouble` says in words why nobody it is for may eat it; null: they may, suitability apart.
    """

    lot: str | None
    food: str
    food_name: str
    units: int
    unit_mass_g: float
    mass_g: float
    energy_kcal: float
    servings: float
    last_good_day: date | None
    served: str
    needs_opener: bool
    trouble: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitWareAnswer:
    """So many of a ware; `name` is in words, as many as there are."""

    kind: str
    name: str
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFigureAnswer:
    """What there is of something, and what is asked for."""

    of: str
    found: float
    asked: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleAnswer:
    """How a kit stands by one rule: passed, failed or waived, and `words` say why.

    `foods` are the names of those at fault.
    """

    rule: str
    title: str
    status: str
    words: str
    figures: list[RuleFigureAnswer]
    foods: list[str]
    why_waived: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitWarningAnswer:
    """A food in a kit that does not simply suit those it is for; `warning` names it.

    `lots` are those of the kit; `instead` is a lot in stock that suits, null: there is none.
    """

    warning: str
    verdict: str
    food: str
    food_name: str
    lots: list[str]
    was_read: bool
    findings: list[FindingAnswer]
    instead: PackAnswer | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaiverAnswer:
    """A rule that a kit is not held to, in words, and why."""

    rule: str
    title: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KitAllergensAnswer:
    """The allergens in a kit in words: in it, perhaps in it, and of which nobody knows.

    `is_read`: the label of everything in it was read.
    """

    present: list[str]
    may_be_present: list[str]
    not_known: list[str]
    is_read: bool


TROUBLE_WORDS: Final[Mapping[ItemTrouble, str]] = {
    ItemTrouble.PAST: "it is past its date",
    ItemTrouble.UNDATED: "it has no date",
    ItemTrouble.DAMAGED: "it is damaged",
    ItemTrouble.QUARANTINED: "it was set aside",
    ItemTrouble.KEPT_BY_ANOTHER: "another household keeps it for itself",
}


def kit_food(one: KitFood) -> KitFoodAnswer:
    """Write units of a food in a kit."""
    packed = one.packed
    return KitFoodAnswer(
        lot=one.lot_id,
        food=one.food.id,
        food_name=one.food.name,
        units=one.units,
        unit_mass_g=figure(packed.unit_mass_g),
        mass_g=figure(packed.mass_g),
        energy_kcal=figure(packed.energy_kcal),
        servings=figure(packed.servings),
        last_good_day=one.last_good_day,
        served=SERVED_WORDS[one.served],
        needs_opener=one.food.needs_opener,
        trouble=None if one.trouble is None else TROUBLE_WORDS[one.trouble],
    )


def kit_wares(wares: Mapping[WareKind, int]) -> list[KitWareAnswer]:
    """Write the wares in a kit, in the order of their kinds."""
    return [
        KitWareAnswer(kind=kind, name=ware_words(kind, units=wares[kind]), units=wares[kind])
        for kind in WareKind
        if wares.get(kind)
    ]


def rule_answers(
    findings: Iterable[RuleFinding], *, names: Mapping[FoodId, str]
) -> list[RuleAnswer]:
    """Write how a kit stands by every rule."""
    return [
        RuleAnswer(
            rule=one.rule,
            title=RULE_WORDS[one.rule],
            status=one.status,
            words=rule_in_words(one, names=names),
            figures=[
                RuleFigureAnswer(
                    of=names.get(FoodId(each.of), each.of),
                    found=figure(each.found),
                    asked=figure(each.asked),
                    unit=each.unit,
                )
                for each in one.figures
            ],
            foods=[names.get(food, food) for food in one.foods],
            why_waived=one.why_waived,
        )
        for one in findings
    ]


def kit_warning(
    one: FoodWarning, *, places: dict[str, str], tells_members: bool
) -> KitWarningAnswer:
    """Write what is wrong with a food for those whom a kit is for."""
    return KitWarningAnswer(
        warning=one.mark,
        verdict=one.verdict,
        food=one.offer.food.id,
        food_name=one.offer.food.name,
        lots=[item.lot.id for item in one.lots],
        was_read=bool(one.offer.readings),
        findings=[
            finding_answer(each, one.offer, tells_members=tells_members) for each in one.findings
        ],
        instead=None if one.instead is None else pack_answer(one.instead, places=places),
    )


def waiver_answers(waivers: Iterable[Waiver]) -> list[WaiverAnswer]:
    """Write the rules that a kit is not held to."""
    return [WaiverAnswer(rule=one.rule, title=RULE_WORDS[one.rule], why=one.why) for one in waivers]


def allergens_answer(found: KitAllergens) -> KitAllergensAnswer:
    """Write the allergens of a kit in words."""
    return KitAllergensAnswer(
        present=[substance_words(one) for one in found.present],
        may_be_present=[substance_words(one) for one in found.may_be_present],
        not_known=[substance_words(one) for one in found.not_known],
        is_read=found.is_read,
    )
