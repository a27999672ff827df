"""A kit is checked by its rules, its figures, and for everybody who is to eat of it."""

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.domain.errors import FieldsRefused, ScenarioRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.domain.meal_patterns import MealRule, Served, Waiver
from daysworth.domain.people import AgeBand
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from daysworth.domain.verdicts import Verdict
from daysworth.planners.diners import persons_at_table
from daysworth.planners.kit_check import ItemAsked
from daysworth.planners.kit_contents import ItemTrouble
from daysworth.planners.warnings import plan_warnings
from tests.planners.bags import (
    DISH,
    FRUIT,
    HOME,
    PAIR,
    TINNED,
    WARES,
    checked,
    items,
    stocked,
)
from tests.planners.one_home import home, lot, woman
from tests.planners.small_stores import AS_OF, small_store
from tests.planners.warned_homes import (
    BEANS,
    DOUBT,
    PEANUT,
    SPREAD,
    STEW,
    TRACES,
    VEGETARIAN,
    avoiding,
    infant,
    read,
)

NEXT_YEAR: Final = "2028-05-14"


# --- rules and figures ---


def test_a_whole_meal_for_two_passes_every_rule() -> None:
    found = checked(stocked(read(DISH, 4)), *items("0", units=2), wares=WARES)
    assert [one.rule for one in found.rules] == list(MealRule)
    assert found.failed == ()
    assert found.is_sound


def test_what_fails_is_named_and_what_is_waived_is_not_held_against_it() -> None:
    snapshot = stocked(read(TINNED, 4))
    found = checked(snapshot, *items("0", units=2), wares=WARES)
    assert [one.rule for one in found.failed] == [MealRule.OPENER]
    assert not found.is_sound
    why = Waiver(rule=MealRule.OPENER, why="They have one.")
    assert checked(snapshot, *items("0", units=2), wares=WARES, waivers=(why,)).is_sound


def test_the_figures_are_those_of_all_units_and_of_each_person() -> None:
    """By hand: two pouches of 1,000 kcal, 40 g of protein and 400 g each."""
    totals = checked(stocked(read(DISH, 4)), *items("0", units=2)).totals
    assert (totals.persons, totals.mass_g) == (2, 800)
    assert (totals.energy_kcal, totals.energy_kcal_each) == (2_000, 1_000)
    assert (totals.protein_g, totals.protein_g_each) == (80, 40)


def test_a_lot_of_another_net_mass_is_reckoned_by_it() -> None:
    found = checked(stocked(read(DISH, 4, net_mass_g=200.0)), *items("0"))
    assert (found.totals.mass_g, found.totals.energy_kcal) == (200, 500)


def test_it_is_to_be_pulled_by_the_earliest_day_of_all() -> None:
    snapshot = stocked(read(DISH), read(FRUIT, label_kind=LabelKind.USE_BY, printed=NEXT_YEAR))
    found = checked(snapshot, *items("0", "1"))
    assert found.pull_by_day == date(2028, 5, 14)


def test_one_thing_without_a_date_leaves_no_day_to_pull_it_by() -> None:
    undated = read(FRUIT, label_kind=LabelKind.UNLABELLED, printed=None)
    found = checked(stocked(read(DISH), undated), *items("0", "1"))
    assert found.pull_by_day is None
    assert [one.trouble for one in found.troubled] == [ItemTrouble.UNDATED]


def test_six_months_are_counted_from_the_day_of_packing() -> None:
    snapshot = stocked(read(DISH, 2, label_kind=LabelKind.USE_BY, printed="2027-11-14"))
    rules = {
        day: [one.rule for one in checked(snapshot, *items("0"), packed_on=day).failed]
        for day in (AS_OF, AS_OF + timedelta(days=1))
    }
    assert MealRule.KEEPS not in rules[AS_OF]
    assert MealRule.KEEPS in rules[AS_OF + timedelta(days=1)]


def test_an_opener_is_needed_where_a_tin_has_no_tab() -> None:
    snapshot = stocked(read(DISH), read(TINNED))
    assert not checked(snapshot, *items("0")).needs_opener
    assert checked(snapshot, *items("0", "1")).needs_opener


