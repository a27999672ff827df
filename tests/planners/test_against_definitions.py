"""Hold the answers that explain the fair days against their definitions, in the whole program."""

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Final

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import FoodGroup, MealRole, Preparation
from daysworth.domain.verdicts import Verdict
from daysworth.planners.grounds import Grounds
from daysworth.planners.meals import complete_meals
from daysworth.planners.proving import Planned, fairest
from daysworth.planners.running_out import Let, runs_out_first
from daysworth.planners.spoiling import will_spoil
from daysworth.planners.steps import where_days_go
from daysworth.reference.reference_amounts import reference_amounts
from tests.planners.how_many import times
from tests.planners.oracle_answers import (
    RunningOut,
    candidates,
    least_spoiling,
    most_meals,
    same_classes,
    steps_of,
)
from tests.planners.oracle_program import Rows, classes_by_definition
from tests.planners.oracle_store import Ground
from tests.planners.small_stores import AS_OF, small_store

STORES: Final = range(4_000, 4_000 + times(60))
FOOD_STORES: Final = range(4_200, 4_200 + times(4))
RELATIVE: Final = 1e-6
NEARLY: Final = 1e-5
"""What others must have is held to within a hair, which is worth up to some hundred hairs."""
WITHOUT: Final = {
    Let.EXTRAS: Rows(extras=False),
    Let.PROTEIN: Rows(protein=False),
    Let.WATER: Rows(water=False),
    Let.DATES: Rows(dates=False),
}


@cache
def planned(seed: int) -> tuple[Grounds, Ground, Planned]:
    """Make the store of a seed and plan its fair days, once for all claims about it."""
    snapshot, scenario = small_store(seed)
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    found = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return grounds, Ground(snapshot, AS_OF, scenario=scenario), found


@pytest.mark.parametrize("seed", STORES)
def test_the_steps_are_the_most_that_can_be_eaten_under_one_more_constraint_each(seed: int) -> None:
    grounds, ground, found = planned(seed)
    steps = [one.person_days for one in where_days_go(grounds, found.classes)]
    wanted = steps_of(ground, found.classes) if ground.diners else []
    assert steps == pytest.approx(wanted, rel=RELATIVE, abs=RELATIVE)


@pytest.mark.parametrize("seed", STORES)
def test_days_with_one_thing_let_go_are_those_of_the_program_without_its_rows(seed: int) -> None:
    grounds, ground, found = planned(seed)
    classes = same_classes(ground, found.classes, lots=ground.usable)
    for told in runs_out_first(grounds, found.classes, held=found.held):
        c = [item.members for item in found.classes].index(told.members)
        asked = RunningOut(ground, classes, c, found.least or 0.0)
        assert asked.days() == pytest.approx(told.days, rel=NEARLY, abs=NEARLY)
        for let, rows in WITHOUT.items():
            wanted = asked.days(rows)
            assert told.days_without[let] == pytest.approx(wanted, rel=NEARLY, abs=NEARLY), let


@pytest.mark.parametrize("seed", FOOD_STORES)
def test_the_foods_told_add_what_is_said_and_no_other_food_adds_more(seed: int) -> None:
    grounds, ground, found = planned(seed)
    classes = same_classes(ground, found.classes, lots=ground.usable)
    foods = {**generic_foods(), **{food.id: food for food in ground.snapshot.foods}}
    for told in runs_out_first(grounds, found.classes, held=found.held)[:1]:
        c = [item.members for item in found.classes].index(told.members)
        asked = RunningOut(ground, classes, c, found.least or 0.0)
        supposed = any(one.is_if_label_suits for one in told.foods)
        accepted = frozenset({Verdict.SUITABLE, *([Verdict.UNKNOWN] if supposed else [])})
        gains = {
            food.id: days - told.days
            for food in candidates(foods.values(), ground)
            if (days := asked.days_with(food, accepted=accepted)) is not None
        }
        best = sorted((gain for gain in gains.values() if gain > NEARLY), reverse=True)[:5]
        assert [one.days for one in told.foods] == pytest.approx(best, rel=1e-4, abs=NEARLY)
        for one in told.foods:
            assert one.days == pytest.approx(gains[one.food.id], rel=1e-4, abs=NEARLY)


