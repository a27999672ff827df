"""A diet excludes what it excludes, doubts what needs a mark, and a medical diet only advises."""

from dataclasses import replace

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.foods import MadeOf, Texture
from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.restrictions import (
    ADVISING,
    RULED_OUT,
    DeclaredFacts,
    Diet,
    Restriction,
    Substance,
)
from daysworth.domain.verdicts import Shown, Verdict
from tests.domain.offers import (
    ALL_CLEAR,
    AVOIDS,
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
BY_INGREDIENTS = [diet for diet in RULED_OUT if diet is not Diet.GLUTEN_FREE]
MARKS: dict[Diet, Claim] = {
    Diet.VEGETARIAN: Claim.VEGETARIAN,
    Diet.VEGAN: Claim.VEGAN,
    Diet.PESCATARIAN: Claim.VEGETARIAN,
    Diet.HALAL: Claim.HALAL_CERTIFIED,
    Diet.KOSHER: Claim.KOSHER_CERTIFIED,
}
EXCLUDED = {
    Diet.VEGETARIAN: {
        *(Substance.MEAT, Substance.PORK, Substance.BLOOD, Substance.FISH, Substance.CRUSTACEAN),
        *(Substance.MOLLUSC, Substance.GELATINE, Substance.INSECT, Substance.ANIMAL_ENZYME),
        Substance.ANIMAL_DERIVED,
    },
    Diet.PESCATARIAN: {
        *(Substance.MEAT, Substance.PORK, Substance.BLOOD, Substance.GELATINE, Substance.INSECT),
        *(Substance.ANIMAL_ENZYME, Substance.ANIMAL_DERIVED),
    },
    Diet.HALAL: {Substance.PORK, Substance.BLOOD, Substance.ALCOHOL},
    Diet.KOSHER: {
        *(Substance.PORK, Substance.BLOOD, Substance.CRUSTACEAN, Substance.MOLLUSC),
        Substance.INSECT,
    },
}
EXCLUDED[Diet.VEGAN] = EXCLUDED[Diet.VEGETARIAN] | {
    *(Substance.MILK, Substance.EGG, Substance.HONEY)
}
NEEDS_MARK: dict[Diet, set[Substance]] = {
    Diet.HALAL: {
        *(Substance.MEAT, Substance.GELATINE, Substance.ANIMAL_ENZYME, Substance.ANIMAL_DERIVED),
        Substance.INSECT,
    },
    Diet.KOSHER: {
        *(Substance.MEAT, Substance.GELATINE, Substance.ANIMAL_ENZYME, Substance.ANIMAL_DERIVED),
        *(Substance.ALCOHOL, Substance.GRAPE_JUICE),
    },
}


def beside(substance: Substance) -> tuple[LabelReading, LabelReading]:
    """A whole plain list, and a tick that the label names a substance besides."""
    return PLAIN, LabelReading(contains=frozenset({substance}), regime=Regime.US_FDA)


@pytest.mark.parametrize("substance", Substance)
@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_what_a_diet_excludes_is_unsuitable_what_needs_a_mark_unknown_and_the_rest_suits(
    diet: Diet, substance: Substance
) -> None:
    verdict = YES
    if substance in NEEDS_MARK.get(diet, set()):
        verdict = ASK
    if substance in EXCLUDED[diet]:
        verdict = NO
    found = reason(Demand(diet=diet), *beside(substance))
    assert found.verdict is verdict
    assert (substance in found.substances) is (verdict is not YES)
    by_recipe = reason(Demand(diet=diet), PLAIN, food=recipe(substance))
    assert by_recipe.verdict is verdict


@pytest.mark.parametrize("substance", Substance)
@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mark_settles_a_doubt_and_never_what_the_list_names(
    diet: Diet, substance: Substance
) -> None:
    marked = label("Ingredients: rice.", claims=frozenset({MARKS[diet]}))
    named = LabelReading(contains=frozenset({substance}))
    found = reason(Demand(diet=diet), marked, named)
    assert found.verdict is (NO if substance in EXCLUDED[diet] else YES)


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mark_suits_without_a_list_and_another_diets_mark_does_not(diet: Diet) -> None:
    for claim in Claim:
        fits = claim is MARKS[diet] or (
            claim is Claim.VEGAN and diet in (Diet.VEGETARIAN, Diet.PESCATARIAN)
        )
        found = reason(Demand(diet=diet), LabelReading(claims=frozenset({claim})))
        assert found.verdict is (YES if fits else ASK), claim


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mark_that_another_whole_reading_does_not_show_is_no_mark(diet: Diet) -> None:
    claims = LabelReading(claims=frozenset({MARKS[diet]}))
    doubtful = label("Ingredients: rice, cheese (milk, enzymes), glycerides, natural flavour.")
    assert reason(Demand(diet=diet), claims).verdict is YES
    assert reason(Demand(diet=diet), claims, doubtful).verdict in (ASK, NO)
    both = replace(doubtful, claims=frozenset({MARKS[diet]}))
    expected = NO if diet is Diet.VEGAN else YES
    assert reason(Demand(diet=diet), claims, both).verdict is expected


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mixed_food_is_unknown_until_its_whole_list_is_read(diet: Diet) -> None:
    assert reason(Demand(diet=diet)).verdict is ASK
    assert reason(Demand(diet=diet), ALL_CLEAR).verdict is ASK
    assert reason(Demand(diet=diet), label("Ingredients: rice.", is_whole=False)).verdict is ASK
    assert reason(Demand(diet=diet), label("Ingredients: rice.", regime=None)).verdict is ASK
    assert reason(Demand(diet=diet), PLAIN).verdict is YES


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
@pytest.mark.parametrize("made_of", MadeOf)
def test_plain_plants_water_and_plain_fish_suit_by_their_kind_alone(
    diet: Diet, made_of: MadeOf
) -> None:
    fish_too = {Diet.PESCATARIAN, Diet.HALAL, Diet.KOSHER}
    suits = made_of in (MadeOf.PLAIN_PLANT, MadeOf.WATER)
    suits |= made_of is MadeOf.PLAIN_FISH and diet in fish_too
    found = reason(Demand(diet=diet), food=recipe(made_of=made_of))
    assert found.verdict is (YES if suits else ASK)


def test_what_suits_a_diet_says_by_what_and_is_no_warning() -> None:
    vegan = Demand(diet=Diet.VEGAN)
    read = reason(vegan, PLAIN)
    assert (read.words, read.is_warning) == ("the whole list was read: vegan by ingredients", False)
    kind = reason(vegan, food=recipe(made_of=MadeOf.PLAIN_PLANT))
    assert (kind.words, kind.is_warning) == ("vegan: a plain food of its kind", False)
    marked = reason(vegan, LabelReading(claims=frozenset({Claim.VEGAN})))
    assert (marked.words, marked.is_warning) == ("the label is marked vegan", False)


def test_shellfish_is_not_kosher_though_it_is_plain_fish_by_its_shelf() -> None:
    clams = recipe(Substance.MOLLUSC, made_of=MadeOf.PLAIN_FISH)
    assert reason(Demand(diet=Diet.KOSHER), food=clams).verdict is NO
    tuna = recipe(Substance.FISH, made_of=MadeOf.PLAIN_FISH)
    assert reason(Demand(diet=Diet.KOSHER), food=tuna).verdict is YES
    assert reason(Demand(diet=Diet.VEGETARIAN), food=tuna).verdict is NO


def test_what_a_plant_usually_holds_leaves_a_diet_in_doubt_until_a_whole_label_clears_it() -> None:
    vegan = Demand(diet=Diet.VEGAN)
    usually = recipe(may_contain=(Substance.MILK,), made_of=MadeOf.PLAIN_PLANT)
    assert reason(vegan, food=usually).verdict is ASK
    assert reason(vegan, ticked(), food=usually).verdict is YES


@pytest.mark.parametrize("diet", [Diet.VEGETARIAN, Diet.VEGAN, Diet.PESCATARIAN])
def test_traces_make_a_food_no_less_vegetarian_and_are_shown(diet: Diet) -> None:
    traces = label("Ingredients: rice, salt. May contain gelatine.")
    found = reason(Demand(diet=diet), traces)
    assert (found.verdict, found.is_warning) == (YES, True)
    assert found.words == f"warning: {diet} by ingredients; traces of gelatine"
    unread = LabelReading(may_contain=frozenset({Substance.GELATINE}))
    assert reason(Demand(diet=diet), unread).verdict is ASK
    plant = recipe(made_of=MadeOf.PLAIN_PLANT)
    assert reason(Demand(diet=diet), unread, food=plant).is_warning


@pytest.mark.parametrize("diet", [Diet.HALAL, Diet.KOSHER])
def test_traces_leave_halal_and_kosher_in_doubt(diet: Diet) -> None:
    traces = label("Ingredients: rice, salt. May contain pork.")
    found = reason(Demand(diet=diet), traces)
    assert (found.verdict, found.is_warning) == (ASK, False)
    assert Substance.PORK in found.substances


@pytest.mark.parametrize("diet", [Diet.HALAL, Diet.KOSHER])
def test_whoever_keeps_to_certified_food_takes_nothing_by_its_ingredients(diet: Diet) -> None:
    certified = Demand(diet=diet, is_certified_only=True)
    marked = LabelReading(claims=frozenset({MARKS[diet]}))
    assert reason(certified, PLAIN).verdict is ASK
    assert reason(certified, PLAIN).words == f"no {diet} mark was read on the label"
    assert reason(certified, food=recipe(made_of=MadeOf.PLAIN_PLANT)).verdict is ASK
    assert reason(certified, marked).verdict is YES
    assert reason(certified, food=recipe(made_of=MadeOf.WATER)).verdict is YES
    pork = ticked(frozenset({Substance.PORK}))
    assert reason(certified, marked, pork).verdict is NO


def test_meat_with_milk_is_not_kosher_whatever_mark_it_has() -> None:
    kosher, halal = Demand(diet=Diet.KOSHER), Demand(diet=Diet.HALAL)
    marks = frozenset({Claim.KOSHER_CERTIFIED, Claim.HALAL_CERTIFIED})
    both = label("Ingredients: beef, milk, salt.", claims=marks)
    meat = label("Ingredients: beef, salt.", claims=marks)
    milk = label("Ingredients: milk, salt.", claims=marks)
    assert [reason(kosher, one).verdict for one in (both, meat, milk)] == [NO, YES, YES]
    assert [reason(halal, one).verdict for one in (both, meat, milk)] == [YES, YES, YES]


# Gluten-free.

GLUTEN_FREE = Demand(diet=Diet.GLUTEN_FREE)
GLUTEN = frozenset({Substance.GLUTEN})
CLAIMED = frozenset({Claim.GLUTEN_FREE})


@pytest.mark.parametrize("made_of", MadeOf)
def test_gluten_free_needs_a_label_whatever_the_food_is_made_of(made_of: MadeOf) -> None:
    """Flours and oats are plain plants and seldom free of stray wheat."""
    food = recipe(made_of=made_of)
    unread = YES if made_of is MadeOf.WATER else ASK
    assert reason(GLUTEN_FREE, food=food).verdict is unread
    assert reason(GLUTEN_FREE, PLAIN, food=food).verdict is YES
    assert reason(GLUTEN_FREE, PLAIN, food=food, is_handled_here=True).verdict is ASK


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("Ingredients: rice, water, salt.", YES),
        ("Ingredients: wheat flour, water, salt.", NO),
        ("Ingredients: water, barley malt, hops.", NO),
        ("Ingredients: rye, water, salt.", NO),
        ("Ingredients: oats, salt.", ASK),
        ("Ingredients: oats, salt. Gluten-free.", YES),
        ("Ingredients: rice, salt. May contain wheat.", NO),
        ("Ingredients: rice, salt. May contain gluten.", NO),
        ("Ingredients: rice, salt. May contain wheat. Gluten-free.", ASK),
        ("Ingredients: rice, yeast extract, salt.", ASK),
        ("Ingredients: rice, yeast extract, salt. Gluten-free.", YES),
        ("Gluten-free.", YES),
        ("Gluten-free. Ingredients: wheat starch, water.", NO),
        ("Ingredients: gluten-free wheat starch, water.", NO),
    ],
)
def test_gluten_free_goes_by_the_list_and_the_claim(text: str, verdict: Verdict) -> None:
    assert reason(GLUTEN_FREE, label(text)).verdict is verdict


