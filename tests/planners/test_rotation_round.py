"""A round finds what is due, and proposes for each lot and kit one thing that can be done with it.

Worked by hand from one day: 14 May 2027, after the round of 1 March and before that of 1 September.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import HouseholdId, MemberId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.partners import Partner
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Reach, Restriction
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.rotation import plan_rotation
from daysworth.planners.rotation_round import plan_round
from daysworth.planners.round_proposals import (
    DueLot,
    Proposal,
    RoundAction,
    RoundFigures,
    RoundPlan,
)
from daysworth.planners.round_worklist import worklist
from tests.planners.one_home import BREAD, also, filled, home, lot, store, woman
from tests.planners.receiving import partner_on
from tests.planners.small_stores import AS_OF, food
from tests.planners.warned_homes import (
    PEANUT,
    READY,
    SOY,
    SPREAD,
    STEW,
    TRACES,
    avoiding,
    infant,
    read,
)

SPRING: Final = date(2027, 3, 1)
AUTUMN: Final = date(2027, 9, 1)
SALT: Final = also(food("salt", kcal=0, protein_g=0, net_g=150, group=FoodGroup.CONDIMENTS))
TWO_HOMES: Final = (home(woman("a"), id_="h"), home(woman("b"), id_="k"))


def good_for(days: int, of: Food = BREAD, units: int = 4, **more: object) -> Lot:
    """Make a lot that may be eaten on so many days, today the first of them."""
    printed = (AS_OF + timedelta(days=days - 1)).isoformat()
    return lot(of, units, printed=printed, **more)


def on(days: int, name: str = "Night shelter", **more: object) -> Partner:
    """Make a partner who receives so many days from today."""
    return partner_on(AS_OF + timedelta(days=days), name=name, **more)  # type: ignore[arg-type]


def planned(snapshot: Snapshot, *partners: Partner) -> RoundPlan:
    return plan_round(replace(snapshot, partners=partners), AS_OF)


def due(
    *lots: Lot, homes: Sequence[Household] = (), partners: Sequence[Partner] = ()
) -> list[DueLot]:
    return list(planned(store(homes, lots), *partners).lots)


def proposed(
    *lots: Lot, homes: Sequence[Household] = (), partners: Sequence[Partner] = ()
) -> Proposal:
    """Give the proposal for what is due first."""
    return due(*lots, homes=homes, partners=partners)[0].proposal


def parted(said: Proposal) -> dict[str, int]:
    return {portion.household: portion.units for portion in said.portions}


# --- what is due ---


@pytest.mark.parametrize(
    ("printed", "is_due"),
    [("2027-05-14", True), ("2027-08-31", True), ("2027-09-01", False), ("2027-08", True)],
)
def test_a_lot_is_due_that_passes_its_date_before_the_next_round(
    printed: str, is_due: bool
) -> None:
    assert bool(due(lot(BREAD, 1, printed=printed))) is is_due


def test_what_is_due_by_its_date_is_what_coverage_and_the_notice_list() -> None:
    snapshot = store(lots=[good_for(days) for days in (300, 20, 1, 110, 111, 90)])
    listed = [item.lot.id for item in plan_rotation(snapshot, AS_OF).due]
    assert [found.item.lot.id for found in planned(snapshot).lots] == listed == ["2", "1", "5", "3"]


def test_units_in_kits_and_promised_ones_are_not_proposed() -> None:
    (found,) = due(good_for(9, units=7, units_in_kits=2, units_promised=1))
    assert found.units == 4
    assert due(good_for(9, units=3, units_in_kits=2, units_promised=1)) == []


def test_past_and_damaged_lots_are_thrown_away_today_and_no_partner_gets_them() -> None:
    lots = (good_for(0), good_for(400, condition=Condition.DAMAGED))
    found = due(*lots, partners=(on(0),))
    assert [(one.proposal.action, one.proposal.action_on, one.units) for one in found] == [
        (RoundAction.DISCARD, AS_OF, 4)
    ] * 2


def test_a_damaged_lot_without_a_date_is_due_too() -> None:
    bare = replace(lot(BREAD, 2), label_kind=LabelKind.UNLABELLED, printed=None)
    (found,) = due(replace(bare, condition=Condition.DAMAGED))
    assert (found.proposal.action, found.proposal.action_on) == (RoundAction.DISCARD, AS_OF)


def test_undated_and_quarantined_lots_are_to_be_looked_at_and_nothing_is_proposed() -> None:
    undated = replace(lot(BREAD, 2), label_kind=LabelKind.UNLABELLED, printed=None)
    aside = good_for(3, of=STEW, condition=Condition.QUARANTINED)
    plan = planned(store(lots=[aside, undated, replace(undated, units=0)]))
    assert plan.lots == ()
    assert [item.food.name for item in plan.looked_at] == ["bread", "stew"]


# --- eaten first ---


def test_a_home_is_proposed_half_of_what_it_eats_until_the_last_good_day() -> None:
    """Ten days of 2,000 kcal, half of it: ten packs of 1,000 kcal."""
    said = proposed(good_for(10, units=300))
    assert (said.action, said.units, parted(said)) == (RoundAction.EAT_FIRST, 10, {"h": 10})
    assert said.action_on == AS_OF + timedelta(days=9)
    assert (said.rest_units, said.rest_action) == (290, RoundAction.DISCARD)
    assert said.rest_on == AS_OF + timedelta(days=10)


def test_what_is_given_of_one_lot_leaves_less_room_for_the_next() -> None:
    """Room for four packs until day 4 and for six until day 6: two are left for the second lot."""
    found = due(good_for(6, units=9), good_for(4, units=9))
    assert [(one.proposal.units, one.proposal.rest_units) for one in found] == [(4, 5), (2, 7)]


def test_nobody_is_proposed_more_than_a_serving_of_one_food_a_day() -> None:
    """A tin of 400 kcal has 400 / 245 servings: ten days take six, though energy allows 25."""
    assert proposed(good_for(10, of=STEW, units=99)).units == 6


def test_food_without_energy_goes_by_servings_alone() -> None:
    """150 g of salt are ten servings of 15 g: a pack in ten days."""
    assert proposed(good_for(10, of=SALT, units=9)).units == 1
    assert proposed(good_for(9, of=SALT, units=9)).action is RoundAction.DISCARD


def test_units_are_parted_among_homes_in_proportion_to_their_needs() -> None:
    homes = (home(woman("a"), id_="h"), home(woman("b"), woman("c"), woman("d"), id_="k"))
    assert parted(proposed(good_for(100, units=40), homes=homes)) == {"h": 10, "k": 30}


def test_the_home_with_the_least_load_comes_first() -> None:
    kept = good_for(9, units=3, is_shared=False, owner=HouseholdId("h"))
    found = due(kept, good_for(10, units=3), homes=TWO_HOMES)
    assert [parted(one.proposal) for one in found] == [{"h": 3}, {"k": 3}]


def test_a_home_where_somebody_dislikes_a_food_comes_last() -> None:
    homes = (home(woman("a", dislikes=("bread",)), id_="h"), home(woman("b"), id_="k"))
    assert parted(proposed(good_for(10, units=10), homes=homes)) == {"k": 10}
    assert parted(proposed(good_for(10, units=12), homes=homes)) == {"h": 2, "k": 10}


def test_what_does_not_suit_everybody_at_home_goes_to_others() -> None:
    alone = replace(PEANUT, reach=Reach.PERSON)
    for restriction in (PEANUT, alone):
        homes = (home(avoiding(restriction), woman("b"), id_="h"), home(woman("c"), id_="k"))
        assert set(parted(proposed(good_for(30, of=SPREAD, units=9), homes=homes))) == {"k"}


def test_what_is_not_known_to_suit_is_proposed_to_nobody() -> None:
    homes = (home(avoiding(PEANUT)),)
    unread, clear = good_for(30, of=STEW), replace(read(STEW, 4), printed="2027-06-12")
    warned = replace(read(STEW, 4, label=TRACES), printed="2027-06-12")
    assert proposed(unread, homes=homes).action is RoundAction.DISCARD
    assert proposed(warned, homes=homes).action is RoundAction.DISCARD
    assert proposed(clear, homes=homes).action is RoundAction.EAT_FIRST


def test_formula_goes_to_infants_who_are_fed_it_by_their_need_alone() -> None:
    """An infant of three months needs some 600 kcal a day, a pack has 252: half of 20 days."""
    homes = (home(woman("a"), infant(3), id_="h"), home(woman("c"), id_="k"))
    said = proposed(good_for(20, of=READY, units=99), homes=homes)
    assert set(parted(said)) == {"h"}
    assert 15 < said.units < 30
    assert proposed(good_for(20, of=READY, units=9), homes=(homes[1],)).portions == ()


def test_an_infants_formula_leaves_the_others_their_room_for_food() -> None:
    """Ten days of a woman's 2,000 kcal, half of it: ten packs, as if there were no infant."""
    homes = (home(woman("a"), infant(3)),)
    found = due(good_for(9, of=READY, units=99), good_for(10, units=99), homes=homes)
    assert [bool(one.proposal.portions) for one in found] == [True, True]
    assert found[1].proposal.units == 10


