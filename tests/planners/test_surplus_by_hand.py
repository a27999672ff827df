"""Surplus of stores that can be reckoned by hand: what goes, on which visit, and why some stays."""

from collections import Counter
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Final

import pytest

from daysworth.domain.acceptance import Refusal
from daysworth.domain.errors import PlanningStopped, ScenarioRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import HouseholdId, LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.recurrence import Recurrence
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import dated_lots
from daysworth.planners.stopping import heeding
from daysworth.planners.surplus import plan_surplus
from daysworth.planners.surplus_candidates import candidates_of
from daysworth.planners.surplus_match import Match
from daysworth.planners.surplus_plan import SurplusAim, SurplusAsked, SurplusPlan, WhyStays
from daysworth.planners.surplus_program import MatchProgram
from daysworth.planners.surplus_shelf import NOT_EATEN
from daysworth.planners.surplus_visits import visits_of
from tests.planners.one_home import BREAD, STARCH, also, filled, lot, store
from tests.planners.small_stores import AS_OF, food

UNTIL: Final = AS_OF + timedelta(days=30)
FORMULA: Final = also(
    food("spare formula", kcal=70, protein_g=1.5, net_g=500, group=FoodGroup.INFANT_FORMULA)
)
BOTTLE: Final = also(food("spare bottle", kcal=0, protein_g=0, net_g=1_000, group=FoodGroup.WATER))
SALT: Final = also(food("spare salt", kcal=0, protein_g=0, net_g=100, is_extra=True))
FREE: Final = SurplusAsked(floor_days=0, until_on=UNTIL)
"""No floor, and a month ahead."""


def soon(of: Food, units: int, *, ahead: int, **more: object) -> Lot:
    """Make a lot whose best-by date is some days ahead."""
    facts: dict[str, object] = {"label_kind": LabelKind.BEST_BY, "printed": day(ahead).isoformat()}
    return lot(of, units, **{**facts, **more})


def day(ahead: int) -> date:
    """Give the date some days ahead."""
    return AS_OF + timedelta(days=ahead)


def window(*ahead: int, **more: object) -> Window:
    """Make a window that opens on days ahead."""
    at = [datetime.combine(day(one), time(9)) for one in ahead]
    recurrence = Recurrence(starts_at=at[0], timezone="UTC", also_at=tuple(at[1:]))
    return Window(id=WindowId("w"), recurrence=recurrence, minutes=60, **more)  # type: ignore[arg-type]


def partner(*windows: Window, id_: str = "p", **more: object) -> Partner:
    """Make a partner with windows."""
    return Partner(id=PartnerId(id_), name=f"Kitchen {id_}", windows=windows, **more)  # type: ignore[arg-type]


def stocked(*lots: Lot, partners: tuple[Partner, ...], litres: int = 400) -> Snapshot:
    """Make a store of one woman, who needs 2,000 kcal a day, with these lots and water."""
    return replace(store((), (*lots, filled(litres))), partners=partners)


def went(plan: SurplusPlan) -> dict[tuple[int, str], int]:
    """Count units by days ahead and lot."""
    found: Counter[tuple[int, str]] = Counter()
    for made in plan.visits:
        for one in made.going:
            found[(made.visit.on - AS_OF).days, one.item.lot.id] += one.units
    return dict(found)


def stays(plan: SurplusPlan) -> dict[str, tuple[int, WhyStays]]:
    """Give by lot how many units stay, and why."""
    return {one.item.lot.id: (one.units, one.why) for one in plan.staying}


# --- the floor ---


def test_as_much_goes_as_leaves_everyone_fed_for_the_floor() -> None:
    # Two days of bread that keeps, and two and a half more until the fifth day. Three days on
    # from the visit take six packs: two of the five have to stay.
    lots = lot(BREAD, 4), soon(BREAD, 5, ahead=5)
    asked = SurplusAsked(floor_days=3, until_on=UNTIL)
    plan = plan_surplus(stocked(*lots, partners=(partner(window(2)),)), AS_OF, asked=asked)
    assert went(plan) == {(2, "1"): 3}
    assert stays(plan) == {"1": (2, WhyStays.FLOOR)}
    assert plan.held_days > 0
    assert plan.below_floor_on == day(6)


