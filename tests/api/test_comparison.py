"""A week is kept with its notice; it, or another scenario, is compared with the store as it is."""

import json
from datetime import date, datetime, timedelta
from functools import partial

import httpx
import pytest
from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache
from daysworth.answers.comparison import Side, answer_comparison, comparison_json
from daysworth.answers.notice import NoticeAnswer
from daysworth.answers.planning_pool import ToPlan
from daysworth.answers.store_notices import NoticeOffice
from daysworth.db.disclosures import list_disclosures
from daysworth.db.households import read_household
from daysworth.db.kept_exports import list_kept_weeks
from daysworth.db.leaving import erase_household
from daysworth.db.ledger.taking import eat
from daysworth.db.snapshots import load_snapshot
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import HouseholdId, LotId
from daysworth.planners.scenario import Scenario
from tests.api.clients import Api, Json, problem, told
from tests.grounds import (
    NOON,
    OTHER_HOME,
    PEANUT_HOME,
    STORE_ID,
    box,
    change,
    look,
    put_up,
)

WEEK = "2026-W36"
"""The tests' clock stands at Tuesday, 1 September 2026."""

KEPT = f"kept-weeks/{WEEK}/comparison"


def post_notice(api: Api) -> dict[str, Json]:
    """Post the week's notice, which keeps the week."""
    path = f"notices/{WEEK}/postings/{'a' * 64}"
    begun = told(api.ask("PUT", path, role=Role.SCRIPT, body={"label": "a hook"}), 200)
    notice = begun["notice"]
    assert isinstance(notice, dict)
    return notice


def ask(api: Api, path: str, *, tag: str | None = None) -> httpx.Response:
    return api.ask("GET", path, headers={} if tag is None else {"If-None-Match": tag})


def erase(engine: Engine, household: HouseholdId) -> None:
    def leave(writing: Writing) -> None:
        revision = read_household(writing, household).revision
        erase_household(writing, household, own_stock=None, if_revision=revision)

    change(engine, leave)


def disclosed(engine: Engine) -> list[str]:
    page = look(engine, partial(list_disclosures, after="", limit=100))
    return [one.what for one in page.items]


def test_no_week_is_kept_before_a_notice_is_posted(api: Api) -> None:
    assert ask(api, "kept-weeks").json() == {"items": [], "next": None}
    ask(api, "notices/current").json()
    assert ask(api, "kept-weeks").json()["items"] == []
    detail = str(problem(ask(api, KEPT), 404)["detail"])
    assert "kept when its notice is first posted" in detail


def test_the_first_posting_keeps_the_week_and_a_second_changes_nothing(api: Api) -> None:
    put_up(api.engine, box(60))
    version = ask(api, "coverage").json()["version"]
    post_notice(api)
    api.clock.move(timedelta(days=1))
    put_up(api.engine, box(60))
    post_notice_again = f"notices/{WEEK}/postings/{'b' * 64}"
    told(api.ask("PUT", post_notice_again, role=Role.SCRIPT, body={"label": "mail"}), 200)
    assert ask(api, "kept-weeks").json()["items"] == [
        {
            "week": WEEK,
            "version": version,
            "taken_on": "2026-09-01",
            "kept_at": "2026-09-01T12:00:00.000000Z",
            "rewritten_at": None,
        }
    ]


def test_kept_weeks_are_paged_the_newest_first(api: Api) -> None:
    post_notice(api)
    api.clock.move(timedelta(days=7))
    path = f"notices/current/postings/{'a' * 64}"
    told(api.ask("PUT", path, role=Role.SCRIPT, body={"label": "a hook"}), 200)
    first = ask(api, "kept-weeks?limit=1").json()
    (newest,) = first["items"]
    second = ask(api, str(first["next"])).json()
    (oldest,) = second["items"]
    assert (newest["week"], oldest["week"]) == ("2026-W37", WEEK)
    assert second["next"] is None


