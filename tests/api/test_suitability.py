"""Claims about suitability over the API: who is told what, what is logged, what is kept."""

import json
import logging
from datetime import timedelta

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem
from tests.api.test_bad_input import refused, unchanged
from tests.api.test_households import logged
from tests.api.test_lots import JARS, OWN, TINS, Lot, after, do, log, objects
from tests.grounds import (
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    SALMON,
    begin_ground,
    small_store,
    token_for,
    version_of,
)

WARNINGS = f"households/{PEANUT_HOME}/warnings"
NOTES = f"households/{PEANUT_HOME}/acknowledgements"
PEANUT_BUTTER: Lot = {**TINS, "food": "peanut_butter_smooth"}
BY_TEXT: dict[str, Json] = {"is_whole": True, "regime": "us_fda"}
CLEAR: Lot = {**TINS, "reading": {**BY_TEXT, "text": "Ingredients: pink salmon, salt."}}
TRACES = {**BY_TEXT, "text": "Ingredients: pink salmon, salt. May contain peanuts."}
CODE = "012345678905"


def warnings(api: Api, *, role: Role = Role.COORDINATOR) -> list[Lot]:
    """Give the peanut home's warnings."""
    return objects(api.get(WARNINGS, role=role), "warnings")


def asked(parcel: int = 2, **by: str) -> str:
    """Give the address of a question about a parcel; 2 is the peanut home's."""
    (given,) = by.items()
    return f"parcels/{parcel}/check?{given[0]}={given[1]}"


def may_go(api: Api, parcel: int = 2, **by: str) -> tuple[Json, Json]:
    """Ask as whoever packs does, for the answer and why."""
    answer = api.get(asked(parcel, **by), role=Role.VOLUNTEER)
    return answer["may_go"], answer["why"]


# --- warnings ---


def test_a_household_is_warned_of_what_it_must_not_have_worst_first(api: Api) -> None:
    log(api, TINS, PEANUT_BUTTER, CLEAR)
    answer = api.get(WARNINGS)
    assert [(one["verdict"], one["food"]) for one in objects(answer, "warnings")] == [
        ("unsuitable", "peanut_butter_smooth"),
        ("unknown", "salmon_pink_tinned"),
    ]
    counts = ("unsuitable", "unknown", "to_be_read", "must_not_contain")
    assert [answer[name] for name in counts] == [1, 1, 1, ["peanut"]]
    assert [one["units"] for one in objects(answer, "suitable")] == [6]
    (finding,) = objects(objects(answer, "warnings")[0], "findings")
    assert (finding["need"], finding["words"]) == ("peanut allergy", "contains peanut")
    assert finding["members"] == ["M-2"]
    assert objects(finding, "evidence")[0]["words"] == "by its recipe"


def test_an_answer_says_its_version_and_its_day_and_carries_cautions(api: Api) -> None:
    (lot,) = log(api, PEANUT_BUTTER)
    by_parcel, by_food = asked(lot=str(lot["id"])), "foods/peanut_butter_smooth/suitability"
    for path in (WARNINGS, by_parcel, by_food):
        answer = api.get(path)
        assert (answer["version"], answer["as_of"]) == (version_of(api.engine), "2026-09-01")
        assert all({"id", "text", "source"} <= set(one) for one in objects(answer, "cautions"))
        assert "emergency plan" in json.dumps(answer["cautions"])


def test_the_same_question_is_answered_with_the_same_bytes(api: Api) -> None:
    (lot, *_) = log(api, PEANUT_BUTTER, TINS, CLEAR)
    lot_asked, by_food = asked(lot=str(lot["id"])), "foods/peanut_butter_smooth/suitability"
    for path in (WARNINGS, lot_asked, asked(words="tinned"), by_food):
        assert api.ask("GET", path).content == api.ask("GET", path).content


def test_a_day_may_be_asked_for_and_must_be_within_reach(api: Api) -> None:
    log(api, PEANUT_BUTTER)
    assert api.get(f"{WARNINGS}?as_of=2030-01-01")["as_of"] == "2030-01-01"
    for day in ("2009-12-31", "2091-01-01", "tomorrow", "9999-99-99", "2026-02-30"):
        for path in (WARNINGS, "foods/peanut_butter_smooth/suitability"):
            refused(api.ask("GET", f"{path}?as_of={day}"), 422, slug="cannot-be-used")