def test_a_floor_of_no_days_holds_nothing_back() -> None:
    lots = lot(BREAD, 4), soon(BREAD, 5, ahead=5)
    plan = plan_surplus(stocked(*lots, partners=(partner(window(2)),)), AS_OF, asked=FREE)
    assert went(plan) == {(2, "1"): 5}
    assert (plan.floor_days, plan.held_days, plan.below_floor_on) == (0, 0, None)


def test_a_store_under_its_floor_gives_nothing_that_somebody_could_eat() -> None:
    lots = lot(BREAD, 1), soon(BREAD, 2, ahead=5)
    asked = SurplusAsked(until_on=UNTIL)
    plan = plan_surplus(stocked(*lots, partners=(partner(window(2)),)), AS_OF, asked=asked)
    assert went(plan) == {}
    assert stays(plan) == {"1": (2, WhyStays.FLOOR)}
    assert (plan.floor_days, plan.below_floor_on) == (14, AS_OF)


def test_what_is_past_its_best_by_date_feeds_nobody_here_and_may_go_to_who_takes_it() -> None:
    lots = (
        lot(BREAD, 1),
        soon(BREAD, 2, ahead=5),
        soon(BREAD, 1, ahead=5, label_kind=LabelKind.USE_BY),
    )
    lenient = partner(window(6), rules=(AcceptanceRule(least_days_left=-10),))
    asked = SurplusAsked(until_on=UNTIL)
    plan = plan_surplus(stocked(*lots, partners=(lenient,)), AS_OF, asked=asked)
    assert went(plan) == {(6, "1"): 2}
    assert stays(plan) == {"2": (1, WhyStays.NO_WINDOW)}


def test_the_day_of_the_visit_counts_as_a_day_on_which_it_is_gone() -> None:
    # On the last day of the near packs two of them and two that keep are two days.
    lots = lot(BREAD, 2), soon(BREAD, 4, ahead=3)
    asked = SurplusAsked(floor_days=2, until_on=UNTIL)
    plan = plan_surplus(stocked(*lots, partners=(partner(window(3)),)), AS_OF, asked=asked)
    assert went(plan) == {(3, "1"): 2}


def test_a_store_in_which_nobody_eats_is_held_by_no_floor() -> None:
    made = stocked(soon(BREAD, 5, ahead=5), partners=(partner(window(2)),))
    empty = replace(made, households=())
    plan = plan_surplus(empty, AS_OF, asked=SurplusAsked(until_on=UNTIL))
    assert went(plan) == {(2, "0"): 5}
    assert plan.below_floor_on is None


@pytest.mark.parametrize("litres", [10, 400])
def test_bottled_water_neither_goes_nor_is_said_to_stay_however_much_there_is(litres: int) -> None:
    # 3.785 litres a day: two bottles and ten litres that were filled are three days.
    lots = lot(BREAD, 40), soon(BREAD, 1, ahead=5), soon(BOTTLE, 2, ahead=20)
    asked = SurplusAsked(floor_days=3, until_on=UNTIL)
    made = stocked(*lots, partners=(partner(window(2)),), litres=litres)
    plan = plan_surplus(made, AS_OF, asked=asked)
    assert (went(plan), stays(plan)) == ({(2, "1"): 1}, {})


def test_food_without_energy_goes_along_on_a_visit_that_is_made_anyway() -> None:
    lots = soon(BREAD, 1, ahead=5), soon(SALT, 2, ahead=20)
    made = stocked(*lots, partners=(partner(window(1, 2, 4, most_units=2)),))
    assert went(plan_surplus(made, AS_OF, asked=FREE)) == {(1, "0"): 1, (1, "1"): 1}


# --- the aims in their order ---


def test_what_gives_more_energy_goes_where_a_visit_cannot_take_all() -> None:
    # A pack of either gives 1,000 kcal; one of bread is 200 g, and one of starch 250.
    lots = soon(STARCH, 3, ahead=9), soon(BREAD, 3, ahead=9)
    narrow = partner(window(2, most_kg=0.6))
    plan = plan_surplus(stocked(*lots, partners=(narrow,)), AS_OF, asked=FREE)
    assert went(plan) == {(2, "1"): 3}
    assert stays(plan) == {"0": (3, WhyStays.CAPACITY)}