def test_gluten_free_goes_by_ticks_where_a_law_names_gluten() -> None:
    assert reason(GLUTEN_FREE, ticked(regime=Regime.EU)).verdict is YES
    assert reason(GLUTEN_FREE, ticked(regime=Regime.US_FDA)).verdict is ASK
    claimed = ticked(regime=Regime.US_FDA, claims=CLAIMED)
    assert reason(GLUTEN_FREE, claimed).verdict is YES
    assert reason(GLUTEN_FREE, ticked(GLUTEN, claims=CLAIMED)).verdict is NO
    assert reason(GLUTEN_FREE, ticked(frozenset(), GLUTEN)).verdict is NO
    assert reason(GLUTEN_FREE, ticked(frozenset(), GLUTEN, claims=CLAIMED)).verdict is ASK


@pytest.mark.parametrize(
    ("reading", "told"),
    [
        (ticked(GLUTEN), "contains gluten"),
        (
            ticked(GLUTEN, claims=CLAIMED),
            "contains gluten, though the label claims to be free of it",
        ),
        (ticked(frozenset(), GLUTEN), "warning: the label says it may contain gluten"),
        (
            ticked(frozenset(), GLUTEN, claims=CLAIMED),
            "warning: the label says it may contain gluten, and claims to be free of it",
        ),
        (label("Ingredients: oats."), "a word on it may stand for gluten"),
        (LabelReading(), "the label was not read for gluten"),
        (LabelReading(claims=CLAIMED), "the label claims to be gluten-free"),
        (PLAIN, "no gluten grain in the whole list"),
        (ticked(), "no gluten grain in the whole list"),
        (ticked(claims=CLAIMED), "the label claims to be gluten-free"),
        (label("Ingredients: rice.", claims=CLAIMED), "the label claims to be gluten-free"),
    ],
)
def test_gluten_free_says_by_what_it_goes(reading: LabelReading, told: str) -> None:
    assert reason(GLUTEN_FREE, reading).words == told


