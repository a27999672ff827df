"""Safety is never inferred from silence: the decision table, cell by cell."""

from itertools import product

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.demands import Demand, demand_words, substance_words
from daysworth.domain.labels import Claim, LabelReading, Presence, Regime
from daysworth.domain.restrictions import Diet, FormulaKind, Restriction, Substance, with_implied
from daysworth.domain.verdicts import Judgement, Reason, Shown, Verdict
from tests.domain.offers import (
    ACCEPTS,
    ALL_CLEAR,
    AVOIDS,
    EVERYTHING,
    MEAL,
    PEANUT,
    PLAIN,
    judged,
    label,
    reason,
    recipe,
    ticked,
)

YES, ASK, NO = Verdict.SUITABLE, Verdict.UNKNOWN, Verdict.UNSUITABLE

EVIDENCE: dict[str, tuple[LabelReading, ...]] = {
    "contains statement": (label("Ingredients: rice, salt. Contains: peanuts."),),
    "contains, ticked": (ticked(PEANUT),),
    "ingredient": (label("Ingredients: rice, roasted peanuts, salt."),),
    "ingredient beside a free-from claim": (label("Peanut-free. Ingredients: rice, peanuts."),),
    "ticked beside a free-from claim": (label("Peanut-free."), ticked(PEANUT)),
    "precaution": (label("Ingredients: rice, salt. May contain peanuts."),),
    "precaution, ticked": (ticked(may_contain=PEANUT),),
    "precaution beside a claim": (label("Peanut-free. Ingredients: rice. May contain peanuts."),),
    "whole list": (PLAIN,),
    "whole label, ticked": (ALL_CLEAR,),
    "claim alone": (label("Peanut-free."),),
    "claim alone, ticked": (LabelReading(free_from=PEANUT, regime=Regime.EU, is_whole=True),),
    "part of a list": (label("Ingredients: rice, water, salt.", is_whole=False),),
    "part of a label, ticked": (ticked(is_whole=False),),
    "a law that is not known": (label("Ingredients: rice, salt.", regime=None),),
    "nothing": (),
}
"""What can be known of peanut by a label."""

TABLE: dict[str, tuple[Verdict, Verdict, Verdict, Verdict]] = {
    # avoids, accepts "may contain", and the same two of what was opened or repacked here
    "contains statement": (NO, NO, NO, NO),
    "contains, ticked": (NO, NO, NO, NO),
    "ingredient": (NO, NO, NO, NO),
    "ingredient beside a free-from claim": (NO, NO, NO, NO),
    "ticked beside a free-from claim": (NO, NO, NO, NO),
    "precaution": (NO, YES, NO, YES),
    "precaution, ticked": (NO, YES, NO, YES),
    "precaution beside a claim": (NO, YES, NO, YES),
    "whole list": (YES, YES, ASK, YES),
    "whole label, ticked": (YES, YES, ASK, YES),
    "claim alone": (ASK, ASK, ASK, ASK),
    "claim alone, ticked": (ASK, ASK, ASK, ASK),
    "part of a list": (ASK, ASK, ASK, ASK),
    "part of a label, ticked": (ASK, ASK, ASK, ASK),
    "a law that is not known": (ASK, ASK, ASK, ASK),
    "nothing": (ASK, ASK, ASK, ASK),
}


def test_the_table_has_a_row_for_all_evidence() -> None:
    assert TABLE.keys() == EVIDENCE.keys()


@pytest.mark.parametrize("evidence", TABLE)
def test_a_food_stands_for_an_allergy_as_the_table_says(evidence: str) -> None:
    cells = product((False, True), (AVOIDS, ACCEPTS))
    for (is_handled_here, demand), expected in zip(cells, TABLE[evidence], strict=True):
        found = judged(MEAL, demand, readings=EVIDENCE[evidence], is_handled_here=is_handled_here)
        assert found.verdict is expected


@pytest.mark.parametrize("evidence", TABLE)
def test_a_recipe_with_the_substance_is_unsuitable_whatever_its_label_says(evidence: str) -> None:
    for demand in (AVOIDS, ACCEPTS):
        found = judged(recipe(Substance.PEANUT), demand, readings=EVIDENCE[evidence])
        assert found.verdict is NO


# What is said beside the verdict.


def test_what_is_contained_is_named_and_is_no_mere_warning() -> None:
    found = judged(MEAL, AVOIDS, readings=(ticked(PEANUT),))
    told = Reason(verdict=NO, words="contains peanut", demand=AVOIDS, substances=PEANUT)
    assert found.reasons == (told,)


