"""Infants eat their own shelves, no honey and one formula; small children are told of choking."""

from dataclasses import replace

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand
from daysworth.domain.foods import FoodGroup
from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import FormulaKind, Substance
from daysworth.domain.verdicts import Verdict
from tests.domain.offers import ALL_CLEAR, MEAL, judged, label, recipe, ticked

FORMULA = replace(MEAL, group=FoodGroup.INFANT_FORMULA)
INFANTS = pytest.mark.parametrize("stage", [Stage.FORMULA, Stage.BABY_FOOD])


@pytest.mark.parametrize("group", FoodGroup)
def test_each_stage_eats_its_own_shelves_and_no_other(group: FoodGroup) -> None:
    food = replace(MEAL, group=group)
    formula, baby_food = group is FoodGroup.INFANT_FORMULA, group is FoodGroup.BABY_FOOD
    expected = {
        Stage.FORMULA: formula,
        Stage.BABY_FOOD: formula or baby_food,
        Stage.TABLE_FOOD: not (formula or baby_food),
    }
    for stage, is_eaten in expected.items():
        found = judged(food, stage=stage)
        assert found.verdict is (Verdict.SUITABLE if is_eaten else Verdict.UNSUITABLE)
        assert [reason.is_by_stage for reason in found.reasons] == [True] * (not is_eaten)


def test_each_stage_is_told_what_it_eats() -> None:
    formula = replace(MEAL, group=FoodGroup.INFANT_FORMULA)
    told = {
        Stage.FORMULA: (MEAL, "under 6 months: infant formula only"),
        Stage.BABY_FOOD: (MEAL, "6 to 12 months: infant formula and baby food only"),
        Stage.TABLE_FOOD: (formula, "infant formula and baby food are for infants only"),
    }
    for stage, (food, words) in told.items():
        assert [reason.words for reason in judged(food, stage=stage).reasons] == [words]


# Honey.


@INFANTS
@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        (label("Ingredients: oats, honey."), Verdict.UNSUITABLE),
        (ticked(frozenset({Substance.HONEY})), Verdict.UNSUITABLE),
        (label("Ingredients: rice. May contain honey."), Verdict.UNKNOWN),
        (ticked(frozenset(), frozenset({Substance.HONEY})), Verdict.UNKNOWN),
        (label("Ingredients: rice."), Verdict.SUITABLE),
    ],
)
def test_nothing_with_honey_is_for_anyone_under_twelve_months(
    stage: Stage, reading: LabelReading, verdict: Verdict
) -> None:
    found = judged(FORMULA, stage=stage, readings=(reading,))
    assert found.verdict is verdict
    for reason in found.reasons:
        assert "honey: none under 12 months" in reason.words
        assert reason.substances == {Substance.HONEY}
        assert not reason.is_by_stage


@INFANTS
def test_what_usually_holds_honey_is_unknown_under_twelve_months_until_its_label_denies_it(
    stage: Stage,
) -> None:
    contains = replace(recipe(Substance.HONEY), group=FoodGroup.INFANT_FORMULA)
    usually = replace(recipe(may_contain=(Substance.HONEY,)), group=FoodGroup.INFANT_FORMULA)
    assert judged(contains, stage=stage).verdict is Verdict.UNSUITABLE
    assert judged(usually, stage=stage).verdict is Verdict.UNKNOWN
    whole = label("Ingredients: rice.")
    assert judged(usually, stage=stage, readings=(whole,)).verdict is Verdict.SUITABLE


def test_honey_suits_whoever_eats_what_is_on_the_table() -> None:
    assert judged(recipe(Substance.HONEY)).reasons == ()


# Formula.


@INFANTS
@pytest.mark.parametrize("needed", FormulaKind)
@pytest.mark.parametrize("made_from", [*FormulaKind, None])
def test_an_infants_formula_is_of_the_one_kind_it_is_fed(
    stage: Stage, needed: FormulaKind, made_from: FormulaKind | None
) -> None:
    found = judged(replace(FORMULA, formula=made_from), Demand(formula=needed), stage=stage)
    expected = Verdict.SUITABLE if made_from is needed else Verdict.UNSUITABLE
    assert found.verdict is (Verdict.UNKNOWN if made_from is None else expected)


def test_a_kind_of_formula_says_nothing_of_baby_food() -> None:
    jar = replace(MEAL, group=FoodGroup.BABY_FOOD)
    found = judged(jar, Demand(formula=FormulaKind.SOY), stage=Stage.BABY_FOOD)
    assert found.verdict is Verdict.SUITABLE
    assert found.reasons[0].words == "no infant formula"


def test_an_allergy_holds_for_formula_as_for_any_food() -> None:
    soy = replace(FORMULA, formula=FormulaKind.SOY)
    no_milk = Demand(allergy=Substance.MILK)
    whey = label("Ingredients: lactose, whey.")
    found = judged(soy, no_milk, stage=Stage.FORMULA, readings=(whey,))
    assert found.verdict is Verdict.UNSUITABLE
    clear = judged(soy, no_milk, stage=Stage.FORMULA, readings=(ALL_CLEAR,))
    assert clear.verdict is Verdict.SUITABLE


# Choking.


def test_a_choking_hazard_is_a_warning_for_a_child_under_four_and_for_nobody_else() -> None:
    hazard = replace(MEAL, is_choking_hazard=True)
    (only,) = judged(hazard, is_under_four=True).reasons
    assert (only.verdict, only.is_warning) == (Verdict.SUITABLE, True)
    assert "choking" in only.words
    assert judged(hazard, is_under_four=False).reasons == ()
    assert judged(MEAL, is_under_four=True).reasons == ()


@INFANTS
def test_an_infant_is_told_of_its_shelf_and_not_of_choking(stage: Stage) -> None:
    hazard = replace(MEAL, is_choking_hazard=True)
    (only,) = judged(hazard, stage=stage, is_under_four=True).reasons
    assert only.is_by_stage
