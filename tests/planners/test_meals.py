"""Complete meals: a serving of protein, starch, and fruit or vegetable, of what is eaten cold."""

from collections.abc import Mapping
from datetime import timedelta
from itertools import combinations
from typing import Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food, FoodGroup, MassBasis, MealRole, Preparation
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.people import InfantFeeding
from daysworth.domain.servings import serving_g
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.grounds import Grounds
from daysworth.planners.meals import (
    ClassMeals,
    Roles,
    complete_meals,
    most_meals,
    scarcest_part,
)
from daysworth.planners.proving import fairest
from daysworth.planners.scenario import Scenario, StockScope
from tests.planners.how_many import times
from tests.planners.one_home import DRY, also, home, lot, store, woman
from tests.planners.small_stores import AS_OF, food

P, S, V = MealRole.PROTEIN, MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE
ROLE_SETS: Final = tuple(
    frozenset(some) for many in (1, 2, 3) for some in combinations(MealRole, many)
)


def part(id_: str, *roles: MealRole, group: FoodGroup, net_g: float, **more: object) -> Food:
    made = food(
        id_, kcal=100, protein_g=5, net_g=net_g, group=group, **more, roles=frozenset(roles)
    )
    return also(made)


# A pack of each is ten servings.
FISH: Final = part("fish_cold", P, group=FoodGroup.FISH, net_g=850)
CRACKERS: Final = part("crackers", S, group=FoodGroup.BREADS_AND_CRACKERS, net_g=300)
PEARS: Final = part("pears", V, group=FoodGroup.FRUIT, net_g=1_400)
STEW: Final = part("all_in_one", P, S, V, group=FoodGroup.PREPARED_MEALS, net_g=2_450)


def meals(snapshot: Snapshot, scenario: Scenario = DRY) -> tuple[ClassMeals, ...]:
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return complete_meals(grounds, fair.classes)


def only(snapshot: Snapshot, scenario: Scenario = DRY) -> ClassMeals:
    (found,) = meals(snapshot, scenario)
    return found


# --- the most meals that servings make ---


def servings(**many: float) -> dict[Roles, float]:
    letters = {"p": P, "s": S, "v": V}
    return {frozenset(letters[letter] for letter in name): n for name, n in many.items()}


@pytest.mark.parametrize(
    ("held", "meals_made", "scarcest"),
    [
        (servings(p=3, s=5, v=4), 3, P),
        (servings(p=3, s=3, v=4), 3, None),
        (servings(psv=7), 7, None),
        # Any two of the three make a meal, so three make one and a half, and not two.
        (servings(ps=1, pv=1, sv=1), 1.5, P),
        (servings(ps=4, v=4), 4, None),
        (servings(ps=4, v=6, s=1), 4, P),
        (servings(ps=6, v=4), 4, V),
        (servings(psv=2, p=9, s=9), 2, V),
        ({}, 0, None),
    ],
)
def test_the_most_meals_are_those_worked_by_hand(
    held: Mapping[Roles, float], meals_made: float, scarcest: MealRole | None
) -> None:
    assert most_meals(held) == pytest.approx(meals_made)
    assert scarcest_part(held) is scarcest


MANY = st.one_of(st.integers(0, 12).map(float), st.floats(0, 500))


@given(many=st.lists(MANY, min_size=7, max_size=7))
@settings(max_examples=times(150), deadline=None, derandomize=True)
def test_the_most_meals_are_those_of_the_program_over_all_ways_to_make_one(
    many: list[float],
) -> None:
    held = dict(zip(ROLE_SETS, many, strict=True))
    best = by_program(held)
    assert most_meals(held) == pytest.approx(best, rel=1e-7, abs=1e-7)


@given(many=st.lists(st.integers(0, 9).map(float), min_size=7, max_size=7))
@settings(max_examples=times(60), deadline=None, derandomize=True)
def test_no_part_adds_more_meals_than_the_scarcest(many: list[float]) -> None:
    held = dict(zip(ROLE_SETS, many, strict=True))
    now = by_program(held)
    gains = {
        role: by_program({**held, frozenset({role}): held[frozenset({role})] + 1}) - now
        for role in MealRole
    }
    scarcest = scarcest_part(held)
    if scarcest is None:
        assert max(gains.values()) == pytest.approx(0, abs=1e-7)
    else:
        assert gains[scarcest] == pytest.approx(max(gains.values()), abs=1e-7)
        assert gains[scarcest] > 1e-7