def test_a_precaution_that_is_accepted_suits_with_a_warning() -> None:
    found = reason(ACCEPTS, ticked(may_contain=PEANUT))
    assert found.words == "warning: the label says it may contain peanut"
    assert found.is_warning


def test_a_precaution_that_is_not_accepted_is_a_verdict_and_no_mere_warning() -> None:
    found = reason(AVOIDS, ticked(may_contain=PEANUT))
    assert (found.verdict, found.is_warning) == (NO, False)


@pytest.mark.parametrize("demand", [AVOIDS, ACCEPTS], ids=["avoids", "accepts"])
def test_a_label_without_a_finding_suits_and_asks_to_read_the_pack(demand: Demand) -> None:
    found = reason(demand, ALL_CLEAR)
    assert found.words == "peanut not declared; that proves nothing, read the pack"
    assert not found.is_warning


@pytest.mark.parametrize("demand", [AVOIDS, ACCEPTS], ids=["avoids", "accepts"])
def test_what_was_handled_here_says_so(demand: Demand) -> None:
    found = reason(demand, ALL_CLEAR, is_handled_here=True)
    assert found.words == "warning: opened or repacked here, contact with peanut not known"
    assert found.is_warning is demand.accepts_may_contain


def test_silence_says_which_silence_it_is() -> None:
    mustard = Demand(allergy=Substance.MUSTARD)
    assert reason(AVOIDS).words == "the label was not read for peanut"
    assert reason(mustard, PLAIN).words == (
        "no mustard in the list, and this label's law need not name it"
    )
    flavoured = label("Ingredients: rice, natural flavouring.")
    assert reason(mustard, flavoured).words == "a word on it may stand for mustard"


# Whatever the law covers, and nothing else.


def test_silence_on_a_us_label_suits_the_nine_and_says_nothing_of_what_else_a_law_names() -> None:
    nine = {
        *(Substance.MILK, Substance.EGG, Substance.FISH, Substance.CRUSTACEAN, Substance.TREE_NUT),
        *(Substance.WHEAT, Substance.PEANUT, Substance.SOY, Substance.SESAME),
    }
    elsewhere = {Substance.CELERY, Substance.MUSTARD, Substance.LUPIN, Substance.MOLLUSC}
    elsewhere |= {Substance.SULPHITE, Substance.OATS}
    for substance in EVERYTHING:
        demand = Demand(allergy=substance)
        assert reason(demand, PLAIN).verdict is (ASK if substance in elsewhere else YES)
        by_ticks = reason(demand, ticked(regime=Regime.US_FDA))
        assert by_ticks.verdict is (YES if substance in nine else ASK)


def test_silence_on_an_eu_label_suits_the_fourteen() -> None:
    plain = label("Ingredients: rice, water, salt.", regime=Regime.EU)
    for substance in EVERYTHING:
        assert reason(Demand(allergy=substance), plain).verdict is YES


def test_a_thing_that_no_law_names_is_not_cleared_beside_a_word_that_can_hide_anything() -> None:
    coconut = Demand(allergy=Substance.COCONUT)
    assert reason(coconut, PLAIN).verdict is YES
    assert reason(coconut, label("Ingredients: rice, natural flavor.")).verdict is ASK


@pytest.mark.parametrize("regime", [Regime.OTHER, None])
def test_without_a_known_law_nothing_is_ever_cleared(regime: Regime | None) -> None:
    text = label("Ingredients: rice, water, salt.", regime=regime)
    for substance in EVERYTHING:
        demand = Demand(allergy=substance, accepts_may_contain=True)
        for reading in (text, ticked(regime=regime)):
            assert reason(demand, reading).verdict is ASK


@pytest.mark.parametrize("substance_words", ["soy", "soya"])
def test_whoever_accepts_traces_does_not_accept_a_word_that_may_be_the_thing_itself(
    substance_words: str,
) -> None:
    doubted = label("Ingredients: rice, soybean oil. May contain soy.", regime=Regime.EU)
    traces = label("Ingredients: rice. May contain soy.", regime=Regime.EU)
    for named in (
        Demand(allergy=Substance.SOY, accepts_may_contain=True),
        Demand(words=substance_words, accepts_may_contain=True),
    ):
        assert reason(named, doubted).verdict is not YES
        assert reason(named, traces).verdict is YES
    accepts = Demand(allergy=Substance.SOY, accepts_may_contain=True)
    assert reason(accepts, doubted).verdict is ASK
    usually = recipe(may_contain=(Substance.SOY,))
    assert reason(accepts, traces, food=usually).verdict is YES