def test_of_two_infants_at_home_both_must_be_suited() -> None:
    milk = replace(infant(3), restrictions=())
    fed_soy = replace(infant(3), id=MemberId("c"), restrictions=(Restriction(formula=SOY.formula),))
    for of, homes in ((READY, (home(woman("a"), milk),)), (SOY, (home(woman("a"), fed_soy),))):
        assert proposed(good_for(20, of=of, units=2), homes=homes).portions
        both = (home(woman("a"), milk, fed_soy),)
        assert bool(proposed(good_for(20, of=of, units=2), homes=both).portions) is (of is SOY)


def test_table_food_goes_to_a_home_with_an_infant_by_the_need_of_the_others() -> None:
    said = proposed(good_for(10, units=99), homes=(home(woman("a"), infant(3)),))
    assert said.units == 10


def test_water_goes_by_litres_and_not_by_needs() -> None:
    """Half of 3.785 L for ten days is 18 whole litres, also where somebody avoids something."""
    water = replace(filled(99), printed=(date(2026, 11, 23)).isoformat())
    said = proposed(water, homes=(home(avoiding(PEANUT)),))
    assert (said.units, said.action_on) == (18, date(2027, 5, 23))


def test_a_lot_that_a_household_keeps_is_for_it_alone_or_to_be_thrown_away() -> None:
    kept = good_for(3, units=9, is_shared=False, owner=HouseholdId("h"))
    (found,) = due(kept, homes=TWO_HOMES, partners=(on(1),))
    assert (found.kept_by, parted(found.proposal)) == ("h", {"h": 3})
    assert (found.proposal.rest_action, found.proposal.partner_name) == (RoundAction.DISCARD, None)


