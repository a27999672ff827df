"""Claims about acknowledgements: who may note a warning, what is kept, and what opens it again."""

import json
from collections.abc import Mapping
from datetime import timedelta

import pytest

from tests.api.clients import Api, Json, problem, told
from tests.api.test_bad_input import refused, unchanged
from tests.api.test_households import leave
from tests.api.test_lots import TINS, after, do, log
from tests.api.test_suitability import BY_TEXT, NOTES, PEANUT_BUTTER, TRACES, WARNINGS, warnings
from tests.grounds import (
    PEANUT_HOME,
    version_of,
)


def mark_of(api: Api, food: str = "peanut_butter_smooth") -> Json:
    """Give the mark of the one warning about a food."""
    (mark,) = [one["warning"] for one in warnings(api) if one["food"] == food]
    return mark


def note(api: Api, mark: Json, *, why: str = "the jar is for the hall") -> dict[str, Json]:
    return api.post(NOTES, {"warning": mark, "why": why})


def test_a_warning_is_acknowledged_and_goes_on_being_shown_with_who_when_and_why(
    api: Api,
) -> None:
    log(api, PEANUT_BUTTER)
    mark, before = mark_of(api), version_of(api.engine)
    kept = note(api, mark)
    by_at_why: dict[str, Json] = {
        "by": "a coordinator",
        "at": "2026-09-01T12:00:00.000000Z",
        "why": "the jar is for the hall",
    }
    assert kept == {"warning": mark, "food": "peanut_butter_smooth", **by_at_why}
    (shown,) = warnings(api)
    assert (shown["warning"], shown["acknowledged"]) == (mark, by_at_why)
    assert shown["verdict"] == "unsuitable"
    assert version_of(api.engine) == before + 1


def test_the_first_note_stands(api: Api) -> None:
    log(api, PEANUT_BUTTER)
    first = note(api, mark_of(api))
    api.clock.move(timedelta(hours=1))
    assert note(api, mark_of(api), why="another reason") == first


def test_a_note_needs_a_key_and_is_given_again_under_the_same(api: Api) -> None:
    (lot,) = log(api, PEANUT_BUTTER)
    body: Mapping[str, Json] = {"warning": mark_of(api), "why": "for the hall"}
    problem(api.ask("POST", NOTES, body=body, key=None), 400)
    first = api.ask("POST", NOTES, body=body, key="once")
    after(do(api, lot, to="label", reading=TRACES))
    again = api.ask("POST", NOTES, body=body, key="once")
    assert told(first, 201) == told(again, 201)


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"warning": "0" * 32, "why": "x"}, 404),
        ({"warning": "0" * 31, "why": "x"}, 422),
        ({"warning": "0" * 31 + "\x00", "why": "x"}, 404),
        ({"warning": "0" * 32, "why": " "}, 422),
        ({"warning": "0" * 32, "why": "x" * 401}, 422),
        ({"warning": "0" * 32}, 422),
        ({"why": "x"}, 422),
        ({"warning": 7, "why": "x"}, 422),
    ],
)
def test_a_note_on_no_warning_is_refused_in_words(
    api: Api, body: dict[str, Json], status: int
) -> None:
    log(api, PEANUT_BUTTER)
    with unchanged(api):
        answer = api.ask("POST", NOTES, body=body)
        slug = "not-there" if status == 404 else "cannot-be-used"
        refused(answer, status, slug=slug)
    assert [one["acknowledged"] for one in warnings(api)] == [None]


def test_a_note_on_a_household_that_is_not_there_is_refused(api: Api) -> None:
    path = "households/H-none/acknowledgements"
    problem(api.ask("POST", path, body={"warning": "0" * 32, "why": "x"}), 404)


def test_another_reading_opens_a_warning_again(api: Api) -> None:
    (lot,) = log(api, PEANUT_BUTTER)
    note(api, mark_of(api))
    after(do(api, lot, to="label", reading={**BY_TEXT, "text": "Ingredients: peanuts."}))
    assert [one["acknowledged"] for one in warnings(api)] == [None]


def test_an_edit_of_the_food_opens_a_warning_again(api: Api) -> None:
    serving = {"serving_g": 40, "energy_kcal": 160, "protein_g": 2}
    body = {"name": "Bars", "group": "sweets", "net_mass_g": 40, "serving": serving}
    food = api.post("foods", {**body, "contains": ["peanut"]})
    log(api, {**TINS, "food": food["id"]})
    note(api, mark_of(api, str(food["id"])))
    tag = {"If-Match": api.ask("GET", f"foods/{food['id']}").headers["etag"]}
    changed = {**body, "contains": ["peanut", "milk"]}
    assert api.ask("PUT", f"foods/{food['id']}", body=changed, headers=tag).status_code == 200
    assert [one["acknowledged"] for one in warnings(api)] == [None]


def test_a_change_of_the_need_opens_a_warning_again(api: Api) -> None:
    log(api, PEANUT_BUTTER)
    note(api, mark_of(api))
    path = f"households/{PEANUT_HOME}/members/M-2"
    need = {"allergy": "peanut", "accepts_may_contain": True}
    body = {"born_on": "1990-02-03", "sex": "male", "restrictions": [need]}
    tag = {"If-Match": str(api.get(path)["etag"])}
    assert api.ask("PUT", path, body=body, headers=tag).status_code == 200
    assert [one["acknowledged"] for one in warnings(api)] == [None]


def test_what_changes_nothing_for_the_warning_leaves_the_note(api: Api) -> None:
    (lot,) = log(api, PEANUT_BUTTER)
    note(api, mark_of(api))
    log(api, TINS, PEANUT_BUTTER)
    after(do(api, lot, to="use", units=1))
    shown = {one["food"]: one["acknowledged"] is not None for one in warnings(api)}
    assert shown == {"peanut_butter_smooth": True, "salmon_pink_tinned": False}


def test_a_note_goes_when_its_household_does(api: Api) -> None:
    log(api, PEANUT_BUTTER)
    note(api, mark_of(api), why="a reason to be forgotten")
    leave(api, f"households/{PEANUT_HOME}")
    problem(api.ask("GET", WARNINGS), 404)
    assert "a reason to be forgotten" not in json.dumps(api.get("snapshot"))
