"""Claims about the wish list over the API: as planned, cached, refused in words, and redacted."""

from functools import partial

import httpx
import pytest

from daysworth.answers.wish_list import answer_wish_list, wish_list_json
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import FoodId
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Least, Wish
from tests.api.clients import Api, problem, told
from tests.grounds import NOON, OTHER_HOME, PEANUT_HOME, box, look, put_up

WATER = "running_water=true"


def ask(
    api: Api, query: str = "", *, tag: str | None = None, role: Role = Role.COORDINATOR
) -> httpx.Response:
    headers = {} if tag is None else {"If-None-Match": tag}
    return api.ask("GET", f"wish-list?{WATER}{query}", role=role, headers=headers)


def test_the_answer_is_the_planners(api: Api) -> None:
    put_up(api.engine, box(60))
    snapshot = look(api.engine, partial(load_snapshot, at=NOON))
    wish = Wish(
        target_days=20,
        least=Least.COST,
        foods=frozenset({FoodId("pasta_dry")}),
        prices={FoodId("pasta_dry"): 1.5},
    )
    scenario = Scenario(running_water=True, heating=True)
    planned = answer_wish_list(snapshot, NOON.date(), scenario=scenario, wish=wish)
    query = "&heating=true&target_days=20&least=cost&food=pasta_dry&price=pasta_dry:1.5"
    assert ask(api, query).text == wish_list_json(planned)


def test_the_same_question_gives_the_same_bytes_and_then_a_304(api: Api) -> None:
    first, second = ask(api), ask(api)
    assert first.content == second.content
    tag = first.headers["etag"]
    unchanged = ask(api, tag=tag)
    assert (unchanged.status_code, unchanged.content) == (304, b"")
    assert ask(api, "&target_days=15", tag=tag).status_code == 200
    assert ask(api, "&usual=true", tag=tag).status_code == 200


def test_any_change_to_the_stock_makes_another_answer(api: Api) -> None:
    before = ask(api)
    put_up(api.engine, box(60))
    after = ask(api, tag=before.headers["etag"])
    assert after.status_code == 200
    assert after.json()["version"] == before.json()["version"] + 1


def test_whom_nothing_helps_is_named_by_need_and_to_coordinators_alone(api: Api) -> None:
    seen = told(ask(api), 200)
    assert seen["outcome"] == "some_lack"
    (lacking,) = ask(api).json()["lacking"]
    assert (lacking["members"], lacking["need"]) == (1, "peanut allergy")
    script = ask(api, role=Role.SCRIPT)
    assert told(script, 200)["lacking"] == []
    assert "peanut allergy" not in script.text
    assert script.headers["etag"] != ask(api).headers["etag"]


def test_one_households_gap_is_told_to_coordinators_and_noted(api: Api) -> None:
    found = told(ask(api, f"&household={OTHER_HOME}"), 200)
    assert found["outcome"] == "listed"
    noted = api.get("disclosures")["items"]
    assert isinstance(noted, list)
    assert [(one["what"], one["household"]) for one in noted] == [  # type: ignore[call-overload, index]
        ("wish list", OTHER_HOME)
    ]
    refused = ask(api, f"&household={OTHER_HOME}", role=Role.SCRIPT)
    assert "for coordinators" in str(problem(refused, 403)["detail"])
    lacking = told(ask(api, f"&household={PEANUT_HOME}"), 200)
    assert (lacking["outcome"], lacking["lines"]) == ("some_lack", [])


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("&target_days=0", "target"),
        ("&target_days=nan", "target"),
        ("&target_days=800", "target"),
        ("&target_days=200", "past the horizon of 180 days"),
        ("&least=beauty", "least"),
        ("&least=cost", "what foods cost"),
        ("&price=pasta_dry", "rolled_oats:3.20"),
        ("&price=pasta_dry:-1", "rolled_oats:3.20"),
        ("&price=pasta_dry:inf", "rolled_oats:3.20"),
        ("&price=nectar:3", "no food 'nectar'"),
        ("&food=ambrosia", "no food 'ambrosia'"),
        ("&household=H-none", "no household 'H-none'"),
        (f"&household={OTHER_HOME}&away={OTHER_HOME}", "away in this scenario"),
        ("&as_of=1999-01-01", "2010 to 2090"),
    ],
)
def test_what_cannot_be_wished_is_refused_in_words(api: Api, query: str, words: str) -> None:
    refused = problem(ask(api, query), 422)
    assert words.replace("_", " ") in str(refused).replace("_", " ")


def test_who_is_away_is_for_coordinators_to_ask(api: Api) -> None:
    problem(ask(api, f"&away={OTHER_HOME}", role=Role.SCRIPT), 403)
