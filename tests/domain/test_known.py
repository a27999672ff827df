"""What is known of a food: each rule from a label's words to a presence, by example."""

from dataclasses import replace

import pytest

from daysworth.domain.foods import MadeOf
from daysworth.domain.known import disagreeing, settled
from daysworth.domain.labels import Claim, Evidence, LabelReading, Presence, Regime, Said
from daysworth.domain.restrictions import DeclaredFacts, Substance
from tests.domain.offers import (
    ALL_CLEAR,
    MEAL,
    PEANUT,
    PLAIN,
    in_text,
    known,
    label,
    presence,
    recipe,
    ticked,
)

FDA, MEAT_LAW, EU, OTHER = Regime.US_FDA, Regime.US_MEAT, Regime.EU, Regime.OTHER
CONTAINED, POSSIBLE, DOUBT = Presence.CONTAINED, Presence.POSSIBLE, Presence.IN_DOUBT
UNKNOWN, LISTED_NOT, ABSENT = Presence.NOT_KNOWN, Presence.NOT_LISTED, Presence.ABSENT


def said(*presences: Presence) -> list[Evidence]:
    return [Evidence(said=Said.READER, presence=one, words="said") for one in presences]


def test_evidence_is_weighed_the_worst_first_and_then_the_best_proved() -> None:
    assert settled(said()) is UNKNOWN
    assert settled(said(UNKNOWN)) is UNKNOWN
    assert settled(said(LISTED_NOT, ABSENT)) is ABSENT
    assert settled(said(UNKNOWN, LISTED_NOT)) is LISTED_NOT
    assert settled(said(ABSENT, DOUBT)) is DOUBT
    assert settled(said(DOUBT, POSSIBLE)) is POSSIBLE
    assert settled(said(POSSIBLE, CONTAINED, ABSENT)) is CONTAINED


# What counts as the whole of a label.


@pytest.mark.parametrize(
    "reading",
    [
        label("Ingredients: rice, salt.", is_whole=False),
        label("Ingredients: rice, salt.", regime=None),
        label("Ingredients: rice, salt.", regime=OTHER),
        label(""),
        label("Contains: milk."),
        label("Ingredients: rice (water."),
        label("Ingredients: rice, salt and"),
        label("Ingredients: rice, ???, salt."),
        replace(label("Ingredients: rice, salt."), language="de"),
        label("Zutaten: Reis, Salz."),
    ],
    ids=str,
)
def test_silence_proves_nothing_unless_the_whole_of_a_sound_text_was_copied(
    reading: LabelReading,
) -> None:
    seen = known(reading)
    assert seen.of(Substance.PEANUT) is UNKNOWN
    assert seen.of(Substance.HONEY) is UNKNOWN
    assert not seen.has_whole_list


def test_a_whole_list_tells_what_is_absent_by_law_from_what_is_just_not_listed() -> None:
    seen = known(PLAIN)
    assert seen.has_whole_list
    assert seen.of(Substance.PEANUT) is ABSENT
    assert seen.of(Substance.MUSTARD) is LISTED_NOT
    assert seen.of(Substance.HONEY) is LISTED_NOT


def test_a_tick_clears_only_what_the_law_would_have_declared_on_a_whole_label() -> None:
    assert presence(Substance.PEANUT, ticked(regime=FDA)) is ABSENT
    assert presence(Substance.MUSTARD, ticked(regime=FDA)) is UNKNOWN
    assert presence(Substance.MUSTARD, ticked(regime=EU)) is ABSENT
    assert presence(Substance.HONEY, ticked(regime=EU)) is UNKNOWN
    assert presence(Substance.PEANUT, ticked(regime=MEAT_LAW)) is UNKNOWN
    assert presence(Substance.PEANUT, ticked(regime=OTHER)) is UNKNOWN
    assert presence(Substance.PEANUT, ticked(is_whole=False)) is UNKNOWN
    only_milk = LabelReading(not_declared=frozenset({Substance.MILK}), is_whole=True, regime=EU)
    assert presence(Substance.PEANUT, only_milk) is UNKNOWN
    assert presence(Substance.MILK, only_milk) is ABSENT


def test_a_tick_beside_a_text_that_is_not_whole_clears_nothing() -> None:
    cut_off = replace(ticked(), text="Ingredients: rice, salt and")
    assert presence(Substance.PEANUT, cut_off) is UNKNOWN
    assert presence(Substance.PEANUT, replace(cut_off, text=" \n")) is ABSENT


