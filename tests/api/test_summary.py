"""Claims about a store's summary over the API: its coverage, and the lots that wait for a name."""

import json
from functools import partial

import httpx
import pytest

from daysworth.db.ledger.taking import discard, eat
from daysworth.db.places import change_place
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import LotId
from tests.api.clients import Api, problem
from tests.grounds import CELLAR, SALMON, SHELF, box, change, put_up


def ask(
    api: Api, query: str = "", *, tag: str | None = None, role: Role = Role.COORDINATOR
) -> httpx.Response:
    headers = {} if tag is None else {"If-None-Match": tag}
    return api.ask("GET", f"summary{query}", role=role, headers=headers)


def test_its_coverage_is_that_of_the_question_of_coverage(api: Api) -> None:
    put_up(api.engine, box(60), box(3, food=None, words="a jar without a label"))
    for query in ("", "?ration=0.5", "?away=H-other", "?as_of=2026-10-01&without_place=cellar"):
        summary = ask(api, query).json()
        assert set(summary) == {"coverage", "waiting"}
        assert summary["coverage"] == api.get(f"coverage{query}")


def test_lots_that_wait_for_a_name_are_listed_by_id_with_what_they_were_called(api: Api) -> None:
    lots = put_up(
        api.engine,
        box(3, food=None, words="a jar without a label"),
        box(60),
        box(5, food=None, words="something in a tin", place=CELLAR),
    )
    called = {lots[0].id: ("a jar without a label", 3, "Shelf")}
    called[lots[2].id] = ("something in a tin", 5, "Cellar")
    assert ask(api).json()["waiting"] == [
        {"lot": lot, "words": words, "units": units, "place": place}
        for lot, (words, units, place) in sorted(called.items())
    ]


def test_a_lot_that_was_named_or_used_up_waits_no_more(api: Api) -> None:
    one, two = put_up(
        api.engine, box(3, food=None, words="fish"), box(2, food=None, words="fish again")
    )
    tag = api.ask("GET", f"lots/{one.id}").headers["etag"]
    named = api.ask(
        "POST",
        f"lots/{one.id}/correct",
        body={"food": SALMON, "why": "read"},
        headers={"If-Match": tag},
    )
    assert named.status_code in (200, 201), named.text
    assert [lot["words"] for lot in ask(api).json()["waiting"]] == ["fish again"]
    change(api.engine, partial(discard, lot=LotId(two.id), units=2, why="gone"))
    assert ask(api).json()["waiting"] == []


def test_a_store_in_which_nothing_waits_has_an_empty_list(api: Api) -> None:
    assert ask(api).json()["waiting"] == []


def test_the_same_question_gives_the_same_bytes_and_then_a_304(api: Api) -> None:
    put_up(api.engine, box(60))
    first, second = ask(api), ask(api)
    assert first.content == second.content
    assert first.headers["cache-control"] == "private, no-cache"
    unchanged = ask(api, tag=first.headers["etag"])
    assert (unchanged.status_code, unchanged.content) == (304, b"")
    assert unchanged.headers["etag"] == first.headers["etag"]


def test_the_tag_of_the_coverage_is_not_that_of_the_summary(api: Api) -> None:
    tags = {api.ask("GET", path).headers["etag"] for path in ("summary", "coverage")}
    assert len(tags) == 2


def test_whatever_changes_the_list_makes_another_answer(api: Api) -> None:
    (lot,) = put_up(api.engine, box(3, food=None, words="a jar"))
    first = ask(api)
    change(api.engine, partial(eat, lot=LotId(lot.id), units=1))
    fewer = ask(api, tag=first.headers["etag"])
    assert [one["units"] for one in fewer.json()["waiting"]] == [2]
    change(api.engine, partial(change_place, place=SHELF, name="Hall", if_revision=1))
    renamed = ask(api, tag=fewer.headers["etag"])
    assert [one["place"] for one in renamed.json()["waiting"]] == ["Hall"]


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.HOUSEHOLD])
def test_it_is_for_coordinators_and_scripts_alone(api: Api, role: Role) -> None:
    assert problem(ask(api, role=role), 403)["type"] == "/v1/problems/not-allowed"


def test_a_script_learns_of_no_allergy_and_is_given_a_tag_of_its_own(api: Api) -> None:
    put_up(api.engine, box(60))
    mine, theirs = ask(api), ask(api, role=Role.SCRIPT)
    assert "peanut" in json.dumps(mine.json()["coverage"]["classes"])
    told = theirs.json()["coverage"]
    assert "peanut" not in json.dumps([told["held_by"], told["classes"]])
    assert {home["household"] for home in told["households"]} == {"H-other", "H-peanut"}
    assert theirs.headers["etag"] != mine.headers["etag"]
    assert ask(api, role=Role.SCRIPT, tag=mine.headers["etag"]).status_code == 200


def test_a_script_may_not_ask_who_could_be_away(api: Api) -> None:
    problem(ask(api, "?away=H-peanut", role=Role.SCRIPT), 403)


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("?heating=banana", "must be true or false"),
        ("?ration=0", "must be 0.001 or more"),
        ("?horizon_days=0", "must be 1 or more"),
        ("?without_place=attic", "'attic'"),
        ("?as_of=2009-12-31", "from 2010 to 2090"),
    ],
)
def test_a_question_that_cannot_be_asked_is_refused_in_words(
    api: Api, query: str, words: str
) -> None:
    refused = problem(ask(api, query), 422)
    assert words in json.dumps([refused["detail"], refused["faults"]])