def test_one_visit_is_made_where_one_takes_all_even_if_another_is_earlier() -> None:
    narrow = partner(window(1, most_units=2))
    wide = partner(window(4), id_="q")
    made = stocked(soon(BREAD, 3, ahead=9), partners=(narrow, wide))
    plan = plan_surplus(made, AS_OF, asked=FREE)
    assert went(plan) == {(4, "0"): 3}
    assert [(one.aim, one.value, one.gap) for one in plan.stages] == [
        (SurplusAim.ENERGY, 3_000, 0),
        (SurplusAim.VISITS, 1, 0),
        (SurplusAim.EARLINESS, 4, 0),
    ]


def test_of_visits_that_do_as_well_the_earliest_is_made() -> None:
    made = stocked(soon(BREAD, 3, ahead=9), partners=(partner(window(5, 2, 7)),))
    assert went(plan_surplus(made, AS_OF, asked=FREE)) == {(2, "0"): 3}


def test_where_two_visits_are_needed_as_much_as_can_goes_on_the_earlier() -> None:
    made = stocked(soon(BREAD, 5, ahead=9), partners=(partner(window(2, 5, most_units=3)),))
    plan = plan_surplus(made, AS_OF, asked=FREE)
    assert went(plan) == {(2, "0"): 3, (5, "0"): 2}
    assert plan.stages[2].value == pytest.approx((3 * 2 + 2 * 5) / 5)


def test_what_passes_its_date_first_goes_first_where_that_saves_more() -> None:
    lots = soon(BREAD, 2, ahead=9), soon(BREAD, 2, ahead=3)
    made = stocked(*lots, partners=(partner(window(2, 5, most_units=2)),))
    assert went(plan_surplus(made, AS_OF, asked=FREE)) == {(2, "1"): 2, (5, "0"): 2}


# --- the bounds of a visit ---


@pytest.mark.parametrize(
    ("bounds", "units"),
    [
        ({"most_kg": 0.5}, 2),
        ({"most_kg": 0.6}, 3),
        ({"most_units": 4}, 4),
        ({"vehicle_kg": 0.2}, 1),
        ({"most_kg": 0.8, "vehicle_kg": 0.5}, 2),
        ({"most_kg": 0.1}, 0),
        ({}, 6),
    ],
)
def test_a_visit_takes_what_its_bounds_and_our_vehicle_allow(
    bounds: dict[str, object], units: int
) -> None:
    made = stocked(soon(BREAD, 6, ahead=9), partners=(partner(window(2, **bounds)),))
    plan = plan_surplus(made, AS_OF, asked=FREE)
    assert went(plan) == ({(2, "0"): units} if units else {})
    assert stays(plan) == ({"0": (6 - units, WhyStays.CAPACITY)} if units < 6 else {})


def test_the_bound_of_a_food_group_is_for_that_group_alone() -> None:
    rule = AcceptanceRule(group=FoodGroup.PREPARED_MEALS, most_units_per_visit=2)
    lots = soon(BREAD, 3, ahead=9), soon(FORMULA, 2, ahead=29)
    more = AcceptanceRule(group=FoodGroup.INFANT_FORMULA, least_days_left=5)
    made = stocked(*lots, partners=(partner(window(2), rules=(rule, more)),))
    assert went(plan_surplus(made, AS_OF, asked=FREE)) == {(2, "0"): 2, (2, "1"): 2}


def test_what_is_promised_for_a_visit_takes_its_room_there_and_nowhere_else() -> None:
    made = stocked(
        soon(BREAD, 6, ahead=9, units_promised=2),
        partners=(partner(window(2, 5, most_units=3)),),
    )
    promise = Promise(
        id=PromiseId("made"),
        partner=PartnerId("p"),
        window=WindowId("w"),
        opens_at=datetime.combine(day(2), time(9)),
        items=(PromisedLot(lot=LotId("0"), units=2),),
    )
    plan = plan_surplus(replace(made, promises=(promise,)), AS_OF, asked=FREE)
    assert went(plan) == {(2, "0"): 1, (5, "0"): 3}
    assert stays(plan) == {}