def test_what_a_pack_claims_to_be_free_from_is_kept_and_proves_nothing() -> None:
    claimed = LabelReading(free_from=PEANUT, is_whole=True, regime=EU)
    seen = known(claimed)
    assert seen.of(Substance.PEANUT) is UNKNOWN
    (evidence,) = seen.evidence[Substance.PEANUT]
    assert (evidence.said, evidence.words) == (Said.CLAIM, "claims to be free from peanut")
    printed = known(label("Peanut-free."))
    assert printed.of(Substance.PEANUT) is UNKNOWN
    assert [one.said for one in printed.evidence[Substance.PEANUT]] == [Said.CLAIM]


def test_a_substance_carries_the_words_that_fired_and_their_place() -> None:
    text = "Ingredients: rice, whey powder, salt. May contain peanuts."
    seen = known(label(text))
    (milk,) = seen.evidence[Substance.MILK]
    assert (milk.said, milk.presence) == (Said.INGREDIENTS, CONTAINED)
    assert milk.at is not None
    assert text[milk.at :].startswith(milk.words)
    (peanut,) = seen.evidence[Substance.PEANUT]
    assert (peanut.said, peanut.presence) == (Said.PRECAUTION, POSSIBLE)


def test_wheat_is_gluten_and_blood_is_meat_wherever_they_stand() -> None:
    wheat, blood = frozenset({Substance.WHEAT}), frozenset({Substance.BLOOD})
    assert presence(Substance.GLUTEN, ticked(wheat)) is CONTAINED
    assert presence(Substance.GLUTEN, ticked(frozenset(), wheat)) is POSSIBLE
    assert presence(Substance.MEAT, ticked(blood)) is CONTAINED
    assert known(food=recipe(Substance.WHEAT)).of(Substance.GLUTEN) is CONTAINED
    usually = recipe(may_contain=(Substance.PORK,))
    assert known(food=usually).of(Substance.MEAT) is DOUBT


# Words that may mean it, and words that may hide it.


def test_an_open_word_hides_only_what_the_law_lets_the_maker_be_silent_about() -> None:
    text = "Ingredients: rice, natural flavoring."
    assert in_text(text, Substance.MILK, regime=FDA) is ABSENT
    assert in_text(text, Substance.MUSTARD, regime=FDA) is DOUBT
    assert in_text(text, Substance.MILK, regime=MEAT_LAW) is DOUBT
    assert in_text(text, Substance.MUSTARD, regime=EU) is ABSENT
    assert in_text(text, Substance.MILK, regime=OTHER) is DOUBT
    assert in_text(text, Substance.SESAME, regime=FDA, packed_on=None) is DOUBT


def test_starch_can_hide_no_gluten_where_wheat_would_be_declared() -> None:
    text = "Ingredients: rice, modified food starch."
    assert in_text(text, Substance.GLUTEN, regime=FDA) is LISTED_NOT
    assert in_text(text, Substance.WHEAT, regime=FDA) is ABSENT
    assert in_text(text, Substance.WHEAT, regime=MEAT_LAW) is DOUBT
    assert in_text(text, Substance.GLUTEN, regime=MEAT_LAW) is DOUBT


def test_a_word_that_may_mean_it_is_settled_by_a_us_contains_statement_alone() -> None:
    text = "Ingredients: rice, soybean oil."
    stated = f"{text} Contains: milk."
    assert in_text(text, Substance.SOY, regime=FDA) is DOUBT
    assert in_text(stated, Substance.SOY, regime=FDA) is ABSENT
    assert in_text(stated, Substance.SOY, regime=EU) is DOUBT
    assert in_text(stated, Substance.SOY, regime=MEAT_LAW) is DOUBT


def test_a_contains_statement_settles_only_what_it_would_have_to_name() -> None:
    text = "Ingredients: rice, yeast extract. Contains: milk."
    assert in_text(text, Substance.GLUTEN, regime=FDA) is DOUBT


def test_words_in_a_precaution_are_possible_and_vague_ones_a_doubt() -> None:
    text = "Ingredients: rice. May contain milk and yeast extract."
    assert in_text(text, Substance.MILK, regime=FDA) is POSSIBLE
    assert in_text(text, Substance.GLUTEN, regime=FDA) is DOUBT


def test_a_word_that_is_spelt_wrongly_is_a_doubt() -> None:
    assert in_text("Ingredients: rice, penuts.", Substance.PEANUT, regime=FDA) is DOUBT
    assert in_text("Ingredients: rice, wheet.", Substance.GLUTEN, regime=FDA) is DOUBT


