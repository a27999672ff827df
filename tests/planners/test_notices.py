"""The notice lists each lot by when it passes its last good day: once, and in one order."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.identifiers import FoodId, LotId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.notices import Notice, plan_notice
from daysworth.planners.rotation import plan_rotation
from daysworth.planners.shelf import DatedLot, Standing
from tests.planners.small_stores import AS_OF, FOODS, small_store

SEEDS: Final = st.integers(min_value=0, max_value=10**6)
BANDS: Final = st.sets(st.integers(1, 60), min_size=1, max_size=6).map(
    lambda days: tuple(sorted(days))
)
many: Final = settings(max_examples=150, deadline=None, derandomize=True, database=None)

Listed = dict[str, list[str]]
"""The ids of lots by the list they are on: "past", or the days of a band."""


def lot(id_: str, *, days: int, food: str = "beans", units: int = 6, **more: object) -> Lot:
    """Make a lot whose last good day is so many days from the as-of date."""
    return Lot(
        id=LotId(id_),
        food=FoodId(food),
        place=PlaceId("hall"),
        units=units,
        label_kind=LabelKind.USE_BY,
        printed=(AS_OF + timedelta(days=days)).isoformat(),
        **more,  # type: ignore[arg-type]
    )


def store(*lots: Lot, bands: tuple[int, ...] = (7, 30, 56)) -> Snapshot:
    return Snapshot(
        store=StoreId("elm-row"),
        store_name="Elm Row",
        taken_on=AS_OF,
        settings=StoreSettings(notice_bands_days=bands),
        foods=FOODS,
        places=(Place(id=PlaceId("hall"), name="Hall"),),
        lots=lots,
    )


def listed(notice: Notice) -> Listed:
    bands = {str(band.within_days): ids(band.lots) for band in notice.bands}
    return {"past": ids(notice.past)} | bands


def ids(items: tuple[DatedLot, ...]) -> list[str]:
    return [item.lot.id for item in items]


def where(days: int, **more: object) -> list[str]:
    """Name the lists that a lot is on whose last good day is so many days ahead."""
    found = listed(plan_notice(store(lot("one", days=days, **more)), AS_OF))  # type: ignore[arg-type]
    return [name for name, lots in found.items() if lots]


@pytest.mark.parametrize(
    ("days", "lists"),
    [
        (-400, ["past"]),
        (-1, ["past"]),
        (0, ["7"]),
        (1, ["7"]),
        (7, ["7"]),
        (8, ["30"]),
        (30, ["30"]),
        (31, ["56"]),
        (56, ["56"]),
        (57, []),
        (400, []),
    ],
)
def test_a_lot_is_in_the_first_band_that_reaches_its_last_good_day(
    days: int, lists: list[str]
) -> None:
    assert where(days) == lists


def test_a_lot_good_until_the_date_asked_about_is_past_on_the_day_after() -> None:
    one = store(lot("one", days=0))
    assert listed(plan_notice(one, AS_OF))["7"] == ["one"]
    assert listed(plan_notice(one, AS_OF + timedelta(days=1)))["past"] == ["one"]


def test_the_bands_are_the_stores_own() -> None:
    lots = [lot(f"in-{days}", days=days) for days in (0, 1, 2, 3, 4, 100, 101)]
    assert listed(plan_notice(store(*lots, bands=(1, 3, 100)), AS_OF)) == {
        "past": [],
        "1": ["in-0", "in-1"],
        "3": ["in-2", "in-3"],
        "100": ["in-4", "in-100"],
    }
    assert listed(plan_notice(store(*lots, bands=(2,)), AS_OF)) == {
        "past": [],
        "2": ["in-0", "in-1", "in-2"],
    }


def test_a_lists_order_is_by_day_then_by_the_foods_name_then_by_id() -> None:
    lots = (
        lot("d", days=3),
        lot("b", days=2, food="rice"),
        lot("c", days=2),
        lot("a", days=2, food="rice"),
        lot("past-b", days=-1),
        lot("past-a", days=-1),
        lot("past-c", days=-9, food="sugar"),
    )
    expected = {
        "past": ["past-c", "past-a", "past-b"],
        "7": ["c", "a", "b", "d"],
        "30": [],
        "56": [],
    }
    assert listed(plan_notice(store(*lots), AS_OF)) == expected
    assert listed(plan_notice(store(*reversed(lots)), AS_OF)) == expected


def test_what_is_promised_in_part_is_in_a_band_and_what_is_promised_whole_is_not() -> None:
    assert where(3, units_promised=5) == ["7"]
    assert where(3, units_promised=6) == []


def test_what_is_past_is_listed_though_it_is_promised_whole() -> None:
    assert where(-3, units_promised=6) == ["past"]


def test_what_is_packed_in_kits_is_listed_as_other_lots_are() -> None:
    assert where(3, units_in_kits=6) == ["7"]
    assert where(-3, units_in_kits=6) == ["past"]


@pytest.mark.parametrize("days", [-3, 3])
def test_a_lot_of_which_nothing_is_left_is_on_no_list(days: int) -> None:
    assert where(days, units=0) == []


@pytest.mark.parametrize("days", [-3, 3])
@pytest.mark.parametrize("condition", [Condition.DAMAGED, Condition.QUARANTINED], ids=str)
def test_a_lot_that_is_damaged_or_quarantined_is_on_no_list(
    days: int, condition: Condition
) -> None:
    assert where(days, condition=condition) == []


def test_a_lot_without_a_date_is_on_no_list() -> None:
    undated = replace(lot("one", days=0), label_kind=LabelKind.UNLABELLED, printed=None)
    assert listed(plan_notice(store(undated), AS_OF)) == {"past": [], "7": [], "30": [], "56": []}


def test_water_is_past_six_months_after_it_was_filled() -> None:
    def filled(id_: str, day: date) -> Lot:
        packed = LabelKind.PACKED_ON
        water = lot(id_, days=0, food="filled_water")
        return replace(water, label_kind=packed, printed=day.isoformat())

    lots = (filled("kept", date(2026, 11, 14)), filled("overdue", date(2026, 11, 13)))
    found = listed(plan_notice(store(*lots), AS_OF))
    assert (found["past"], found["7"]) == (["overdue"], ["kept"])


def test_a_stores_grace_moves_a_lot_to_a_later_band_and_no_use_by_date() -> None:
    best_by = replace(lot("best", days=6), label_kind=LabelKind.BEST_BY)
    graceful = StoreSettings(grace_days={FOODS[0].group: 2})
    snapshot = replace(store(best_by, lot("use", days=6)), settings=graceful)
    found = listed(plan_notice(snapshot, AS_OF))
    assert (found["7"], found["30"]) == (["use"], ["best"])


def test_an_empty_store_has_its_bands_and_nothing_in_them() -> None:
    assert listed(plan_notice(store(), AS_OF)) == {"past": [], "7": [], "30": [], "56": []}


def expected_lists(snapshot: Snapshot, as_of: date) -> Listed:
    """Sort a store's lots by hand, one lot at a time, whatever the order."""
    foods = {food.id: food for food in snapshot.foods}
    bands = snapshot.settings.notice_bands_days
    found: Listed = {"past": [], **{str(within): [] for within in bands}}
    for one in snapshot.lots:
        day = one.last_good_day(foods[one.food], grace_days=snapshot.settings.grace_days)
        if one.condition is not Condition.SOUND or day is None:
            continue
        if day < as_of:
            found["past"] += [one.id] * (one.units > 0)
        elif one.units > one.units_promised:
            reached = [within for within in bands if as_of + timedelta(days=within) >= day]
            for within in reached[:1]:
                found[str(within)].append(one.id)
    return found


