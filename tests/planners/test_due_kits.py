"""A due kit is eaten whole by a home that it suits, or unpacked: worked by hand."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.people import Household
from daysworth.planners.rotation_round import plan_round
from daysworth.planners.round_proposals import DueKit, RoundAction, RoundFigures, RoundPlan
from daysworth.planners.round_worklist import worklist
from tests.planners.one_home import BREAD, OIL, also, home, lot, store, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, avoiding, infant

H: Final = HouseholdId("h")
HALL: Final = PlaceId("hall")
LOAF: Final = also(replace(BREAD, id="loaf", name="loaf", keeps_opened_days=20))  # type: ignore[arg-type]


def packed(days: int, *, units: int = 1, of: object = BREAD, free: int = 0, **more: object) -> Lot:
    """Make a lot of which so many units are in a kit, and that is good for so many days."""
    printed = (AS_OF + timedelta(days=days - 1)).isoformat()
    facts: dict[str, object] = {"printed": printed, "units_in_kits": units, **more}
    return lot(of, units + free, **facts)  # type: ignore[arg-type]


def kit(*lots: int, id_: str = "k1", persons: int = 1, **more: object) -> MealKit:
    """Make a kit with one unit of each of some lots of the store, by their numbers."""
    facts: dict[str, object] = {
        "items": tuple(KitItem(lot=LotId(f"{number}"), units=1) for number in lots),
        "packed_on": date(2027, 3, 1),
        "place": HALL,
        **more,
    }
    return MealKit(id=KitId(id_), name=f"Supper {id_}", persons=persons, **facts)  # type: ignore[arg-type]


def planned(lots: Iterable[Lot], *kits: MealKit, homes: tuple[Household, ...] = ()) -> RoundPlan:
    return plan_round(replace(store(homes, lots), kits=kits), AS_OF)


def one(lots: Iterable[Lot], *kits: MealKit, homes: tuple[Household, ...] = ()) -> DueKit:
    """Give the one kit that is due."""
    (found,) = planned(lots, *kits, homes=homes).kits
    return found


def passed_on(due: DueKit) -> list[str]:
    return [item.lot for item in due.to_pass_on]


def test_a_kit_is_pulled_by_the_earliest_last_good_day_in_it() -> None:
    found = one([packed(50), packed(9), packed(400)], kit(0, 1, 2))
    assert found.pull_by_day == AS_OF + timedelta(days=8)
    assert found.figures == RoundFigures(3, 600, 3_000)


def test_a_kit_whose_items_all_outlast_the_next_round_is_not_due() -> None:
    assert planned([packed(200), packed(400)], kit(0, 1)).kits == ()


def test_units_in_a_kit_are_the_kits_and_free_units_of_the_lot_are_its_own() -> None:
    plan = planned([packed(9, free=2)], kit(0))
    assert [(due.item.lot.id, due.units) for due in plan.lots] == [("0", 2)]
    assert [(due.action, due.household) for due in plan.kits] == [(RoundAction.EAT_WHOLE, "h")]
    assert plan.totals[RoundAction.EAT_WHOLE] == RoundFigures(1, 200, 1_000)
    assert plan.totals[RoundAction.EAT_FIRST] == RoundFigures(2, 400, 2_000)


def test_a_kit_goes_to_the_household_that_it_was_put_up_for() -> None:
    homes = (home(woman("a"), id_="a"), home(woman("b"), woman("c"), woman("d"), id_="h"))
    found = one([packed(9)], kit(0, household=H), homes=homes)
    assert (found.household, found.to_pass_on) == ("h", ())


def test_a_kit_for_anybody_goes_to_a_home_of_as_many() -> None:
    homes = tuple(
        home(*(woman(f"{many}-{n}") for n in range(many)), id_=f"of-{many}")
        for many in (1, 2, 3, 5)
    )
    eaten_by = [
        one([packed(90)], kit(0, persons=many), homes=homes).household for many in (2, 4, 6)
    ]
    assert eaten_by == ["of-2", "of-3", "of-5"]
    assert one([packed(90)], kit(0, persons=7), homes=homes).action is RoundAction.UNPACK


def test_a_large_kit_may_go_to_a_home_with_a_quarter_fewer_or_more() -> None:
    eaters = tuple(woman(f"{n}") for n in range(9))
    for persons, action in ((12, RoundAction.EAT_WHOLE), (13, RoundAction.UNPACK)):
        found = one([packed(90)], kit(0, persons=persons), homes=(home(*eaters),))
        assert found.action is action


def test_infants_are_not_counted_at_a_kits_table() -> None:
    homes = (home(woman("a"), infant(3), id_="h"), home(woman("c"), woman("d"), id_="k"))
    assert one([packed(90)], kit(0, persons=1), homes=homes).household == "h"


def test_kits_go_round_among_homes_of_as_many() -> None:
    homes = (home(woman("a"), id_="h"), home(woman("b"), id_="k"))
    kits = [kit(n, id_=f"k{n}") for n in range(4)]
    plan = planned([packed(90 + n) for n in range(4)], *kits, homes=homes)
    assert [due.household for due in plan.kits] == ["h", "k", "h", "k"]


def test_a_kit_that_does_not_suit_the_household_it_was_put_up_for_is_unpacked() -> None:
    homes = (home(avoiding(PEANUT), id_="h"), home(woman("b"), id_="k"))
    lots = [packed(90, of=SPREAD), packed(90)]
    found = one(lots, kit(0, 1, household=H), homes=homes)
    assert (found.action, passed_on(found)) == (RoundAction.UNPACK, ["0", "1"])
    assert one(lots, kit(0, 1), homes=homes).household == "k"


def test_a_kit_with_an_item_that_is_not_known_to_suit_is_unpacked() -> None:
    found = one([packed(90, of=STEW)], kit(0), homes=(home(avoiding(PEANUT)),))
    assert found.action is RoundAction.UNPACK


def test_a_kit_past_its_date_is_unpacked_and_what_is_still_good_may_be_passed_on() -> None:
    found = one([packed(0), packed(9), packed(400)], kit(0, 1, 2))
    assert (found.action, passed_on(found)) == (RoundAction.UNPACK, ["1", "2"])


def test_a_damaged_item_makes_a_kit_due_whatever_its_dates() -> None:
    found = one([packed(400), packed(400, condition=Condition.DAMAGED)], kit(0, 1))
    assert (found.action, passed_on(found)) == (RoundAction.UNPACK, ["0"])


def test_an_undated_item_keeps_a_due_kit_from_being_eaten_and_makes_no_kit_due() -> None:
    undated = replace(packed(1), label_kind=LabelKind.UNLABELLED, printed=None)
    plan = planned([packed(9), undated], kit(0, 1))
    assert [(due.action, passed_on(due)) for due in plan.kits] == [(RoundAction.UNPACK, ["0"])]
    assert [item.lot.id for item in plan.looked_at] == ["1"]
    assert planned([packed(300), undated], kit(0, 1)).kits == ()


def test_opened_items_and_those_a_household_keeps_are_not_passed_on() -> None:
    lots = [
        packed(0),
        packed(9, of=LOAF, opened_on=AS_OF),
        packed(9, is_shared=False, owner=H),
        packed(9, of=OIL),
    ]
    assert passed_on(one(lots, kit(0, 1, 2, 3))) == ["3"]


def test_a_kit_with_what_one_household_keeps_is_for_that_one() -> None:
    homes = (home(woman("a"), id_="a"), home(woman("b"), id_="h"))
    lots = [packed(9), packed(9, is_shared=False, owner=H)]
    assert one(lots, kit(0, 1), homes=homes).household == "h"
    other = kit(0, 1, household=HouseholdId("a"))
    assert one(lots, other, homes=homes).action is RoundAction.UNPACK


def test_a_kit_takes_room_from_what_is_to_be_eaten_first_after_it() -> None:
    """Half of two days' 2,000 kcal is two packs: one is in the kit, one is left of the lot."""
    plan = planned([packed(2), lot(BREAD, 5, printed=packed(2).printed)], kit(0, household=H))
    (found,) = plan.lots
    assert (found.proposal.units, found.proposal.rest_units) == (1, 4)


def test_a_kit_for_which_a_home_has_no_room_left_is_unpacked() -> None:
    lots = [packed(1), packed(1)]
    plan = planned(lots, kit(0, household=H), kit(1, id_="k2", household=H))
    assert [due.action for due in plan.kits] == [RoundAction.EAT_WHOLE, RoundAction.UNPACK]


def test_kits_stand_in_the_worklist_by_their_own_place_and_date() -> None:
    lots = [packed(5, place=PlaceId("attic")), packed(9), lot(BREAD, 1, printed=packed(7).printed)]
    kits = (kit(1), kit(0, id_="k2", place=PlaceId("attic")))
    snapshot = replace(store(lots=lots), kits=kits)
    found = worklist(plan_round(snapshot, AS_OF), snapshot)
    assert [work.place.name for work in found] == ["Attic", "Hall"]
    kinds = [[type(line).__name__ for line in work.lines] for work in found]
    assert kinds == [["DueKit"], ["DueLot", "DueKit"]]
