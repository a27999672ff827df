"""Claims about labels over the API: who may read one, what is kept, and how it is settled."""

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import OWN, TINS, after, do, log, objects
from tests.grounds import CELLAR, PEANUT_HOME, lots_of, version_of

Said = dict[str, Json]

TEXT = "Ingredients: pink salmon, salt.\nContains: fish (salmon)."
READ: Said = {"text": TEXT, "is_whole": True, "regime": "us_fda", "contains": ["fish"]}
SECOND: Said = {"contains": ["fish"], "may_contain": ["milk"], "not_declared": ["peanut"]}
DENIES: Said = {"contains": ["fish"], "not_declared": ["milk"]}
WHOLE: Said = {
    "contains": ["fish"],
    "may_contain": [],
    "free_from": [],
    "not_declared": [],
    "claims": [],
    "text": TEXT,
    "is_whole": True,
    "language": "en",
    "regime": "us_fda",
    "packed_on": None,
}


def label_of(api: Api, lot: Said, *, role: Role = Role.COORDINATOR) -> Said:
    return api.get(f"lots/{lot['id']}/label", role=role)


def standing(api: Api, lot: Said) -> list[Said]:
    """Give the readings that stand."""
    return [one["reading"] for one in objects(label_of(api, lot), "standing")]  # type: ignore[misc]


def read(api: Api, lot: Said, reading: Said, *, role: Role = Role.VOLUNTEER) -> Said:
    (done,) = after(do(api, lot, to="label", role=role, reading=reading))
    return done


def fault_of(api: Api, **body: Json) -> str:
    """Send a label that cannot be used, and give the one thing that is said to be wrong."""
    (lot,) = log(api)
    before, version = lots_of(api.engine), version_of(api.engine)
    answer = api.ask("POST", f"lots/{lot['id']}/label", body=body)
    (fault,) = objects(problem(answer, 422), "faults")
    assert (lots_of(api.engine), version_of(api.engine)) == (before, version)
    return f"{fault['where']}: {fault['what']}"


def test_a_label_is_recorded_and_told_with_who_read_it_and_when(api: Api) -> None:
    (lot,) = log(api)
    assert lot["reading"] is None
    done = read(api, lot, READ)
    label = label_of(api, lot, role=Role.SCRIPT)
    (one,) = objects(label, "standing")
    assert one == {
        "number": 1,
        "by": "a volunteer",
        "at": "2026-09-01T12:00:00.000000Z",
        "reading": WHOLE,
    }
    assert (label["lot"], label["etag"]) == (lot["id"], done["etag"])
    (entry,) = objects(label, "entries")
    assert (entry["kind"], entry["readings"]) == ("label_read", [WHOLE])
    assert label["disagree_about"] == []