def test_what_a_law_exempts_is_no_sign_under_that_law_alone() -> None:
    text = "Ingredients: rice, highly refined peanut oil."
    assert in_text(text, Substance.PEANUT, regime=FDA) is ABSENT
    assert in_text(text, Substance.PEANUT, regime=EU) is CONTAINED
    assert in_text(text, Substance.PEANUT, regime=OTHER) is CONTAINED
    both = label(text, regime=EU)
    food = replace(MEAL, regime=FDA)
    assert known(both, food=food).of(Substance.PEANUT) is CONTAINED


def test_an_exempt_wheat_syrup_is_no_gluten_under_that_law_either() -> None:
    text = "Ingredients: sugar, wheat glucose syrup."
    assert in_text(text, Substance.WHEAT, regime=EU) is ABSENT
    assert in_text(text, Substance.GLUTEN, regime=EU) is ABSENT
    assert in_text(text, Substance.WHEAT, regime=FDA) is CONTAINED
    assert in_text(text, Substance.GLUTEN, regime=FDA) is CONTAINED


# More than one reading, and the recipe.


def test_the_phrases_and_open_words_of_every_reading_are_kept() -> None:
    seen = known(label("Ingredients: rice, spices."), label("Ingredients: beans."))
    assert {"rice", "spices", "beans"} <= {phrase.words for phrase in seen.phrases}
    assert seen.open_words == ("spices",)


def test_readings_disagree_where_one_finds_what_another_whole_one_did_not() -> None:
    def apart(*readings: LabelReading) -> frozenset[Substance]:
        return disagreeing(MEAL, readings=readings, packed_since_on=None)

    assert apart(ticked(PEANUT), ALL_CLEAR) == PEANUT
    assert apart(ALL_CLEAR, ticked(may_contain=PEANUT)) == PEANUT
    assert apart(ticked(PEANUT), ticked(may_contain=PEANUT)) == frozenset()
    assert apart(ticked(PEANUT), LabelReading()) == frozenset()
    assert apart(ALL_CLEAR) == apart() == frozenset()
    assert apart(label("Ingredients: rice, peanuts."), PLAIN) == PEANUT
    wheat = apart(ticked(frozenset({Substance.WHEAT})), ALL_CLEAR)
    assert wheat == {Substance.WHEAT, Substance.GLUTEN}


def test_a_recipe_adds_and_never_takes_away() -> None:
    facts = DeclaredFacts(free_from=PEANUT)
    assert known(food=replace(MEAL, facts=facts)).of(Substance.PEANUT) is UNKNOWN
    peanut = recipe(Substance.PEANUT)
    assert known(ALL_CLEAR, food=peanut).of(Substance.PEANUT) is CONTAINED
    (first, *_) = known(food=peanut).evidence[Substance.PEANUT]
    assert (first.said, first.words) == (Said.REFERENCE_FOOD, "by its recipe")


def test_what_a_recipe_usually_holds_is_a_doubt_until_a_whole_label_denies_it() -> None:
    usually = recipe(may_contain=(Substance.HONEY,))
    assert known(food=usually).of(Substance.HONEY) is DOUBT
    assert known(PLAIN, food=usually).of(Substance.HONEY) is LISTED_NOT
    assert known(ALL_CLEAR, food=usually).of(Substance.HONEY) is DOUBT
    warned = LabelReading(may_contain=frozenset({Substance.HONEY}))
    assert known(warned, food=usually).of(Substance.HONEY) is POSSIBLE


def test_drinking_water_holds_nothing_unless_its_label_says_so() -> None:
    water = recipe(made_of=MadeOf.WATER)
    assert known(food=water).has_whole_list
    for substance in Substance:
        assert known(food=water).of(substance) is ABSENT
    assert known(ticked(PEANUT), food=water).of(Substance.PEANUT) is CONTAINED


def test_claims_are_kept_with_their_words() -> None:
    seen = known(label("Ingredients: rice. Certified gluten-free."))
    assert Claim.GLUTEN_FREE in seen.claims
    assert "gluten-free" in seen.claims[Claim.GLUTEN_FREE].lower()
    by_tick = known(LabelReading(claims=frozenset({Claim.HALAL_CERTIFIED})))
    assert by_tick.claims == {Claim.HALAL_CERTIFIED: "halal certified"}


def test_a_claim_falls_where_another_whole_text_does_not_make_it() -> None:
    vegan = frozenset({Claim.VEGAN})
    claims = LabelReading(claims=vegan)
    assert known(claims, PLAIN).claims == {}
    assert set(known(claims, replace(PLAIN, claims=vegan)).claims) == vegan
    assert set(known(claims, replace(PLAIN, is_whole=False)).claims) == vegan
    assert set(known(claims, label("Ingredients: rice and")).claims) == vegan