def test_a_store_without_households_proposes_no_eating() -> None:
    snapshot = replace(store(lots=[good_for(5)]), households=())
    (found,) = planned(snapshot, on(2)).lots
    assert found.proposal.action is RoundAction.HAND_OFF


# --- which round ---


def test_the_round_is_the_latest_that_there_has_been() -> None:
    plan = planned(store())
    assert (plan.round_on, plan.next_round_on) == (SPRING, AUTUMN)
    on_the_day = plan_round(store(), AUTUMN)
    assert (on_the_day.round_on, on_the_day.next_round_on) == (AUTUMN, date(2028, 3, 1))


def test_a_round_that_is_worked_early_looks_to_the_one_after_it() -> None:
    snapshot = store(
        lots=[lot(BREAD, 1, printed="2028-02-29"), lot(BREAD, 1, printed="2028-03-01")]
    )
    plan = plan_round(snapshot, date(2027, 8, 1), round_on=AUTUMN)
    assert (plan.round_on, plan.next_round_on) == (AUTUMN, date(2028, 3, 1))
    assert [found.item.lot.id for found in plan.lots] == ["0"]


def test_an_earlier_round_that_is_worked_late_looks_ahead_from_today() -> None:
    plan = plan_round(store(), AS_OF, round_on=date(2026, 9, 1))
    assert (plan.round_on, plan.next_round_on) == (date(2026, 9, 1), AUTUMN)


