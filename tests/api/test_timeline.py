"""Claims about the timeline over the API: as planned, cached, refused in words, and redacted."""

from functools import partial

import httpx
import pytest

from daysworth.answers.timeline import planned_timeline, timeline_answer, timeline_json
from daysworth.db.ledger.taking import eat
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import LotId
from daysworth.planners.scenario import Scenario
from daysworth.planners.timeline import plan_timeline
from tests.api.clients import Api, problem
from tests.grounds import NOON, OTHER_HOME, PEANUT_HOME, box, change, look, put_up

WATER = "running_water=true"


def ask(
    api: Api, query: str = "", *, tag: str | None = None, role: Role = Role.COORDINATOR
) -> httpx.Response:
    headers = {} if tag is None else {"If-None-Match": tag}
    return api.ask("GET", f"timeline?{WATER}{query}", role=role, headers=headers)


def test_the_answer_is_the_planners(api: Api) -> None:
    put_up(api.engine, box(60))
    snapshot = look(api.engine, partial(load_snapshot, at=NOON))
    scenario = Scenario(running_water=True, heating=True)
    timeline = plan_timeline(snapshot, NOON.date(), scenario=scenario, months=3)
    planned = timeline_answer(planned_timeline(timeline, snapshot), household=None)
    assert ask(api, "&heating=true&months=3").text == timeline_json(planned)


def test_the_same_question_gives_the_same_bytes_and_then_a_304(api: Api) -> None:
    put_up(api.engine, box(60))
    first, second = ask(api), ask(api)
    assert first.content == second.content
    tag = first.headers["etag"]
    unchanged = ask(api, tag=tag)
    assert (unchanged.status_code, unchanged.content) == (304, b"")
    assert ask(api, "&months=3", tag=tag).status_code == 200
    assert ask(api, f"&household={OTHER_HOME}", tag=tag).status_code == 200


def test_any_change_to_the_stock_makes_another_answer(api: Api) -> None:
    (lot,) = put_up(api.engine, box(60))
    before = ask(api)
    change(api.engine, partial(eat, lot=LotId(lot.id), units=30))
    after = ask(api, tag=before.headers["etag"])
    assert after.status_code == 200
    assert after.json()["cliff"] != before.json()["cliff"]


def test_coordinators_see_what_each_class_eats(api: Api) -> None:
    put_up(api.engine, box(60))
    seen = ask(api).json()
    assert seen["household"] is None
    assert sum(one["members"] for one in seen["classes"]) == 2
    assert any(one["runs"] for one in seen["classes"])


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.SCRIPT])
def test_volunteers_and_scripts_see_what_later_dates_bring_alone(api: Api, role: Role) -> None:
    put_up(api.engine, box(60))
    seen = ask(api, role=role)
    assert (seen.json()["classes"], seen.json()["household"]) == ([], None)
    assert seen.json()["cliff"] == ask(api).json()["cliff"]
    assert '"need"' not in seen.text
    problem(ask(api, f"&household={PEANUT_HOME}", role=role), 403)


def test_a_household_sees_its_own_line_and_no_other(api: Api) -> None:
    put_up(api.engine, box(60))
    seen = ask(api, role=Role.HOUSEHOLD).json()
    assert (seen["classes"], seen["household"]["household"]) == ([], PEANUT_HOME)
    named = ask(api, f"&household={PEANUT_HOME}", role=Role.HOUSEHOLD).json()
    assert named["household"] == seen["household"]
    refused = ask(api, f"&household={OTHER_HOME}", role=Role.HOUSEHOLD)
    assert "for coordinators" in str(problem(refused, 403)["detail"])


def test_one_households_line_is_given_to_coordinators_and_noted(api: Api) -> None:
    put_up(api.engine, box(60))
    seen = ask(api, f"&household={OTHER_HOME}").json()
    assert (seen["classes"], seen["household"]["household"]) == ([], OTHER_HOME)
    assert seen["household"]["runs"]
    noted = api.get("disclosures")["items"]
    assert isinstance(noted, list)
    assert [(one["what"], one["household"]) for one in noted] == [  # type: ignore[call-overload, index]
        ("timeline", OTHER_HOME)
    ]


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("&months=0", "months"),
        ("&months=25", "months"),
        ("&months=soon", "months"),
        ("&household=H-none", "no household 'H-none'"),
        ("&without_place=attic", "'attic'"),
        ("&as_of=1999-01-01", "2010 to 2090"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(api: Api, query: str, words: str) -> None:
    assert words in str(problem(ask(api, query), 422))


def test_who_is_away_is_for_coordinators_to_ask(api: Api) -> None:
    problem(ask(api, f"&away={OTHER_HOME}", role=Role.SCRIPT), 403)
