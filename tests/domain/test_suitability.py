"""Safety is never inferred from silence: the decision table cell by cell, and the stages."""

from dataclasses import replace

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import FoodGroup
from daysworth.domain.restrictions import DeclaredFacts, Diet, Restriction, Substance, with_implied
from daysworth.domain.suitability import Demand, Judgement, Reason, Verdict, demand_words
from tests.domain.offers import (
    ACCEPTS,
    ALL_CLEAR,
    AVOIDS,
    NAMES_NOTHING,
    NOTHING_READ,
    OATS,
    PEANUT,
    judged,
    read,
    recipe,
)

EITHER = pytest.mark.parametrize("demand", [AVOIDS, ACCEPTS], ids=["avoids", "accepts"])


# The decision table, row by row.


@EITHER
@pytest.mark.parametrize("is_handled_here", [False, True])
@pytest.mark.parametrize(
    "claims", [frozenset[Substance](), PEANUT], ids=["no claim", "free-from claim"]
)
def test_contains_is_unsuitable_even_beside_a_free_from_claim(
    demand: Demand, *, is_handled_here: bool, claims: frozenset[Substance]
) -> None:
    reading = DeclaredFacts(contains=PEANUT, free_from=claims)
    found = judged(OATS, demand, reading=reading, is_handled_here=is_handled_here)
    assert found.verdict is Verdict.UNSUITABLE
    assert found.reasons == (Reason(Verdict.UNSUITABLE, "contains peanut"),)


@EITHER
@pytest.mark.parametrize("reading", [NOTHING_READ, NAMES_NOTHING, ALL_CLEAR])
def test_a_generic_recipe_can_show_a_food_unsuitable_whatever_a_label_claims(
    demand: Demand, reading: DeclaredFacts | None
) -> None:
    found = judged(recipe(Substance.PEANUT), demand, reading=reading)
    assert found.verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize("claims", [frozenset[Substance](), PEANUT], ids=["alone", "and a claim"])
def test_a_precaution_is_unsuitable_unless_it_is_accepted(claims: frozenset[Substance]) -> None:
    reading = DeclaredFacts(may_contain=PEANUT, free_from=claims)
    assert judged(OATS, AVOIDS, reading=reading).verdict is Verdict.UNSUITABLE
    accepted = judged(OATS, ACCEPTS, reading=reading)
    assert accepted.verdict is Verdict.SUITABLE
    assert accepted.reasons[0].words == "warning: the label says it may contain peanut"


@EITHER
def test_a_label_read_in_full_without_a_finding_suits(demand: Demand) -> None:
    found = judged(OATS, demand, reading=read())
    assert found.verdict is Verdict.SUITABLE
    assert found.reasons[0].words.endswith("that proves nothing, read the pack")


def test_what_was_opened_or_repacked_here_is_unknown_unless_a_precaution_is_accepted() -> None:
    for demand, verdict in ((AVOIDS, Verdict.UNKNOWN), (ACCEPTS, Verdict.SUITABLE)):
        found = judged(OATS, demand, reading=read(), is_handled_here=True)
        assert found.verdict is verdict
        assert found.reasons[0].words.startswith("warning: opened or repacked here")


def test_what_was_handled_here_is_no_better_than_its_source() -> None:
    unread = judged(OATS, ACCEPTS, reading=NOTHING_READ, is_handled_here=True)
    assert unread.verdict is Verdict.UNKNOWN
    warned = read(may_contain=PEANUT)
    assert judged(OATS, AVOIDS, reading=warned, is_handled_here=True).verdict is Verdict.UNSUITABLE


@EITHER
@pytest.mark.parametrize("reading", [NOTHING_READ, NAMES_NOTHING], ids=["unread", "names nothing"])
def test_silence_never_suits(demand: Demand, reading: DeclaredFacts | None) -> None:
    assert judged(OATS, demand, reading=reading).verdict is Verdict.UNKNOWN


@EITHER
def test_a_label_that_clears_other_substances_says_nothing_of_this_one(demand: Demand) -> None:
    reading = DeclaredFacts(free_from=frozenset(Substance) - PEANUT)
    assert judged(OATS, demand, reading=reading).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("substance", Substance)