def test_a_lot_tells_in_short_what_stands_on_its_label(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": READ})
    done = read(api, lot, SECOND)
    assert done["reading"] == {
        "contains": ["fish"],
        "may_contain": ["milk"],
        "free_from": [],
        "not_declared": ["peanut"],
        "claims": [],
        "is_whole": False,
        "regime": None,
        "language": "en",
        "has_text": True,
        "readings": 2,
    }
    assert api.get(f"lots/{lot['id']}") == done


def test_a_second_reading_that_disagrees_is_kept_and_the_stricter_is_told(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": SECOND})
    done = read(api, lot, DENIES)
    assert [one["not_declared"] for one in standing(api, lot)] == [["peanut"], ["milk"]]
    told_in_short = done["reading"]
    assert isinstance(told_in_short, dict)
    assert (told_in_short["may_contain"], told_in_short["not_declared"]) == (["milk"], ["peanut"])


@pytest.mark.parametrize(
    ("first", "second", "about"),
    [
        (SECOND, DENIES, ["milk"]),
        ({"contains": ["milk"]}, {"may_contain": ["milk"]}, ["milk"]),
        (READ, {"text": TEXT + "\nMay contain milk.", "regime": "us_fda"}, ["milk"]),
        (READ, {"contains": ["fish"]}, []),
    ],
)
def test_it_is_told_what_readings_disagree_about(
    api: Api, first: Said, second: Said, about: list[str]
) -> None:
    (lot,) = log(api, {**TINS, "reading": first})
    read(api, lot, second)
    assert label_of(api, lot)["disagree_about"] == about


def test_readings_of_what_is_not_in_the_list_are_told_apart_as_ticked(api: Api) -> None:
    (lot,) = log(api, {"place": CELLAR, "words": "red jars", "units": 3, "reading": SECOND})
    read(api, lot, DENIES)
    label = label_of(api, lot)
    assert (label["food"], label["disagree_about"]) == (None, ["milk"])


def test_only_a_coordinator_settles_and_nothing_is_lost(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": SECOND})
    lot = read(api, lot, DENIES)
    for role in (Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT):
        problem(do(api, lot, to="label/settle", role=role, tag=lot["etag"], keep=[1], why="x"), 403)
    problem(do(api, lot, to="label/settle", keep=[1], why="x"), 428)
    problem(do(api, lot, to="label/settle", tag='"r1"', keep=[1], why="x"), 412)
    (done,) = after(do(api, lot, to="label/settle", tag=lot["etag"], keep=[1], why="looked"))
    assert [one["may_contain"] for one in standing(api, lot)] == [["milk"]]
    last = objects(label_of(api, lot), "entries")[-1]
    assert (last["kind"], last["why"]) == ("label_settled", "looked")
    assert [one["not_declared"] for one in objects(last, "no_longer")] == [["milk"]]
    after(do(api, done, to="label/settle", tag=done["etag"], reading=READ, why="read it anew"))
    assert standing(api, lot) == [WHOLE]


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ({"keep": [2]}, "keep: name readings by their numbers, 1 to 1"),
        ({"keep": [0]}, "keep number 1: must be 1 or more"),
        ({"keep": []}, "keep: needs at least 1"),
        ({}, ": name the readings to keep, or give a new one, one of the two"),
        ({"keep": [1], "reading": {}}, ": name the readings to keep, or give a new one, one of"),
    ],
)
def test_what_can_not_be_settled_is_said_in_words(api: Api, body: Said, fault: str) -> None:
    (lot,) = log(api, {**TINS, "reading": READ})
    tag = {"If-Match": str(lot["etag"])}
    asked = {"why": "x", **body}
    answer = api.ask("POST", f"lots/{lot['id']}/label/settle", body=asked, headers=tag)
    (found,) = objects(problem(answer, 422), "faults")
    assert f"{found['where']}: {found['what']}".startswith(fault)
    assert standing(api, lot) == [WHOLE]


# --- roles ---


def test_a_household_reads_and_records_the_labels_of_its_own_lots_alone(api: Api) -> None:
    own, other = log(api, OWN, {**TINS, "reading": READ})
    read(api, own, SECOND, role=Role.HOUSEHOLD)
    (one,) = objects(label_of(api, own, role=Role.HOUSEHOLD), "standing")
    assert one["by"] == PEANUT_HOME
    problem(api.ask("GET", f"lots/{other['id']}/label", role=Role.HOUSEHOLD), 404)
    problem(do(api, other, to="label", role=Role.HOUSEHOLD, reading=READ), 404)
    problem(do(api, own, to="label", role=Role.HOUSEHOLD, same_as=other["id"]), 404)
    (mine,) = objects(api.get(f"foods/{TINS['food']}/labels", role=Role.HOUSEHOLD), "labels")
    assert mine["lot"] == own["id"]


def test_a_script_records_no_label(api: Api) -> None:
    (lot,) = log(api)
    problem(do(api, lot, to="label", role=Role.SCRIPT, reading=READ), 403)


def test_what_is_told_of_a_label_is_never_taken_from_before(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": READ})
    answer = api.ask("GET", f"lots/{lot['id']}/label", headers={"If-None-Match": str(lot["etag"])})
    assert told(answer, 200)["etag"] == lot["etag"]
    assert "ETag" not in answer.headers


# --- keys ---


def test_a_label_sent_twice_under_one_key_is_recorded_once(api: Api) -> None:
    (lot,) = log(api)
    path, body = f"lots/{lot['id']}/label", {"reading": READ}
    first = api.ask("POST", path, body=body, key="once")
    again = api.ask("POST", path, body=body, key="once")
    assert told(first, 201) == told(again, 201)
    assert len(objects(label_of(api, lot), "entries")) == 1
    problem(api.ask("POST", path, body={"reading": SECOND}, key="once"), 422)
    problem(api.ask("POST", path, body=body, key=None), 400)


# --- the same label ---


def test_the_same_label_is_recorded_by_naming_the_lot(api: Api) -> None:
    first, new = log(api, {**TINS, "reading": READ}, TINS)
    after(do(api, new, to="label", role=Role.VOLUNTEER, same_as=first["id"]))
    assert standing(api, new) == [WHOLE]
    unread, barley = log(api, TINS, {**TINS, "food": "pearl_barley_dry"})
    for lot, same_as, said in (
        (new, unread, "was not read yet"),
        (barley, first, "is of another food"),
    ):
        answer = do(api, lot, to="label", same_as=same_as["id"])
        assert said in str(problem(answer, 409)["detail"])
    problem(do(api, new, to="label", same_as="L-none"), 404)


def test_the_labels_of_a_food_are_offered_for_comparison(api: Api) -> None:
    first, *_ = log(api, {**TINS, "reading": READ}, TINS)
    log(api, {**TINS, "same_label_as": first["id"]}, {**TINS, "reading": SECOND})
    found = objects(api.get(f"foods/{TINS['food']}/labels", role=Role.VOLUNTEER), "labels")
    assert len(found) == 2
    assert WHOLE in [one["reading"] for one in found]
    problem(api.ask("GET", "foods/moonfish/labels"), 404)
    assert api.get("foods/white_beans_dry/labels") == {"food": "white_beans_dry", "labels": []}


def test_a_box_that_nobody_compared_is_warned_of(api: Api) -> None:
    (first,) = log(api, {**TINS, "reading": READ})
    lines = [TINS, {**TINS, "same_label_as": first["id"]}, {**TINS, "reading": SECOND}]
    received = objects(api.post("intake", {"lines": lines}), "lines")
    about = [[one["about"] for one in objects(line, "warnings")] for line in received]
    assert about == [["label_not_compared"], [], []]
    (warning,) = objects(received[0], "warnings")
    assert "is this one the same?" in str(warning["text"])
    assert received[1]["lot"]["reading"] == first["reading"]  # type: ignore[index, call-overload]


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"same_label_as": "L-none"}, "lines number 2 > same_label_as: there is no lot 'L-none'"),
        ({"food": "pearl_barley_dry"}, "lines number 2 > same_label_as: lot "),
        ({"reading": READ}, "lines number 2: give what was read, or the lot with the same label"),
        (
            {"is_label_unreadable": True},
            "lines number 2: a label that cannot be read can be compared with none",
        ),
    ],
)
def test_a_comparison_that_can_not_be_names_its_line(api: Api, changed: Said, fault: str) -> None:
    (first,) = log(api, {**TINS, "reading": READ})
    before = version_of(api.engine)
    line = {**TINS, "same_label_as": first["id"], **changed}
    answer = api.ask("POST", "intake", body={"lines": [TINS, line]})
    (found,) = objects(problem(answer, 422), "faults")
    assert f"{found['where']}: {found['what']}".startswith(fault)
    assert version_of(api.engine) == before