def test_what_another_household_keeps_for_itself_is_not_in_the_list(api: Api) -> None:
    log(api, {**OWN, "food": "peanut_butter_smooth", "owner": OTHER_HOME}, OWN)
    assert [one["food"] for one in warnings(api)] == ["salmon_pink_tinned"]


@pytest.mark.parametrize("id_", ["H-none", "%00", "..%2F..", "H%20peanut", "é" * 20, "a" * 65])
def test_an_odd_household_is_not_there_and_breaks_nothing(api: Api, id_: str) -> None:
    with unchanged(api):
        for path in (f"households/{id_}/warnings", f"foods/{id_}/suitability"):
            assert api.ask("GET", path).status_code in (404, 422)
        food = f"foods/salmon_pink_tinned/suitability?household={id_}"
        assert api.ask("GET", food).status_code in (404, 422)
        assert api.ask("GET", asked(lot=id_)).status_code in (404, 422)


# --- roles ---


def test_a_household_sees_its_own_warnings_and_no_others(api: Api) -> None:
    log(api, PEANUT_BUTTER)
    assert warnings(api, role=Role.HOUSEHOLD) == warnings(api)
    problem(api.ask("GET", f"households/{OTHER_HOME}/warnings", role=Role.HOUSEHOLD), 403)


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.SCRIPT])
def test_whoever_packs_or_posts_sees_no_households_warnings(api: Api, role: Role) -> None:
    problem(api.ask("GET", WARNINGS, role=role), 403)
    body = {"warning": "0" * 32, "why": "x"}
    problem(api.ask("POST", NOTES, role=role, body=body), 403)
    assert logged(api) == []


def test_a_script_is_told_nothing_of_whom_food_suits(api: Api) -> None:
    for path in (asked(words="tins"), "foods/salmon_pink_tinned/suitability", "parcels"):
        problem(api.ask("GET", path, role=Role.SCRIPT), 403)
    assert logged(api) == []


def test_whoever_packs_is_told_numbers_and_no_household_and_no_member(api: Api) -> None:
    (lot, *_) = log(api, PEANUT_BUTTER, TINS)
    by_lot, by_food = asked(lot=str(lot["id"])), "foods/peanut_butter_smooth/suitability"
    for path in (by_lot, asked(words="peanut"), by_food, "parcels"):
        body = api.ask("GET", path, role=Role.VOLUNTEER).text
        assert "peanut" in body, path
        names = (PEANUT_HOME, OTHER_HOME, "M-1", "M-2")
        assert [name for name in names if name in body] == [], path
    food = "foods/salmon_pink_tinned/suitability"
    problem(api.ask("GET", f"{food}?household={OTHER_HOME}", role=Role.VOLUNTEER), 403)


def test_a_food_is_told_home_by_home_to_coordinators_and_ones_own_to_a_household(
    api: Api,
) -> None:
    others = {**OWN, "food": "peanut_butter_smooth", "owner": OTHER_HOME, "units": 41}
    log(api, PEANUT_BUTTER, others)
    path = "foods/peanut_butter_smooth/suitability"
    (label,) = objects(api.get(path), "labels")
    (home,) = objects(label, "homes")
    assert (home["household"], home["verdict"]) == (PEANUT_HOME, "unsuitable")
    counted = [label[f"{name}_homes"] for name in ("suitable", "unknown", "unsuitable")]
    assert counted == [1, 0, 1]
    (own,) = objects(api.get(path, role=Role.HOUSEHOLD), "labels")
    assert [one["household"] for one in objects(own, "homes")] == [PEANUT_HOME]
    assert [one["units"] for one in objects(own, "lots")] == [6]
    problem(api.ask("GET", f"{path}?household={OTHER_HOME}", role=Role.HOUSEHOLD), 403)
    (other,) = objects(api.get(f"{path}?household={OTHER_HOME}"), "labels")
    assert [one["household"] for one in objects(other, "homes")] == [OTHER_HOME]


