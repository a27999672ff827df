"""Every rule of a kit is passed, failed with its figures, or waived with a reason that is told."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.foods import Food, FoodGroup, MealRole, Preparation
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import (
    Diners,
    PackedFood,
    RuleFigure,
    RuleFinding,
    RuleStatus,
    check_rules,
    is_one_meal_pack,
    keeps_until_day,
    wares_needed,
)
from daysworth.domain.meal_patterns import MealRule, Served, Utensil, Waiver
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.wares import WareKind

PACKED_ON: Final = date(2026, 3, 1)
LAST_DAY: Final = date(2026, 9, 1)
PAIR: Final = Diners(persons=2, energy_kcal_day=3_000)
"""Two people, whose meal is 1,000 kcal."""
RULES: Final = MealRules()

TIN: Final = Food(
    id=FoodId("tin"),
    name="Tin of everything",
    group=FoodGroup.PREPARED_MEALS,
    energy_kcal_100g=102.05,
    protein_g_100g=5,
    net_mass_g=490,
    roles=frozenset(MealRole),
    needs_opener=True,
)
"""Two servings of every part of the meal, and 500.045 kcal."""
MEAL: Final = PackedFood(food=TIN, units=2, last_good_day=LAST_DAY)
WARES: Final = {
    WareKind.OPENER: 1,
    WareKind.PLATE: 2,
    WareKind.FORK: 2,
    WareKind.NAPKIN: 2,
    WareKind.BAG: 1,
}


def checked(
    *foods: PackedFood,
    wares: Mapping[WareKind, int] = WARES,
    diners: Diners = PAIR,
    rules: MealRules = RULES,
    waivers: tuple[Waiver, ...] = (),
) -> dict[MealRule, RuleFinding]:
    found = check_rules(
        foods or (MEAL,),
        wares=wares,
        diners=diners,
        packed_on=PACKED_ON,
        rules=rules,
        waivers=waivers,
    )
    assert [one.rule for one in found] == list(MealRule)
    return {one.rule: one for one in found}


def failed(found: Mapping[MealRule, RuleFinding]) -> set[MealRule]:
    return {rule for rule, one in found.items() if one.status is RuleStatus.FAILED}


def without(kind: WareKind, *, units: int = 0) -> dict[WareKind, int]:
    return {**WARES, kind: units}


def test_a_kit_that_is_as_it_should_be_passes_every_rule() -> None:
    assert failed(checked()) == set()


BROKEN: Final = {
    MealRule.COMPLETE: replace(TIN, roles=frozenset({MealRole.PROTEIN, MealRole.STARCH})),
    MealRule.ENERGY: replace(TIN, energy_kcal_100g=102.0),
    MealRule.NO_ADDED_WATER: replace(
        TIN, added_water=Preparation.NEEDED, added_water_ml_100g=100.0
    ),
    MealRule.NO_HEATING: replace(TIN, heating=Preparation.NEEDED),
}


@pytest.mark.parametrize("rule", BROKEN)
def test_a_food_that_breaks_one_rule_breaks_that_alone(rule: MealRule) -> None:
    assert failed(checked(replace(MEAL, food=BROKEN[rule]))) == {rule}


def test_a_food_that_does_not_keep_breaks_that_rule_alone() -> None:
    for day in (date(2026, 8, 31), None):
        assert failed(checked(replace(MEAL, last_good_day=day))) == {MealRule.KEEPS}


@pytest.mark.parametrize(
    ("kind", "rule"),
    [
        (WareKind.OPENER, MealRule.OPENER),
        (WareKind.FORK, MealRule.UTENSILS),
        (WareKind.NAPKIN, MealRule.UTENSILS),
        (WareKind.PLATE, MealRule.PLATES),
        (WareKind.BAG, MealRule.BAG),
    ],
)
def test_a_ware_that_is_short_breaks_its_rule_alone(kind: WareKind, rule: MealRule) -> None:
    assert failed(checked(wares=without(kind, units=WARES[kind] - 1))) == {rule}


def test_a_pack_that_is_too_large_for_those_it_serves_breaks_its_rule_alone() -> None:
    bulk = PackedFood(food=TIN, units=1, net_mass_g=980.0, last_good_day=LAST_DAY)
    assert failed(checked(bulk)) == {MealRule.ONE_MEAL_PACKS}
    kept = replace(bulk, food=replace(TIN, keeps_opened_days=1))
    assert failed(checked(kept)) == set()


def test_a_bag_that_is_too_small_breaks_its_rule_alone() -> None:
    volume_l = MEAL.volume_l
    assert volume_l > 0.98
    assert failed(checked(rules=replace(RULES, bag_l=volume_l))) == set()
    assert failed(checked(rules=replace(RULES, bag_l=volume_l - 0.001))) == {MealRule.BAG}


def test_spoons_do_for_forks_and_the_two_are_counted_together() -> None:
    mixed = {**without(WareKind.FORK, units=1), WareKind.SPOON: 1}
    assert failed(checked(wares=mixed)) == set()


def test_bowls_do_not_do_for_plates() -> None:
    bowls = {**without(WareKind.PLATE), WareKind.BOWL: 2}
    assert failed(checked(wares=bowls)) == {MealRule.PLATES}
    assert failed(checked(replace(MEAL, served=Served.BOWL), wares=bowls)) == set()


@pytest.mark.parametrize("served", [Served.OWN_PACK, Served.MIXED_IN])
def test_what_is_eaten_from_its_pack_or_mixed_in_needs_no_plate(served: Served) -> None:
    no_plates = without(WareKind.PLATE)
    assert failed(checked(replace(MEAL, served=served), wares=no_plates)) == set()


# --- the figures behind a finding ---


def test_a_finding_has_what_there_is_and_what_is_asked_for() -> None:
    found = checked(replace(MEAL, units=1), wares=without(WareKind.NAPKIN, units=1))
    assert found[MealRule.COMPLETE].figures[0] == RuleFigure(
        of="protein", found=2.0, asked=2.0, unit="servings"
    )
    (energy,) = found[MealRule.ENERGY].figures
    assert energy.found == pytest.approx(500.045)
    assert energy.unit == "kcal"
    assert energy.asked == pytest.approx(1_000)
    assert found[MealRule.KEEPS].figures == (
        RuleFigure(of="tin", found=6.0, asked=6, unit="months"),
    )
    assert found[MealRule.UTENSILS].figures[1] == RuleFigure(
        of="napkin", found=1, asked=2, unit="napkins"
    )
    assert [one.unit for one in found[MealRule.BAG].figures] == ["L", "bags"]


def test_the_foods_at_fault_are_named_once_each_and_those_that_pass_are_not() -> None:
    raw = replace(TIN, id=FoodId("raw"), heating=Preparation.NEEDED)
    found = checked(MEAL, PackedFood(food=raw, units=1), PackedFood(food=raw, units=2))
    assert found[MealRule.NO_HEATING].foods == ("raw",)
    assert found[MealRule.KEEPS].foods == ("raw",)
    assert found[MealRule.OPENER].foods == ()


def test_a_pack_that_is_too_large_is_told_in_grams_for_each_person() -> None:
    bulk = replace(MEAL, units=1, net_mass_g=980.0)
    (figure,) = checked(bulk)[MealRule.ONE_MEAL_PACKS].figures
    assert (figure.found, figure.asked, figure.unit) == (490.0, 400.0, "g each")


def test_what_is_past_or_undated_has_no_months_left() -> None:
    for day in (date(2026, 2, 28), None):
        (figure,) = checked(replace(MEAL, last_good_day=day))[MealRule.KEEPS].figures
        assert figure.found == 0


# --- waivers ---


def test_a_waived_rule_that_it_fails_is_waived_and_says_why() -> None:
    why = Waiver(rule=MealRule.NO_HEATING, why="For homes with a stove.")
    raw = replace(MEAL, food=BROKEN[MealRule.NO_HEATING])
    found = checked(raw, waivers=(why,))[MealRule.NO_HEATING]
    assert (found.status, found.why_waived) == (RuleStatus.WAIVED, "For homes with a stove.")
    assert found.foods == ("tin",)


def test_a_waived_rule_that_it_meets_has_passed() -> None:
    why = Waiver(rule=MealRule.NO_HEATING, why="For homes with a stove.")
    found = checked(waivers=(why,))[MealRule.NO_HEATING]
    assert (found.status, found.why_waived) == (RuleStatus.PASSED, None)


def test_waiving_one_rule_waives_no_other() -> None:
    why = Waiver(rule=MealRule.PLATES, why="They have plates.")
    found = checked(wares={WareKind.BAG: 1}, waivers=(why,))
    assert failed(found) == {MealRule.OPENER, MealRule.UTENSILS}
    assert found[MealRule.PLATES].status is RuleStatus.WAIVED


# --- the store's own figures ---


def test_a_store_sets_the_share_of_the_day_the_months_and_the_packs() -> None:
    strict = MealRules(share_of_day=0.5, keeps_months=7, pack_g_each=200.0)
    assert failed(checked(rules=strict)) == {
        MealRule.ENERGY,
        MealRule.KEEPS,
        MealRule.ONE_MEAL_PACKS,
    }


def test_a_store_may_ask_for_no_months_and_then_today_is_enough() -> None:
    any_day = MealRules(keeps_months=0)
    assert keeps_until_day(PACKED_ON, any_day) == PACKED_ON
    assert failed(checked(replace(MEAL, last_good_day=PACKED_ON), rules=any_day)) == set()


def test_an_unusual_pack_is_measured_by_its_own_mass() -> None:
    assert is_one_meal_pack(TIN, None, persons=2, rules=RULES)
    assert not is_one_meal_pack(TIN, 801.0, persons=2, rules=RULES)
    half = replace(MEAL, net_mass_g=245.0)
    assert half.energy_kcal == pytest.approx(MEAL.energy_kcal / 2)
    assert half.protein_g == pytest.approx(MEAL.protein_g / 2)
    assert half.mass_g == 490


@given(
    served=st.lists(st.sampled_from(Served), max_size=5),
    persons=st.integers(1, 24),
    utensil=st.sampled_from(Utensil),
    has_tin=st.booleans(),
)
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_a_bag_with_the_wares_that_are_needed_passes_the_rules_of_wares(
    *, served: list[Served], persons: int, utensil: Utensil, has_tin: bool
) -> None:
    food = replace(TIN, needs_opener=has_tin)
    foods = [replace(MEAL, food=food, served=how) for how in served]
    wares = wares_needed(
        [(one.food, one.served) for one in foods], persons=persons, utensil=utensil
    )
    found = check_rules(
        foods,
        wares=wares,
        diners=Diners(persons=persons, energy_kcal_day=0),
        packed_on=PACKED_ON,
        rules=replace(RULES, bag_l=100),
    )
    of_wares = (MealRule.OPENER, MealRule.UTENSILS, MealRule.PLATES, MealRule.BAG)
    statuses = {one.status for one in found if one.rule in of_wares}
    assert statuses == {RuleStatus.PASSED}
    assert all(units > 0 for units in wares.values())