@pytest.mark.parametrize("is_accepting", [False, True])
def test_a_doubt_beside_what_is_contained_or_warned_of_makes_it_no_better(
    *, is_accepting: bool
) -> None:
    soy = Demand(allergy=Substance.SOY, accepts_may_contain=is_accepting)
    contained = label("Ingredients: soybeans, soybean oil.")
    warned = label("Ingredients: rice, soybean oil. May contain soy.", regime=Regime.EU)
    assert reason(soy, contained).verdict is NO
    assert reason(soy, warned).verdict is (ASK if is_accepting else NO)


# The generic recipe.


def test_no_food_of_the_catalogue_suits_an_allergy_before_its_label_is_read() -> None:
    for substance, stage in product(Substance, Stage):
        demand = Demand(allergy=substance, accepts_may_contain=True)
        for food in generic_foods().values():
            if not food.is_water:
                assert judged(food, demand, stage=stage).verdict is not YES, food.id


def test_drinking_water_suits_every_allergy() -> None:
    waters = [food for food in generic_foods().values() if food.is_water]
    assert waters
    for food, substance in product(waters, Substance):
        assert judged(food, Demand(allergy=substance)).verdict is YES


@pytest.mark.parametrize("substance", Substance)
def test_every_substance_a_recipe_contains_is_unsuitable_for_its_allergy(
    substance: Substance,
) -> None:
    for food in generic_foods().values():
        if substance in food.facts.contains:
            found = judged(food, Demand(allergy=substance), readings=(ALL_CLEAR,))
            assert found.verdict is NO, food.id


def test_what_a_recipe_usually_contains_is_unknown_until_the_whole_label_clears_it() -> None:
    food = recipe(may_contain=(Substance.PEANUT,))
    assert reason(AVOIDS, food=food).words == "a word on it may stand for peanut"
    assert reason(AVOIDS, ALL_CLEAR, food=food).verdict is YES
    assert reason(AVOIDS, ticked(is_whole=False), food=food).verdict is ASK


def test_wheat_is_gluten_and_pork_is_meat_and_not_the_other_way() -> None:
    gluten, wheat = Demand(allergy=Substance.GLUTEN), Demand(allergy=Substance.WHEAT)
    assert judged(recipe(Substance.WHEAT), gluten).verdict is NO
    assert judged(recipe(Substance.GLUTEN), wheat).verdict is ASK
    assert with_implied(frozenset({Substance.PORK})) == {Substance.PORK, Substance.MEAT}
    usually = recipe(may_contain=(Substance.WHEAT,))
    assert reason(gluten, food=usually).words == "a word on it may stand for gluten"
    assert reason(gluten, ticked(frozenset({Substance.WHEAT}))).verdict is NO
    assert reason(gluten, ticked(frozenset(), frozenset({Substance.WHEAT}))).verdict is NO


def test_coconut_is_no_tree_nut_and_still_suits_nobody_who_avoids_coconut() -> None:
    coconut = recipe(Substance.COCONUT)
    assert judged(coconut, Demand(allergy=Substance.COCONUT)).verdict is NO
    nuts = Demand(allergy=Substance.TREE_NUT)
    reading = label("Ingredients: coconut, sugar.")
    assert judged(coconut, nuts, readings=(reading,)).verdict is YES


# A judgement.


def test_a_verdict_is_as_bad_as_its_worst_reason_and_all_are_kept() -> None:
    milk, mustard = Demand(allergy=Substance.MILK), Demand(allergy=Substance.MUSTARD)
    reading = label("Ingredients: rice, peanuts.")
    found = judged(MEAL, AVOIDS, milk, mustard, readings=(reading,))
    assert found.verdict is NO
    assert {one.verdict for one in found.reasons} == set(Verdict)
    assert judged(MEAL, milk, mustard, readings=(reading,)).verdict is ASK
    assert judged(MEAL, milk, readings=(reading,)).verdict is YES
    assert Judgement(()).verdict is YES
    assert Judgement(()).shown is Shown.SUITABLE


def test_what_is_shown_is_the_verdict_where_no_medical_diet_is_followed() -> None:
    for reading, shown in (
        (ALL_CLEAR, Shown.SUITABLE),
        (ticked(PEANUT), Shown.UNSUITABLE),
        (ticked(is_whole=False), Shown.UNKNOWN),
    ):
        assert judged(MEAL, AVOIDS, readings=(reading,)).shown is shown


