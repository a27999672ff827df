"""Plan kits, and write what is made, by which aims, and in words what no more can be made for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.kit_plan import (
    KindMadeAnswer,
    KitPlanAnswer,
    ParcelNumbers,
    Planned,
    StageAnswer,
    kit_plan_answer,
)
from daysworth.answers.kit_words import SLOT_WORDS, listed, number_words, ware_words
from daysworth.answers.patterns import choice_words
from daysworth.answers.rounding import figure
from daysworth.domain.foods import MealRole
from daysworth.domain.identifiers import FoodId, PlaceId
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.meal_patterns import SlotKind
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.packing import KindMade, Stage, plan_packing
from daysworth.planners.packing_kinds import Kind, PackAsked, kinds_asked
from daysworth.planners.packing_piles import Aim
from daysworth.planners.packing_shortfall import Lacking, LeftOut, Shortfall
from daysworth.planners.packing_stock import WhyLeft
from daysworth.planners.shelf import dated_lots

MOST_NAMED: Final = 3
"""How many choices of a slot are named before the rest are only counted."""

_NOTHING: Final = 1e-6
"""A gap of less than this is none: figures are told to six decimals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedKits:
    """A plan as it is told, and the kits that it puts up."""

    answer: KitPlanAnswer
    kits: Sequence[KitToPack]


def answer_kit_plan(
    snapshot: Snapshot,
    as_of: date,
    *,
    asked: Sequence[PackAsked],
    place: PlaceId,
    parcel_numbers: ParcelNumbers,
) -> PlannedKits:
    """Plan kits that are to stand in a place that is there. Raises as `plan_packing`."""
    plan = plan_packing(snapshot, as_of, asked=asked)
    names = {food.id: food.name for food in snapshot.foods}
    kinds = kinds_asked(snapshot, as_of, asked=asked)
    planned = Planned(
        kits=[(one.kind, one.kit) for one in plan.kits],
        kinds=[
            _kind(made, kind, names=names, numbers=parcel_numbers)
            for made, kind in zip(plan.made, kinds, strict=True)
        ],
        stages=[_stage(one) for one in plan.stages],
        lots={item.lot.id: item for item in dated_lots(snapshot, as_of)},
        place=place,
    )
    answer = kit_plan_answer(snapshot, as_of, planned=planned, parcel_numbers=parcel_numbers)
    return PlannedKits(answer=answer, kits=[one.kit for one in plan.kits])


def _kind(
    made: KindMade, kind: Kind, *, names: Mapping[FoodId, str], numbers: ParcelNumbers
) -> KindMadeAnswer:
    asked = made.asked
    short = made.shortfall
    return KindMadeAnswer(
        number=kind.number,
        pattern=asked.pattern.id,
        name=asked.pattern.name,
        persons=kind.persons,
        household=asked.household,
        parcel_number=None if asked.household is None else numbers.get(asked.household),
        wanted=made.wanted,
        made=made.made,
        short=None if short is None else short_words(short, asked=asked, names=names),
    )


_AIMS: Final[Mapping[Aim, str]] = {
    Aim.KITS: "as many kits as can be",
    Aim.DISLIKED: "as few foods as can be that somebody served does not like",
    Aim.PULL_BY: "the latest pull-by dates, in days from today, summed over kits",
    Aim.OVER: "the fewest servings over those that are needed",
    Aim.DAYS: "the fewest days between foods' dates and their kit's pull-by date",
    Aim.PREFERENCE: "what stands first in the patterns' order of preference",
}


def _stage(stage: Stage) -> StageAnswer:
    gap = figure(stage.gap)
    return StageAnswer(
        stage=stage.name,
        words=_AIMS[stage.name],
        value=figure(stage.value),
        bound=figure(stage.bound),
        gap=gap if gap > _NOTHING else 0.0,
    )


def short_words(short: Shortfall, *, asked: PackAsked, names: Mapping[FoodId, str]) -> str:
    """Say in words what there is too little of for one more kit."""
    match short.lacking:
        case Lacking.PART:
            parts = listed(_ROLES[part] for part in short.parts)
            return f"its pattern asks for less than a serving each of {parts}"
        case Lacking.WARE if short.ware is not None:
            left = "none is left" if short.left == 0 else f"{short.left} are left"
            ware = ware_words(short.ware, units=short.needed)
            return f"a kit takes {short.needed} {ware}, and {left}"
        case Lacking.SLOT if short.slot is not None:
            return _slot_words(short, slot=short.slot, asked=asked, names=names)
        case _:
            return _RULES[short.lacking]


_ROLES: Final[Mapping[MealRole, str]] = {role: SLOT_WORDS[SlotKind(role)] for role in MealRole}

_RULES: Final[Mapping[Lacking, str]] = {
    Lacking.ENERGY: "the kits that what is left would make have too little energy",
    Lacking.BAG: "the kits that what is left would make do not fit in a bag",
    Lacking.ENERGY_AND_BAG: (
        "the kits that what is left would make have too little energy, or do not fit in a bag"
    ),
    Lacking.PACKS: "something is left for each part of the meal, and not for all of them at once",
}


def _slot_words(
    short: Shortfall, *, slot: int, asked: PackAsked, names: Mapping[FoodId, str]
) -> str:
    wanted = asked.pattern.slots[slot]
    choices = [choice_words(choice, names) for choice in wanted.choices]
    more = len(choices) - MOST_NAMED
    named = " or ".join(choices[:MOST_NAMED]) + (f" or {more} more" if more > 0 else "")
    why = listed(_left_words(one) for one in short.left_out)
    return f"nothing is left for its {SLOT_WORDS[wanted.kind]} ({named}): {why or 'there is none'}"


_WHY_LEFT: Final[Mapping[WhyLeft, str]] = {
    WhyLeft.SET_ASIDE: "set aside or damaged",
    WhyLeft.UNDATED: "without a date",
    WhyLeft.PAST: "past the date",
    WhyLeft.OPENED: "opened or repacked here",
    WhyLeft.IN_KITS: "in kits already",
    WhyLeft.PROMISED: "promised to a partner",
    WhyLeft.KEPT_BY_HOUSEHOLD: "kept by a household for itself",
    WhyLeft.NEEDS_WATER: "not to be eaten without added water",
    WhyLeft.NEEDS_HEATING: "not to be eaten without heating",
    WhyLeft.PACK_TOO_LARGE: "too large for one meal",
    WhyLeft.UNSUITABLE: "not suitable for those it is for",
    WhyLeft.UNKNOWN: "not known to suit those it is for",
    WhyLeft.KEEPS_TOO_SHORT: "not good for long enough",
    WhyLeft.TAKEN: "in other kits of this plan",
    WhyLeft.TOO_FEW: "too few for one more kit",
}


def _left_words(one: LeftOut) -> str:
    return f"{number_words(one.units)} {_WHY_LEFT[one.why]}"
