"""Lay out why coverage is what it is: where the days go, who runs out first, meals and the mix.

Sentences are given as a message's key and its values. Figures are rounded down before they are
compared, so that what is lost at a step is the difference of the figures that are shown.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Final

from daysworth.answers.coverage import CoverageAnswer, ScenarioAsked
from daysworth.answers.coverage_parts import (
    DietMixAnswer,
    FoodGainAnswer,
    RunsOutAnswer,
    SpoilingLotAnswer,
)
from daysworth.printing.figures import tenths, whole

MOST_FOODS: Final = 5
MOST_GROUPS: Final = 5
"""How many groups are listed with their meals before the rest are only counted."""
_WORTH_SAYING_DAYS: Final = 0.1
_NEARLY_WHOLE: Final = 1e-4
_WORTH_SAYING_UNITS: Final = 0.1
_WORTH_SAYING_SHARE: Final = 0.01
_A_GRAIN: Final = 1e-9
_LIMITS: Final = ("water", "protein", "extras", "dates")

Said = tuple[str, dict[str, str | int | float]]
"""A message's key and the values that it names."""


@dataclass(frozen=True, slots=True)
class StepShown:
    """One step: its person-days, what is lost against the step before, why, and its bar (0-100)."""

    key: str
    person_days: int
    lost: int
    reasons: list[str]
    bar: int
    is_at_most: bool = False


@dataclass(frozen=True, slots=True)
class FoodShown:
    """A food to bring, and the packs that add a day."""

    name: str
    kcal: int
    packs: int


@dataclass(frozen=True, slots=True)
class GroupShown:
    """A group that runs out first; need None: it is everybody."""

    members: int
    need: str | None
    until: str
    reasons: list[Said]
    foods: list[FoodShown]
    only_if_label_suits: bool


@dataclass(frozen=True, slots=True)
class MealsShown:
    """A group's complete meals for each of its people, and what runs out first."""

    members: int
    need: str
    each: float
    scarcest: str | None


def steps_shown(answer: CoverageAnswer) -> list[StepShown]:
    """Give the steps from all food on paper to the fair shares; none where nobody has a need."""
    steps = answer.where_the_days_go
    if not steps or answer.everyone_fed_days is None:
        return []
    most = steps[0].person_days
    shown = [StepShown(steps[0].step, whole(most), 0, [], 100 if most > 0 else 0)]
    for before, step in pairwise(steps):
        lost = whole(before.person_days) - whole(step.person_days)
        reasons = _reasons_lost(step.step, answer.scenario) if lost else []
        part = int(100 * step.person_days / most) if most > 0 else 0
        figure = whole(step.person_days)
        shown.append(StepShown(step.step, figure, lost, reasons, part, step.at_most))
    return shown


def is_cut_at_horizon(answer: CoverageAnswer) -> bool:
    """Tell whether more food is there than the days that are counted."""
    most = answer.members_with_a_need * answer.scenario.horizon_days
    return answer.person_days_on_paper >= most


def _reasons_lost(step: str, scenario: ScenarioAsked) -> list[str]:
    if step != "usable":
        return [f"lost-{step}"]
    found = []
    if not scenario.heating:
        found.append("lost-heat")
    if scenario.stock == "shared":
        found.append("lost-kept")
    if scenario.places_lost:
        found.append("lost-place")
    if scenario.households_away:
        found.append("lost-away")
    return found or ["lost-other"]


def groups_shown(answer: CoverageAnswer) -> list[GroupShown]:
    """Give the groups that run out first; none where everyone reaches the horizon."""
    if answer.everyone_fed_days is None or answer.everyone_fed_at_least:
        return []
    return [
        GroupShown(
            one.members,
            None if one.members == answer.members_with_a_need else one.need,
            _until(one),
            list(_holding(one, answer)),
            [_food(food) for food in one.foods if food.days > _A_GRAIN][:MOST_FOODS],
            any(food.only_if_label_suits for food in one.foods[:1]),
        )
        for one in answer.runs_out_first
    ]


def groups_left_out(answer: CoverageAnswer) -> int:
    """Count the groups that run out on the same day and are not told of."""
    return max(0, len(answer.held_by) - len(answer.runs_out_first))


def _until(one: RunsOutAnswer) -> str:
    return "runs-out-not-a-day" if whole(one.days) < 1 else "runs-out-through"