def test_the_order_of_demands_changes_neither_the_verdict_nor_the_reasons() -> None:
    demands = [
        *(AVOIDS, Demand(diet=Diet.VEGAN), Demand(allergy=Substance.MILK)),
        *(Demand(words="kiwi"), Demand(words="red dye"), Demand(diet=Diet.HALAL)),
    ]
    assert judged(MEAL, *demands) == judged(MEAL, *reversed(demands))
    assert len(judged(MEAL, *demands).reasons) == len(demands)


def test_the_reason_that_is_found_names_its_demand_and_its_substance() -> None:
    for substance in Substance:
        found = reason(Demand(allergy=substance), ticked(frozenset({substance})))
        assert found.demand == Demand(allergy=substance)
        assert found.substances == {substance}


# Two readings of one label.


@pytest.mark.parametrize("accepts", [False, True])
def test_where_two_readings_disagree_the_stricter_holds_in_either_order(*, accepts: bool) -> None:
    demand = ACCEPTS if accepts else AVOIDS
    strict, lenient = ticked(PEANUT), ALL_CLEAR
    assert reason(demand, lenient, strict).verdict is NO
    assert reason(demand, strict, lenient).verdict is NO
    warned = ticked(may_contain=PEANUT)
    assert reason(demand, lenient, warned).verdict is (YES if accepts else NO)
    assert reason(demand, strict, warned).verdict is NO


def test_a_reading_of_part_of_a_label_takes_nothing_from_a_whole_one() -> None:
    part = label("Ingredients: rice", is_whole=False)
    assert reason(AVOIDS, ALL_CLEAR, part).verdict is YES


# The values.


@pytest.mark.parametrize(
    "named",
    [
        {},
        {"allergy": Substance.MILK, "diet": Diet.VEGAN},
        {"allergy": Substance.MILK, "words": "kiwi"},
        {"diet": Diet.VEGAN, "words": "kiwi"},
    ],
)
def test_a_restriction_is_one_thing(named: dict[str, Substance]) -> None:
    with pytest.raises(ValueError, match="one of them"):
        Restriction(**named)  # type: ignore[arg-type]


def test_only_an_allergy_can_accept_a_precaution() -> None:
    with pytest.raises(ValueError, match="only an allergy"):
        Restriction(diet=Diet.VEGAN, accepts_may_contain=True)
    assert Restriction(words="kiwi", accepts_may_contain=True).accepts_may_contain


def test_a_label_can_not_hold_what_it_is_said_to_be_free_from() -> None:
    for denied in ({"free_from": PEANUT}, {"not_declared": PEANUT}):
        with pytest.raises(ValueError, match="free from it"):
            LabelReading(contains=PEANUT, **denied)  # type: ignore[arg-type]
        with pytest.raises(ValueError, match="free from it"):
            LabelReading(may_contain=PEANUT, **denied)  # type: ignore[arg-type]


def test_a_demand_is_named_in_words() -> None:
    assert demand_words(Demand(allergy=Substance.TREE_NUT)) == "tree nut allergy"
    assert demand_words(Demand(words="red dye")) == "no red dye"
    assert demand_words(Demand(diet=Diet.GLUTEN_FREE)) == "gluten-free"
    assert demand_words(Demand(diet=Diet.HALAL, is_certified_only=True)) == "halal, certified only"
    assert demand_words(Demand(formula=FormulaKind.SOY)) == "soy infant formula only"
    assert demand_words(Demand(diet=Diet.PUREED)) == "puréed food"
    assert demand_words(Demand(diet=Diet.SOFT)) == "soft food"
    assert demand_words(Demand(diet=Diet.LOW_SODIUM)) == "low sodium"
    assert substance_words(Substance.INSECT) == "carmine or shellac"
    assert substance_words(Substance.ANIMAL_ENZYME) == "animal rennet or enzymes"
    assert substance_words(Substance.ANIMAL_DERIVED) == "an additive from animals"
    assert substance_words(Substance.GRAPE_JUICE) == "grape juice or must"
    words = {demand_words(Demand(diet=diet)) for diet in Diet}
    assert len(words) == len(Diet)
    assert not any("_" in word or not word for word in words)
    assert not any("_" in demand_words(Demand(allergy=substance)) for substance in Substance)


def test_a_claim_never_clears_an_allergy() -> None:
    clear = label(
        "Vegan. Gluten-free. Free from milk, egg and wheat.", claims=frozenset(Claim), is_whole=True
    )
    for substance in EVERYTHING:
        assert reason(Demand(allergy=substance), clear).verdict is ASK


def test_presences_are_listed_the_strictest_first() -> None:
    assert next(iter(Presence)) is Presence.CONTAINED
    assert list(Presence)[-1] is Presence.ABSENT
