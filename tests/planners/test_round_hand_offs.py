"""What finds no home at a round goes on the first visit on which a partner takes it.

Worked by hand from 14 May 2027, in stores of one woman who needs 2,000 kcal a day.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import HouseholdId, LotId, PromiseId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.domain.partners import AcceptanceRule
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.planners.rotation_round import plan_round
from daysworth.planners.round_proposals import RoundAction
from tests.planners.one_home import BREAD, WATER, also, filled, store
from tests.planners.receiving import MORNING, window_on
from tests.planners.small_stores import AS_OF
from tests.planners.test_rotation_round import good_for, on, planned, proposed
from tests.planners.warned_homes import READY


def test_what_finds_no_home_goes_on_the_first_visit_in_time() -> None:
    partners = (on(7, "Late"), on(3, "Second"), on(2, "Fish only", only=()), on(-1, "Before"))
    said = proposed(good_for(4, units=9), partners=partners)
    assert (said.units, said.rest_units, said.rest_action) == (4, 5, RoundAction.HAND_OFF)
    assert (said.rest_on, said.partner_name) == (AS_OF + timedelta(days=3), "Second")
    late = proposed(good_for(3, units=9), partners=partners)
    assert (late.rest_action, late.partner_name) == (RoundAction.DISCARD, None)


def test_of_a_partner_who_receives_often_it_is_the_first_day_of_all_its_windows() -> None:
    late = window_on(*(AS_OF + timedelta(days=days) for days in (2, 4, 6)), id_="late", hour=18)
    many = replace(on(4), windows=(on(4).windows[0], late))
    found = [proposed(good_for(days, units=99), partners=(many,)) for days in (9, 2)]
    assert [one.rest_on for one in found] == [AS_OF + timedelta(days=2)] * 2


def test_of_two_visits_on_one_day_it_is_the_earlier_by_the_clock() -> None:
    partners = (on(3, "A shelter", hour=15), on(3, "B shelter", hour=10))
    assert proposed(good_for(9, units=99), partners=partners).partner_name == "B shelter"


def test_a_partner_takes_only_the_groups_it_names() -> None:
    fish = on(1, "Fish kitchen", only={FoodGroup.FISH})
    meals = on(2, only={FoodGroup.PREPARED_MEALS})
    said = proposed(good_for(9, units=99), partners=(fish, meals))
    assert (said.rest_on, said.partner_name) == (AS_OF + timedelta(days=2), "Night shelter")


@pytest.mark.parametrize(("notice_days", "action"), [(3, "hand_off"), (4, "discard")])
def test_a_visit_counts_as_long_as_its_notice_can_still_be_kept(
    notice_days: int, action: str
) -> None:
    said = proposed(good_for(9, units=99), partners=(on(3, notice_days=notice_days),))
    assert said.rest_action == action


def test_a_partner_who_asks_for_days_left_is_passed_over_when_there_are_fewer() -> None:
    asks = on(1, "Careful kitchen", rules=(AcceptanceRule(least_days_left=9),))
    for days, name in ((12, "Careful kitchen"), (11, "Careful kitchen"), (10, "Night shelter")):
        said = proposed(good_for(days, units=99), partners=(asks, on(2)))
        assert said.partner_name == name


def test_what_is_past_a_best_by_date_goes_to_a_partner_who_takes_it_so() -> None:
    """Two days past on the day, of three that are taken; never past a use-by date."""
    takes = on(1, rules=(AcceptanceRule(least_days_left=-3),))
    past = good_for(0, label_kind=LabelKind.BEST_BY)
    said = proposed(past, partners=(takes,))
    assert (said.action, said.units) == (RoundAction.HAND_OFF, 4)
    assert (said.action_on, said.partner_name) == (AS_OF + timedelta(days=1), "Night shelter")
    for other in (
        good_for(0),
        good_for(-2, label_kind=LabelKind.BEST_BY),
        replace(past, condition=Condition.DAMAGED),
        replace(past, is_shared=False, owner=HouseholdId("h")),
    ):
        thrown = proposed(other, partners=(takes,))
        assert (thrown.action, thrown.action_on) == (RoundAction.DISCARD, AS_OF)


def test_a_visit_that_is_full_by_what_is_promised_is_passed_over() -> None:
    """A pack is 200 g. Three are promised for a visit that takes 0.7 kg, or three units."""
    for bound, name in (
        ({"most_kg": 0.7}, "Second"),
        ({"most_kg": 0.8}, "First"),
        ({"vehicle_kg": 0.7}, "Second"),
        ({"most_units": 3}, "Second"),
        ({"most_units": 4}, "First"),
        ({"rules": (AcceptanceRule(most_units_per_visit=3),)}, "Second"),
    ):
        first, second = on(2, "First", **bound), on(3, "Second")
        snapshot = replace(
            store(lots=[good_for(9, units=99, units_promised=3)]), partners=(first, second)
        )
        promise = Promise(
            id=PromiseId("p"),
            partner=first.id,
            window=MORNING,
            opens_at=first.windows[0].recurrence.starts_at,
            items=(PromisedLot(lot=LotId("0"), units=3),),
        )
        (found,) = plan_round(replace(snapshot, promises=(promise,)), AS_OF).lots
        assert found.proposal.partner_name == name, bound


def test_no_visit_is_looked_for_more_than_two_years_ahead() -> None:
    takes = (AcceptanceRule(least_days_left=-3_000),)
    held = good_for(9, units=99, label_kind=LabelKind.BEST_BY)
    for days, action in ((731, RoundAction.HAND_OFF), (732, RoundAction.DISCARD)):
        assert proposed(held, partners=(on(days, rules=takes),)).rest_action is action


def test_no_partner_is_named_where_everything_is_eaten() -> None:
    said = proposed(good_for(9), partners=(on(1),))
    assert (said.rest_units, said.rest_action, said.rest_on) == (0, None, None)
    assert said.partner_name is None


@pytest.mark.parametrize(("days", "action"), [(30, "discard"), (31, "hand_off")])
def test_formula_is_handed_off_with_thirty_days_left(days: int, action: str) -> None:
    said = proposed(good_for(days, of=READY), partners=(on(0),))
    assert said.action == action


def test_a_partner_goes_by_the_printed_date_and_not_by_our_grace() -> None:
    held = good_for(3, units=99, label_kind=LabelKind.BEST_BY)
    snapshot = store(lots=[held], grace_days={FoodGroup.PREPARED_MEALS: 10})
    for days, action in ((2, RoundAction.HAND_OFF), (3, RoundAction.DISCARD)):
        (found,) = planned(snapshot, on(days)).lots
        assert found.proposal.action_on == AS_OF + timedelta(days=12)
        assert found.proposal.rest_action is action


def test_what_was_opened_or_filled_here_is_not_handed_off() -> None:
    bread = also(replace(BREAD, id="loaf", name="loaf", keeps_opened_days=20))  # type: ignore[arg-type]
    opened = good_for(9, of=bread, units=99, opened_on=AS_OF)
    water = replace(filled(99), printed="2026-11-23")
    bottled = good_for(9, of=WATER, units=99)
    rests = [proposed(each, partners=(on(1),)).rest_action for each in (opened, water, bottled)]
    assert rests == [RoundAction.DISCARD, RoundAction.DISCARD, RoundAction.HAND_OFF]
