"""Claims about coverage over the API: cached, never stale, the same bytes, and redacted."""

import json
from datetime import timedelta
from functools import partial

import httpx
import pytest
from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache
from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.planning_pool import settled
from daysworth.answers.store_coverage import CoverageOffice
from daysworth.answers.store_summary import SummaryAnswer
from daysworth.db.ledger.taking import eat
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import LotId
from daysworth.planners.scenario import Scenario
from tests.api.clients import Api, problem
from tests.grounds import NOON, box, change, look, put_up, someone

WATER = "?running_water=true"


def ask(
    api: Api, query: str = "", *, tag: str | None = None, role: Role = Role.COORDINATOR
) -> httpx.Response:
    headers = {} if tag is None else {"If-None-Match": tag}
    return api.ask("GET", f"coverage{query}", role=role, headers=headers)


def test_the_answer_is_the_planners(api: Api) -> None:
    put_up(api.engine, box(60))
    snapshot = look(api.engine, partial(load_snapshot, at=NOON))
    planned = answer_coverage(snapshot, NOON.date(), scenario=Scenario())
    assert ask(api).text == to_json(planned)


def test_the_same_question_gives_the_same_bytes_and_then_a_304(api: Api) -> None:
    put_up(api.engine, box(60))
    first, second = ask(api), ask(api)
    assert first.content == second.content
    assert first.headers["cache-control"] == "private, no-cache"
    tag = first.headers["etag"]
    unchanged = ask(api, tag=tag)
    assert (unchanged.status_code, unchanged.content) == (304, b"")
    assert unchanged.headers["etag"] == tag
    assert ask(api, tag=f'"another", W/{tag}').status_code == 304


def test_any_change_to_the_stock_makes_another_answer(api: Api) -> None:
    (lot,) = put_up(api.engine, box(60))
    before = ask(api, WATER)
    change(api.engine, partial(eat, lot=LotId(lot.id), units=30))
    after = ask(api, WATER, tag=before.headers["etag"])
    assert after.status_code == 200
    assert after.json()["version"] == before.json()["version"] + 1
    assert after.json()["person_days"] < before.json()["person_days"]


def test_it_is_not_stale_at_the_stores_midnight(api: Api) -> None:
    put_up(api.engine, box(60, printed="2026-09-01"))
    before = ask(api, WATER)
    api.clock.move(timedelta(hours=12))
    after = ask(api, WATER, tag=before.headers["etag"])
    assert after.status_code == 200
    assert (before.json()["as_of"], after.json()["as_of"]) == ("2026-09-01", "2026-09-02")
    assert after.json()["person_days"] == 0 < before.json()["person_days"]


def test_it_is_not_stale_after_an_upgrade(engine: Engine) -> None:
    put_up(engine, box(60))
    cache: AnswerCache[SummaryAnswer] = AnswerCache()

    def tag_of(*, release: str, reference: str) -> str:
        office = CoverageOffice(engine, cache=cache, release=release, reference=reference)
        ready = office.answer(someone(), Scenario(), as_of=None, at=NOON, has=lambda _tag: False)
        given = settled(ready)
        assert given.json is not None
        return given.tag

    now = tag_of(release="1.0", reference="figures")
    assert tag_of(release="1.0", reference="figures") == now
    assert len({now, tag_of(release="1.1", reference="figures")}) == 2
    assert len({now, tag_of(release="1.0", reference="better figures")}) == 2


def test_every_option_makes_a_question_of_its_own(api: Api) -> None:
    put_up(api.engine, box(60))
    queries = (
        "",
        "?heating=true",
        "?running_water=true",
        "?stock=all",
        "?without_place=cellar",
        "?away=H-other",
        "?basis=flat",
        "?ration=0.5",
        "?horizon_days=90",
        "?as_of=2026-10-01",
    )
    tags = {ask(api, query).headers["etag"] for query in queries}
    assert len(tags) == len(queries)


def test_a_place_or_household_that_is_not_there_is_named(api: Api) -> None:
    assert "'attic'" in str(problem(ask(api, "?without_place=attic"), 422)["detail"])
    assert "'H-none'" in str(problem(ask(api, "?away=H-none"), 422)["detail"])


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT])
def test_nobody_else_learns_of_the_peanut_allergy(api: Api, role: Role) -> None:
    put_up(api.engine, box(60))
    mine = ask(api)
    assert "peanut" in mine.text
    theirs = ask(api, role=role)
    allergies = json.dumps([theirs.json()["held_by"], theirs.json()["classes"]])
    assert "peanut" not in allergies
    assert theirs.headers["etag"] != mine.headers["etag"]
    homes = {one["household"] for one in theirs.json()["households"]}
    assert (
        homes
        == {
            Role.VOLUNTEER: set(),
            Role.HOUSEHOLD: {"H-peanut"},
            Role.SCRIPT: {"H-peanut", "H-other"},
        }[role]
    )


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT])
def test_only_coordinators_may_ask_who_could_be_away(api: Api, role: Role) -> None:
    problem(ask(api, "?away=H-peanut", role=role), 403)
