"""A lot may be eaten to the day its label and its handling support, and not a day longer."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from daysworth.domain.errors import DateRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind, earliest_kept_day, printed_day
from daysworth.domain.lots import Condition, Lot

DAY = date(2026, 6, 15)
PRINTED = "2026-06-15"
DATED_KINDS = [kind for kind in LabelKind if kind is not LabelKind.UNLABELLED]
QUALITY_KINDS = [LabelKind.BEST_BY, LabelKind.SELL_BY]
INFANT_GROUPS = [FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD]
GRACE_FOR_ALL = dict.fromkeys(FoodGroup, 90)

BEANS = Food(
    id=FoodId("beans"),
    name="Beans",
    group=FoodGroup.BEANS_AND_LENTILS,
    energy_kcal_100g=100,
    protein_g_100g=6,
    net_mass_g=400,
    shelf_life_months=6,
    keeps_opened_days=3,
    keeps_repacked_days=30,
)
SEALED = Lot(
    id=LotId("one"),
    food=BEANS.id,
    place=PlaceId("hall"),
    units=1,
    label_kind=LabelKind.BEST_BY,
    printed=PRINTED,
)


def labelled(kind: LabelKind, printed: str | None = PRINTED) -> Lot:
    return replace(SEALED, label_kind=kind, printed=printed)


def last_good_day(
    lot: Lot, food: Food = BEANS, *, grace_days: dict[FoodGroup, int] | None = None
) -> date | None:
    return lot.last_good_day(food, grace_days=grace_days or {})


@pytest.mark.parametrize("group", FoodGroup)
def test_a_use_by_date_is_never_extended(group: FoodGroup) -> None:
    lot = labelled(LabelKind.USE_BY)
    assert last_good_day(lot, replace(BEANS, group=group), grace_days=GRACE_FOR_ALL) == DAY


@pytest.mark.parametrize("kind", QUALITY_KINDS)
def test_a_quality_date_gets_the_grace_of_its_own_group_only(kind: LabelKind) -> None:
    grace = {FoodGroup.BEANS_AND_LENTILS: 30, FoodGroup.FRUIT: 60}
    assert last_good_day(labelled(kind), grace_days=grace) == date(2026, 7, 15)
    fruit = replace(BEANS, group=FoodGroup.FRUIT)
    assert last_good_day(labelled(kind), fruit, grace_days=grace) == date(2026, 8, 14)
    fish = replace(BEANS, group=FoodGroup.FISH)
    assert last_good_day(labelled(kind), fish, grace_days=grace) == DAY


@pytest.mark.parametrize("kind", DATED_KINDS)
@pytest.mark.parametrize("group", INFANT_GROUPS)
def test_formula_and_baby_food_get_no_grace_whatever_the_store_sets(
    kind: LabelKind, group: FoodGroup
) -> None:
    food = replace(BEANS, group=group, shelf_life_months=0)
    assert last_good_day(labelled(kind), food, grace_days=GRACE_FOR_ALL) == DAY


@pytest.mark.parametrize("kind", QUALITY_KINDS)
def test_what_was_opened_or_repacked_here_gets_no_grace(kind: LabelKind) -> None:
    food = replace(BEANS, keeps_opened_days=3650, keeps_repacked_days=3650)
    for handled in (
        replace(labelled(kind), opened_on=date(2026, 1, 1)),
        replace(labelled(kind), repacked_on=date(2026, 1, 1)),
    ):
        assert last_good_day(handled, food, grace_days=GRACE_FOR_ALL) == DAY


def test_the_packing_date_gets_the_shelf_life_and_no_grace() -> None:
    lot = labelled(LabelKind.PACKED_ON)
    assert last_good_day(lot, grace_days=GRACE_FOR_ALL) == date(2026, 12, 15)


@pytest.mark.parametrize(
    ("packed", "months", "day"),
    [
        ("2026-08-31", 6, date(2027, 2, 28)),
        ("2027-08-31", 6, date(2028, 2, 29)),
        ("2026-08-29", 6, date(2027, 2, 28)),
        ("2026-03-31", 1, date(2026, 4, 30)),
        ("2028-02-29", 12, date(2029, 2, 28)),
        ("2028-02-29", 48, date(2032, 2, 29)),
        ("2026-02-28", 6, date(2026, 8, 28)),
        ("2026-08", 6, date(2027, 2, 28)),
        ("2026", 12, date(2027, 12, 31)),
        ("2026-06-15", 0, DAY),
    ],
)
def test_shelf_life_is_counted_by_the_calendar_and_clipped_to_the_months_end(
    packed: str, months: int, day: date
) -> None:
    food = replace(BEANS, shelf_life_months=months)
    assert last_good_day(labelled(LabelKind.PACKED_ON, packed), food) == day


def test_a_packing_date_without_a_known_shelf_life_leaves_the_lot_undated() -> None:
    food = replace(BEANS, shelf_life_months=None)
    assert last_good_day(labelled(LabelKind.PACKED_ON), food) is None


def test_a_printed_date_needs_no_shelf_life() -> None:
    food = replace(BEANS, shelf_life_months=None, keeps_opened_days=None, keeps_repacked_days=None)
    for kind in (LabelKind.USE_BY, LabelKind.BEST_BY, LabelKind.SELL_BY):
        assert last_good_day(labelled(kind), food) == DAY


@pytest.mark.parametrize("kind", [LabelKind.USE_BY, LabelKind.BEST_BY, LabelKind.SELL_BY])
@pytest.mark.parametrize(
    ("printed", "day"),
    [
        ("2026-06-15", DAY),
        ("2026-06", date(2026, 6, 30)),
        ("2028-02", date(2028, 2, 29)),
        ("2027-02", date(2027, 2, 28)),
        ("2026", date(2026, 12, 31)),
    ],
)
def test_a_month_is_good_to_its_last_day_and_a_year_to_the_31st_of_december(
    kind: LabelKind, printed: str, day: date
) -> None:
    assert last_good_day(labelled(kind, printed)) == day


def test_grace_is_counted_from_the_end_of_a_printed_month() -> None:
    lot = labelled(LabelKind.BEST_BY, "2026-06")
    grace = {FoodGroup.BEANS_AND_LENTILS: 10}
    assert last_good_day(lot, grace_days=grace) == date(2026, 7, 10)


def test_a_lot_without_a_label_is_undated_however_it_was_handled() -> None:
    unlabelled = labelled(LabelKind.UNLABELLED, None)
    assert last_good_day(unlabelled, grace_days=GRACE_FOR_ALL) is None
    assert last_good_day(replace(unlabelled, opened_on=DAY)) is None
    assert last_good_day(replace(unlabelled, repacked_on=DAY)) is None


@pytest.mark.parametrize(
    ("opened_on", "day"),
    [
        (date(2026, 6, 1), date(2026, 6, 4)),
        (date(2026, 6, 12), DAY),
        (date(2026, 6, 14), DAY),
        (date(2026, 6, 20), DAY),
    ],
)
def test_an_opened_pack_keeps_to_the_earlier_of_its_label_and_its_days_open(
    opened_on: date, day: date
) -> None:
    assert last_good_day(replace(SEALED, opened_on=opened_on)) == day


@pytest.mark.parametrize(
    ("repacked_on", "day"),
    [(date(2026, 5, 1), date(2026, 5, 31)), (date(2026, 5, 16), DAY), (date(2026, 6, 1), DAY)],
)
def test_a_repacked_bag_keeps_to_the_earlier_of_its_source_and_its_days_in_the_bag(
    repacked_on: date, day: date
) -> None:
    assert last_good_day(replace(SEALED, repacked_on=repacked_on)) == day


def test_what_does_not_keep_opened_is_good_on_the_day_it_was_opened_and_no_longer() -> None:
    food = replace(BEANS, keeps_opened_days=0)
    opened_on = date(2026, 6, 1)
    assert last_good_day(replace(SEALED, opened_on=opened_on), food) == opened_on


def test_opened_and_repacked_keeps_to_the_earliest_of_all_three() -> None:
    handled = replace(SEALED, opened_on=date(2026, 5, 1), repacked_on=date(2026, 4, 1))
    by_bag = replace(BEANS, keeps_opened_days=300)
    by_opening = replace(BEANS, keeps_repacked_days=300)
    assert last_good_day(handled, by_bag) == date(2026, 5, 1)
    assert last_good_day(handled, by_opening) == date(2026, 5, 4)
    by_label = replace(by_bag, keeps_repacked_days=300)
    assert last_good_day(handled, by_label) == DAY


def test_unknown_keeping_leaves_an_opened_or_repacked_lot_undated() -> None:
    no_opened, no_repacked = (
        replace(BEANS, keeps_opened_days=None),
        replace(BEANS, keeps_repacked_days=None),
    )
    assert last_good_day(replace(SEALED, opened_on=DAY), no_opened) is None
    assert last_good_day(replace(SEALED, repacked_on=DAY), no_repacked) is None
    both = replace(SEALED, opened_on=DAY, repacked_on=DAY)
    assert last_good_day(both, no_opened) is None
    assert last_good_day(both, no_repacked) is None


def test_unknown_keeping_does_not_touch_a_lot_that_is_still_sealed() -> None:
    food = replace(BEANS, keeps_opened_days=None, keeps_repacked_days=None)
    assert last_good_day(SEALED, food) == DAY


def test_a_use_by_date_still_binds_what_was_opened() -> None:
    food = replace(BEANS, keeps_opened_days=365)
    lot = replace(labelled(LabelKind.USE_BY), opened_on=date(2026, 6, 1))
    assert last_good_day(lot, food, grace_days=GRACE_FOR_ALL) == DAY


def test_the_day_kept_is_the_earlier_and_either_unknown_is_unknown() -> None:
    assert earliest_kept_day(DAY, since_on=DAY, keeps_days=5) == DAY
    earlier = DAY - timedelta(days=10)
    assert earliest_kept_day(DAY, since_on=earlier, keeps_days=5) == DAY - timedelta(days=5)
    assert earliest_kept_day(None, since_on=DAY, keeps_days=5) is None
    assert earliest_kept_day(DAY, since_on=DAY, keeps_days=None) is None


@pytest.mark.parametrize("year", [2000, 2099])
def test_the_first_and_the_last_year_of_the_century_can_be_printed(year: int) -> None:
    assert printed_day(str(year)) == date(year, 12, 31)


@pytest.mark.parametrize(
    "printed",
    ["", "soon", "2026-6", "2026-06-1", "2026/06/15", "15-06-2026", " 2026", "2026 ", "2026-06-"],
)
def test_a_date_in_another_form_is_refused_with_the_forms_that_are_read(printed: str) -> None:
    with pytest.raises(DateRefused, match="YYYY-MM-DD, YYYY-MM or YYYY"):
        printed_day(printed)


@pytest.mark.parametrize("printed", ["1999-12-31", "2100", "0026-06-15", "9999-12"])
def test_a_year_of_another_century_is_refused_with_the_years_that_are_read(printed: str) -> None:
    with pytest.raises(DateRefused, match="between 2000 and 2099"):
        printed_day(printed)


@pytest.mark.parametrize(
    "printed", ["2026-02-29", "2026-13", "2026-00", "2026-04-31", "2026-12-00"]
)
def test_a_day_that_does_not_exist_is_refused_by_name(printed: str) -> None:
    with pytest.raises(DateRefused, match="there is no day 2026-"):
        printed_day(printed)


def test_a_label_has_a_kind_and_a_date_or_neither() -> None:
    for kind in DATED_KINDS:
        with pytest.raises(ValueError, match="a kind and a printed date, or neither"):
            labelled(kind, None)
    with pytest.raises(ValueError, match="a kind and a printed date, or neither"):
        labelled(LabelKind.UNLABELLED, PRINTED)


def test_a_lot_with_a_date_that_cannot_be_read_is_never_made() -> None:
    with pytest.raises(DateRefused):
        labelled(LabelKind.USE_BY, "2026-02-30")


def test_more_units_cannot_be_spoken_for_than_there_are() -> None:
    assert replace(SEALED, units=3, units_in_kits=1, units_promised=2).units_to_eat == 1
    for kits, promised in ((0, 2), (2, 0), (1, 1)):
        with pytest.raises(ValueError, match="more units"):
            replace(SEALED, units=1, units_in_kits=kits, units_promised=promised)


def test_units_in_kits_may_be_eaten_and_promised_ones_may_not() -> None:
    assert replace(SEALED, units=10, units_in_kits=4).units_to_eat == 10
    assert replace(SEALED, units=10, units_promised=4).units_to_eat == 6


def test_what_is_not_shared_needs_an_owner() -> None:
    with pytest.raises(ValueError, match="needs an owner"):
        replace(SEALED, is_shared=False)
    assert not replace(SEALED, is_shared=False, owner=HouseholdId("h01")).is_shared


def test_a_lot_is_handled_here_once_it_is_opened_or_repacked() -> None:
    assert not SEALED.is_handled_here
    assert replace(SEALED, opened_on=DAY).is_handled_here
    assert replace(SEALED, repacked_on=DAY).is_handled_here


@pytest.mark.parametrize("condition", Condition)
def test_its_condition_does_not_change_what_a_label_says(condition: Condition) -> None:
    assert last_good_day(replace(SEALED, condition=condition)) == DAY
