"""Claims about wish lists: what may be brought, for whom, and what is said where nothing helps."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from math import ceil
from typing import Final

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, MemberId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import everyone
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Least, Wish
from daysworth.planners.wish_list import WishList, WishOutcome, wish_list, with_lots
from daysworth.reference.usual_foods import usual_foods
from tests.planners.small_stores import food

AS_OF: Final = date(2027, 5, 14)
ASH, ELM = HouseholdId("ash"), HouseholdId("elm")
TAP: Final = Scenario(running_water=True)
OATS: Final = replace(food("oats", kcal=400, protein_g=13, net_g=500), shelf_life_months=12)
CREAM: Final = replace(food("cream", kcal=400, protein_g=13, net_g=500), shelf_life_months=1)
TINS: Final = replace(food("tins", kcal=200, protein_g=10, net_g=400), shelf_life_months=24)
PEANUT: Final = Restriction(allergy=Substance.PEANUT)
PLACE: Final = Place(id=PlaceId("shelf"), name="Shelf")


def somebody(name: str, *restrictions: Restriction) -> Member:
    return Member(
        id=MemberId(name), born_on=date(1985, 1, 2), sex=Sex.MALE, restrictions=restrictions
    )


def store(*members: Member, units: int = 0, home: HouseholdId = ASH) -> Snapshot:
    """Give one household, and oats for it on the shelf."""
    lot = Lot(
        id=LotId("l1"),
        food=OATS.id,
        place=PLACE.id,
        units=units,
        label_kind=LabelKind.BEST_BY,
        printed="2028-05-14",
    )
    return Snapshot(
        store=StoreId("fernhollow"),
        store_name="Fernhollow",
        taken_on=AS_OF,
        settings=StoreSettings(),
        households=(Household(id=home, members=members),),
        foods=(OATS, CREAM, TINS),
        places=(PLACE,),
        lots=(lot,),
    )


def two_homes(units: int = 0) -> Snapshot:
    one = store(somebody("a"), units=units)
    elm = Household(id=ELM, members=(somebody("b"), somebody("c")))
    return replace(one, households=(*one.households, elm))


def only(*foods: str, **said: object) -> Wish:
    return Wish(foods=frozenset(map(FoodId, foods)), **said)  # type: ignore[arg-type]


def asked(snapshot: Snapshot, wish: Wish, *, scenario: Scenario = TAP) -> WishList:
    return wish_list(snapshot, AS_OF, scenario=scenario, wish=wish)


def fed(snapshot: Snapshot, scenario: Scenario = TAP) -> float:
    """Give everyone-fed days, planned by themselves."""
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    days = everyone(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal).least
    assert days is not None
    return days


def need_of(snapshot: Snapshot) -> float:
    """Give the mean need in kcal a day."""
    return Grounds(snapshot, AS_OF, scenario=TAP).mean_kcal


def units(found: WishList) -> dict[str, int]:
    return {line.candidate.food.id: line.units for line in found.lines}


def test_what_is_brought_is_what_is_lacking_in_whole_units() -> None:
    snapshot = store(somebody("a"), units=5)
    found = asked(snapshot, only("oats", target_days=14))
    need = need_of(snapshot)
    assert units(found) == {"oats": ceil((14 * need - 5 * 2_000) / 2_000)}
    assert (found.outcome, found.is_least) == (WishOutcome.LISTED, True)
    assert found.days_before == pytest.approx(5 * 2_000 / need)


def test_the_store_with_the_list_on_its_shelf_has_the_days() -> None:
    snapshot = two_homes(units=3)
    found = asked(snapshot, Wish(target_days=20), scenario=Scenario())
    brought = with_lots(snapshot, found.lines)
    assert fed(brought, Scenario()) == pytest.approx(found.days_after)
    assert fed(brought, Scenario()) >= 20 - 1e-6


def test_a_target_that_is_met_asks_for_nothing() -> None:
    found = asked(store(somebody("a"), units=100), only("oats", target_days=14))
    assert (found.outcome, found.lines, found.amount) == (WishOutcome.MET, (), 0.0)
    assert found.days_before == found.days_after


def test_where_nobody_has_a_need_nothing_is_asked_for() -> None:
    found = asked(store(units=1), Wish())
    assert (found.outcome, found.days_before) == (WishOutcome.MET, None)


@pytest.mark.parametrize("least", [Least.MASS, Least.UNITS])
def test_the_richer_food_is_the_lighter_and_the_fewer_but_for_what_fills_up(least: Least) -> None:
    snapshot = store(somebody("a"))
    found = asked(snapshot, only("oats", "tins", target_days=7, least=least))
    assert units(found)["oats"] >= 7 * need_of(snapshot) // 2_000
    assert units(found).get("tins", 0) <= 1


def test_the_cheaper_food_is_the_least_cost_and_one_without_a_price_is_none() -> None:
    prices = {TINS.id: 1.0, OATS.id: 9.0}
    both = only("oats", "tins", "cream", target_days=7, least=Least.COST, prices=prices)
    assert set(units(asked(store(somebody("a")), both))) == {"tins"}


def test_what_keeps_no_longer_than_the_target_feeds_nobody_past_its_date() -> None:
    snapshot = store(somebody("a"))
    assert asked(snapshot, only("cream", target_days=31)).outcome is WishOutcome.LISTED
    long = asked(snapshot, only("cream", target_days=40))
    assert long.outcome is WishOutcome.SOME_LACK
    # Brought on 14 May, it is good to 14 June, the thirty-second day.
    assert [round(one.days, 6) for one in long.lacking] == [32.0]


def test_only_what_keeps_past_the_target_is_brought_where_that_is_wished() -> None:
    snapshot = store(somebody("a"))
    for target, is_offered in ((31, True), (32, False)):
        wish = only("cream", target_days=target, keeps_past_target=True)
        outcome = asked(snapshot, wish).outcome
        assert (outcome is WishOutcome.LISTED) is is_offered
    mixed = only("cream", "oats", target_days=40, keeps_past_target=True)
    assert set(units(asked(snapshot, mixed))) == {"oats"}


def test_drinking_water_is_brought_where_none_runs_and_none_where_it_does() -> None:
    snapshot = store(somebody("a"), units=100)
    bottled = "water_bottled"
    dry = asked(snapshot, only(bottled, "oats", target_days=14), scenario=Scenario())
    assert units(dry) == {bottled: ceil(14 * 3.785 / 0.5 - 1e-9)}
    assert asked(snapshot, only(bottled, "oats", target_days=14)).outcome is WishOutcome.MET


def test_water_filled_at_home_is_nothing_to_buy() -> None:
    snapshot = store(somebody("a"), units=100)
    wish = only("water_self_filled", target_days=14)
    found = asked(snapshot, wish, scenario=Scenario())
    assert (found.outcome, found.lines) == (WishOutcome.SOME_LACK, ())


def test_whom_no_unread_food_suits_is_named_and_the_others_are_fed() -> None:
    snapshot = store(somebody("a"), somebody("b", PEANUT))
    snapshot = replace(
        snapshot,
        households=(
            Household(id=ASH, members=(somebody("a"),)),
            Household(id=ELM, members=(somebody("b", PEANUT),)),
        ),
    )
    found = asked(snapshot, only("oats", target_days=14))
    assert found.outcome is WishOutcome.SOME_LACK
    (lacking,) = found.lacking
    assert [mouth.household for mouth in lacking.members.mouths] == [ELM]
    assert (lacking.days, [one.id for one in lacking.may_suit]) == (0.0, ["oats"])
    alone = asked(store(somebody("a")), only("oats", target_days=14))
    assert units(found) == units(alone)


def test_a_food_that_is_known_to_be_unsuitable_is_not_said_to_suit_once_read() -> None:
    snapshot = store(somebody("b", PEANUT))
    found = asked(snapshot, only("oats", "peanut_butter_smooth", target_days=14))
    (lacking,) = found.lacking
    assert [one.id for one in lacking.may_suit] == ["oats"]


def test_one_household_is_brought_what_it_lacks_and_the_other_keeps_its_days() -> None:
    snapshot = two_homes(units=30)
    before = fed(snapshot)
    found = asked(snapshot, only("oats", target_days=before + 3, household=ASH))
    assert units(found) == {"oats": ceil(3 * need_of(snapshot) / 2_000)}
    assert found.days_before == pytest.approx(before)
    assert found.days_after is not None
    assert found.days_after >= before + 3 - 1e-6


def test_for_one_household_a_food_that_suits_only_others_is_not_brought() -> None:
    snapshot = two_homes(units=3)
    ash = Household(id=ASH, members=(somebody("a", PEANUT),))
    snapshot = replace(snapshot, households=(ash, snapshot.households[1]))
    found = asked(snapshot, only("oats", target_days=14, household=ASH))
    assert (found.outcome, found.lines) == (WishOutcome.SOME_LACK, ())
    assert {mouth.household for one in found.lacking for mouth in one.members.mouths} == {ASH}


def test_usual_foods_alone_are_brought_where_that_is_wished() -> None:
    found = asked(store(somebody("a")), Wish(target_days=30, is_usual_only=True))
    assert found.lines
    assert {line.candidate.food.id for line in found.lines} <= usual_foods()


def test_usual_foods_are_generic_foods() -> None:
    assert usual_foods() < set(generic_foods())
    assert "water_self_filled" not in usual_foods()


def test_the_order_of_foods_lots_and_households_changes_nothing() -> None:
    snapshot = two_homes(units=3)
    turned = replace(snapshot, households=snapshot.households[::-1], foods=snapshot.foods[::-1])
    one, other = (asked(some, Wish(target_days=20)) for some in (snapshot, turned))
    assert units(one) == units(other)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"target_days": 0}, "more than 0"),
        ({"target_days": float("nan")}, "more than 0"),
        ({"least": Least.COST}, "what foods cost"),
        ({"prices": {OATS.id: 0.0}}, "more than 0"),
        ({"prices": {OATS.id: float("inf")}}, "more than 0"),
    ],
)
def test_a_wish_that_is_none_is_refused(said: Mapping[str, object], words: str) -> None:
    with pytest.raises(ScenarioRefused, match=words):
        Wish(**said)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        (Wish(target_days=200), "past the horizon of 180 days"),
        (only("ambrosia"), "no food 'ambrosia'"),
        (Wish(prices={FoodId("nectar"): 2.0}), "no food 'nectar'"),
        (Wish(household=HouseholdId("oak")), "no household 'oak'"),
    ],
)
def test_a_wish_for_what_is_not_there_is_refused(wish: Wish, words: str) -> None:
    with pytest.raises(ScenarioRefused, match=words):
        asked(store(somebody("a")), wish)


def test_a_household_that_is_away_is_not_wished_for() -> None:
    away = replace(TAP, households_away=frozenset({ASH}))
    with pytest.raises(ScenarioRefused, match="away"):
        asked(two_homes(), Wish(household=ASH), scenario=away)


def test_a_large_wish_is_within_a_thousandth_of_what_is_proved() -> None:
    homes = tuple(
        Household(id=HouseholdId(f"h{n}"), members=(somebody(f"m{n}"),)) for n in range(60)
    )
    snapshot = replace(store(), households=homes)
    found = asked(snapshot, only("oats", "tins", target_days=90, least=Least.MASS))
    assert found.bound <= found.amount <= found.bound * 1.001
