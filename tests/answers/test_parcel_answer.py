"""The answer for a parcel says yes, no or not known and why, and names nobody."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Final

from pydantic import TypeAdapter

from daysworth.answers.food_suitability import SuitabilityAsked, answer_food_suitability
from daysworth.answers.parcels import (
    ParcelAsked,
    ParcelCheckAnswer,
    answer_parcel,
    meant,
)
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.lots import Lot
from daysworth.domain.people import Member
from daysworth.domain.restrictions import Diet, Reach, Restriction
from daysworth.domain.snapshot import Snapshot
from tests.planners.one_home import home, lot, store, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, TRACES, avoiding, infant, read

HERE: Final = HouseholdId("h")
NOTHING_AGAINST: Final = "nothing on its label stands against it"
ALONE: Final = replace(PEANUT, reach=Reach.PERSON)


def at(lots: Iterable[Lot], *people: Member) -> Snapshot:
    return store([home(*(people or (avoiding(PEANUT),)))], lots)


def of_lot(snapshot: Snapshot, lot_id: str = "0") -> ParcelCheckAnswer:
    asked = ParcelAsked(parcel_number=7, household=HERE, asked=lot_id, lot=lot_id)
    return answer_parcel(snapshot, AS_OF, question=asked)


def of_words(snapshot: Snapshot, words: str) -> ParcelCheckAnswer:
    foods = meant(snapshot, words)
    asked = ParcelAsked(parcel_number=7, household=HERE, asked=words, words=words, foods=foods)
    return answer_parcel(snapshot, AS_OF, question=asked)


def test_a_lot_is_answered_for_by_its_own_label() -> None:
    found = [of_lot(at([one])) for one in (read(STEW), read(STEW, label=TRACES), lot(STEW, 1))]
    assert [(one.may_go, one.why) for one in found] == [
        ("yes", [NOTHING_AGAINST]),
        ("no", ["warning: the label says it may contain peanut"]),
        ("not_known", ["the label was not read for peanut"]),
    ]
    assert [one.must_not_contain for one in found] == [["peanut"]] * 3


def test_what_suits_only_some_members_may_go_in_and_it_is_said_that_it_is_not_for_all() -> None:
    found = of_lot(at([lot(SPREAD, 1)], woman("b"), avoiding(ALONE)))
    assert (found.may_go, found.why) == ("yes", ["not for everybody there: contains peanut"])
    (finding,) = found.candidates[0].findings
    assert (finding.verdict, finding.members) == ("unsuitable", [])


def test_a_home_that_is_advised_is_never_told_that_a_food_suits() -> None:
    for diet in (Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM):
        found = of_lot(at([read(STEW)], avoiding(Restriction(diet=diet))))
        assert found.why[0].startswith("ask your care team")
        assert NOTHING_AGAINST not in found.why
        (finding,) = found.candidates[0].findings
        assert finding.verdict == "ask_care_team"


def test_a_home_that_is_advised_is_not_counted_among_those_whom_a_food_suits() -> None:
    snapshot = at([read(STEW)], avoiding(Restriction(diet=Diet.DIABETIC)))
    asked = SuitabilityAsked(
        food=STEW.id, homes=[HERE], parcel_numbers={HERE: 7}, names_households=True
    )
    (label,) = answer_food_suitability(snapshot, AS_OF, question=asked).labels
    assert (label.suitable_homes, label.ask_care_team_homes) == (0, 1)
    assert [one.verdict for one in label.homes] == ["ask_care_team"]


def test_for_a_swallowing_diet_nothing_is_cleared() -> None:
    found = of_lot(at([read(STEW)], avoiding(Restriction(diet=Diet.PUREED))))
    assert (found.may_go, found.why) == ("not_known", ["a swallowing diet: ask the care team"])


def test_words_earn_no_yes_for_a_home_that_must_avoid_something() -> None:
    lots = [read(STEW)]
    for people in ((avoiding(PEANUT),), (woman("b"), avoiding(ALONE)), (woman(), infant(3))):
        assert of_words(at(lots, *people), "stew").may_go == "not_known"
    assert of_words(at(lots, woman()), "stew").may_go == "yes"


def test_words_that_name_what_must_not_go_in_are_a_no_whatever_the_store_has() -> None:
    named = replace(STEW, name="plain stew")
    snapshot = at([read(STEW)])
    foods = tuple(named if one.id == STEW.id else one for one in snapshot.foods)
    found = of_words(replace(snapshot, foods=foods), "peanut stew")
    assert (found.may_go, found.why, found.candidates) == ("no", ["contains peanut"], [])


def test_nothing_that_is_called_that_is_not_known() -> None:
    found = of_words(at([read(STEW)], woman()), "moonfish")
    assert (found.may_go, found.candidates) == ("not_known", [])


def test_labels_that_disagree_leave_it_not_known_and_each_is_told() -> None:
    asked = ParcelAsked(parcel_number=7, household=HERE, asked="7", foods=[STEW])
    found = answer_parcel(at([read(STEW), lot(STEW, 1)]), AS_OF, question=asked)
    assert found.may_go == "not_known"
    assert found.why == ["it depends on which of these it is: look for its lot"]
    assert [one.may_go for one in found.candidates] == ["yes", "not_known"]


def test_words_find_foods_by_every_word_and_at_most_twenty() -> None:
    snapshot = neighbourhood(date(2026, 11, 25))
    assert meant(snapshot, " ") == []
    assert [one.id for one in meant(snapshot, "WATER tuna")] == ["tuna_in_water_tinned"]
    assert len(meant(snapshot, "e")) == 20


def test_nobody_is_named_in_an_answer_for_a_parcel() -> None:
    snapshot = neighbourhood(date(2026, 11, 25))
    members = {member.id for one in snapshot.households for member in one.members}
    for one in snapshot.households:
        asked = ParcelAsked(parcel_number=7, household=one.id, asked="x", foods=snapshot.foods[:40])
        found = answer_parcel(snapshot, snapshot.taken_on, question=asked)
        told = TypeAdapter(ParcelCheckAnswer).dump_json(found).decode()
        assert [name for name in members if f'"{name}"' in told] == []
        assert f'"{one.id}"' not in told


def test_whoever_packs_is_told_of_a_food_by_parcel_numbers_alone() -> None:
    snapshot = at([lot(SPREAD, 1)], woman("b"), avoiding(ALONE))
    asked = SuitabilityAsked(
        food=FoodId("spread"), homes=None, parcel_numbers={HERE: 7}, names_households=False
    )
    (label,) = answer_food_suitability(snapshot, AS_OF, question=asked).labels
    (one,) = label.homes
    assert (one.parcel_number, one.household, one.verdict) == (7, None, "suitable")
    assert [finding.members for finding in one.findings] == [[]]