def test_a_gluten_free_claim_does_not_outlast_opening_or_repacking() -> None:
    claimed = LabelReading(claims=CLAIMED)
    assert reason(GLUTEN_FREE, claimed).verdict is YES
    handled = reason(GLUTEN_FREE, claimed, is_handled_here=True)
    assert handled.verdict is ASK
    assert handled.words == "warning: opened or repacked here, contact with gluten not known"
    named = reason(GLUTEN_FREE, ticked(GLUTEN), is_handled_here=True)
    assert (named.verdict, named.words) == (NO, "contains gluten")


def test_a_recipe_with_gluten_is_unsuitable_though_its_label_claims_otherwise() -> None:
    for substance in (Substance.WHEAT, Substance.GLUTEN):
        food = recipe(substance)
        assert reason(GLUTEN_FREE, LabelReading(claims=CLAIMED), food=food).verdict is NO


# Texture and swallowing.


@pytest.mark.parametrize(
    ("texture", "verdict"), [(Texture.SOFT, YES), (Texture.FIRM, NO), (None, ASK)]
)
@pytest.mark.parametrize("readings", [(), (PLAIN,)], ids=["unread", "read"])
def test_soft_food_goes_by_texture_and_not_by_the_label(
    texture: Texture | None, verdict: Verdict, readings: tuple[LabelReading, ...]
) -> None:
    food = replace(MEAL, texture=texture)
    assert reason(Demand(diet=Diet.SOFT), *readings, food=food).verdict is verdict