def by_program(held: Mapping[Roles, float]) -> float:
    """Make as many meals as servings allow: a meal is any set of servings with all three parts."""
    ways = [
        some
        for many in (1, 2, 3)
        for some in combinations(ROLE_SETS, many)
        if frozenset().union(*some) == frozenset(MealRole)
    ]
    uses = np.array([[float(roles in way) for way in ways] for roles in ROLE_SETS])
    limits = np.array([held.get(roles, 0.0) for roles in ROLE_SETS])
    found = linprog(-np.ones(len(ways)), A_ub=uses, b_ub=limits, method="highs")
    assert found.status == 0
    assert found.fun is not None
    return -float(found.fun)


# --- on the shelf ---


def test_ten_servings_of_each_part_are_ten_meals_and_the_least_part_is_scarcest() -> None:
    found = only(store(lots=[lot(FISH, 1), lot(CRACKERS, 2), lot(PEARS, 3)]))
    assert found.person_meals == pytest.approx(10)
    assert found.scarcest is P


def test_a_dish_of_all_three_parts_makes_meals_by_itself() -> None:
    assert only(store(lots=[lot(STEW, 2)])).person_meals == pytest.approx(20)


def test_a_serving_of_tinned_food_is_counted_as_it_is_eaten_drained() -> None:
    tuna = part(
        "tuna",
        P,
        group=FoodGroup.FISH,
        net_g=850,
        figures_for=MassBasis.DRAINED,
        drained_fraction=0.7,
    )
    found = only(store(lots=[lot(tuna, 1), lot(CRACKERS, 2), lot(PEARS, 2)]))
    assert found.person_meals == pytest.approx(7)


def test_a_lot_of_another_net_mass_makes_servings_of_its_own_mass() -> None:
    lots = [lot(FISH, 1, net_mass_g=170.0), lot(CRACKERS, 1), lot(PEARS, 1)]
    assert only(store(lots=lots)).person_meals == pytest.approx(2)


@pytest.mark.parametrize(
    "more",
    [
        {"heating": Preparation.NEEDED},
        {"added_water": Preparation.NEEDED, "added_water_ml_100g": 100.0},
    ],
    ids=["hot", "with water"],
)
def test_what_needs_heat_or_water_makes_no_meal_even_where_there_is_both(
    more: dict[str, object],
) -> None:
    rice = part("rice_" + "_".join(more), S, group=FoodGroup.GRAINS_AND_PASTA, net_g=1_400, **more)
    warm = Scenario(running_water=True, heating=True)
    lots = [lot(FISH, 1), lot(rice, 9), lot(PEARS, 1)]
    assert only(store(lots=lots), warm).person_meals == 0
    assert only(store(lots=[*lots, lot(CRACKERS, 1)]), warm).person_meals == pytest.approx(10)


def test_what_is_past_its_date_makes_no_meal() -> None:
    past = (AS_OF - timedelta(1)).isoformat()
    lots = [lot(FISH, 1, printed=past), lot(CRACKERS, 1), lot(PEARS, 1)]
    assert only(store(lots=lots)).person_meals == 0


def test_a_food_without_a_part_in_a_meal_makes_none() -> None:
    plain = also(food("without_a_part", kcal=300, protein_g=9))
    found = only(store(lots=[lot(plain, 50)]))
    assert (found.person_meals, found.scarcest) == (0, None)


def test_each_class_is_asked_as_if_all_were_its_own_and_eats_of_its_own_stock() -> None:
    homes = [home(), home(woman("b"), id_="i")]
    lots = [
        lot(FISH, 1),
        lot(CRACKERS, 1),
        lot(PEARS, 4),
        lot(STEW, 1, owner=HouseholdId("i"), is_shared=False),
    ]
    found = meals(store(homes, lots), Scenario(running_water=True, stock=StockScope.ALL))
    keeps = {one.members.keeper is not None: one.person_meals for one in found}
    assert keeps == {False: pytest.approx(10), True: pytest.approx(20)}


def test_infants_who_eat_no_such_meals_are_left_out() -> None:
    infant = woman(
        "baby", born_on=AS_OF - timedelta(60), infant_feeding=InfantFeeding.FORMULA, sex=None
    )
    found = meals(store([home(woman(), infant)], [lot(STEW, 1)]))
    assert [len(one.members.mouths) for one in found] == [1]


def test_every_food_with_a_part_in_a_meal_has_a_serving() -> None:
    with_parts = [one for one in generic_foods().values() if one.roles]
    assert len(with_parts) > 100
    for one in with_parts:
        assert 28 <= serving_g(one) <= 360
