"""Write what explains the days: the steps, what runs out first, meals, the mix and what spoils.

The names here are the names in JSON, as in `coverage`. What runs out first, and of complete meals
whose they are, is told by count and need, never by name.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.answers.needs_in_words import class_in_words
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.domain.identifiers import PlaceId
from daysworth.planners.diet_mix import (
    PLANNED_FAT_SHARE,
    PLANNED_PROTEIN_SHARE,
    PLANNED_SHARES_SOURCE,
    SODIUM_LIMIT_MG,
    SODIUM_LIMIT_SOURCE,
    DietMix,
)
from daysworth.planners.meals import ClassMeals
from daysworth.planners.running_out import FoodGain, Let, RunsOut
from daysworth.planners.shelf import kept_by
from daysworth.planners.spoiling import Spoiling
from daysworth.planners.steps import StepDays


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """What can be eaten at one step from the shelf to the fair plan.

    `at_most`: no plan can exceed it; how near one comes was too much work to find out.
    """

    step: str
    person_days: float
    at_most: bool


@dataclass(frozen=True, slots=True)
class FoodGainAnswer:
    """The days that one more unit of a food adds for those who run out first.

    `only_if_label_suits`: none of it suits them until its label was read and proved to.
    """

    food: str
    food_name: str
    unit_kcal: float
    days: float
    only_if_label_suits: bool


@dataclass(frozen=True, slots=True)
class RunsOutAnswer:
    """A class that runs out first: what holds it, and the foods that would add most days.

    `days_without` are its days with the extras' share, protein, water or dates let go, each alone;
    the same as `days` where that adds none.
    """

    members: int
    need: str
    days: float
    days_without: dict[str, float]
    foods: list[FoodGainAnswer]


@dataclass(frozen=True, slots=True)
class SpoilingLotAnswer:
    """What will spoil of one lot; `kept_by` is the household that keeps it for itself."""

    lot: str
    food: str
    units: float
    place: str
    last_good_day: date | None
    energy_kcal: float
    kept_by: str | None


@dataclass(frozen=True, slots=True)
class SpoilingAnswer:
    """What will spoil uneaten before the horizon, the earliest first.

    `at_least`: so much spoils in any plan; with which lots was too much work to find out, and none
    are told.
    """

    energy_kcal: float
    person_days: float
    at_least: bool
    lots: list[SpoilingLotAnswer]


@dataclass(frozen=True, slots=True)
class ClassMealsAnswer:
    """The complete meals of one class, and the part of a meal that is scarcest; null: none is."""

    members: int
    need: str
    person_meals: float
    scarcest: str | None


@dataclass(frozen=True, slots=True)
class DietMixAnswer:
    """What the fair plan's food is made of, beside published figures. Shares are of energy."""

    energy_kcal: float
    protein_share: float
    protein_share_planned: list[float]
    fat_share: float | None
    fat_share_planned: float
    planned_source: str
    sodium_mg_per_person_day: float | None
    sodium_mg_limit: float
    sodium_limit_source: str
    energy_without_fat_figure_share: float
    energy_without_sodium_figure_share: float


def steps_answer(steps: Iterable[StepDays]) -> list[StepAnswer]:
    """Write where the days go, step by step."""
    return [StepAnswer(one.step, figure(one.person_days), not one.is_proved) for one in steps]


def runs_out_answer(runs_out: Iterable[RunsOut]) -> list[RunsOutAnswer]:
    """Write what runs out first, most members first."""
    written = [
        RunsOutAnswer(
            len(one.members.mouths),
            class_in_words(one.members),
            figure(one.days),
            {let: figure(one.days_without[let]) for let in Let},
            [_food(food) for food in one.foods],
        )
        for one in runs_out
    ]
    return sorted(written, key=lambda one: (-one.members, one.need))


def _food(gain: FoodGain) -> FoodGainAnswer:
    food = gain.food
    return FoodGainAnswer(
        food.id, food.name, figure(gain.unit_kcal), figure(gain.days), gain.is_if_label_suits
    )


def spoiling_answer(
    spoiling: Spoiling, *, mean_kcal: float, places: Mapping[PlaceId, str]
) -> SpoilingAnswer:
    """Write what will spoil uneaten, in mean person-days too; units that round to none do not."""
    spoiled = [one for one in spoiling.lots if figure(one.units) > 0]
    energy_kcal = (
        fsum(one.energy_kcal for one in spoiled) if spoiling.is_proved else spoiling.energy_kcal
    )
    lots = [
        SpoilingLotAnswer(
            one.item.lot.id,
            one.item.food.name,
            figure(one.units),
            places[one.item.lot.place],
            one.item.last_good_day,
            figure(one.energy_kcal),
            kept_by(one.item.lot),
        )
        for one in spoiled
    ]
    person_days = energy_kcal / mean_kcal if mean_kcal > 0 else 0.0
    return SpoilingAnswer(figure(energy_kcal), figure(person_days), not spoiling.is_proved, lots)


def meals_answer(meals: Iterable[ClassMeals]) -> list[ClassMealsAnswer]:
    """Write the complete meals of each class, fewest for each member first."""
    written = [
        ClassMealsAnswer(
            len(one.members.mouths),
            class_in_words(one.members),
            figure(one.person_meals),
            one.scarcest,
        )
        for one in meals
    ]
    return sorted(written, key=lambda one: (one.person_meals / one.members, -one.members, one.need))


def mix_answer(mix: DietMix) -> DietMixAnswer:
    """Write the mix beside the planning figures, with their sources."""
    return DietMixAnswer(
        energy_kcal=figure(mix.energy_kcal),
        protein_share=figure(mix.protein_share),
        protein_share_planned=list(PLANNED_PROTEIN_SHARE),
        fat_share=figure_or_none(mix.fat_share),
        fat_share_planned=PLANNED_FAT_SHARE,
        planned_source=PLANNED_SHARES_SOURCE,
        sodium_mg_per_person_day=figure_or_none(mix.sodium_mg_per_person_day),
        sodium_mg_limit=SODIUM_LIMIT_MG,
        sodium_limit_source=SODIUM_LIMIT_SOURCE,
        energy_without_fat_figure_share=figure(mix.energy_without_fat_figure_share),
        energy_without_sodium_figure_share=figure(mix.energy_without_sodium_figure_share),
    )
