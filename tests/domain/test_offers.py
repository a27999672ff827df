"""Two lots that offer the same are one offer, whatever else tells them apart."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.domain.identifiers import LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Lot
from daysworth.domain.offers import Offer, offer_of
from tests.domain.offers import MEAL, PLAIN, label

LOT = Lot(id=LotId("one"), food=MEAL.id, place=PlaceId("hall"), units=4, readings=(PLAIN,))


def read_again(reading: LabelReading) -> LabelReading:
    """Make a reading that says the same and is another object."""
    again = replace(reading, text=reading.text)
    assert again is not reading
    return again


def test_lots_with_the_same_food_and_label_give_one_and_the_same_offer() -> None:
    other = replace(LOT, id=LotId("two"), units=9, readings=(read_again(PLAIN),))
    assert offer_of(LOT, MEAL) is offer_of(other, replace(MEAL, name=MEAL.name))


def test_an_offer_is_found_by_what_it_is_made_of() -> None:
    made = Offer(MEAL, (read_again(PLAIN),))
    assert made == offer_of(LOT, MEAL)
    assert hash(made) == hash(offer_of(LOT, MEAL))
    assert {made: "found"}[offer_of(LOT, MEAL)] == "found"


@pytest.mark.parametrize(
    "other",
    [
        replace(LOT, readings=()),
        replace(LOT, readings=(label("Ingredients: rice, water, salt, milk."),)),
        replace(LOT, readings=(PLAIN, PLAIN)),
        replace(LOT, opened_on=date(2026, 5, 1)),
        replace(LOT, repacked_on=date(2026, 5, 1)),
        replace(LOT, label_kind=LabelKind.PACKED_ON, printed="2026-05-01"),
    ],
)
def test_what_may_change_whom_a_lot_suits_makes_another_offer(other: Lot) -> None:
    assert offer_of(other, MEAL) != offer_of(LOT, MEAL)


def test_a_food_that_is_made_otherwise_makes_another_offer() -> None:
    assert offer_of(LOT, replace(MEAL, sodium_mg_100g=40)) != offer_of(LOT, MEAL)
