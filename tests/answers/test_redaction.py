"""A reader is shown of an answer what is theirs to know, and readers of one view the same bytes."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Final

import pytest

from daysworth.answers.coverage import CoverageAnswer, answer_coverage, to_json
from daysworth.answers.coverage_parts import SpoilingAnswer, SpoilingLotAnswer
from daysworth.answers.redaction import WITHHELD, seen_by, view_of
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.identifiers import HouseholdId, MemberId, PlaceId, StoreId
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.reference.cautions import caution_rows

AS_OF: Final = date(2026, 11, 25)
SHARED: Final = Scenario()
ALL_STOCK: Final = Scenario(stock=StockScope.ALL)
FLOODED: Final = Scenario(places_lost=frozenset({PlaceId("basement")}))
SCENARIOS: Final = pytest.mark.parametrize(
    "scenario", [SHARED, ALL_STOCK, FLOODED], ids=["shared", "all", "a place lost"]
)


def credential(role: Role, household: str | None = None, *, number: int = 1) -> Credential:
    return Credential(
        id=CredentialId(f"c{number}"),
        store=StoreId("larkmoss-lane"),
        role=role,
        label=f"{role} {number}",
        household=None if household is None else HouseholdId(household),
    )


COORDINATOR: Final = credential(Role.COORDINATOR)
VOLUNTEER: Final = credential(Role.VOLUNTEER)
SCRIPT: Final = credential(Role.SCRIPT)
HOME: Final = credential(Role.HOUSEHOLD, "H05")
OTHERS: Final = pytest.mark.parametrize(
    "reader", [VOLUNTEER, HOME, SCRIPT], ids=["volunteer", "household", "script"]
)


@cache
def store() -> Snapshot:
    """Give the neighbourhood, its places named so that no name of a place is a household's."""
    found = neighbourhood(AS_OF)
    numbered = enumerate(found.places)
    places = tuple(replace(place, name=f"Shelf {number}") for number, place in numbered)
    return replace(found, places=places)


@cache
def answered(scenario: Scenario) -> CoverageAnswer:
    return answer_coverage(store(), AS_OF, scenario=scenario)


@cache
def answered_again(scenario: Scenario) -> CoverageAnswer:
    """Answer a second time for a store that was made a second time."""
    return answer_coverage(store.__wrapped__(), AS_OF, scenario=scenario)


def shown(reader: Credential, answer: CoverageAnswer) -> str:
    return to_json(seen_by(reader, answer))