@pytest.mark.parametrize("texture", [*Texture, None])
@pytest.mark.parametrize("made_of", MadeOf)
def test_nothing_is_ever_marked_suitable_for_a_swallowing_diet(
    texture: Texture | None, made_of: MadeOf
) -> None:
    food = replace(MEAL, texture=texture, made_of=made_of)
    found = reason(Demand(diet=Diet.PUREED), label("Puréed. Ingredients: carrots."), food=food)
    assert found.verdict is ASK
    assert "care team" in found.words


# Medical diets.

MEDICAL = sorted(ADVISING)
SALTY = replace(MEAL, sodium_mg_100g=900.0, carbohydrate_g_100g=60.0)


@pytest.mark.parametrize("diet", MEDICAL)
def test_a_medical_diet_excludes_nothing_and_is_never_told_that_a_food_suits(diet: Diet) -> None:
    for one in (MEAL, SALTY, recipe(*Substance)):
        for readings in ((), (PLAIN,), (ALL_CLEAR,)):
            found = judged(one, Demand(diet=diet), readings=readings)
            assert found.verdict is YES
            assert found.shown is Shown.ASK_CARE_TEAM
            assert found.reasons[0].is_warning
            assert found.reasons[0].words.startswith("ask your care team; ")


@pytest.mark.parametrize("diet", MEDICAL)
def test_a_medical_diet_changes_nothing_about_the_other_needs(diet: Diet) -> None:
    for reading, shown in (
        (ticked(), Shown.ASK_CARE_TEAM),
        (ticked(is_whole=False), Shown.UNKNOWN),
        (ticked(PEANUT), Shown.UNSUITABLE),
    ):
        found = judged(MEAL, AVOIDS, Demand(diet=diet), readings=(reading,))
        assert found.verdict is judged(MEAL, AVOIDS, readings=(reading,)).verdict
        assert found.shown is shown


