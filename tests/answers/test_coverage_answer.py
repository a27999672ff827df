"""The answer on coverage is rounded, ordered and worded for reading, with its cautions."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest

from daysworth.answers.coverage import CoverageAnswer, LotAnswer, answer_coverage, figure, to_json
from daysworth.answers.needs_in_words import MOST_NEEDS, class_in_words
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand, Eater
from daysworth.domain.identifiers import HouseholdId, MemberId, PlaceId
from daysworth.domain.people import AgeBand, Household, InfantFeeding, Member
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.classes import Mouth, eating_class
from daysworth.planners.coverage import plan_coverage
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import Standing, dated_lots

AS_OF = date(2026, 11, 25)
ALL_STOCK = Scenario(stock=StockScope.ALL)
PLAIN = Member(id=MemberId("m1"), age_band=AgeBand(from_years=30, to_years=40))
PEANUT = Restriction(allergy=Substance.PEANUT)


@cache
def store() -> Snapshot:
    return neighbourhood(AS_OF)


@cache
def answered(scenario: Scenario | None = None) -> CoverageAnswer:
    return answer_coverage(store(), AS_OF, scenario=scenario or Scenario())


def of_one(member: Member, scenario: Scenario | None = None) -> CoverageAnswer:
    """Answer for the neighbourhood's stock and one person, whose home it is."""
    home = Household(id=HouseholdId("only"), members=(member,))
    lots = tuple(replace(lot, owner=None) for lot in store().lots if lot.is_shared)
    alone = replace(store(), households=(home,), lots=lots)
    return answer_coverage(alone, AS_OF, scenario=scenario or Scenario())