def test_every_answer_is_logged_as_a_reading_of_health_facts_before_it_is_given(
    api: Api,
) -> None:
    salmon, moonfish = (f"foods/{one}/suitability" for one in (SALMON, "moonfish"))
    for path, role, status in (
        (WARNINGS, Role.COORDINATOR, 200),
        (WARNINGS, Role.HOUSEHOLD, 200),
        (asked(words="tins"), Role.VOLUNTEER, 200),
        (salmon, Role.HOUSEHOLD, 200),
        (moonfish, Role.COORDINATOR, 404),
    ):
        assert api.ask("GET", path, role=role).status_code == status
        api.clock.move(timedelta(minutes=1))
    assert logged(api) == [
        ("a coordinator", "warnings", PEANUT_HOME),
        (PEANUT_HOME, "warnings", PEANUT_HOME),
        ("a volunteer", "parcel 2", None),
        (PEANUT_HOME, "suitability", PEANUT_HOME),
        ("a coordinator", "suitability", None),
    ]


# --- a parcel ---


def test_a_lot_may_go_in_a_parcel_or_not_or_it_is_not_known(api: Api) -> None:
    butter, unread, clear = log(api, PEANUT_BUTTER, TINS, CLEAR)
    said = [may_go(api, lot=str(one["id"])) for one in (butter, unread, clear)]
    assert said == [
        ("no", ["contains peanut"]),
        ("not_known", ["the label was not read for peanut"]),
        ("yes", ["nothing on its label stands against it"]),
    ]
    assert may_go(api, 1, lot=str(butter["id"]))[0] == "yes"


def test_words_can_only_show_that_a_thing_must_not_go_in(api: Api) -> None:
    log(api, CLEAR)
    assert may_go(api, words="peanut%20butter") == ("no", ["contains peanut"])
    answer, why = may_go(api, words="pink%20salmon")
    assert (answer, why) == (
        "not_known",
        ["words are not enough: look for its lot, or scan its barcode"],
    )
    assert may_go(api, 1, words="pink%20salmon")[0] == "yes"
    nothing = ["nothing in the store is called that: read its label"]
    for parcel in (1, 2):
        assert may_go(api, parcel, words="moonfish") == ("not_known", nothing)


def test_a_barcode_is_answered_for_by_every_label_that_its_food_has_here(api: Api) -> None:
    bars = {"name": "Bars", "group": "sweets", "net_mass_g": 40, "gtin": CODE}
    serving = {"serving_g": 40, "energy_kcal": 160, "protein_g": 2}
    food = api.post("foods", {**bars, "serving": serving})
    line = {**TINS, "food": food["id"]}
    unread = ("not_known", ["the label was not read for peanut"])
    assert may_go(api, scanned=CODE) == unread
    text = "Ingredients: oats, sugar, salt."
    (lot,) = log(api, {**line, "reading": {**BY_TEXT, "text": text}})
    only_here = "it is so for what is logged here: a pack that is not has a label of its own"
    assert may_go(api, scanned=CODE) == (
        "yes",
        ["nothing on its label stands against it", only_here],
    )
    log(api, line)
    depends = ["it depends on which of these it is: look for its lot"]
    assert may_go(api, scanned=CODE) == ("not_known", depends)
    after(do(api, lot, to="label", reading={**BY_TEXT, "text": f"{text} May contain peanuts."}))
    assert may_go(api, lot=str(lot["id"]))[0] == "no"
    none = ["nothing in the store has that barcode: read its label"]
    assert may_go(api, scanned="4006381333931") == ("not_known", none)


def test_a_lot_that_waits_for_its_name_is_not_known_or_not_to_be_given(api: Api) -> None:
    jars, butter = log(api, JARS, {**JARS, "words": "jars of peanut butter"})
    not_named = ("not_known", ["nobody has named it yet: read its label"])
    assert may_go(api, lot=str(jars["id"])) == not_named
    assert may_go(api, lot=str(butter["id"])) == ("no", ["contains peanut"])