def test_a_visit_for_which_no_notice_can_be_given_is_not_planned() -> None:
    made = stocked(soon(BREAD, 1, ahead=9), partners=(partner(window(2, notice_days=3)),))
    late = plan_surplus(made, AS_OF, asked=FREE)
    assert (went(late), stays(late)) == ({}, {"0": (1, WhyStays.NO_WINDOW)})
    assert late.open_visits == 0
    made = stocked(soon(BREAD, 1, ahead=9), partners=(partner(window(3, notice_days=3)),))
    assert went(plan_surplus(made, AS_OF, asked=FREE)) == {(3, "0"): 1}


def test_today_is_a_day_on_which_food_may_go_and_the_last_day_of_the_look_ahead_is_none() -> None:
    lots = (soon(BREAD, 2, ahead=29),)
    made = stocked(*lots, partners=(partner(window(0, 30, most_units=1)),))
    plan = plan_surplus(made, AS_OF, asked=FREE)
    assert went(plan) == {(0, "0"): 1}
    assert plan.open_visits == 1


# --- who takes what, and what could spoil ---


def test_units_in_kits_and_promised_are_neither_going_nor_staying() -> None:
    held = soon(BREAD, 9, ahead=9, units_in_kits=2, units_promised=3)
    plan = plan_surplus(stocked(held, partners=(partner(window(2)),)), AS_OF, asked=FREE)
    assert (went(plan), stays(plan)) == ({(2, "0"): 4}, {})


def test_what_goes_to_nobody_says_why() -> None:
    kept = soon(BREAD, 1, ahead=9, is_shared=False, owner=HouseholdId("h"))
    lots = (
        kept,
        soon(BREAD, 1, ahead=9, condition=Condition.DAMAGED),
        soon(BREAD, 1, ahead=9, label_kind=LabelKind.UNLABELLED, printed=None),
        soon(BREAD, 1, ahead=40),
    )
    plan = plan_surplus(stocked(*lots, partners=(partner(window(2)),)), AS_OF, asked=FREE)
    assert went(plan) == {}
    assert stays(plan) == {"1": (1, WhyStays.NEVER_GOES)}
    assert [one.never for one in plan.staying] == [Refusal.NOT_SOUND]


def test_formula_goes_with_thirty_days_left_where_no_rule_is_stated() -> None:
    asked = replace(FREE, until_on=day(60))
    lots = soon(FORMULA, 1, ahead=32), soon(FORMULA, 1, ahead=31)
    plan = plan_surplus(stocked(*lots, partners=(partner(window(2)),)), AS_OF, asked=asked)
    assert went(plan) == {(2, "0"): 1}
    assert stays(plan) == {"1": (1, WhyStays.REFUSED)}
    assert [dict(one.refused_by) for one in plan.staying] == [{"p": Refusal.TOO_FEW_DAYS_LEFT}]


def test_each_partner_that_would_not_have_it_is_named_with_its_rule() -> None:
    excluding = AcceptanceRule(group=FoodGroup.PREPARED_MEALS, takes=False)
    made = stocked(
        soon(BREAD, 1, ahead=9),
        partners=(
            partner(window(2), rules=(excluding,)),
            partner(window(3), id_="q", asks_read_label=True),
            partner(window(4), id_="r", rules=(AcceptanceRule(least_days_left=6),)),
        ),
    )
    plan = plan_surplus(made, AS_OF, asked=FREE)
    assert stays(plan) == {"0": (1, WhyStays.REFUSED)}
    assert dict(plan.staying[0].refused_by) == {
        "p": Refusal.GROUP_NOT_TAKEN,
        "q": Refusal.LABEL_NOT_READ,
        "r": Refusal.TOO_FEW_DAYS_LEFT,
    }


def test_a_partner_measures_the_printed_date_and_not_the_grace_of_the_store() -> None:
    made = stocked(soon(BREAD, 1, ahead=3), partners=(partner(window(4)),))
    graced = replace(
        made, settings=replace(made.settings, grace_days={FoodGroup.PREPARED_MEALS: 10})
    )
    plan = plan_surplus(graced, AS_OF, asked=FREE)
    assert (went(plan), stays(plan)) == ({}, {"0": (1, WhyStays.REFUSED)})