def floats_in(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for part in value.values():
            yield from floats_in(part)
    elif isinstance(value, list):
        for part in value:
            yield from floats_in(part)
    elif isinstance(value, float):
        yield value


def test_every_figure_is_rounded_to_six_decimals() -> None:
    figures = list(floats_in(json.loads(to_json(answered()))))
    assert len(figures) > 40
    assert [value for value in figures if round(value, 6) != value] == []


def test_the_figures_are_the_planners() -> None:
    plan = plan_coverage(store(), AS_OF, scenario=Scenario())
    answer = answered()
    assert answer.everyone_fed_days == round(plan.everyone_fed_days or 0.0, 6)
    assert answer.person_days == round(plan.person_days, 6)
    assert answer.next_level_days == round(plan.next_level_days or 0.0, 6)
    assert sum(home.members for home in answer.households) == answer.members == 73


def test_a_figure_is_never_written_as_minus_nought() -> None:
    assert str(figure(-0.0)) == "0.0"
    assert str(figure(-1e-9)) == "0.0"
    assert figure(2.9600004) == 2.96


def test_an_answer_is_the_same_bytes_each_time() -> None:
    again = answer_coverage(neighbourhood(AS_OF), AS_OF, scenario=Scenario())
    assert to_json(again) == to_json(answered())


@pytest.mark.parametrize("scenario", [Scenario(), ALL_STOCK], ids=["shared", "all"])
def test_households_stand_worst_first_and_then_by_name(scenario: Scenario) -> None:
    homes = answered(scenario).households
    assert len(homes) == 24
    keys = [(home.days or 0.0, home.household) for home in homes]
    assert keys == sorted(keys)
    assert homes[0].days == answered(scenario).everyone_fed_days


def test_a_household_without_a_need_stands_last_and_has_no_days() -> None:
    infant = Member(
        id=MemberId("baby"), born_on=AS_OF - timedelta(60), infant_feeding=InfantFeeding.BREASTFED
    )
    nursed = Household(id=HouseholdId("A-first-by-name"), members=(infant,))
    more = replace(store(), households=(nursed, *store().households))
    homes = answer_coverage(more, AS_OF, scenario=Scenario()).households
    assert (homes[-1].household, homes[-1].days) == ("A-first-by-name", None)
    assert homes[-1].at_least is False


def test_classes_stand_worst_first_and_hold_all_who_have_a_need() -> None:
    answer = answered()
    days = [one.days for one in answer.classes]
    assert days == sorted(days)
    assert sum(one.members for one in answer.classes) == answer.members_with_a_need == 72
    assert all(one.days == answer.everyone_fed_days for one in answer.held_by)


@pytest.mark.parametrize("scenario", [Scenario(), ALL_STOCK], ids=["shared", "all"])
def test_no_class_is_told_by_the_id_of_a_household_or_a_member(scenario: Scenario) -> None:
    needs = {one.need for one in answered(scenario).classes + answered(scenario).held_by}
    homes = store().households
    ids = [home.id for home in homes] + [member.id for home in homes for member in home.members]
    assert len(needs) > 5
    assert [(id_, need) for id_ in ids for need in needs if id_ in need] == []


def test_the_json_ties_no_need_to_a_household_and_names_no_member() -> None:
    text = to_json(answered(ALL_STOCK))
    members = [member.id for home in store().households for member in home.members]
    assert [id_ for id_ in members if f'"{id_}"' in text] == []
    homes = json.loads(text)["households"]
    assert {frozenset(home) for home in homes} == {
        frozenset({"household", "members", "days", "at_least"})
    }


def mouth(stage: Stage, *demands: Demand) -> Mouth:
    return Mouth(HouseholdId("H77"), Eater(stage, frozenset(demands)), 2_000, 50, 3.785)


def words(*mouths: Mouth, keeper: str | None = None) -> str:
    kept = None if keeper is None else HouseholdId(keeper)
    return class_in_words(eating_class(mouths, shared=frozenset(), keeper=kept))


def test_a_class_is_worded_by_its_needs_the_commonest_first() -> None:
    peanut, vegan = Demand(allergy=Substance.PEANUT), Demand(diet=Diet.VEGAN)
    plain = mouth(Stage.TABLE_FOOD)
    assert words(plain) == "no restriction"
    assert words(mouth(Stage.TABLE_FOOD, peanut)) == "peanut allergy"
    assert (
        words(mouth(Stage.TABLE_FOOD, peanut), plain, plain) == "no restriction or peanut allergy"
    )
    assert words(mouth(Stage.FORMULA)) == "infant under 6 months"
    both = words(mouth(Stage.BABY_FOOD, peanut))
    assert both == "infant of 6 to 12 months and peanut allergy"
    assert words(mouth(Stage.TABLE_FOOD, vegan), keeper="H77").endswith("; has stock of its own")


def test_a_diet_that_only_advises_is_no_need_that_parts_people() -> None:
    assert words(mouth(Stage.TABLE_FOOD, Demand(diet=Diet.DIABETIC))) == "no restriction"


def test_more_needs_than_are_spelled_out_are_counted() -> None:
    demands = (Substance.EGG, Substance.FISH, Substance.MILK, Substance.SOY, Substance.WHEAT)
    many = words(*(mouth(Stage.TABLE_FOOD, Demand(allergy=one)) for one in demands))
    assert many.count("allergy") == MOST_NEEDS
    assert many.endswith("or 2 more like them")


def topics(answer: CoverageAnswer) -> set[str]:
    return {caution.topic for caution in answer.cautions}


ALWAYS = {"food", "fire", "water"}
IN_A_DIET = {
    Diet.GLUTEN_FREE: {"allergy"},
    Diet.DIABETIC: {"medical"},
    Diet.RENAL: {"medical"},
    Diet.LOW_SODIUM: {"medical"},
    Diet.PUREED: {"medical"},
    Diet.VEGAN: set[str](),
    Diet.HALAL: set[str](),
}


def test_a_plain_eater_brings_the_cautions_that_always_stand() -> None:
    assert topics(of_one(PLAIN)) == ALWAYS
    ids = [caution.id for caution in of_one(PLAIN).cautions]
    assert len(ids) == len(set(ids)) == 9


def test_an_allergy_brings_the_cautions_on_allergies() -> None:
    assert topics(of_one(replace(PLAIN, restrictions=(PEANUT,)))) == ALWAYS | {"allergy"}


@pytest.mark.parametrize("diet", IN_A_DIET, ids=str)
def test_a_diet_brings_the_cautions_that_belong_to_it(diet: Diet) -> None:
    eater = replace(PLAIN, restrictions=(Restriction(diet=diet, reach=Reach.PERSON),))
    assert topics(of_one(eater)) == ALWAYS | IN_A_DIET[diet]


def test_a_lost_place_brings_the_caution_on_floods() -> None:
    lost = Scenario(places_lost=frozenset({PlaceId("hall")}))
    assert topics(of_one(PLAIN, lost)) == ALWAYS | {"flood"}


@pytest.mark.parametrize("feeding", InfantFeeding, ids=str)
def test_an_infant_brings_the_cautions_on_infants_however_it_is_fed(feeding: InfantFeeding) -> None:
    infant = Member(
        id=MemberId("baby"), born_on=AS_OF - timedelta(days=100), infant_feeding=feeding
    )
    assert "infants" in topics(of_one(infant))


def test_whoever_is_away_brings_no_caution() -> None:
    homes = (
        Household(id=HouseholdId("here"), members=(PLAIN,)),
        Household(
            id=HouseholdId("gone"),
            members=(replace(PLAIN, id=MemberId("m2"), restrictions=(PEANUT,)),),
        ),
    )
    two = replace(store(), households=homes, lots=())
    away = Scenario(households_away=frozenset({HouseholdId("gone")}))
    assert "allergy" in topics(answer_coverage(two, AS_OF, scenario=Scenario()))
    assert topics(answer_coverage(two, AS_OF, scenario=away)) == ALWAYS


def test_every_caution_has_its_source() -> None:
    assert all(caution.source and caution.text for caution in answered().cautions)


def test_what_is_due_passes_its_date_before_the_next_round_earliest_first() -> None:
    due = answered().before_next_round
    assert due.next_round_day == date(2027, 3, 1)
    days = [lot.last_good_day for lot in due.lots if lot.last_good_day is not None]
    assert len(days) == len(due.lots) > 30
    assert days == sorted(days)
    assert days[0] >= AS_OF
    assert days[-1] < date(2027, 3, 1)
    assert due.energy_kcal > 0


def test_the_units_due_are_the_units_of_the_lots_that_are_listed() -> None:
    promised = next(lot for lot in store().lots if lot.units_promised)
    soon = (AS_OF + timedelta(days=3)).isoformat()
    lots = tuple(
        replace(lot, printed=soon, repacked_on=None, opened_on=None) if lot is promised else lot
        for lot in store().lots
    )
    due = answer_coverage(replace(store(), lots=lots), AS_OF, scenario=Scenario()).before_next_round
    assert promised.id in {lot.lot for lot in due.lots}
    assert due.units == sum(lot.units for lot in due.lots)


def test_a_store_without_rounds_has_nothing_due() -> None:
    never = StoreSettings(rounds_rule="FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")
    due = answer_coverage(replace(store(), settings=never), AS_OF, scenario=Scenario())
    assert due.before_next_round.next_round_day is None
    assert (due.before_next_round.units, due.before_next_round.lots) == (0, [])


def test_lots_set_aside_are_listed_by_their_standing() -> None:
    aside = answered().set_aside
    listed = {
        Standing.PAST: aside.past,
        Standing.UNDATED: aside.undated,
        Standing.DAMAGED: aside.damaged,
        Standing.QUARANTINED: aside.quarantined,
    }
    for standing, lots in listed.items():
        held = dated_lots(store(), AS_OF)
        expected = {item.lot.id for item in held if item.standing is standing}
        assert {lot.lot for lot in lots} == expected
        assert expected
    assert all(lot.last_good_day is None for lot in aside.undated)
    assert all(lot.last_good_day and lot.last_good_day < AS_OF for lot in aside.past)


def test_a_lot_is_listed_with_the_names_a_person_reads() -> None:
    foods = {food.name for food in store().foods}
    places = {place.name for place in store().places}
    listed: list[LotAnswer] = [*answered().before_next_round.lots, *answered().set_aside.undated]
    assert {lot.food for lot in listed} <= foods
    assert {lot.place for lot in listed} <= places
    assert all(lot.units > 0 for lot in listed)


def test_the_scenario_is_repeated_as_it_was_asked() -> None:
    asked = Scenario(
        places_lost=frozenset({PlaceId("hall"), PlaceId("basement")}),
        households_away=frozenset({HouseholdId("H09"), HouseholdId("H01")}),
        ration=0.5,
        horizon_days=7,
    )
    said = answered(asked).scenario
    assert said.places_lost == ["basement", "hall"]
    assert said.households_away == ["H01", "H09"]
    assert (said.ration, said.horizon_days, said.basis, said.stock) == (
        0.5,
        7,
        "reference",
        "shared",
    )


def test_at_the_horizon_days_are_at_least_and_below_it_they_are_not() -> None:
    short = answered(Scenario(horizon_days=2))
    assert (short.everyone_fed_days, short.everyone_fed_at_least) == (2.0, True)
    assert all(home.at_least for home in short.households)
    assert answered().everyone_fed_at_least is False
    assert not any(home.at_least for home in answered().households)


def test_with_nobody_at_home_there_are_no_days_and_the_stock_is_still_counted() -> None:
    away = Scenario(households_away=frozenset(home.id for home in store().households))
    answer = answered(away)
    assert (answer.everyone_fed_days, answer.next_level_days) == (None, None)
    assert (answer.households, answer.classes, answer.held_by) == ([], [], [])
    assert (answer.members, answer.person_days, answer.mean_need_kcal) == (0, 0.0, 0.0)
    assert answer.units_on_hand == answered().units_on_hand > 0
    assert answer.water.days is None