def test_food_that_is_not_stock_is_checked_by_what_is_said_of_it() -> None:
    snapshot = stocked(read(DISH))
    cups = ItemAsked(
        food=FRUIT.id, units=2, net_mass_g=70.0, last_good_day=AS_OF, served=Served.OWN_PACK
    )
    held = replace(snapshot, foods=(*snapshot.foods, FRUIT))
    found = checked(held, cups)
    assert (found.totals.mass_g, found.pull_by_day) == (140, AS_OF)
    assert (found.troubled, found.allergens.is_read) == ((), False)
    past = checked(held, replace(cups, last_good_day=AS_OF - timedelta(days=1)))
    assert [one.trouble for one in past.troubled] == [ItemTrouble.PAST]
    undated = checked(held, replace(cups, last_good_day=None))
    assert [one.trouble for one in undated.troubled] == [ItemTrouble.UNDATED]


@pytest.mark.parametrize(
    ("more", "trouble"),
    [
        ({"condition": Condition.DAMAGED}, ItemTrouble.DAMAGED),
        ({"condition": Condition.QUARANTINED}, ItemTrouble.QUARANTINED),
        ({"label_kind": LabelKind.USE_BY, "printed": "2027-05-13"}, ItemTrouble.PAST),
        ({"owner": HouseholdId("i"), "is_shared": False}, ItemTrouble.KEPT_BY_ANOTHER),
    ],
)
def test_what_nobody_may_be_given_is_told_and_the_kit_is_not_sound(
    more: dict[str, object], trouble: ItemTrouble
) -> None:
    homes = (PAIR, home(woman("c"), id_="i"))
    dish = replace(read(DISH, 4), **more)  # type: ignore[arg-type]
    found = checked(stocked(dish, homes=homes), *items("0", units=2), wares=WARES)
    assert [one.trouble for one in found.troubled] == [trouble]
    assert not found.is_sound


def test_what_a_household_keeps_for_itself_may_go_in_its_own_kit() -> None:
    own = read(DISH, 4, owner=HOME, is_shared=False)
    assert checked(stocked(own), *items("0"), household=HOME).troubled == ()


# --- whom it serves ---


def test_a_household_is_served_by_those_who_eat_at_its_table() -> None:
    """By hand: two women of 2,000 kcal; the infant eats no table food."""
    people = home(woman("a"), woman("c"), infant(8))
    found = checked(stocked(read(DISH), homes=(people,)), *items("0"), household=HOME)
    assert (found.diners.persons, found.diners.energy_kcal_day) == (2, 4_000)


def test_persons_of_whom_nothing_is_known_need_the_mean_of_the_store() -> None:
    """By hand: women of 2,000 kcal."""
    found = checked(stocked(read(DISH)), *items("0"), persons=3)
    assert (found.diners.persons, found.diners.energy_kcal_day) == (3, 6_000)


# --- whom it does not suit ---


def test_a_peanut_allergy_is_warned_of_every_time() -> None:
    for seed in range(60):
        drawn = random.Random(seed)
        lots = [
            read(drawn.choice((DISH, STEW, BEANS, FRUIT)), 2) for _ in range(drawn.randint(0, 4))
        ]
        lots.append(
            lot(SPREAD, 2, condition=drawn.choice(tuple(Condition)), printed=str(2027 + seed % 3))
            if seed % 2
            else read(STEW, 2, label=TRACES)
        )
        snapshot = stocked(*lots, homes=(home(avoiding(PEANUT)),))
        asked = [str(n) for n in range(len(lots))]
        drawn.shuffle(asked)
        found = checked(snapshot, *items(*asked), household=HOME)
        assert found.unsuited[0].verdict is Verdict.UNSUITABLE
        last = str(len(lots) - 1)
        assert last in {item.lot.id for one in found.unsuited for item in one.lots}
        assert not found.is_sound


def test_what_is_unknown_is_never_suitable() -> None:
    for unread in (lot(STEW, 2), read(STEW, 2, label=DOUBT)):
        snapshot = stocked(unread, homes=(home(avoiding(PEANUT)),))
        (warning,) = checked(snapshot, *items("0"), household=HOME).unsuited
        assert warning.verdict is Verdict.UNKNOWN


def test_food_that_is_not_stock_is_unknown_for_an_allergy_whatever_is_on_the_shelf() -> None:
    snapshot = stocked(read(STEW, 5), homes=(home(avoiding(PEANUT)),))
    asked = ItemAsked(food=STEW.id, units=1, last_good_day=AS_OF)
    (warning,) = checked(snapshot, asked, household=HOME).unsuited
    assert (warning.verdict, warning.lots) == (Verdict.UNKNOWN, ())