def test_the_kept_side_has_the_figures_of_the_notice_and_the_other_those_of_now(api: Api) -> None:
    (lot,) = put_up(api.engine, box(60))
    notice = post_notice(api)
    api.clock.move(timedelta(days=9))
    change(api.engine, partial(eat, lot=LotId(lot.id), units=20))
    found, now = ask(api, KEPT).json(), ask(api, "coverage").json()
    for name in ("everyone_fed_days", "person_days"):
        figure = found[name]
        assert (figure["before"], figure["after"]) == (notice[name], now[name])
    sides = [found["before"], found["after"]]
    assert [(side["week"], side["as_of"]) for side in sides] == [
        (WEEK, "2026-09-01"),
        (None, "2026-09-10"),
    ]
    (food,) = found["foods"]
    assert (food["food"], food["units"]["change"]) == ("salmon_pink_tinned", -20)


def test_households_of_a_kept_week_are_shown_by_their_ids(api: Api) -> None:
    (lot,) = put_up(api.engine, box(60))
    post_notice(api)
    change(api.engine, partial(eat, lot=LotId(lot.id), units=30))
    answer = ask(api, f"{KEPT}?running_water=true")
    homes = {one["household"]: one["days"]["change"] for one in answer.json()["households"]}
    # The label does not say whether there are peanuts in it: that home had none of it before.
    assert set(homes) == {OTHER_HOME}
    assert homes[OTHER_HOME] < 0
    assert answer.json()["households_unchanged"] == 1
    assert "P-" not in answer.text


def test_a_household_that_was_erased_since_is_in_neither_side(api: Api) -> None:
    put_up(api.engine, box(60))
    post_notice(api)
    before = ask(api, KEPT)
    assert "peanut" in json.dumps(before.json()["before"]["held_by"])
    erase(api.engine, PEANUT_HOME)
    after = ask(api, KEPT, tag=before.headers["etag"])
    assert after.status_code == 200
    assert "peanut" not in json.dumps(after.json()["before"]["held_by"])
    assert after.json()["before"]["is_rewritten"] is True
    assert after.json()["household_count"] == {"before": 1, "after": 1, "change": 0}
    (kept,) = ask(api, "kept-weeks").json()["items"]
    assert kept["rewritten_at"] == "2026-09-01T12:00:00.000000Z"


def test_a_day_may_be_asked_for_each_side(api: Api) -> None:
    put_up(api.engine, box(60, printed="2026-12-31"))
    post_notice(api)
    found = ask(api, f"{KEPT}?kept_as_of=2027-01-01&as_of=2027-01-01&running_water=true").json()
    person_days = found["person_days"]
    assert person_days == {"before": 0.0, "after": 0.0, "change": 0.0}


def test_two_scenarios_are_each_answered_and_what_is_not_said_of_the_second_is_as_in_the_first(
    api: Api,
) -> None:
    put_up(api.engine, box(60))
    said = "?running_water=true&horizon_days=90&other_ration=0.5&other_as_of=2026-10-01"
    snapshot = look(api.engine, partial(load_snapshot, at=NOON))
    first = Scenario(running_water=True, horizon_days=90)
    second = Scenario(running_water=True, horizon_days=90, ration=0.5)
    expected = answer_comparison(
        Side(snapshot=snapshot, as_of=NOON.date(), scenario=first),
        Side(snapshot=snapshot, as_of=date(2026, 10, 1), scenario=second),
    )
    assert ask(api, f"comparison{said}").text == comparison_json(expected)


def test_an_empty_list_of_the_second_scenario_names_nobody(api: Api) -> None:
    put_up(api.engine, box(60))
    found = ask(api, "comparison?away=H-peanut&other_away=&without_place=cellar").json()
    sides = [found["before"]["scenario"], found["after"]["scenario"]]
    assert [side["households_away"] for side in sides] == [["H-peanut"], []]
    assert [side["places_lost"] for side in sides] == [["cellar"], ["cellar"]]


