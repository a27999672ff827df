"""What one label says differs by the law it follows: meat, oats, coconut and the day of packing."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.domain.foods import FoodGroup, MadeOf
from daysworth.domain.known import known_of
from daysworth.domain.labels import Claim, LabelReading, Presence, Regime
from daysworth.domain.restrictions import Substance
from tests.domain.offers import MEAL, in_text, known, label, presence, recipe, ticked

FDA, EU, OTHER = Regime.US_FDA, Regime.EU, Regime.OTHER
CONTAINED, POSSIBLE, DOUBT = Presence.CONTAINED, Presence.POSSIBLE, Presence.IN_DOUBT
UNKNOWN, LISTED_NOT, ABSENT = Presence.NOT_KNOWN, Presence.NOT_LISTED, Presence.ABSENT


# Meat under United States law.


@pytest.mark.parametrize("meat", ["beef", "chicken", "ham", "lard"])
def test_a_us_label_that_names_meat_is_held_to_the_law_on_meat(meat: str) -> None:
    text = f"Ingredients: beans, {meat}, spices."
    assert in_text(text, Substance.EGG, regime=FDA) in (DOUBT, ABSENT)
    hidden = f"Ingredients: beans, {meat}, natural flavoring."
    assert in_text(hidden, Substance.MILK, regime=FDA) is DOUBT
    assert in_text("Ingredients: beans, natural flavoring.", Substance.MILK, regime=FDA) is ABSENT
    assert in_text(hidden, Substance.MILK, regime=EU) is ABSENT


def test_a_precaution_about_meat_makes_no_meat_of_a_food() -> None:
    text = "Ingredients: beans, natural flavoring. May contain beef."
    assert in_text(text, Substance.MILK, regime=FDA) is ABSENT


def test_ticks_clear_nothing_on_a_us_label_that_names_meat() -> None:
    meat = frozenset({Substance.MEAT})
    assert presence(Substance.MILK, ticked(meat, regime=FDA)) is UNKNOWN
    assert presence(Substance.MILK, ticked(meat, regime=EU)) is ABSENT


@pytest.mark.parametrize(
    "food",
    [
        replace(MEAL, group=FoodGroup.MEAT_AND_POULTRY),
        recipe(made_of=MadeOf.EGG),
        recipe(Substance.MEAT),
    ],
)
def test_a_us_meat_or_egg_food_is_cleared_by_a_list_without_open_words_alone(
    food: object,
) -> None:
    assert isinstance(food, type(MEAL))
    plain = label("Ingredients: water, salt.")
    hidden = label("Ingredients: water, salt, flavoring.")
    assert known(plain, food=food).of(Substance.MILK) is ABSENT
    assert known(hidden, food=food).of(Substance.MILK) is DOUBT
    assert known(ticked(regime=FDA), food=food).of(Substance.MILK) is UNKNOWN


# Oats and coconut.


@pytest.mark.parametrize(
    ("text", "regime", "expected"),
    [
        ("Ingredients: oats.", EU, CONTAINED),
        ("Ingredients: gluten-free oats. Gluten-free.", EU, DOUBT),
        ("Ingredients: oats.", FDA, DOUBT),
        ("Ingredients: oats.", OTHER, DOUBT),
        ("Ingredients: oats. Gluten-free.", FDA, LISTED_NOT),
        ("Ingredients: rice. May contain oats.", EU, POSSIBLE),
        ("Ingredients: rice. May contain oats.", FDA, DOUBT),
        ("Ingredients: rice.", EU, ABSENT),
    ],
)
def test_oats_are_a_gluten_cereal_in_the_eu_and_elsewhere_a_doubt_without_a_claim(
    text: str, regime: Regime, expected: Presence
) -> None:
    assert in_text(text, Substance.GLUTEN, regime=regime) is expected


@pytest.mark.parametrize(
    ("ingredient", "told"),
    [
        ("oats", "oats: oats may hold gluten from other grain"),
        ("mixed grain", "mixed grain: may be oats, which may hold gluten from other grain"),
    ],
)
def test_a_doubt_about_oats_tells_whether_they_are_sure_to_be_in_it(
    ingredient: str, told: str
) -> None:
    seen = known(label(f"Ingredients: rice, {ingredient}.", regime=OTHER))
    assert told in {one.words for one in seen.evidence[Substance.GLUTEN]}


def test_oats_that_are_said_to_be_gluten_free_are_so_without_a_claim_for_the_whole_food() -> None:
    seen = known(label("Ingredients: gluten-free oats, salt."))
    assert seen.of(Substance.GLUTEN) is LISTED_NOT
    assert in_text("Ingredients: oats, gluten-free starch.", Substance.GLUTEN, regime=FDA) is DOUBT


def test_what_is_absent_tells_by_which_duty_of_the_maker() -> None:
    plain = label("Ingredients: water, salt.")
    declared = "the law would have it declared, and it is not"
    listed = "not in the whole list, which has no open words"
    for food, told in ((MEAL, declared), (recipe(made_of=MadeOf.MEAT), listed)):
        (evidence,) = known(plain, food=food).evidence[Substance.MILK]
        assert (evidence.words, evidence.presence) == (told, ABSENT)


def test_ticked_oats_are_as_good_as_printed_ones() -> None:
    oats = frozenset({Substance.OATS})
    assert presence(Substance.GLUTEN, LabelReading(contains=oats, regime=EU)) is CONTAINED
    assert presence(Substance.GLUTEN, LabelReading(contains=oats, regime=FDA)) is DOUBT
    claimed = LabelReading(
        contains=oats, regime=FDA, claims=frozenset({Claim.GLUTEN_FREE}), is_whole=True
    )
    assert presence(Substance.GLUTEN, claimed) is UNKNOWN


BEFORE_2025 = date(2024, 12, 1)


@pytest.mark.parametrize(
    ("text", "regime", "packed_on", "expected"),
    [
        ("Ingredients: sugar. Contains: tree nuts.", FDA, BEFORE_2025, DOUBT),
        ("Ingredients: sugar. Contains: tree nuts.", FDA, None, DOUBT),
        ("Ingredients: sugar. Contains: tree nuts.", FDA, date(2025, 2, 1), LISTED_NOT),
        ("Ingredients: sugar. Contains: tree nuts.", EU, BEFORE_2025, LISTED_NOT),
        ("Ingredients: sugar. May contain tree nuts.", FDA, BEFORE_2025, DOUBT),
        ("Ingredients: almonds. Contains: tree nuts.", FDA, BEFORE_2025, LISTED_NOT),
        ("Ingredients: almonds. May contain tree nuts.", FDA, BEFORE_2025, DOUBT),
        ("Ingredients: nuts. May contain almonds.", FDA, BEFORE_2025, DOUBT),
        ("Ingredients: sugar. Contains: tree nuts (coconut).", FDA, BEFORE_2025, CONTAINED),
        ("Ingredients: coconut. Contains: tree nuts.", FDA, BEFORE_2025, CONTAINED),
        ("Ingredients: sugar.", FDA, BEFORE_2025, LISTED_NOT),
    ],
)
def test_tree_nuts_alone_may_stand_for_coconut_on_a_us_label_from_before_2025(
    text: str, regime: Regime, packed_on: date | None, expected: Presence
) -> None:
    assert in_text(text, Substance.COCONUT, regime=regime, packed_on=packed_on) is expected


def test_a_group_of_nuts_is_a_tree_nut_whatever_else_it_may_stand_for() -> None:
    text = "Ingredients: sugar. Contains: tree nuts."
    assert in_text(text, Substance.TREE_NUT, regime=FDA, packed_on=None) is CONTAINED
    coconut = "Ingredients: sugar. Contains: tree nuts (coconut)."
    assert in_text(coconut, Substance.TREE_NUT, regime=FDA, packed_on=None) is ABSENT


def test_ticked_tree_nuts_may_stand_for_coconut_unless_the_text_names_the_nut() -> None:
    nuts = frozenset({Substance.TREE_NUT})
    old = LabelReading(contains=nuts, regime=FDA)
    warned = LabelReading(may_contain=nuts, regime=FDA)
    for reading in (old, warned):
        assert presence(Substance.COCONUT, reading) is DOUBT
    named = replace(old, text="Ingredients: almonds.")
    assert presence(Substance.COCONUT, named) is UNKNOWN
    beside = replace(warned, text="Ingredients: almonds.")
    assert presence(Substance.COCONUT, beside) is DOUBT
    assert presence(Substance.COCONUT, LabelReading(contains=nuts, regime=EU)) is UNKNOWN
    assert presence(Substance.COCONUT, LabelReading(regime=FDA)) is UNKNOWN


# When it was packed.


def test_us_sesame_is_absent_only_on_what_is_known_to_be_packed_since_2023() -> None:
    text = "Ingredients: rice, salt."
    by_day = {
        None: LISTED_NOT,
        date(2022, 12, 31): LISTED_NOT,
        date(2023, 1, 1): ABSENT,
    }
    for packed_on, expected in by_day.items():
        assert in_text(text, Substance.SESAME, regime=FDA, packed_on=packed_on) is expected
    old = replace(ticked(regime=FDA), packed_on=None)
    assert presence(Substance.SESAME, old) is UNKNOWN
    assert presence(Substance.SESAME, ticked(regime=FDA)) is ABSENT


def test_the_earlier_of_the_labels_and_the_lots_day_of_packing_counts() -> None:
    def sesame(read_on: date | None, lot_on: date | None) -> Presence:
        reading = label("Ingredients: rice.", packed_on=read_on)
        return known_of(MEAL, readings=[reading], packed_since_on=lot_on).of(Substance.SESAME)

    late_on, early_on = date(2024, 1, 1), date(2020, 1, 1)
    assert sesame(late_on, None) is ABSENT
    assert sesame(None, late_on) is ABSENT
    assert sesame(late_on, early_on) is LISTED_NOT
    assert sesame(early_on, late_on) is LISTED_NOT
    assert sesame(None, None) is LISTED_NOT
