"""A snapshot whose kits or wares contradict the rest of it is refused, with every fault."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.domain.errors import SnapshotRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    KitId,
    LotId,
    MemberId,
    PatternId,
    PlaceId,
    StoreId,
)
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_kits import KitItem, KitToPack, MealKit, WareTaken
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Slot,
    SlotKind,
    Waiver,
    Wanted,
)
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock

TAKEN_ON: Final = date(2026, 6, 15)
HALL: Final = Place(id=PlaceId("hall"), name="Hall")
BEANS: Final = Food(
    id=FoodId("beans"),
    name="Beans",
    group=FoodGroup.BEANS_AND_LENTILS,
    energy_kcal_100g=100,
    protein_g_100g=6,
    net_mass_g=400,
)
LOT: Final = Lot(id=LotId("l1"), food=BEANS.id, place=HALL.id, units=6, units_in_kits=4)
ADULT: Final = Member(id=MemberId("m1"), age_band=AgeBand(from_years=30, to_years=40))
KIT: Final = MealKit(
    id=KitId("k1"),
    name="Beans",
    place=HALL.id,
    persons=2,
    packed_on=TAKEN_ON,
    items=(KitItem(lot=LOT.id, units=2),),
)
BAGS: Final = WareStock(kind=WareKind.BAG, place=HALL.id, units=3)
SLOT: Final = Slot(kind=SlotKind.PROTEIN, choices=(Choice(foods=(Wanted(food=FoodId("beans")),)),))
PATTERN: Final = MealPattern(id=PatternId("p1"), name="Beans", persons=2, slots=(SLOT,))


def snapshot(
    *kits: MealKit, wares: tuple[WareStock, ...] = (), patterns: tuple[MealPattern, ...] = ()
) -> Snapshot:
    return Snapshot(
        store=StoreId("s1"),
        store_name="A store",
        taken_on=TAKEN_ON,
        households=(Household(id=HouseholdId("h1"), members=(ADULT,)),),
        foods=(BEANS,),
        places=(HALL,),
        lots=(LOT,),
        kits=kits,
        wares=wares,
        patterns=patterns,
    )


def refused(
    *kits: MealKit, wares: tuple[WareStock, ...] = (), patterns: tuple[MealPattern, ...] = ()
) -> str:
    with pytest.raises(SnapshotRefused) as found:
        snapshot(*kits, wares=wares, patterns=patterns)
    return str(found.value)


def named(id_: str, **changed: object) -> MealKit:
    return replace(KIT, id=KitId(id_), **changed)  # type: ignore[arg-type]


def test_kits_of_what_is_there_are_sound() -> None:
    held = snapshot(KIT, named("k2"), wares=(BAGS,), patterns=(PATTERN,))
    assert [kit.id for kit in held.kits] == ["k1", "k2"]


def test_a_kit_refers_to_what_the_store_has() -> None:
    lost = named(
        "k1",
        place=PlaceId("attic"),
        household=HouseholdId("h9"),
        items=(KitItem(lot=LotId("l9"), units=1),),
    )
    said = refused(lost)
    for words in ("its place 'attic'", "its household 'h9'", "its lot 'l9'"):
        assert f"kit 'k1': {words} is not in the snapshot" in said


def test_kits_hold_no_more_of_a_lot_than_is_in_kits() -> None:
    said = refused(KIT, named("k2"), named("k3"))
    assert "lot 'l1': kits hold 6 of it, and 4 are in kits" in said


def test_kits_may_hold_less_of_a_lot_than_is_in_kits() -> None:
    assert len(snapshot(KIT).kits) == 1


@pytest.mark.parametrize(
    ("days", "is_sound"), [(0, True), (1, True), (2, False), (-9_000, True), (-10_000, False)]
)
def test_a_kit_was_packed_in_this_century_and_not_after_tomorrow(
    days: int, *, is_sound: bool
) -> None:
    kit = named("k1", packed_on=TAKEN_ON + timedelta(days=days))
    if is_sound:
        assert snapshot(kit).kits == (kit,)
    else:
        assert "packed_on is after the snapshot, or before 2000" in refused(kit)


def test_two_kits_or_two_patterns_with_one_id_are_refused() -> None:
    assert "the id 'k1' stands 2 times" in refused(KIT, KIT)
    assert "the id 'p1' stands 2 times" in refused(patterns=(PATTERN, PATTERN))


def test_a_ware_stands_in_a_place_of_the_store_and_once_in_each() -> None:
    lost = replace(BAGS, place=PlaceId("attic"))
    assert "its place 'attic' is not in the snapshot" in refused(wares=(lost,))
    assert "stands 2 times in 'hall'" in refused(wares=(BAGS, BAGS))
    assert len(snapshot(wares=(BAGS, replace(BAGS, kind=WareKind.FORK))).wares) == 2


# --- what a kit and a pattern cannot be at all ---


def test_a_lot_stands_in_a_kit_once() -> None:
    twice = (KitItem(lot=LOT.id, units=1), KitItem(lot=LOT.id, units=1))
    with pytest.raises(ValueError, match="once"):
        named("k1", items=twice)
    with pytest.raises(ValueError, match="once"):
        KitToPack(name="Beans", persons=2, items=twice)


def test_a_ware_of_one_place_is_taken_for_a_kit_once() -> None:
    bag = WareTaken(kind=WareKind.BAG, place=HALL.id, units=1)
    with pytest.raises(ValueError, match="once"):
        KitToPack(name="Beans", persons=2, items=KIT.items, wares=(bag, bag))
    elsewhere = replace(bag, place=PlaceId("attic"))
    assert KitToPack(name="Beans", persons=2, items=KIT.items, wares=(bag, elsewhere)).wares


def test_a_choice_names_a_food_or_a_group_and_not_both() -> None:
    for both in ({}, {"food": FoodId("beans"), "group": FoodGroup.FISH}):
        with pytest.raises(ValueError, match="one of them"):
            Wanted(**both)  # type: ignore[arg-type]


def test_a_rule_is_waived_once() -> None:
    waiver = Waiver(rule=MealRule.BAG, why="They bring their own.")
    with pytest.raises(ValueError, match="waived once"):
        replace(PATTERN, waivers=(waiver, waiver))
    assert replace(PATTERN, waivers=(waiver,)).waived == {MealRule.BAG}
