"""A snapshot that exists is sound: one that contradicts itself is refused, with every fault."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from daysworth.domain.errors import Fault, SnapshotRefused
from daysworth.domain.foods import Food, FoodGroup, MassBasis, MealRole, Preparation
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    LotId,
    MemberId,
    PlaceId,
    StoreId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.people import AgeBand, Household, Member, Sex
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot

TAKEN_ON = date(2026, 6, 15)
TOMORROW = TAKEN_ON + timedelta(days=1)

BEANS = Food(
    id=FoodId("beans"),
    name="Beans",
    group=FoodGroup.BEANS_AND_LENTILS,
    energy_kcal_100g=100,
    protein_g_100g=6,
    net_mass_g=400,
)
HALL = Place(id=PlaceId("hall"), name="Hall")
ADULT = Member(id=MemberId("m1"), age_band=AgeBand(from_years=30, to_years=40))
HOME = Household(id=HouseholdId("h1"), members=(ADULT,))
LOT = Lot(
    id=LotId("l1"),
    food=BEANS.id,
    place=HALL.id,
    units=1,
    label_kind=LabelKind.BEST_BY,
    printed="2027",
)
SOUND = Snapshot(
    store=StoreId("s1"),
    store_name="A store",
    taken_on=TAKEN_ON,
    households=(HOME,),
    foods=(BEANS,),
    places=(HALL,),
    lots=(LOT,),
)


def faults_of(make: Callable[[], Snapshot]) -> tuple[Fault, ...]:
    with pytest.raises(SnapshotRefused) as refused:
        make()
    assert refused.value.faults
    assert str(refused.value) == "; ".join(str(fault) for fault in refused.value.faults)
    return refused.value.faults


def fault_of(make: Callable[[], Snapshot]) -> Fault:
    (fault,) = faults_of(make)
    return fault


def with_member(member: Member) -> Snapshot:
    return replace(SOUND, households=(replace(HOME, members=(member,)),))


def with_lot(lot: Lot) -> Snapshot:
    return replace(SOUND, lots=(lot,))


def test_an_empty_store_is_sound() -> None:
    empty = Snapshot(store=StoreId("s1"), store_name="A store", taken_on=TAKEN_ON)
    assert [empty.households, empty.foods, empty.places, empty.lots] == [(), (), (), ()]
    assert empty.settings == StoreSettings()


@pytest.mark.parametrize(
    ("make", "where", "named"),
    [
        (lambda: replace(SOUND, foods=(BEANS, BEANS)), "foods", "beans"),
        (lambda: replace(SOUND, places=(HALL, HALL)), "places", "hall"),
        (lambda: replace(SOUND, lots=(LOT, LOT)), "lots", "l1"),
        (
            lambda: replace(SOUND, households=(replace(HOME, members=(ADULT, ADULT)),)),
            "members",
            "m1",
        ),
        (
            lambda: replace(SOUND, households=(HOME, replace(HOME, id=HouseholdId("h2")))),
            "members",
            "m1",
        ),
        (
            lambda: replace(
                SOUND,
                households=(HOME, replace(HOME, members=(replace(ADULT, id=MemberId("m2")),))),
            ),
            "households",
            "h1",
        ),
    ],
    ids=["food", "place", "lot", "member in a home", "member in two homes", "household"],
)
def test_an_id_that_stands_twice_is_named(
    make: Callable[[], Snapshot], where: str, named: str
) -> None:
    fault = fault_of(make)
    assert fault.where == where
    assert fault.what == f"the id {named!r} stands 2 times; ids are unique"


def test_one_id_may_stand_for_things_of_different_kinds() -> None:
    same = "x"
    snapshot = replace(
        SOUND,
        households=(Household(id=HouseholdId(same), members=(replace(ADULT, id=MemberId(same)),)),),
        foods=(replace(BEANS, id=FoodId(same)),),
        places=(replace(HALL, id=PlaceId(same)),),
        lots=(replace(LOT, id=LotId(same), food=FoodId(same), place=PlaceId(same)),),
    )
    assert snapshot.lots[0].id == same


@pytest.mark.parametrize(
    ("lot", "what"),
    [
        (replace(LOT, food=FoodId("peas")), "its food 'peas' is not in the snapshot"),
        (replace(LOT, place=PlaceId("loft")), "its place 'loft' is not in the snapshot"),
        (replace(LOT, owner=HouseholdId("h9")), "its owner 'h9' is not in the snapshot"),
    ],
    ids=["food", "place", "owner"],
)
def test_a_lot_that_refers_to_what_is_not_there_is_named(lot: Lot, what: str) -> None:
    assert fault_of(lambda: with_lot(lot)) == Fault("lot 'l1'", what)


def test_an_owner_who_is_there_is_sound_and_so_is_none() -> None:
    assert with_lot(replace(LOT, owner=HOME.id, is_shared=False)).lots[0].owner == HOME.id
    assert with_lot(LOT).lots[0].owner is None


@pytest.mark.parametrize("taken_on", [date(1999, 12, 31), date(2100, 1, 1)])
def test_a_snapshot_of_another_century_is_refused(taken_on: date) -> None:
    fault = fault_of(lambda: replace(SOUND, taken_on=taken_on))
    assert fault == Fault("taken_on", "is not between 2000 and 2099")


@pytest.mark.parametrize("taken_on", [date(2000, 1, 1), date(2099, 12, 31)])
def test_the_first_and_the_last_day_of_the_century_are_sound(taken_on: date) -> None:
    assert replace(SOUND, taken_on=taken_on).taken_on == taken_on


@pytest.mark.parametrize("born_on", [date(1899, 12, 31), TOMORROW, date(1026, 6, 15)])
def test_a_birth_after_the_snapshot_or_before_1900_is_refused(born_on: date) -> None:
    member = Member(id=MemberId("m1"), born_on=born_on)
    assert fault_of(lambda: with_member(member)).where == "member 'm1'"


@pytest.mark.parametrize("born_on", [date(1900, 1, 1), TAKEN_ON])
def test_a_birth_on_the_day_of_the_snapshot_or_in_1900_is_sound(born_on: date) -> None:
    member = Member(id=MemberId("m1"), born_on=born_on)
    assert with_member(member).households[0].members == (member,)


@pytest.mark.parametrize("day", [date(1999, 12, 31), date(2100, 1, 1), date(206, 8, 1)])
@pytest.mark.parametrize(
    "dated",
    [
        lambda day: replace(ADULT, pregnancy_due_on=day),
        lambda day: replace(ADULT, breastfeeding_since_on=day),
    ],
    ids=["due", "nursing"],
)
def test_a_due_date_or_a_nursing_date_of_another_century_is_refused(
    dated: Callable[[date], Member], day: date
) -> None:
    fault = fault_of(lambda: with_member(dated(day)))
    assert fault == Fault("member 'm1'", "a date is not between 2000 and 2099")


@pytest.mark.parametrize("day", [date(1999, 12, 31), TOMORROW])
def test_a_pack_opened_or_repacked_after_the_snapshot_or_before_2000_is_refused(
    day: date,
) -> None:
    opened = fault_of(lambda: with_lot(replace(LOT, opened_on=day)))
    repacked = fault_of(lambda: with_lot(replace(LOT, repacked_on=day)))
    assert opened == Fault("lot 'l1'", "opened_on is after the snapshot, or before 2000")
    assert repacked == Fault("lot 'l1'", "repacked_on is after the snapshot, or before 2000")


def test_a_pack_opened_on_the_day_of_the_snapshot_is_sound() -> None:
    assert with_lot(replace(LOT, opened_on=TAKEN_ON)).lots[0].opened_on == TAKEN_ON


def test_every_fault_is_named_at_once() -> None:
    lost = replace(
        LOT, food=FoodId("peas"), place=PlaceId("loft"), owner=HouseholdId("h9"), opened_on=TOMORROW
    )
    unborn = Member(id=MemberId("m1"), born_on=TOMORROW)
    found = faults_of(
        lambda: replace(
            SOUND,
            households=(replace(HOME, members=(unborn, unborn)),),
            places=(HALL, HALL),
            lots=(lost, lost),
        )
    )
    named = [str(fault) for fault in found]
    assert len(named) == 2 + 2 + 3 + 2 * 3
    assert len(set(named)) == 1 + 1 + 3 + 3


def test_a_fault_is_put_in_words_with_its_place() -> None:
    assert str(Fault("lot 'l1'", "is lost")) == "lot 'l1': is lost"
    assert str(Fault("", "is not JSON")) == "is not JSON"


def test_more_units_promised_or_packed_than_on_hand_never_make_a_lot() -> None:
    with pytest.raises(ValueError, match="more units are in kits or promised"):
        replace(LOT, units=2, units_promised=3)
    with pytest.raises(ValueError, match="more units are in kits or promised"):
        replace(LOT, units=2, units_in_kits=1, units_promised=2)


def test_a_lot_kept_back_by_nobody_is_never_made() -> None:
    with pytest.raises(ValueError, match="needs an owner"):
        replace(LOT, is_shared=False)


@pytest.mark.parametrize(
    "zone",
    [
        *("", " ", "UTC ", "Mars/Olympus", "America", "Europe/", "../../etc/passwd"),
        *("/etc/localtime", "Europe/Paris\n", "a\0b", "x" * 5000, "UTC+2:00"),
        *("localtime", "posixrules", "posix/UTC", "right/UTC"),
    ],
)
def test_a_zone_that_does_not_exist_is_refused_by_name(zone: str) -> None:
    with pytest.raises(ValueError, match="there is no time zone"):
        StoreSettings(timezone=zone)


@pytest.mark.parametrize("zone", ["UTC", "America/Chicago", "Asia/Kolkata", "Etc/GMT+5"])
def test_a_zone_of_the_iana_database_is_taken(zone: str) -> None:
    assert StoreSettings(timezone=zone).timezone == zone


@pytest.mark.parametrize(
    "rule",
    [
        *("", "often", "FREQ=YEARLY;", "freq=yearly", "BYMONTH=3", "RRULE:FREQ=YEARLY"),
        *("FREQ=DAILY", "FREQ=HOURLY", "FREQ=MINUTELY", "FREQ=SECONDLY"),
        *("FREQ=YEARLY;COUNT=2", "FREQ=YEARLY;UNTIL=20270101T000000Z"),
        *("FREQ=YEARLY;BYHOUR=3", "FREQ=YEARLY;BYMINUTE=3", "FREQ=YEARLY;BYSECOND=3"),
        *("FREQ=YEARLY;DTSTART=19000101", "FREQ=YEARLY\nRDATE:20270101", "FREQ=YEARLY;X=1"),
        *("FREQ=YEARLY;BYMONTH=May", "FREQ=YEARLY;BYDAY=XX", "FREQ=YEARLY;BYSETPOS=0"),
        *("FREQ=YEARLY;INTERVAL=two", "FREQ=YEARLY;INTERVAL=1.5", "FREQ=YEARLY;BYDAY=0MO"),
        *("FREQ=YEARLY;INTERVAL=0", "FREQ=MONTHLY;INTERVAL=0", "FREQ=WEEKLY;INTERVAL=-1"),
        *("FREQ=YEARLY;FREQ=SECONDLY", "FREQ=YEARLY;BYDAY=99MO", "FREQ=YEARLY;BYEASTER=400"),
        *("FREQ=YEARLY;BYMONTH=13", "FREQ=YEARLY;BYMONTHDAY=0", "FREQ=YEARLY;BYMONTHDAY=32"),
        *("FREQ=WEEKLY;BYDAY=1MO", "FREQ=WEEKLY;BYMONTHDAY=1", "FREQ=YEARLY;BYWEEKDAY=MO"),
        *("FREQ=MONTHLY;INTERVAL=30;BYDAY=53MO", "FREQ=YEARLY;BYMONTH=3;BYMONTH=9"),
        *("FREQ=MONTHLY;BYDAY=1MO,53MO", "FREQ=WEEKLY;BYSETPOS=20"),
    ],
)
def test_a_rounds_rule_that_cannot_be_followed_is_refused(rule: str) -> None:
    with pytest.raises(ValueError, match="round"):
        StoreSettings(rounds_rule=rule)


@pytest.mark.parametrize("junk", [";", ",", "A", "=", "BYDAY=MO;"])
def test_a_very_long_rounds_rule_is_refused_and_never_hangs(junk: str) -> None:
    with pytest.raises(ValueError, match="rounds"):
        StoreSettings(rounds_rule="FREQ=YEARLY;" + junk * 20_000)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: replace(BEANS, energy_kcal_100g=5, protein_g_100g=20), "protein gives energy"),
        (lambda: replace(BEANS, figures_for=MassBasis.DRAINED), "need the drained fraction"),
        (lambda: replace(BEANS, added_water=Preparation.NEEDED), "how much water"),
        (
            lambda: replace(BEANS, is_extra=True, roles=frozenset({MealRole.PROTEIN})),
            "an extra plays no part",
        ),
    ],
)
def test_a_food_whose_figures_contradict_one_another_is_never_made(
    make: Callable[[], Food], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        make()


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Member(id=MemberId("m1")), "a birth date or an age band"),
        (lambda: replace(ADULT, born_on=date(1990, 1, 1)), "a birth date or an age band"),
        (lambda: replace(ADULT, sex=Sex.MALE, pregnancy_due_on=TAKEN_ON), "not male"),
        (lambda: replace(ADULT, sex=Sex.MALE, breastfeeding_since_on=TAKEN_ON), "not male"),
    ],
)
def test_a_member_whose_facts_contradict_one_another_is_never_made(
    make: Callable[[], Member], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        make()


def test_an_age_band_runs_from_the_younger_age_to_the_older() -> None:
    with pytest.raises(ValueError, match="younger"):
        AgeBand(from_years=40, to_years=30)
