"""A closed kit is seen as it stands today, and what has changed since opens it again."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId, KitId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.domain.meal_patterns import MealRule, Waiver
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.kit_contents import ItemTrouble
from daysworth.planners.kit_view import KitChange, KitChangeKind, KitView, kit_view
from tests.planners.bags import DISH, FRUIT, HOME, PAIR, a_kit, in_kits, stocked
from tests.planners.one_home import home, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, TRACES, avoiding

KIT: Final = a_kit("k", "0")
FOR_HOME: Final = a_kit("k", "0", household=HOME)


def seen(snapshot: Snapshot, as_of: date = AS_OF) -> KitView:
    return kit_view(snapshot, KitId("k"), as_of=as_of)


def test_a_kit_is_seen_with_its_contents_figures_and_date() -> None:
    """By hand: two pouches of 1,000 kcal and 400 g, good to the end of 2090."""
    view = seen(stocked(in_kits(DISH), kits=(KIT,)))
    assert [(one.food.id, one.units, one.lot_id) for one in view.check.foods] == [("dish", 2, "0")]
    assert (view.check.totals.energy_kcal_each, view.check.totals.mass_g) == (1_000, 800)
    assert view.check.pull_by_day == date(2090, 12, 31)
    assert view.check.is_sound
    assert view.what_changed == ()


def test_the_units_of_the_kit_count_and_not_those_of_the_lot() -> None:
    view = seen(stocked(in_kits(DISH, 9), kits=(KIT,)))
    assert view.check.totals.mass_g == 800


def test_the_six_months_are_those_of_the_day_on_which_it_was_put_up() -> None:
    """A kit that was good for six months then has not failed because some of them are over."""
    good_until = {"label_kind": LabelKind.USE_BY, "printed": "2027-10-20"}
    snapshot = stocked(in_kits(DISH, **good_until), kits=(KIT,))
    assert seen(snapshot).check.failed == ()
    late = replace(KIT, packed_on=AS_OF)
    assert [one.rule for one in seen(replace(snapshot, kits=(late,))).check.failed] == [
        MealRule.KEEPS
    ]


def test_waivers_of_the_kit_hold() -> None:
    bare = replace(KIT, wares={}, waivers=(Waiver(rule=MealRule.PLATES, why="They have some."),))
    failed = {one.rule for one in seen(stocked(in_kits(DISH), kits=(bare,))).check.failed}
    assert failed == {MealRule.UTENSILS, MealRule.BAG}


@pytest.mark.parametrize(
    ("more", "trouble"),
    [
        ({"condition": Condition.QUARANTINED}, ItemTrouble.QUARANTINED),
        ({"condition": Condition.DAMAGED}, ItemTrouble.DAMAGED),
        ({"label_kind": LabelKind.USE_BY, "printed": "2027-05-13"}, ItemTrouble.PAST),
        ({"label_kind": LabelKind.UNLABELLED, "printed": None}, ItemTrouble.UNDATED),
    ],
)
def test_a_lot_that_is_not_good_any_more_is_what_has_changed(
    more: dict[str, object], trouble: ItemTrouble
) -> None:
    view = seen(stocked(in_kits(FRUIT), in_kits(DISH, **more), kits=(a_kit("k", "0", "1"),)))
    assert view.what_changed == (
        KitChange(kind=KitChangeKind.NOT_GOOD, food=DISH.id, lots=("1",), trouble=trouble),  # type: ignore[arg-type]
    )


def test_a_kit_is_good_through_its_last_day_and_not_the_day_after() -> None:
    last = {"label_kind": LabelKind.USE_BY, "printed": AS_OF.isoformat()}
    snapshot = stocked(in_kits(DISH, **last), kits=(KIT,))
    assert seen(snapshot).what_changed == ()
    tomorrow = seen(snapshot, AS_OF + timedelta(days=1))
    assert [one.trouble for one in tomorrow.what_changed] == [ItemTrouble.PAST]


def test_what_was_waived_to_have_no_date_has_not_changed_by_having_none() -> None:
    undated = in_kits(DISH, label_kind=LabelKind.UNLABELLED, printed=None)
    waived = replace(KIT, waivers=(Waiver(rule=MealRule.KEEPS, why="Eaten next week."),))
    assert seen(stocked(undated, kits=(waived,))).what_changed == ()


def test_a_need_told_since_opens_the_kit_again() -> None:
    doubted = in_kits(DISH, readings=())
    assert seen(stocked(doubted, kits=(FOR_HOME,))).what_changed == ()
    homes = (home(avoiding(PEANUT), woman("b")),)
    view = seen(stocked(doubted, homes=homes, kits=(FOR_HOME,)))
    assert [(one.kind, one.food) for one in view.what_changed] == [(KitChangeKind.UNKNOWN, "dish")]
    assert not view.check.is_sound


def test_a_label_read_since_opens_the_kit_again() -> None:
    homes = (home(avoiding(PEANUT), woman("b")),)
    clear = stocked(in_kits(DISH), homes=homes, kits=(FOR_HOME,))
    assert seen(clear).what_changed == ()
    traces = stocked(in_kits(DISH, readings=(TRACES,)), homes=homes, kits=(FOR_HOME,))
    assert [one.kind for one in seen(traces).what_changed] == [KitChangeKind.UNSUITABLE]
    assert Substance.PEANUT in seen(traces).check.allergens.may_be_present


def test_a_kit_for_anybody_is_held_to_nobodys_needs() -> None:
    homes = (home(avoiding(PEANUT), woman("b")),)
    assert seen(stocked(in_kits(DISH, readings=()), homes=homes, kits=(KIT,))).what_changed == ()


def test_a_household_that_has_grown_is_told_and_one_that_shrank_is_not() -> None:
    grown = (home(woman("a"), woman("b"), woman("c")),)
    view = seen(stocked(in_kits(DISH), homes=grown, kits=(FOR_HOME,)))
    assert [one.kind for one in view.what_changed] == [KitChangeKind.MORE_AT_TABLE]
    assert view.check.diners.persons == 2
    fewer = seen(stocked(in_kits(DISH), homes=(home(woman("a")),), kits=(FOR_HOME,)))
    assert fewer.what_changed == ()
    assert (fewer.check.diners.persons, fewer.check.diners.energy_kcal_day) == (2, 4_000)


def test_a_kit_of_a_household_of_which_nobody_was_at_the_table_then_can_still_be_seen() -> None:
    born_later = (home(woman("a", born_on=AS_OF - timedelta(days=400))),)
    kit = replace(FOR_HOME, packed_on=AS_OF - timedelta(days=100))
    view = seen(stocked(in_kits(DISH), homes=born_later, kits=(kit,)))
    assert view.check.diners.persons == 2


def test_what_a_household_keeps_for_itself_is_no_trouble_in_its_own_kit() -> None:
    own = in_kits(DISH, owner=HOME, is_shared=False)
    assert seen(stocked(own, kits=(FOR_HOME,))).what_changed == ()
    others = stocked(
        in_kits(DISH, owner=HouseholdId("i"), is_shared=False),
        kits=(FOR_HOME,),
        homes=(PAIR, home(woman("c"), id_="i")),
    )
    assert [one.trouble for one in seen(others).what_changed] == [ItemTrouble.KEPT_BY_ANOTHER]


def test_a_kit_that_is_not_there_or_not_closed_is_said_to_be_so() -> None:
    with pytest.raises(NotThere, match="no closed kit 'k'"):
        seen(stocked(in_kits(DISH)))
