"""A household's warnings are written the same every time, with what holds for every food."""

import json
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest

from daysworth.answers.warnings import (
    AcknowledgedAnswer,
    answer_warnings,
    must_not_contain,
    needs_in_words,
    notes_on,
    warnings_json,
)
from daysworth.demo.neighbourhood import COELIAC_HOME, PEANUT_HOME, neighbourhood
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Diet, Restriction
from daysworth.planners.household_fit import table_of
from daysworth.planners.warnings import with_needs
from tests.planners.one_home import home, lot, store, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, avoiding, infant, read

DEMO_DAY: Final = date(2026, 11, 25)
HERE: Final = HouseholdId("h")


def needs(one: Household) -> list[str]:
    return must_not_contain(table_of(one, AS_OF))


def test_what_must_not_go_in_is_said_once_for_all_members_and_advice_is_no_part_of_it() -> None:
    renal = Restriction(diet=Diet.RENAL)
    both = home(avoiding(PEANUT, renal), avoiding(PEANUT, id_="b"))
    assert needs(both) == ["peanut"]
    assert needs_in_words(table_of(both, AS_OF)) == ["peanut allergy"]
    assert notes_on(table_of(both, AS_OF)) == ["renal: nothing is cleared here; ask your care team"]
    assert needs(home()) == []


def test_an_infant_is_told_of_by_age() -> None:
    assert needs(home(woman(), infant(3))) == ["for the infant: nothing but infant formula"]
    assert "no honey" in needs(home(woman(), infant(8)))[0]
    assert notes_on(table_of(home(infant(3)), AS_OF)) == [
        "an infant under 6 months: breast milk or infant formula only, ready-to-feed first"
    ]
    assert notes_on(table_of(home(infant(30)), AS_OF)) == [
        "a child under four: what can choke is marked"
    ]


def test_what_binds_a_home_is_said_though_nobody_there_is_born_yet() -> None:
    coming = home(avoiding(PEANUT, born_on=AS_OF + timedelta(days=9)))
    assert needs(coming) == ["peanut"]


def test_a_note_is_told_with_its_warning_and_takes_nothing_away() -> None:
    snapshot = store([home(avoiding(PEANUT))], [lot(SPREAD, 2), lot(STEW, 1)])
    bare = answer_warnings(snapshot, AS_OF, household=HERE)
    noted = AcknowledgedAnswer("a coordinator", "2027-05-14T09:00:00Z", "for the hall")
    marks = {bare.warnings[0].warning: noted, "0" * 32: noted}
    told = answer_warnings(snapshot, AS_OF, household=HERE, acknowledged=marks)
    assert [one.acknowledged for one in told.warnings] == [noted, None]
    (first, second) = told.warnings
    assert replace(told, warnings=[replace(first, acknowledged=None), second]) == bare


def test_counts_are_of_foods_as_their_labels_have_them() -> None:
    lots = [lot(SPREAD, 2), lot(STEW, 1), lot(STEW, 3), read(STEW)]
    found = answer_warnings(store([home(avoiding(PEANUT))], lots), AS_OF, household=HERE)
    assert (found.unsuitable, found.unknown, found.to_be_read) == (1, 1, 1)
    assert [one.units for one in found.warnings] == [2, 4]
    assert [(one.food, one.units) for one in found.suitable] == [("stew", 1)]


def test_a_home_that_is_advised_is_not_told_that_a_food_suits() -> None:
    for diet in (Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM):
        one = home(avoiding(PEANUT, Restriction(diet=diet)), woman("b"))
        found = answer_warnings(store([one], [read(STEW)]), AS_OF, household=HERE)
        assert (found.suitable, [each.food for each in found.ask_care_team]) == ([], ["stew"])
    plain = answer_warnings(store([home()], [read(STEW)]), AS_OF, household=HERE)
    assert (plain.ask_care_team, [each.food for each in plain.suitable]) == ([], ["stew"])


def test_cautions_are_those_of_the_home() -> None:
    for one, words in ((home(infant(3)), "Formula past"), (home(avoiding(PEANUT)), "epinephrine")):
        cautions = answer_warnings(store([one]), AS_OF, household=HERE).cautions
        assert words in " ".join(each.text for each in cautions)


def test_a_household_that_is_not_there_is_refused() -> None:
    with pytest.raises(NotThere):
        answer_warnings(store(), AS_OF, household=HouseholdId("nobody"))


def test_every_home_of_the_neighbourhood_is_answered_the_same_twice() -> None:
    snapshot = neighbourhood(DEMO_DAY)
    for one in with_needs(snapshot, DEMO_DAY):
        first, second = (
            warnings_json(answer_warnings(snapshot, DEMO_DAY, household=one)) for _ in range(2)
        )
        assert first == second
        marks = [each["warning"] for each in json.loads(first)["warnings"]]
        assert len(set(marks)) == len(marks)


@pytest.mark.parametrize("year", [2020, 2034, 2060])
def test_the_two_homes_of_the_demo_are_warned_in_any_year(year: int) -> None:
    for month, day in ((1, 1), (2, 28), (12, 31)):
        on = date(year, month, day)
        snapshot = neighbourhood(on)
        for one in (PEANUT_HOME, COELIAC_HOME):
            found = answer_warnings(snapshot, on, household=one)
            assert found.unsuitable > 0
            assert found.unknown > 0
            assert found.suitable != []