def test_no_food_of_the_catalogue_suits_an_allergy_before_its_label_is_read(
    substance: Substance,
) -> None:
    demand = Demand(allergy=substance, accepts_may_contain=True)
    for food in generic_foods().values():
        for stage in Stage:
            found = judged(food, demand, stage=stage)
            assert found.verdict is not Verdict.SUITABLE, food.id


@pytest.mark.parametrize("substance", Substance)
def test_every_substance_a_recipe_contains_is_unsuitable_for_its_allergy(
    substance: Substance,
) -> None:
    for food in generic_foods().values():
        if substance in food.facts.contains:
            found = judged(food, Demand(allergy=substance), reading=ALL_CLEAR)
            assert found.verdict is Verdict.UNSUITABLE, food.id


def test_what_a_recipe_usually_contains_is_unknown_and_never_worse_or_better() -> None:
    food = recipe(may_contain=(Substance.PEANUT,))
    assert judged(food, AVOIDS).verdict is Verdict.UNKNOWN
    assert judged(food, AVOIDS, reading=read()).verdict is Verdict.SUITABLE


def test_wheat_is_gluten_and_pork_is_meat_and_not_the_other_way() -> None:
    gluten, wheat = Demand(allergy=Substance.GLUTEN), Demand(allergy=Substance.WHEAT)
    assert judged(recipe(Substance.WHEAT), gluten).verdict is Verdict.UNSUITABLE
    assert judged(recipe(Substance.GLUTEN), wheat).verdict is Verdict.UNKNOWN
    assert with_implied(frozenset({Substance.PORK})) == {Substance.PORK, Substance.MEAT}
    warned = DeclaredFacts(
        may_contain=frozenset({Substance.WHEAT}), free_from=frozenset({Substance.GLUTEN})
    )
    assert judged(OATS, gluten, reading=warned).verdict is Verdict.UNSUITABLE
    clear_of_wheat = DeclaredFacts(free_from=frozenset({Substance.WHEAT}))
    assert judged(OATS, gluten, reading=clear_of_wheat).verdict is Verdict.UNKNOWN


def test_coconut_is_no_tree_nut_and_still_suits_nobody_who_avoids_coconut() -> None:
    coconut = recipe(Substance.COCONUT)
    assert judged(coconut, Demand(allergy=Substance.COCONUT)).verdict is Verdict.UNSUITABLE
    nuts = Demand(allergy=Substance.TREE_NUT)
    reading = read(contains=frozenset({Substance.COCONUT}))
    assert judged(coconut, nuts, reading=reading).verdict is Verdict.SUITABLE


def test_a_verdict_is_as_bad_as_its_worst_reason_and_all_are_kept() -> None:
    milk, egg = Demand(allergy=Substance.MILK), Demand(allergy=Substance.EGG)
    reading = DeclaredFacts(contains=PEANUT, free_from=frozenset({Substance.MILK}))
    found = judged(OATS, AVOIDS, milk, egg, reading=reading)
    assert found.verdict is Verdict.UNSUITABLE
    assert {reason.verdict for reason in found.reasons} == set(Verdict)
    assert judged(OATS, milk, egg, reading=reading).verdict is Verdict.UNKNOWN
    assert judged(OATS, milk, reading=reading).verdict is Verdict.SUITABLE
    assert Judgement(()).verdict is Verdict.SUITABLE


def test_the_order_of_demands_changes_neither_the_verdict_nor_the_reasons() -> None:
    demands = [AVOIDS, Demand(diet=Diet.VEGAN), Demand(allergy=Substance.MILK)]
    assert judged(OATS, *demands) == judged(OATS, *reversed(demands))


# Stages.


