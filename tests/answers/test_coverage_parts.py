"""The parts of an answer that explain its days are rounded, ordered and worded for reading."""

from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from daysworth.answers.coverage import CoverageAnswer, answer_coverage
from daysworth.answers.coverage_parts import meals_answer, runs_out_answer, spoiling_answer
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import Coverage, plan_coverage
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import dated_lots
from daysworth.planners.spoiling import SpoiledLot, Spoiling

AS_OF = date(2026, 11, 25)


@cache
def store() -> Snapshot:
    return neighbourhood(AS_OF)


@cache
def plan() -> Coverage:
    return plan_coverage(store(), AS_OF, scenario=Scenario())


@cache
def answered() -> CoverageAnswer:
    return answer_coverage(store(), AS_OF, scenario=Scenario())


def test_the_steps_lead_from_the_shelf_to_the_person_days_of_the_plan() -> None:
    steps = answered().where_the_days_go
    assert [one.step for one in steps] == [
        "on_paper",
        "usable",
        "in_date",
        "balanced",
        "suitable",
        "fair",
    ]
    days = [one.person_days for one in steps]
    assert days == sorted(days, reverse=True)
    assert days[0] == answered().person_days_on_paper
    assert days[-1] == answered().person_days


def test_those_who_run_out_first_are_those_who_hold_the_days_down() -> None:
    held = {(one.need, one.members, one.days) for one in answered().held_by}
    told = [(one.need, one.members, one.days) for one in answered().runs_out_first]
    assert told
    assert set(told) <= held
    for one in answered().runs_out_first:
        assert list(one.days_without) == ["extras", "protein", "water", "dates"]
        assert min(one.days_without.values()) >= one.days
        gains = [food.days for food in one.foods]
        assert gains == sorted(gains, reverse=True)
        assert all(gain > 0 for gain in gains)


def test_the_classes_with_most_members_are_told_first() -> None:
    (one,) = plan().runs_out
    larger = replace(one, members=replace(one.members, mouths=one.members.mouths * 2))
    assert [told.members for told in runs_out_answer([one, larger])] == [10, 5]


def test_the_meals_are_told_fewest_for_each_member_first() -> None:
    each = [one.person_meals / one.members for one in meals_answer(plan().meals)]
    assert each == sorted(each)
    assert len(each) > 5


def test_the_mix_stands_beside_published_figures_and_names_their_source() -> None:
    mix = answered().diet_mix
    assert (mix.protein_share_planned, mix.fat_share_planned) == ([0.1, 0.12], 0.17)
    assert "Sphere" in mix.planned_source
    assert "2,300" in mix.sodium_limit_source
    person_days = mix.energy_kcal / answered().mean_need_kcal
    assert person_days == pytest.approx(answered().person_days, rel=1e-6)


def test_what_spoils_is_told_by_lot_and_what_rounds_to_no_unit_is_not() -> None:
    shared, other = dated_lots(store(), AS_OF)[:2]
    kept = next(item for item in dated_lots(store(), AS_OF) if not item.lot.is_shared)
    spoiling = Spoiling(
        1_700.0,
        (SpoiledLot(shared, 1.5, 1_000.0), SpoiledLot(other, 1e-9, 1e-6), SpoiledLot(kept, 2, 700)),
    )
    places = {place.id: place.name for place in store().places}
    told = spoiling_answer(spoiling, mean_kcal=2_000, places=places)
    assert (told.energy_kcal, told.person_days) == (1_700, 0.85)
    assert [(one.lot, one.units) for one in told.lots] == [(shared.lot.id, 1.5), (kept.lot.id, 2)]
    assert [one.kept_by for one in told.lots] == [None, kept.lot.owner]
    assert told.lots[0].place == places[shared.lot.place]


def test_no_part_of_the_answer_names_a_household_but_who_keeps_what_spoils() -> None:
    answer = answer_coverage(store(), AS_OF, scenario=Scenario(stock=StockScope.ALL))
    told = repr((answer.where_the_days_go, answer.runs_out_first, answer.complete_meals))
    assert [home.id for home in store().households if f"'{home.id}'" in told] == []
