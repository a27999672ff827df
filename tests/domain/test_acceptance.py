"""By which rule a partner does not take a lot, and by which day it has to go."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.acceptance import (
    Limits,
    Refusal,
    last_day_to_go,
    limits,
    never_goes,
    refusal,
    rule_for,
)
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PartnerId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.partners import AcceptanceRule, Partner

TODAY: Final = date(2026, 12, 1)
FISH: Final = Food(
    id=FoodId("fish"),
    name="Fish",
    group=FoodGroup.FISH,
    energy_kcal_100g=150,
    protein_g_100g=20,
    net_mass_g=200,
    shelf_life_months=12,
)
WATER: Final = Food(
    id=FoodId("water"),
    name="Water",
    group=FoodGroup.WATER,
    energy_kcal_100g=0,
    protein_g_100g=0,
    net_mass_g=5_000,
    shelf_life_months=6,
)
TIN: Final = Lot(
    id=LotId("tin"),
    food=FISH.id,
    place=PlaceId("hall"),
    units=4,
    label_kind=LabelKind.BEST_BY,
    printed="2026-12-31",
)
KITCHEN: Final = Partner(id=PartnerId("kitchen"), name="A kitchen")


def with_rules(*rules: AcceptanceRule) -> Partner:
    return replace(KITCHEN, rules=rules)


def why_not(partner: Partner, lot: Lot = TIN, *, food: Food = FISH) -> Refusal | None:
    return refusal(partner, lot, food=food, on=TODAY)


def test_a_sound_tin_with_a_date_ahead_goes_where_no_rule_is_stated() -> None:
    assert why_not(KITCHEN) is None


@pytest.mark.parametrize(
    ("lot", "why"),
    [
        (replace(TIN, owner=HouseholdId("home"), is_shared=False), Refusal.NOT_SHARED),
        (replace(TIN, condition=Condition.DAMAGED), Refusal.NOT_SOUND),
        (replace(TIN, condition=Condition.QUARANTINED), Refusal.NOT_SOUND),
        (replace(TIN, opened_on=TODAY), Refusal.OPENED_HERE),
        (replace(TIN, repacked_on=TODAY), Refusal.REPACKED_HERE),
        (replace(TIN, label_kind=LabelKind.UNLABELLED, printed=None), Refusal.NOT_DATED),
    ],
)
def test_what_may_go_to_nobody_is_refused_before_any_rule_of_a_partner(
    lot: Lot, why: Refusal
) -> None:
    takes_none = with_rules(AcceptanceRule(takes=False))
    assert never_goes(lot, FISH) is why
    assert why_not(takes_none, lot) is why


def test_what_an_owner_shares_goes_as_the_stores_own_does() -> None:
    assert why_not(KITCHEN, replace(TIN, owner=HouseholdId("home"))) is None


def test_water_filled_here_goes_to_nobody_and_bottled_water_does() -> None:
    bottled = replace(TIN, food=WATER.id)
    filled = replace(bottled, label_kind=LabelKind.PACKED_ON, printed="2026-11-01")
    assert why_not(KITCHEN, filled, food=WATER) is Refusal.FILLED_HERE
    assert why_not(KITCHEN, bottled, food=WATER) is None


def test_a_day_of_packing_without_a_known_shelf_life_is_no_date() -> None:
    packed = replace(TIN, label_kind=LabelKind.PACKED_ON, printed="2026-11-01")
    assert why_not(KITCHEN, packed) is None
    unknown = replace(FISH, shelf_life_months=None)
    assert why_not(KITCHEN, packed, food=unknown) is Refusal.NOT_DATED


def test_a_group_has_its_own_rule_and_others_that_for_all() -> None:
    for_fish = AcceptanceRule(group=FoodGroup.FISH, takes=False)
    for_all = AcceptanceRule(least_days_left=31)
    partner = with_rules(for_all, for_fish)
    assert why_not(partner) is Refusal.GROUP_NOT_TAKEN
    assert rule_for(partner, FoodGroup.FISH) == for_fish
    assert rule_for(partner, FoodGroup.FRUIT) == for_all
    assert rule_for(KITCHEN, FoodGroup.FRUIT) is None


def test_days_left_are_counted_to_the_printed_date_with_that_day_itself() -> None:
    """From the first to the thirty-first of December are thirty days."""
    assert why_not(with_rules(AcceptanceRule(least_days_left=30))) is None
    too_few = with_rules(AcceptanceRule(least_days_left=31))
    assert why_not(too_few) is Refusal.TOO_FEW_DAYS_LEFT
    assert last_day_to_go(too_few, TIN, food=FISH) == date(2026, 11, 30)


def test_days_past_a_date_count_for_best_by_and_sell_by_alone() -> None:
    partner = with_rules(AcceptanceRule(least_days_left=-60))
    late = date(2026, 10, 2)
    for kind, last in (
        (LabelKind.BEST_BY, date(2026, 12, 1)),
        (LabelKind.SELL_BY, date(2026, 12, 1)),
        (LabelKind.USE_BY, late),
    ):
        lot = replace(TIN, label_kind=kind, printed=f"{late}")
        assert last_day_to_go(partner, lot, food=FISH) == last
    past = replace(TIN, label_kind=LabelKind.USE_BY, printed=f"{late}")
    assert why_not(partner, past) is Refusal.PAST_SAFETY_DATE
    packed = replace(TIN, label_kind=LabelKind.PACKED_ON, printed="2025-11-30")
    assert why_not(partner, packed) is Refusal.TOO_FEW_DAYS_LEFT


def test_a_rule_that_asks_more_of_formula_than_is_customary_holds() -> None:
    formula = replace(FISH, group=FoodGroup.INFANT_FORMULA)
    lot = replace(TIN, printed="2027-01-31")
    assert why_not(KITCHEN, lot, food=formula) is None
    more = with_rules(AcceptanceRule(least_days_left=90))
    assert why_not(more, lot, food=formula) is Refusal.TOO_FEW_DAYS_LEFT
    fewer = with_rules(AcceptanceRule(group=FoodGroup.INFANT_FORMULA, least_days_left=10))
    near = replace(TIN, printed="2026-12-11")
    assert why_not(fewer, near, food=formula) is None
    assert why_not(KITCHEN, near, food=formula) is Refusal.TOO_FEW_DAYS_LEFT


def test_who_asks_for_a_read_label_is_given_what_was_read_whole() -> None:
    asks = replace(KITCHEN, asks_read_label=True)
    assert why_not(asks) is Refusal.LABEL_NOT_READ
    partly = replace(TIN, readings=(LabelReading(text="fish, salt"),))
    assert why_not(asks, partly) is Refusal.LABEL_NOT_READ
    whole = replace(TIN, readings=(LabelReading(text="fish, salt", is_whole=True),))
    assert why_not(asks, whole) is None


def test_the_most_of_a_visit_is_by_the_rule_that_is_for_the_group() -> None:
    partner = with_rules(
        AcceptanceRule(group=FoodGroup.FISH, most_kg_per_visit=2.5, most_units_per_visit=9),
        AcceptanceRule(most_units_per_visit=40),
    )
    assert limits(partner, FoodGroup.FISH) == Limits(most_kg=2.5, most_units=9)
    assert limits(partner, FoodGroup.FRUIT) == Limits(most_units=40)
    assert limits(KITCHEN, FoodGroup.FISH) == Limits()


@settings(max_examples=200, deadline=None)
@given(
    kind=st.sampled_from([LabelKind.USE_BY, LabelKind.BEST_BY, LabelKind.SELL_BY]),
    group=st.sampled_from(FoodGroup),
    asked=st.none() | st.integers(-400, 400),
    is_for_all=st.booleans(),
    ahead=st.integers(-500, 500),
)
def test_a_lot_goes_until_the_last_day_that_is_said_and_on_no_day_after(
    kind: LabelKind, group: FoodGroup, asked: int | None, is_for_all: bool, ahead: int
) -> None:
    rules: tuple[AcceptanceRule, ...] = ()
    if asked is not None:
        rules = (AcceptanceRule(group=None if is_for_all else group, least_days_left=asked),)
    partner, food = with_rules(*rules), replace(FISH, group=group)
    lot = replace(TIN, label_kind=kind, printed=f"{TODAY + timedelta(days=ahead)}")
    last = last_day_to_go(partner, lot, food=food)
    assert last is not None
    goes = refusal(partner, lot, food=food, on=TODAY) is None
    assert goes == (last >= TODAY)
    if goes and (kind is LabelKind.USE_BY or food.is_for_infants):
        assert ahead >= 0