@pytest.mark.parametrize("group", FoodGroup)
def test_each_stage_eats_its_own_shelves_and_no_other(group: FoodGroup) -> None:
    food = replace(OATS, group=group)
    formula, baby_food = group is FoodGroup.INFANT_FORMULA, group is FoodGroup.BABY_FOOD
    expected = {
        Stage.FORMULA: formula,
        Stage.BABY_FOOD: formula or baby_food,
        Stage.TABLE_FOOD: not (formula or baby_food),
    }
    for stage, is_eaten in expected.items():
        verdict = Verdict.SUITABLE if is_eaten else Verdict.UNSUITABLE
        assert judged(food, stage=stage).verdict is verdict


@pytest.mark.parametrize(
    ("stage", "verdict"),
    [(Stage.BABY_FOOD, Verdict.UNSUITABLE), (Stage.FORMULA, Verdict.UNSUITABLE)],
)
def test_nothing_with_honey_is_for_anyone_under_twelve_months(
    stage: Stage, verdict: Verdict
) -> None:
    food = replace(recipe(Substance.HONEY), group=FoodGroup.INFANT_FORMULA)
    assert judged(food, stage=stage).verdict is verdict
    sweetened = read(contains=frozenset({Substance.HONEY}))
    plain = replace(OATS, group=FoodGroup.INFANT_FORMULA)
    found = judged(plain, stage=stage, reading=sweetened)
    assert found.verdict is verdict
    assert "honey" in found.reasons[0].words


@pytest.mark.parametrize("stage", [Stage.FORMULA, Stage.BABY_FOOD])
def test_what_may_hold_honey_is_unknown_under_twelve_months_until_its_label_denies_it(
    stage: Stage,
) -> None:
    plain = replace(OATS, group=FoodGroup.INFANT_FORMULA)
    usually = replace(recipe(may_contain=(Substance.HONEY,)), group=FoodGroup.INFANT_FORMULA)
    warned = DeclaredFacts(may_contain=frozenset({Substance.HONEY}))
    assert judged(usually, stage=stage).verdict is Verdict.UNKNOWN
    assert judged(usually, stage=stage, reading=ALL_CLEAR).verdict is Verdict.SUITABLE
    assert judged(plain, stage=stage, reading=warned).verdict is Verdict.UNKNOWN
    assert judged(recipe(may_contain=(Substance.HONEY,))).verdict is Verdict.SUITABLE


def test_honey_suits_whoever_eats_what_is_on_the_table() -> None:
    assert judged(recipe(Substance.HONEY)).verdict is Verdict.SUITABLE


def test_the_type_of_formula_is_a_need_like_any_other() -> None:
    milk = replace(recipe(Substance.MILK), group=FoodGroup.INFANT_FORMULA)
    soya = replace(recipe(Substance.SOY), group=FoodGroup.INFANT_FORMULA)
    no_milk = Demand(allergy=Substance.MILK)
    reading = read(contains=frozenset({Substance.SOY}))
    assert judged(milk, no_milk, stage=Stage.FORMULA).verdict is Verdict.UNSUITABLE
    found = judged(soya, no_milk, stage=Stage.FORMULA, reading=reading)
    assert found.verdict is Verdict.SUITABLE


@pytest.mark.parametrize(
    ("allergy", "diet"), [(None, None), (Substance.MILK, Diet.VEGAN)], ids=["neither", "both"]
)
def test_a_restriction_is_an_allergy_or_a_diet(
    allergy: Substance | None, diet: Diet | None
) -> None:
    with pytest.raises(ValueError, match="one of the two"):
        Restriction(allergy=allergy, diet=diet)


def test_only_an_allergy_can_accept_a_precaution() -> None:
    with pytest.raises(ValueError, match="only an allergy"):
        Restriction(diet=Diet.VEGAN, accepts_may_contain=True)


def test_a_demand_is_named_in_words() -> None:
    assert demand_words(Demand(allergy=Substance.TREE_NUT)) == "tree nut allergy"
    assert demand_words(Demand(diet=Diet.GLUTEN_FREE)) == "gluten-free"
    assert demand_words(Demand(diet=Diet.VEGAN)) == "vegan"
    words = {demand_words(Demand(diet=diet)) for diet in Diet}
    assert len(words) == len(Diet)
    assert not any("_" in word or not word for word in words)