# --- what is typed ---


def test_a_text_is_kept_as_typed_but_for_its_ends(api: Api) -> None:
    (lot,) = log(api)
    typed = "INGREDIENTS:\r\n\tsalmon \x1b[31m \u202e salt \u200b\ufeff 🐟 <b>&amp;"
    read(api, lot, {"text": f" \n{typed}\t "})
    assert [one["text"] for one in standing(api, lot)] == [typed]


def test_a_text_of_twenty_thousand_characters_is_kept_and_no_longer_one(api: Api) -> None:
    (lot,) = log(api)
    read(api, lot, {"text": "ü" * 20_000})
    assert standing(api, lot)[0]["text"] == "ü" * 20_000
    fault = fault_of(api, reading={"text": "a" * 20_001})
    assert fault == "reading > text: has room for at most 20000 characters"


@pytest.mark.parametrize(
    ("reading", "fault"),
    [
        ({"text": "salt\x00"}, "reading > text: a text has no NUL in it"),
        ({"text": "salt\ud800"}, "reading > text: must be words in quotation marks"),
        ({"text": 7}, "reading > text: must be words in quotation marks"),
        ({"contains": ["moonlight"]}, "reading > contains number 1: must be "),
        ({"claims": ["tasty"]}, "reading > claims number 1: must be "),
        ({"regime": "moon"}, "reading > regime: must be "),
        ({"language": "e"}, "reading > language: needs at least 2 character"),
        ({"language": "en\n"}, "reading > language: "),
        ({"packed_on": "2026-09-02"}, "reading > packed_on: must be a day from 2000 to today"),
        ({"packed_on": "1999-12-31"}, "reading > packed_on: must be a day from 2000 to today"),
        ({"packed_on": "2026-02-30"}, "reading > packed_on: there is no such day"),
        ({"is_whole": "yes"}, "reading > is_whole: must be true or false"),
        ({"taste": 1}, "reading > taste: is not a field that this request has"),
        ({"contains": ["milk"], "free_from": ["milk"]}, "reading: a label can not contain a thing"),
        ({"may_contain": ["egg"], "not_declared": ["egg"]}, "reading: a label can not contain"),
    ],
)
def test_a_reading_that_can_not_be_is_refused_in_words(api: Api, reading: Said, fault: str) -> None:
    assert fault_of(api, reading=reading).startswith(fault)


def test_a_label_is_a_reading_or_another_lots_and_not_both(api: Api) -> None:
    words = ": give what was read, or the lot with the same label, one of the two"
    assert fault_of(api) == words
    assert fault_of(api, reading={}, same_as="L-1") == words


def test_a_correction_puts_one_reading_in_the_place_of_all(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": SECOND})
    lot = read(api, lot, DENIES)
    after(do(api, lot, to="correct", tag=lot["etag"], why="misread", reading=READ))
    assert standing(api, lot) == [WHOLE]
    last = objects(label_of(api, lot), "entries")[-1]
    assert len(objects(last, "no_longer")) == 2


def test_a_moved_part_has_the_label_of_the_lot_it_came_from(api: Api) -> None:
    (lot,) = log(api, {**TINS, "reading": READ})
    _, part = after(do(api, lot, to="move", place=CELLAR, units=2))
    assert standing(api, part) == [WHOLE]
    (entry,) = objects(label_of(api, part), "entries")
    assert (entry["kind"], entry["lot"]) == ("received", lot["id"])