@pytest.mark.parametrize(
    ("round_on", "as_of", "words"),
    [
        (date(2027, 5, 14), AS_OF, "2027-05-14 is no day of a round by this store's rule"),
        (date(2027, 3, 2), AS_OF, "is no day of a round"),
        (AUTUMN, date(2027, 7, 31), "2027-09-01 lies too far ahead"),
        (date.max, AS_OF, "lies too far ahead"),
        (date(2025, 3, 1), AS_OF, "lies too far back"),
        (date.min, AS_OF, "lies too far back"),
    ],
)
def test_a_day_that_is_no_round_or_out_of_reach_is_refused(
    round_on: date, as_of: date, words: str
) -> None:
    with pytest.raises(ScenarioRefused, match=words):
        plan_round(store(), as_of, round_on=round_on)


def test_a_rule_without_rounds_leaves_nothing_due() -> None:
    undated = replace(lot(BREAD, 2), label_kind=LabelKind.UNLABELLED, printed=None)
    never = store(lots=[good_for(0), undated], rounds_rule="FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")
    plan = planned(never)
    assert (plan.round_on, plan.next_round_on, plan.lots, plan.kits) == (None, None, (), ())
    assert [item.lot.id for item in plan.looked_at] == ["1"]
    assert worklist(plan, never)[0].lines == ()


def test_a_last_round_leaves_due_what_is_past_or_damaged() -> None:
    seldom = "FREQ=YEARLY;INTERVAL=9;BYMONTH=3;BYMONTHDAY=1"
    plan = planned(store(lots=[good_for(0), good_for(2)], rounds_rule=seldom))
    assert (plan.round_on, plan.next_round_on) == (SPRING, None)
    assert [found.item.lot.id for found in plan.lots] == ["0"]


# --- figures and the worklist ---


def test_figures_are_summed_by_what_becomes_of_the_units() -> None:
    """Packs of bread are 200 g and 1,000 kcal; two are eaten in two days, the others are not."""
    plan = planned(store(lots=[good_for(2, units=5), good_for(0, units=1, net_mass_g=100.0)]))
    assert plan.totals == {
        RoundAction.EAT_FIRST: RoundFigures(2, 400, 2_000),
        RoundAction.HAND_OFF: RoundFigures(0, 0, 0),
        RoundAction.DISCARD: RoundFigures(4, 700, 3_500),
        RoundAction.EAT_WHOLE: RoundFigures(0, 0, 0),
        RoundAction.UNPACK: RoundFigures(0, 0, 0),
    }
    assert [found.figures for found in plan.lots] == [
        RoundFigures(1, 100, 500),
        RoundFigures(5, 1_000, 5_000),
    ]


def test_places_are_listed_as_they_are_walked_and_lots_by_their_dates() -> None:
    places = (
        Place(id=PlaceId("hall"), name="Hall", walk_position=2),
        Place(id=PlaceId("attic"), name="Attic", walk_position=2),
        Place(id=PlaceId("yard"), name="Yard", walk_position=1),
        Place(id=PlaceId("cellar"), name="Cellar", walk_position=0),
    )
    undated = replace(lot(BREAD, 2), label_kind=LabelKind.UNLABELLED, printed=None)
    lots = [
        *(good_for(days, place=PlaceId("hall")) for days in (9, 3, 0)),
        good_for(2, place=PlaceId("attic")),
        good_for(300, place=PlaceId("cellar")),
        replace(undated, place=PlaceId("yard")),
    ]
    snapshot = replace(store(lots=[replace(one, place=PlaceId("hall")) for one in lots]))
    moved = tuple(
        replace(held, place=made.place) for held, made in zip(snapshot.lots, lots, strict=True)
    )
    snapshot = replace(snapshot, places=places, lots=moved)
    found = worklist(planned(snapshot), snapshot)
    assert [work.place.name for work in found] == ["Yard", "Attic", "Hall"]
    lines = [[one.item.lot.id for one in work.lines if isinstance(one, DueLot)] for work in found]
    assert lines == [[], ["3"], ["2", "1", "0"]]
    assert [[item.lot.id for item in work.looked_at] for work in found] == [["5"], [], []]