def test_the_worst_comes_first_with_the_need_and_the_words_behind_it() -> None:
    snapshot = stocked(lot(STEW, 2), lot(SPREAD, 2), homes=(home(avoiding(PEANUT)),))
    worst, other = checked(snapshot, *items("0", "1"), household=HOME).unsuited
    assert (worst.offer.food.id, worst.verdict) == ("spread", Verdict.UNSUITABLE)
    assert (other.offer.food.id, other.verdict) == ("stew", Verdict.UNKNOWN)
    assert "peanut" in worst.findings[0].reason.words
    assert worst.findings[0].reason.substances == {Substance.PEANUT}
    assert worst.findings[0].binds_home


def test_a_suitable_lot_of_the_same_part_of_the_meal_is_named_to_put_in_instead() -> None:
    snapshot = stocked(
        lot(SPREAD, 2), read(BEANS, 3), read(FRUIT, 3), homes=(home(avoiding(PEANUT)),)
    )
    (warning,) = checked(snapshot, *items("0"), household=HOME).unsuited
    assert warning.instead is not None
    assert warning.instead.lot.id == "1"


def test_nothing_is_named_instead_where_nothing_of_its_kind_suits() -> None:
    snapshot = stocked(lot(SPREAD, 2), read(FRUIT, 3), homes=(home(avoiding(PEANUT)),))
    (warning,) = checked(snapshot, *items("0"), household=HOME).unsuited
    assert warning.instead is None


def test_a_kit_is_warned_of_with_the_mark_that_its_lot_has_on_the_shelf() -> None:
    snapshot = stocked(lot(SPREAD, 2), read(BEANS, 3), homes=(home(avoiding(PEANUT)),))
    (kit,) = checked(snapshot, *items("0"), household=HOME).warnings
    (shelf,) = plan_warnings(snapshot, AS_OF, household=HOME).warnings
    assert (kit.mark, kit.instead, kit.findings) == (shelf.mark, shelf.instead, shelf.findings)


def test_what_is_on_the_shelf_and_not_in_the_kit_is_not_warned_of() -> None:
    snapshot = stocked(lot(SPREAD, 2), read(DISH, 4), homes=(home(avoiding(PEANUT)),))
    found = checked(snapshot, *items("1", units=1), household=HOME, wares=WARES)
    assert found.warnings == ()


def test_one_who_may_not_eat_of_it_is_enough_though_the_rest_may() -> None:
    alone = Restriction(allergy=Substance.PEANUT, reach=Reach.PERSON)
    snapshot = stocked(lot(SPREAD, 2), homes=(home(woman("b"), avoiding(alone)),))
    (warning,) = checked(snapshot, *items("0"), household=HOME).unsuited
    assert [one.members for one in warning.findings] == [("a",)]


def test_a_diet_is_warned_of_like_an_allergy() -> None:
    snapshot = stocked(lot(STEW, 2), homes=(home(avoiding(VEGETARIAN)),))
    (warning,) = checked(snapshot, *items("0"), household=HOME).unsuited
    assert warning.verdict is not Verdict.SUITABLE


def test_a_medical_diet_is_for_the_care_team_and_is_never_told_that_it_suits() -> None:
    renal = Restriction(diet=Diet.RENAL)
    found = checked(
        stocked(read(DISH), homes=(home(avoiding(renal)),)), *items("0"), household=HOME
    )
    assert found.asks_care_team
    assert not checked(stocked(read(DISH)), *items("0"), household=HOME).asks_care_team


def test_what_is_for_another_age_is_no_fault_of_the_food() -> None:
    snapshot = stocked(read(DISH), homes=(home(woman("a"), infant(8)),))
    assert checked(snapshot, *items("0"), household=HOME).warnings == ()


def test_a_kit_for_anybody_has_no_warnings_and_tells_its_allergens() -> None:
    found = checked(stocked(lot(SPREAD, 2), read(DISH)), *items("0", "1"))
    assert found.warnings == ()
    assert Substance.PEANUT in found.allergens.present
    assert not found.allergens.is_read


# --- what cannot be asked ---