def test_the_same_comparison_gives_the_same_bytes_then_a_304_and_another_after_a_change(
    api: Api,
) -> None:
    (lot,) = put_up(api.engine, box(60))
    post_notice(api)
    for path in ("comparison?other_heating=true", KEPT):
        first, second = ask(api, path), ask(api, path)
        assert first.content == second.content
        assert first.headers["cache-control"] == "private, no-cache"
        tag = first.headers["etag"]
        unchanged = ask(api, path, tag=tag)
        assert (unchanged.status_code, unchanged.content) == (304, b"")
        change(api.engine, partial(eat, lot=LotId(lot.id), units=1))
        assert ask(api, path, tag=tag).status_code == 200


def test_every_option_makes_a_comparison_of_its_own(api: Api) -> None:
    put_up(api.engine, box(60))
    options = (
        "heating=true",
        "running_water=true",
        "stock=all",
        "without_place=cellar",
        "away=H-other",
        "basis=flat",
        "ration=0.5",
        "horizon_days=90",
        "as_of=2026-10-01",
    )
    queries = ["", *(f"?{one}" for one in options), *(f"?other_{one}" for one in options)]
    tags = {ask(api, f"comparison{query}").headers["etag"] for query in queries}
    assert len(tags) == len(queries)


def test_every_comparison_is_logged_as_a_reading_of_health_facts(api: Api) -> None:
    post_notice(api)
    assert disclosed(api.engine) == []
    ask(api, "comparison")
    ask(api, KEPT)
    ask(api, "kept-weeks").json()
    assert disclosed(api.engine) == ["comparison", "comparison"]


@pytest.mark.parametrize(
    "query",
    [
        "ration=0",
        "other_ration=2",
        "other_horizon_days=731",
        "other_heating=perhaps",
        "other_stock=mine",
        "other_as_of=soon",
        "other_as_of=1999-01-01",
        "as_of=2091-01-01",
        "other_without_place=attic",
        "other_away=H-none",
        f"other_away={'x' * 65}",
        "&".join(f"other_away={n}" for n in range(201)),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(api: Api, query: str) -> None:
    problem(ask(api, f"comparison?{query}"), 422)


def test_what_is_no_kept_week_is_refused_in_words(api: Api) -> None:
    assert "such as 2026-W48" in str(problem(ask(api, "kept-weeks/soon/comparison"), 422)["detail"])
    assert "no week" in str(problem(ask(api, "kept-weeks/2026-W54/comparison"), 422)["detail"])
    problem(ask(api, "kept-weeks/2026-W35/comparison"), 404)
    problem(ask(api, "kept-weeks/current/comparison"), 422)
    problem(ask(api, f"{KEPT}?kept_as_of=2091-01-01"), 422)
    problem(ask(api, "kept-weeks?cursor=%F0"), 422)


def test_a_household_erased_while_the_notice_is_made_is_in_nothing_that_is_kept(
    engine: Engine,
) -> None:
    put_up(engine, box(60))
    made: list[int] = []

    class Slow(NoticeOffice):
        def _made(  # type: ignore[no-untyped-def]
            self, seen, *, at: datetime, loaded=None
        ) -> NoticeAnswer | ToPlan[NoticeAnswer]:
            found = super()._made(seen, at=at, loaded=loaded)
            made.append(len(loaded.snapshot.households))
            if len(made) == 1:
                erase(engine, PEANUT_HOME)
            return found

    office = Slow(engine, cache=AnswerCache(), rests_on=("1.0", "figures"))
    notice = office.keep(STORE_ID, WEEK, at=NOON)
    assert made == [2, 1]
    assert PEANUT_HOME not in repr(notice)
    (kept,) = look(engine, partial(list_kept_weeks, after="", limit=5)).items
    assert (kept.version, kept.rewritten_at) == (notice.version, None)