def test_what_can_not_be_given_to_anybody_does_not_go_in_whatever_its_label(api: Api) -> None:
    reading = CLEAR["reading"]
    past, undated, aside, own = log(
        api,
        {**CLEAR, "printed": "2026-01"},
        {**TINS, "label_kind": "unlabelled", "printed": None, "reading": reading},
        CLEAR,
        {**OWN, "owner": OTHER_HOME, "reading": reading},
    )
    assert do(api, aside, to="quarantine", why="smells").status_code == 201
    said = [may_go(api, lot=str(one["id"])) for one in (past, undated, aside, own)]
    assert [answer for answer, _ in said] == ["no", "not_known", "no", "no"]
    assert [why[0] for _, why in said if isinstance(why, list)] == [
        "it is past its last good day",
        "it has no date: look for one on the pack",
        "it is set aside until somebody decides",
        "a household keeps it for itself",
    ]


@pytest.mark.parametrize(
    "query",
    [
        "",
        "?words=",
        "?words=%20%20",
        "?scanned=",
        "?lot=",
        f"?words=tins&scanned={CODE}",
        "?words=tins&lot=L-1",
        "?scanned=012345678904",
        "?scanned=beans",
        f"?words={'a' * 121}",
        f"?scanned={'1' * 500}",
        f"?lot={'L' * 65}",
        "?lot=%00",
        "?scanned=%00",
        "?words=%00",
    ],
)
def test_what_can_not_be_asked_of_a_parcel_is_refused_in_words(api: Api, query: str) -> None:
    with unchanged(api):
        answer = api.ask("GET", f"parcels/2/check{query}", role=Role.VOLUNTEER)
        assert answer.status_code in (404, 422), answer.text
        slug = "not-there" if answer.status_code == 404 else "cannot-be-used"
        said = refused(answer, answer.status_code, slug=slug) + answer.text
        assert "peanut" not in said


@pytest.mark.parametrize("parcel", ["0", "-1", "3", "9999999", "10000001", "x", "1e3", "2%00"])
def test_a_parcel_that_is_not_there_is_said_not_to_be(api: Api, parcel: str) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    answer = api.ask("GET", f"parcels/{parcel}/check?words=tins", role=Role.VOLUNTEER)
    assert answer.status_code in (404, 422)
    problem(answer, answer.status_code)


def test_a_lot_and_a_parcel_of_another_store_are_not_there(api: Api) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    (lot,) = log(api, CLEAR)
    token = token_for(api.engine, Role.VOLUNTEER, store=OTHER_STORE)
    theirs = {"Authorization": f"Bearer {token}"}
    other = f"/v1/stores/{OTHER_STORE}/parcels/2/check?lot={lot['id']}"
    problem(api.ask("GET", other, role=None, headers=theirs), 404)
    here = f"{api.store}/parcels/2/check?words=tins"
    problem(api.ask("GET", here, role=None, headers=theirs), 403)


# --- privacy ---


def test_no_health_fact_is_in_a_refusal_or_in_a_line_of_the_log(
    api: Api, caplog: pytest.LogCaptureFixture
) -> None:
    log(api, PEANUT_BUTTER, {**TINS, "reading": TRACES})
    body = {"warning": "0" * 32, "why": "x"}
    with caplog.at_level(logging.DEBUG):
        answers = [
            api.ask("GET", WARNINGS),
            api.ask("GET", asked(words="peanut"), role=Role.VOLUNTEER),
            api.ask("GET", "parcels/2/check", role=Role.VOLUNTEER),
            api.ask("GET", asked(scanned="7"), role=Role.VOLUNTEER),
            api.ask("GET", WARNINGS, role=Role.VOLUNTEER),
            api.ask("POST", NOTES, body=body),
        ]
    assert [one.status_code for one in answers] == [200, 200, 422, 422, 403, 404]
    # The other two belong to the test's own way of asking.
    theirs = ("httpx", "asyncio")
    ours = [one.getMessage() for one in caplog.records if one.name not in theirs]
    told_of = " ".join([*(one.text for one in answers[2:]), *ours])
    assert [word for word in ("peanut", "allerg", "M-2") if word in told_of.lower()] == []