def test_whoever_advises_is_told_carbohydrate_sodium_and_the_additives_of_the_list() -> None:
    renal = Demand(diet=Diet.RENAL)
    text = label(
        "Ingredients: rice, sodium phosphate, potassium chloride, dipotassium phosphate, "
        "calcium phosphate, salt."
    )
    told = reason(renal, text, food=SALTY).words
    assert "60 g carbohydrate in 100 g" in told
    assert "900 mg sodium in 100 g" in told
    assert "the list names sodium phosphate, potassium chloride, dipotassium phosphate" in told
    assert "calcium" not in told
    bare = reason(renal, label("Ingredients: rice, salt.")).words
    assert bare == "ask your care team; its carbohydrate and sodium are not recorded"


def test_the_same_additive_on_two_readings_is_named_once() -> None:
    text = label("Ingredients: rice, sodium phosphate.")
    again = label("Ingredients: rice, salt, sodium phosphate.")
    told = reason(Demand(diet=Diet.RENAL), text, again).words
    assert told == "ask your care team; the list names sodium phosphate"


def test_a_restriction_keeps_to_what_its_kind_can_say() -> None:
    with pytest.raises(ValueError, match="kept at a level"):
        Restriction(diet=Diet.VEGAN, level="certified")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="told to exclude"):
        Restriction(diet=Diet.RENAL, is_excluding=True)


def test_a_generic_recipes_silence_says_nothing_of_a_diet() -> None:
    food = replace(MEAL, facts=DeclaredFacts(free_from=frozenset(Substance)))
    for diet in BY_INGREDIENTS:
        assert reason(Demand(diet=diet), food=food).verdict is ASK