@many
@given(SEEDS, BANDS, st.integers(0, 60))
def test_every_lot_of_any_store_is_on_the_one_list_where_it_belongs(
    seed: int, bands: tuple[int, ...], later: int
) -> None:
    snapshot, _ = small_store(seed)
    snapshot = replace(snapshot, settings=replace(snapshot.settings, notice_bands_days=bands))
    as_of = AS_OF + timedelta(days=later)
    found = listed(plan_notice(snapshot, as_of))
    assert {name: sorted(lots) for name, lots in found.items()} == {
        name: sorted(lots) for name, lots in expected_lists(snapshot, as_of).items()
    }
    all_listed = [id_ for lots in found.values() for id_ in lots]
    assert len(all_listed) == len(set(all_listed))


@many
@given(SEEDS)
def test_the_rounds_find_the_same_lots_past_and_list_no_other_standing_here(seed: int) -> None:
    snapshot, _ = small_store(seed)
    notice, rotation = plan_notice(snapshot, AS_OF), plan_rotation(snapshot, AS_OF)
    assert notice.past == rotation.set_aside[Standing.PAST]
    within = {item.lot.id for band in notice.bands for item in band.lots}
    aside = {item.lot.id for items in rotation.set_aside.values() for item in items}
    assert within & aside == set()


@many
@given(SEEDS)
def test_the_order_in_which_lots_are_kept_changes_nothing(seed: int) -> None:
    snapshot, _ = small_store(seed)
    turned = replace(snapshot, lots=tuple(reversed(snapshot.lots)))
    assert plan_notice(turned, AS_OF) == plan_notice(snapshot, AS_OF)