@pytest.mark.parametrize("seed", STORES)
def test_no_fair_plan_lets_less_spoil_and_none_that_lets_as_little_lets_it_spoil_later(
    seed: int,
) -> None:
    grounds, ground, found = planned(seed)
    if not ground.diners:
        return
    classes = classes_by_definition(ground, ground.usable)
    at = {
        (str(mouth.household), mouth.eater, round(mouth.ratio, 12)): item.days
        for item in found.classes
        for mouth in item.members.mouths
    }
    days = [
        at[str(d.household.id), ground.eater(d), round(d.protein_g / d.energy_kcal, 12)]
        for d in (one.diners[0] for one in classes)
    ]
    spoiling = will_spoil(grounds, found.classes)
    kcal, weighted = least_spoiling(ground, classes, days=days)
    assert spoiling.energy_kcal == pytest.approx(kcal, rel=NEARLY, abs=0.01)
    horizon = ground.scenario.horizon_days
    told = sum(
        one.energy_kcal * (horizon - (one.item.last_good_day - AS_OF).days - 1)
        for one in spoiling.lots
        if one.item.last_good_day is not None
    )
    assert told == pytest.approx(weighted, rel=1e-4, abs=0.1)


@pytest.mark.parametrize("seed", STORES)
def test_complete_meals_are_the_most_that_any_choice_of_servings_makes(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    roles = {
        "beans": (MealRole.PROTEIN, MealRole.FRUIT_OR_VEGETABLE),
        "fish": (MealRole.PROTEIN,),
        "peanut_spread": (MealRole.PROTEIN,),
        "biscuits": (MealRole.STARCH,),
        "crisps": (MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE),
        "fruit": (MealRole.FRUIT_OR_VEGETABLE,),
        "rice": (MealRole.STARCH,),
    }
    foods = tuple(
        replace(food, roles=frozenset(roles.get(food.id, ())), group=FoodGroup.NUTS_AND_SEEDS)
        if food.id in roles
        else food
        for food in snapshot.foods
    )
    served = replace(snapshot, foods=foods)
    grounds = Grounds(served, AS_OF, scenario=scenario)
    ground = Ground(served, AS_OF, scenario=scenario)
    final = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal).classes
    classes = same_classes(ground, final, lots=ground.usable)
    serving_g = reference_amounts()[FoodGroup.NUTS_AND_SEEDS].amount_g
    wanted = []
    for item, one in zip(final, classes, strict=True):
        if all(mouth.eater.stage is not Stage.TABLE_FOOD for mouth in item.members.mouths):
            continue
        servings: Counter[frozenset[MealRole]] = Counter()
        for n in one.may_eat:
            lot = ground.usable[n]
            if Preparation.NEEDED not in (lot.food.heating, lot.food.added_water):
                grams = lot.total_kcal / lot.food.energy_kcal_100g * 100
                servings[lot.food.roles] += grams / serving_g  # type: ignore[assignment]
        wanted.append(most_meals(servings))
    found = [one.person_meals for one in complete_meals(grounds, final)]
    assert found == pytest.approx(wanted, rel=RELATIVE, abs=RELATIVE)


def test_the_stores_lose_days_at_every_step_and_are_held_by_each_thing_let_go() -> None:
    reached: Counter[str] = Counter()
    for seed in STORES:
        grounds, ground, found = planned(seed)
        if not ground.diners:
            continue
        steps = steps_of(ground, found.classes)
        for number, (before, after) in enumerate(pairwise(steps)):
            reached[f"lost after step {number}"] += after < before - RELATIVE
        reached["something spoils"] += will_spoil(grounds, found.classes).energy_kcal > 1
        classes = same_classes(ground, found.classes, lots=ground.usable)
        for c in sorted(found.held)[:1]:
            asked = RunningOut(ground, classes, c, found.least or 0.0)
            for let, rows in WITHOUT.items():
                gains = asked.days(rows) > found.classes[c].days + NEARLY
                reached[f"held by {let}"] += gains
    assert len(reached) == 10
    assert min(reached.values()) >= 2, reached