def test_items_that_the_store_has_not_are_named_all_at_once() -> None:
    snapshot = stocked(read(DISH, 2))
    asked = (
        ItemAsked(lot=LotId("99"), units=1),
        ItemAsked(lot=LotId("0"), units=3),
        ItemAsked(food=FoodId("nothing"), units=1),
    )
    with pytest.raises(FieldsRefused) as refused:
        checked(snapshot, *asked)
    assert [fault.where for fault in refused.value.faults] == [
        "items number 1",
        "items number 2",
        "items number 3",
    ]
    assert "there are 2 of the lot '0', and not 3" in str(refused.value)


def test_a_lot_is_named_once() -> None:
    with pytest.raises(FieldsRefused, match="stands 2 times"):
        checked(stocked(read(DISH, 4)), *items("0", "0"))


def test_an_item_is_a_lot_or_a_food_and_a_lot_has_its_own_date() -> None:
    for facts in ({}, {"lot": "0", "food": "dish"}):
        with pytest.raises(ValueError, match="a lot or a food"):
            ItemAsked(units=1, **facts)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="its own date"):
        ItemAsked(units=1, lot=LotId("0"), last_good_day=AS_OF)


@pytest.mark.parametrize(
    ("whom", "words"),
    [
        ({"persons": 0}, "serves 1 to 24 persons"),
        ({"persons": 25}, "serves 1 to 24 persons"),
        ({"persons": None}, "say whom"),
        ({"household": HouseholdId("nobody")}, "no household 'nobody'"),
        ({"household": HouseholdId("baby")}, "eats from the table"),
        ({"household": HouseholdId("crowd")}, "and not 25"),
    ],
)
def test_whom_a_kit_cannot_serve_is_refused_in_words(whom: dict[str, object], words: str) -> None:
    crowd = home(*(woman(f"w{n}") for n in range(25)), id_="crowd")
    baby = home(infant(3), id_="baby")
    snapshot = stocked(read(DISH), homes=(home(woman("z"), id_="y"), crowd, baby))
    with pytest.raises(ScenarioRefused, match=words):
        checked(snapshot, *items("0"), **whom)


def test_a_store_without_members_takes_the_planning_figure() -> None:
    """Sphere Handbook (2011): 2,100 kcal a person and day."""
    held = stocked(read(DISH))
    found = checked(replace(held, households=()), *items("0"), persons=2)
    assert found.diners.energy_kcal_day == 4_200


def test_a_small_child_at_the_table_needs_its_own_and_is_warned_of_choking() -> None:
    child = woman("c", born_on=None, age_band=AgeBand(from_years=2, to_years=2))
    nuts = replace(SPREAD, id=FoodId("nuts"), name="nuts", is_choking_hazard=True)
    held = stocked(read(DISH), homes=(home(woman("a"), child),))
    snapshot = replace(held, foods=(*held.foods, nuts))
    found = checked(snapshot, ItemAsked(food=nuts.id, units=1), household=HOME)
    assert found.diners.persons == 2
    assert 2_000 < found.diners.energy_kcal_day < 3_500
    assert [one.offer.food.id for one in found.warnings] == ["nuts"]


def test_all_that_the_shelf_warns_of_is_warned_of_in_a_kit_and_nothing_else() -> None:
    seen = 0
    for seed in range(60):
        snapshot, _ = small_store(seed)
        asked = [ItemAsked(lot=one.id, units=1) for one in snapshot.lots if one.units > 0][:60]
        homes = [one for one in snapshot.households if persons_at_table(one, AS_OF)]
        if not (asked and homes):
            continue
        found = checked(snapshot, *asked, household=homes[0].id)
        shelf = plan_warnings(snapshot, AS_OF, household=homes[0].id).warnings
        given = {one.lot for one in asked}
        on_it = {one.mark: one for one in shelf if given & {item.lot.id for item in one.lots}}
        in_kit = {one.mark: one for one in found.warnings}
        seen += len(on_it)
        assert on_it.keys() <= in_kit.keys()
        assert all(in_kit[mark].instead == one.instead for mark, one in on_it.items())
        # The shelf leaves out what can be given to nobody, and what others keep; a kit does not.
        beside = {one.lot_id for one in found.troubled}
        for mark in in_kit.keys() - on_it.keys():
            assert {item.lot.id for item in in_kit[mark].lots} <= beside
    assert seen > 50
