"""The labels of the invented neighbourhood say what its foods hold, as whole labels do."""

from datetime import date

import pytest

from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.known import disagreeing
from daysworth.domain.label_reader import read_text
from daysworth.domain.labels import Regime, Said
from daysworth.domain.offers import offer_of
from daysworth.domain.restrictions import Substance, with_implied
from daysworth.domain.snapshot import Snapshot
from daysworth.reference.rows import read_table


@pytest.fixture(scope="module")
def snapshot() -> Snapshot:
    return neighbourhood(date(2025, 3, 14))


def test_a_label_that_was_read_was_copied_whole_under_the_law_of_its_food(
    snapshot: Snapshot,
) -> None:
    foods = {food.id: food for food in snapshot.foods}
    read = [lot for lot in snapshot.lots if lot.readings]
    assert 40 <= len(read) <= len(snapshot.lots) // 4
    for lot in read:
        is_meat = Substance.MEAT in foods[lot.food].facts.contains
        for said in lot.readings:
            assert said.is_whole
            assert said.text.startswith("Ingredients: ")
            assert said.regime is (Regime.US_MEAT if is_meat else Regime.US_FDA)


def test_every_label_is_of_a_lot_that_is_there(snapshot: Snapshot) -> None:
    rows = read_table("labels.csv", lambda cells: cells["lot"], package="daysworth.demo")
    assert set(rows) == {lot.id for lot in snapshot.lots if lot.readings}


def test_what_a_label_says_is_what_its_food_is_made_of(snapshot: Snapshot) -> None:
    foods = {food.id: food for food in snapshot.foods}
    for lot in snapshot.lots:
        recipe = with_implied(foods[lot.food].facts.contains)
        for said in lot.readings:
            text = read_text(said.text, language=said.language)
            assert text.faults == frozenset()
            fired = {
                substance
                for hit in text.hits
                if hit.said in (Said.INGREDIENTS, Said.CONTAINS_STATEMENT)
                for substance in hit.fires
            }
            assert recipe <= with_implied(frozenset(fired)), lot.id


def test_one_lots_readings_disagree_and_some_labels_say_when_they_were_packed(
    snapshot: Snapshot,
) -> None:
    foods = {food.id: food for food in snapshot.foods}
    (twice,) = (lot for lot in snapshot.lots if len(lot.readings) > 1)
    offer = offer_of(twice, foods[twice.food])
    assert disagreeing(
        offer.food, readings=offer.readings, packed_since_on=offer.packed_since_on
    ) == {Substance.PEANUT}
    packed = [said.packed_on for lot in snapshot.lots for said in lot.readings if said.packed_on]
    assert 3 <= len(packed) <= 20
    assert max(packed) < snapshot.taken_on


def test_a_child_is_allergic_to_what_no_list_has(snapshot: Snapshot) -> None:
    own = [
        rule
        for home in snapshot.households
        for one in home.members
        for rule in one.restrictions
        if rule.words
    ]
    assert [(rule.words, rule.binds_home) for rule in own] == [("kiwi", False)]