def strings_in(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for part in value.values():
            yield from strings_in(part)
    elif isinstance(value, list):
        for part in value:
            yield from strings_in(part)
    elif isinstance(value, str):
        yield value


def needs(answer: CoverageAnswer) -> set[str]:
    """Give the words of every need, whole and in their parts."""
    whole = {one.need for one in answer.classes + answer.held_by}
    parts = {part.split(";")[0] for need in whole for part in need.split(" or ")}
    return whole | parts | {"has stock of its own"}


def households() -> list[str]:
    return [home.id for home in store().households]


@cache
def emptied(*restrictions: Restriction) -> CoverageAnswer:
    """Answer for three members and nothing to eat; one of them has restrictions."""
    plain = Member(id=MemberId("m1"), age_band=AgeBand(from_years=30, to_years=40))
    strict = replace(plain, id=MemberId("m2"), restrictions=restrictions)
    homes = (
        Household(id=HouseholdId("H05"), members=(strict,)),
        Household(id=HouseholdId("H06"), members=(replace(plain, id=MemberId("m3")), plain)),
    )
    bare = replace(store(), households=homes, lots=())
    return answer_coverage(bare, AS_OF, scenario=SHARED)


@SCENARIOS
def test_a_coordinator_is_shown_all_of_it(scenario: Scenario) -> None:
    assert shown(COORDINATOR, answered(scenario)) == to_json(answered(scenario))
    assert "peanut allergy" in shown(COORDINATOR, answered(scenario))


@SCENARIOS
@OTHERS
def test_nobody_else_is_shown_the_words_of_a_need(reader: Credential, scenario: Scenario) -> None:
    said = needs(answered(scenario))
    assert {"peanut allergy", "halal", "vegetarian", "infant under 6 months"} <= said
    answer = json.loads(shown(reader, answered(scenario)))
    assert {one["need"] for one in answer["classes"] + answer["held_by"]} == {WITHHELD}
    # The cautions are the same whoever is fed: test_the_cautions_do_not_tell_who_is_fed.
    del answer["cautions"]
    text = json.dumps(answer, ensure_ascii=False)
    assert [words for words in sorted(said) if words in text] == []


@SCENARIOS
@OTHERS
def test_no_string_of_the_whole_json_is_a_need(reader: Credential, scenario: Scenario) -> None:
    found = set(strings_in(json.loads(shown(reader, answered(scenario)))))
    assert found & needs(answered(scenario)) == set()
    assert set(strings_in(json.loads(to_json(answered(scenario))))) & needs(answered(scenario))


@OTHERS
def test_the_cautions_do_not_tell_who_is_fed(reader: Credential) -> None:
    dry = [row for row in caution_rows() if row.topic != "flood"]
    assert seen_by(reader, answered(SHARED)).cautions == dry
    assert seen_by(reader, emptied()).cautions == dry
    assert len(emptied().cautions) < len(dry)


@OTHERS
def test_where_a_place_is_lost_the_caution_on_floods_is_shown_too(reader: Credential) -> None:
    assert seen_by(reader, answered(FLOODED)).cautions == list(caution_rows())


@OTHERS
@pytest.mark.parametrize(
    "restriction",
    [
        *(Restriction(allergy=substance) for substance in (Substance.PEANUT, Substance.MILK)),
        Restriction(diet=Diet.HALAL, reach=Reach.PERSON),
        Restriction(diet=Diet.PUREED, reach=Reach.PERSON),
        Restriction(diet=Diet.GLUTEN_FREE, reach=Reach.PERSON),
    ],
    ids=lambda one: str(one.allergy or one.diet),
)
def test_where_the_days_are_the_same_nothing_tells_one_restriction_from_another(
    reader: Credential, restriction: Restriction
) -> None:
    egg = Restriction(allergy=Substance.EGG)
    assert to_json(emptied(restriction)) != to_json(emptied(egg))
    assert shown(reader, emptied(restriction)) == shown(reader, emptied(egg))


@SCENARIOS
def test_a_volunteer_is_shown_no_household(scenario: Scenario) -> None:
    answer = seen_by(VOLUNTEER, answered(scenario))
    assert answer.households == []
    text = to_json(answer)
    assert len(households()) == 24
    assert [id_ for id_ in households() if id_ in text] == []
    assert [id_ for id_ in households() if id_ not in to_json(answered(scenario))] == []


@SCENARIOS
def test_a_household_is_shown_its_own_days_and_no_other_household(scenario: Scenario) -> None:
    for id_ in households():
        reader = credential(Role.HOUSEHOLD, id_)
        answer = seen_by(reader, answered(scenario))
        assert [home for home in answered(scenario).households if home.household == id_] == (
            answer.households
        )
        assert len(answer.households) == 1
        text = to_json(answer)
        assert [other for other in households() if other in text] == [id_]


def test_a_household_that_is_away_is_shown_no_households_days() -> None:
    away = Scenario(households_away=frozenset({HouseholdId("H05")}))
    assert seen_by(HOME, answered(away)).households == []


def test_a_household_of_another_name_is_shown_no_households_days() -> None:
    for id_ in ("H0", "h05", "H05 ", ""):
        assert seen_by(credential(Role.HOUSEHOLD, id_), answered(SHARED)).households == []
    assert seen_by(credential(Role.HOUSEHOLD), answered(SHARED)).households == []


def test_a_script_is_shown_every_households_days() -> None:
    assert seen_by(SCRIPT, answered(SHARED)).households == answered(SHARED).households


@SCENARIOS
@OTHERS
def test_no_member_is_named(reader: Credential, scenario: Scenario) -> None:
    text = shown(reader, answered(scenario))
    members = [member.id for home in store().households for member in home.members]
    assert len(members) == 73
    assert [id_ for id_ in members if id_ in text] == []


@SCENARIOS
@OTHERS
def test_the_days_and_the_stock_are_everyones_to_know(
    reader: Credential, scenario: Scenario
) -> None:
    whole = json.loads(to_json(answered(scenario)))
    seen = json.loads(shown(reader, answered(scenario)))
    withheld = {"held_by", "classes", "households", "cautions", "runs_out_first", "complete_meals"}
    if scenario.stock is StockScope.ALL:
        # Lots that households keep for themselves stand in it.
        withheld |= {"will_spoil"}
    if reader.role is not Role.VOLUNTEER:
        # Which labels to read is for whoever may read them: it tells of what somebody avoids.
        withheld |= {"labels_to_read"}
        assert seen["labels_to_read"] == []
    assert set(seen) == set(whole)
    assert {name for name in whole if whole[name] != seen[name]} <= withheld
    for classes in ("held_by", "classes"):
        days = [(one["days"], one["members"], one["at_least"]) for one in whole[classes]]
        assert [(one["days"], one["members"], one["at_least"]) for one in seen[classes]] == days


@SCENARIOS
@OTHERS
def test_what_runs_out_first_is_told_to_coordinators_alone(
    reader: Credential, scenario: Scenario
) -> None:
    assert seen_by(reader, answered(scenario)).runs_out_first == []
    assert seen_by(COORDINATOR, answered(SHARED)).runs_out_first != []


@SCENARIOS
@OTHERS
def test_complete_meals_are_everyones_to_know_but_not_whose_they_are(
    reader: Credential, scenario: Scenario
) -> None:
    whole = answered(scenario).complete_meals
    seen = seen_by(reader, answered(scenario)).complete_meals
    assert {one.need for one in seen} == {WITHHELD}
    figures = [[(one.members, one.person_meals) for one in meals] for meals in (seen, whole)]
    assert sorted(figures[0]) == sorted(figures[1])


def test_what_a_household_keeps_and_lets_spoil_is_shown_to_it_and_to_coordinators_alone() -> None:
    lot = SpoilingLotAnswer("L1", "Peas", 2.0, "Shelf 1", AS_OF, 500.0, None)
    kept = [lot, replace(lot, lot="L2", kept_by="H05"), replace(lot, lot="L3", kept_by="H06")]
    answer = replace(answered(ALL_STOCK), will_spoil=SpoilingAnswer(1_500.0, 0.7, False, kept))
    shown_lots = {
        view_of(reader): [one.lot for one in seen_by(reader, answer).will_spoil.lots]
        for reader in (COORDINATOR, VOLUNTEER, SCRIPT, HOME)
    }
    assert list(shown_lots.values()) == [["L1", "L2", "L3"], ["L1"], ["L1"], ["L1", "L2"]]
    assert seen_by(VOLUNTEER, answer).will_spoil.energy_kcal == 1_500.0


@SCENARIOS
@pytest.mark.parametrize(
    ("role", "household"),
    [
        (Role.COORDINATOR, None),
        (Role.VOLUNTEER, None),
        (Role.SCRIPT, None),
        (Role.HOUSEHOLD, "H05"),
    ],
    ids=str,
)
def test_readers_of_one_view_are_given_the_same_bytes(
    role: Role, household: str | None, scenario: Scenario
) -> None:
    one, other = (credential(role, household, number=number) for number in (1, 2))
    assert one != other
    assert view_of(one) == view_of(other)
    assert shown(one, answered(scenario)) == shown(other, answered_again(scenario))


def test_readers_who_are_given_other_bytes_have_another_view() -> None:
    homes = [credential(Role.HOUSEHOLD, id_) for id_ in households()]
    readers = [COORDINATOR, VOLUNTEER, SCRIPT, *homes]
    views = {view_of(reader) for reader in readers}
    texts = {shown(reader, answered(SHARED)) for reader in readers}
    assert len(views) == len(texts) == len(readers) == 27


def test_the_answer_that_is_kept_is_left_as_it_was() -> None:
    before = to_json(answered(SHARED))
    for reader in (VOLUNTEER, HOME, SCRIPT):
        seen_by(reader, answered(SHARED))
    assert to_json(answered(SHARED)) == before