def _holding(one: RunsOutAnswer, answer: CoverageAnswer) -> Iterator[Said]:
    """Say what holds a group, what costs most days first; else that there is no more."""
    gained = {limit: one.days_without[limit] - one.days for limit in _LIMITS}
    found = [limit for limit in _LIMITS if gained[limit] >= _WORTH_SAYING_DAYS]
    unread = _unread(one, answer, most_gained=max(gained.values()))
    if unread:
        yield unread
    for limit in sorted(found, key=lambda limit: -gained[limit]):
        ends = one.days + gained[limit] >= answer.scenario.horizon_days - _A_GRAIN
        yield f"held-{limit}{'-at-least' if ends else ''}", {"days": tenths(gained[limit])}
    if not found and not unread:
        yield "held-nothing-else", {}


def _unread(one: RunsOutAnswer, answer: CoverageAnswer, *, most_gained: float) -> Said | None:
    """Say that unread labels cost most, where no rule let go would add as much."""
    days = answer.everyone_fed_days_if_unread_suit
    if days is None or days - one.days < max(_WORTH_SAYING_DAYS, most_gained):
        return None
    ends = days >= answer.scenario.horizon_days
    key = f"held-unread{'-at-least' if ends else ''}"
    return key, {"groups": len(answer.held_by), "days": tenths(days)}


def _food(food: FoodGainAnswer) -> FoodShown:
    return FoodShown(food.food_name, round(food.unit_kcal), packs_for_a_day(food.days))


def packs_for_a_day(days: float) -> int:
    """Give the whole packs that add a day, where one pack adds so many days (more than 0)."""
    return ceil(1 / days - _A_GRAIN)


def meals_shown(answer: CoverageAnswer) -> list[MealsShown]:
    """Give each group's complete meals, fewest for each person first."""
    shown = [
        MealsShown(one.members, one.need, tenths(one.person_meals / one.members), one.scarcest)
        for one in answer.complete_meals
    ]
    return sorted(shown, key=lambda one: (one.each, -one.members, one.need))


def units_shown(figure: float) -> str:
    """Write units that may be a part of one: "12", "3.5"."""
    if abs(figure - round(figure)) < _NEARLY_WHOLE:
        return f"{round(figure):,}"
    return f"{tenths(figure):,.1f}"


def spoiling_shown(answer: CoverageAnswer) -> list[SpoilingLotAnswer]:
    """Give the lots that spoil uneaten, less what is not worth saying."""
    if answer.everyone_fed_days is None:
        return []
    return [lot for lot in answer.will_spoil.lots if lot.units >= _WORTH_SAYING_UNITS]


@dataclass(frozen=True, slots=True)
class MixRow:
    """One figure of the mix: its key, as it is here, and what relief food is planned with."""

    key: str
    here: Said
    planned: Said | None


def mix_shown(answer: CoverageAnswer) -> list[MixRow]:
    """Give the figures of what is eaten; none where nothing is."""
    mix = answer.diet_mix
    if answer.everyone_fed_days is None or mix.energy_kcal <= 0:
        return []
    least, most = (round(share * 100) for share in mix.protein_share_planned)
    sodium_mg = mix.sodium_mg_per_person_day
    return [
        MixRow(
            "protein",
            _percent(mix.protein_share),
            ("mix-planned-range", {"least": least, "most": most}),
        ),
        MixRow("fat", _percent(mix.fat_share), _percent(mix.fat_share_planned)),
        MixRow(
            "sodium",
            ("mix-not-known", {}) if sodium_mg is None else _milligrams(sodium_mg),
            _milligrams(mix.sodium_mg_limit),
        ),
    ]


def mix_notes(mix: DietMixAnswer) -> Iterator[Said]:
    """Say where the figures beside it are from, and how much of the energy has none."""
    yield "mix-sources", {"planned": mix.planned_source, "sodium": mix.sodium_limit_source}
    if mix.energy_without_fat_figure_share >= _WORTH_SAYING_SHARE:
        yield "mix-without-fat", {"percent": round(mix.energy_without_fat_figure_share * 100)}
    if mix.energy_without_sodium_figure_share >= _WORTH_SAYING_SHARE:
        yield "mix-without-sodium", {"percent": round(mix.energy_without_sodium_figure_share * 100)}


def _milligrams(sodium_mg: float) -> Said:
    return "mix-mg", {"mg": round(sodium_mg)}


def _percent(share: float | None) -> Said:
    if share is None:
        return "mix-not-known", {}
    return "mix-percent", {"percent": round(share * 100)}
