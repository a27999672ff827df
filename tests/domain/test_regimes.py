"""A law makes silence mean something for what it names, from the day on which it does."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.domain.foods import Food, FoodGroup, MadeOf
from daysworth.domain.identifiers import LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import Regime
from daysworth.domain.lots import Lot
from daysworth.domain.offers import offer_of
from daysworth.domain.regimes import (
    COCONUT_COUNTED_AS_NUT_UNTIL_DAY,
    Duty,
    duty,
    lists_every_ingredient,
    may_mean_coconut,
    named_by_a_law,
    packed_since_day,
    regimes_of,
)
from daysworth.domain.restrictions import Substance
from tests.domain.offers import MEAL, PACKED_ON, recipe

FDA, MEAT, EU, OTHER = Regime.US_FDA, Regime.US_MEAT, Regime.EU, Regime.OTHER


def lot(*, units: int = 1, **more: object) -> Lot:
    """Make a lot of a meal, with a use-by date unless told otherwise."""
    facts: dict[str, object] = {"label_kind": LabelKind.USE_BY, "printed": "2090", **more}
    return Lot(
        id=LotId("l"),
        food=MEAL.id,
        place=PlaceId("hall"),
        units=units,
        **facts,  # type: ignore[arg-type]
    )


def under(
    substance: Substance, *regimes: Regime, packed_on: date | None = PACKED_ON
) -> Duty | None:
    return duty(substance, regimes=set(regimes), packed_on=packed_on)


def test_no_law_at_all_and_a_law_that_is_not_known_oblige_to_nothing() -> None:
    for substance in Substance:
        assert under(substance) is None
        assert under(substance, OTHER) is None
        assert under(substance, OTHER, EU) is None


def test_two_laws_oblige_only_to_what_both_do() -> None:
    assert under(Substance.CELERY, EU) is Duty.DECLARED
    assert under(Substance.CELERY, EU, FDA) is None
    assert under(Substance.MILK, EU, FDA) is Duty.DECLARED
    assert under(Substance.MILK, MEAT) is Duty.BY_LIST
    assert under(Substance.MILK, MEAT, FDA) is Duty.BY_LIST


@pytest.mark.parametrize(
    ("regime", "substance", "first_day"),
    [
        (FDA, Substance.MILK, date(2006, 1, 1)),
        (FDA, Substance.SESAME, date(2023, 1, 1)),
        (EU, Substance.SESAME, date(2014, 12, 13)),
        (MEAT, Substance.SESAME, date(1990, 1, 1)),
    ],
)
def test_a_law_counts_from_its_day_on(
    regime: Regime, substance: Substance, first_day: date
) -> None:
    assert under(substance, regime, packed_on=first_day) is not None
    assert under(substance, regime, packed_on=date.fromordinal(first_day.toordinal() - 1)) is None


def test_of_what_was_packed_nobody_knows_when_only_us_sesame_is_left_open() -> None:
    for substance in named_by_a_law():
        for regime in (FDA, EU, MEAT):
            known, unknown = (under(substance, regime, packed_on=day) for day in (PACKED_ON, None))
            is_open = (regime, substance) == (FDA, Substance.SESAME)
            assert unknown is (None if is_open else known)


def test_what_some_law_names_is_the_fourteen_with_gluten_wheat_and_oats_apart() -> None:
    assert named_by_a_law() == {
        *(Substance.GLUTEN, Substance.WHEAT, Substance.OATS, Substance.CRUSTACEAN, Substance.EGG),
        *(Substance.FISH, Substance.PEANUT, Substance.SOY, Substance.MILK, Substance.TREE_NUT),
        *(Substance.CELERY, Substance.MUSTARD, Substance.SESAME, Substance.SULPHITE),
        *(Substance.LUPIN, Substance.MOLLUSC),
    }


# Which laws a label is held to.


def test_the_law_is_the_one_the_reader_named_and_the_foods_own() -> None:
    assert regimes_of(MEAL, named=None) == {OTHER}
    assert regimes_of(MEAL, named=EU) == {EU}
    assert regimes_of(replace(MEAL, regime=EU), named=None) == {EU}
    assert regimes_of(replace(MEAL, regime=FDA), named=EU) == {FDA, EU}
    assert regimes_of(replace(MEAL, regime=FDA), named=OTHER) == {FDA, OTHER}


@pytest.mark.parametrize(
    "food",
    [
        replace(MEAL, group=FoodGroup.MEAT_AND_POULTRY),
        recipe(made_of=MadeOf.MEAT),
        recipe(made_of=MadeOf.EGG),
        recipe(Substance.MEAT),
    ],
    ids=["by its shelf", "made of meat", "made of egg", "with meat in it"],
)
def test_meat_poultry_and_egg_in_the_us_are_held_to_the_law_on_meat_too(food: Food) -> None:
    assert regimes_of(food, named=FDA) == {FDA, MEAT}
    assert regimes_of(replace(food, regime=FDA), named=None) == {FDA, MEAT}
    assert regimes_of(food, named=EU) == {EU}
    assert regimes_of(food, named=None) == {OTHER}


def test_other_foods_are_not_held_to_the_law_on_meat() -> None:
    for made_of in frozenset(MadeOf) - {MadeOf.MEAT, MadeOf.EGG}:
        assert regimes_of(recipe(made_of=made_of), named=FDA) == {FDA}
    assert regimes_of(recipe(Substance.FISH), named=FDA) == {FDA}


def test_a_list_is_known_to_be_complete_under_laws_that_are_all_known() -> None:
    assert lists_every_ingredient({FDA})
    assert lists_every_ingredient({FDA, MEAT})
    assert not lists_every_ingredient({OTHER})
    assert not lists_every_ingredient({FDA, OTHER})
    assert not lists_every_ingredient(set())


# Days.


def test_of_a_day_of_packing_only_the_last_change_of_a_law_is_kept() -> None:
    assert packed_since_day(date(2026, 3, 3)) == COCONUT_COUNTED_AS_NUT_UNTIL_DAY
    assert packed_since_day(date(2025, 1, 5)) == date(2023, 1, 1)
    assert packed_since_day(date(2023, 1, 1)) == date(2023, 1, 1)
    assert packed_since_day(date(2022, 12, 31)) == date(2014, 12, 13)
    assert packed_since_day(date(1980, 1, 1)) == date.min


def test_tree_nuts_may_mean_coconut_on_us_labels_from_before_2025() -> None:
    changed_on = COCONUT_COUNTED_AS_NUT_UNTIL_DAY
    before_on = date(2025, 1, 5)
    for regime in (FDA, MEAT, OTHER):
        assert may_mean_coconut(regimes={regime}, packed_on=None)
        assert may_mean_coconut(regimes={regime}, packed_on=before_on)
        assert not may_mean_coconut(regimes={regime}, packed_on=changed_on)
    assert not may_mean_coconut(regimes={EU}, packed_on=None)
    assert may_mean_coconut(regimes={EU, FDA}, packed_on=None)


def test_a_lot_tells_when_it_was_packed_only_by_a_date_of_packing() -> None:
    day = "2024-06-30"
    packed = offer_of(lot(label_kind=LabelKind.PACKED_ON, printed=day), MEAL)
    best_by = offer_of(lot(label_kind=LabelKind.BEST_BY, printed=day), MEAL)
    undated = offer_of(lot(label_kind=LabelKind.UNLABELLED, printed=None), MEAL)
    assert packed.packed_since_on == date(2023, 1, 1)
    assert (best_by.packed_since_on, undated.packed_since_on) == (None, None)


def test_a_month_or_a_year_of_packing_counts_from_its_first_day() -> None:
    for printed, since_on in (("2023", date(2023, 1, 1)), ("2022-12", date(2014, 12, 13))):
        packed = offer_of(lot(label_kind=LabelKind.PACKED_ON, printed=printed), MEAL)
        assert packed.packed_since_on == since_on


def test_lots_of_one_food_with_the_same_label_make_equal_offers() -> None:
    assert offer_of(lot(), MEAL) == offer_of(lot(units=7), MEAL)
    opened = lot(opened_on=PACKED_ON)
    assert offer_of(opened, MEAL) != offer_of(lot(), MEAL)
    assert offer_of(opened, MEAL).is_handled_here