def test_a_store_with_no_partner_keeps_all_and_says_that_nobody_comes() -> None:
    plan = plan_surplus(stocked(soon(BREAD, 3, ahead=9), partners=()), AS_OF, asked=FREE)
    assert (went(plan), stays(plan)) == ({}, {"0": (3, WhyStays.NO_WINDOW)})
    assert [one.value for one in plan.stages] == [0, 0, 0]


def test_without_a_date_the_look_ahead_ends_with_the_round_after_next() -> None:
    # Rounds are in March and September: from May the one after next is the first of March.
    last = lot(BREAD, 1, printed="2028-02-29"), lot(BREAD, 1, printed="2028-03-01")
    plan = plan_surplus(stocked(*last, partners=(partner(window(2)),)), AS_OF)
    assert plan.until_on == date(2028, 3, 1)
    assert {one.item.lot.id for one in plan.staying} == {"0"}


def test_only_the_partners_that_are_asked_about_get_anything() -> None:
    both = partner(window(2)), partner(window(4), id_="q")
    made = stocked(soon(BREAD, 3, ahead=9), partners=both)
    asked = replace(FREE, partners=frozenset({PartnerId("q")}))
    assert went(plan_surplus(made, AS_OF, asked=asked)) == {(4, "0"): 3}


# --- what is refused ---


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (SurplusAsked(partners=frozenset({PartnerId("nobody")})), "no partner 'nobody'"),
        (SurplusAsked(floor_days=-1), "0 to 730 days"),
        (SurplusAsked(floor_days=731), "0 to 730 days"),
        (SurplusAsked(until_on=AS_OF), "a day to two years ahead"),
        (SurplusAsked(until_on=AS_OF + timedelta(days=800)), "a day to two years ahead"),
    ],
)
def test_a_question_that_cannot_be_is_refused_in_words(asked: SurplusAsked, words: str) -> None:
    made = stocked(soon(BREAD, 3, ahead=9), partners=(partner(window(2)),))
    with pytest.raises(ScenarioRefused, match=words):
        plan_surplus(made, AS_OF, asked=asked)


def program_of(made: Snapshot) -> MatchProgram:
    """State who gets what of a store as a program that counts visits, with no floor."""
    dated = dated_lots(made, AS_OF)
    visits = visits_of(made, AS_OF, until_on=UNTIL, partners=None, lots={})
    candidates = candidates_of(dated, visits=visits, until_on=UNTIL)
    match = Match(AS_OF, candidates, visits, (NOT_EATEN,) * len(candidates), 0)
    return MatchProgram(match, (), is_whole=True, counts_visits=True)


def test_an_aim_is_held_but_for_a_hair_and_nothing_is_raised_where_the_solver_finds_nothing() -> (
    None
):
    made = stocked(soon(BREAD, 3, ahead=9), partners=(partner(window(2, 4)),))
    kcal = 3 * BREAD.energy_kcal(None)
    visits = program_of(made).fewest_visits(energy_kcal=kcal * (1 + 5e-7))
    soonest = program_of(made).earliest(energy_kcal=kcal * (1 + 5e-7), most_visits=1)
    assert visits is not None
    assert soonest is not None
    assert visits.value == pytest.approx(1)
    assert soonest.value == pytest.approx(2 * kcal)
    assert program_of(made).fewest_visits(energy_kcal=kcal * 1.01) is None
    assert program_of(made).earliest(energy_kcal=kcal * 1.01, most_visits=1) is None


def test_a_plan_that_nobody_waits_for_is_stopped() -> None:
    class AtOnce:
        def is_asked(self) -> bool:
            return True

    made = stocked(lot(BREAD, 9), soon(BREAD, 3, ahead=9), partners=(partner(window(2)),))
    with heeding(AtOnce()), pytest.raises(PlanningStopped):
        plan_surplus(made, AS_OF, asked=SurplusAsked(floor_days=3, until_on=UNTIL))
