"""A week's notice is kept by its first posting, and posted to each channel once."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from functools import partial

import pytest

from daysworth.domain.entries import Role
from daysworth.domain.intake import IntakeLine
from daysworth.domain.label_dates import LabelKind
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import objects
from tests.grounds import OTHER_HOME, SHELF, box, put_up
from tests.partner_grounds import add_kitchen, promise_to_kitchen

WEEK = "2026-W36"
"""The tests' clock stands at Tuesday, 1 September 2026."""

HALL = "a" * 64
MAIL = "b" * 64
KITCHEN = "Lantern Kitchen (invented)"


def begin(api: Api, channel: str = MAIL, *, week: str = WEEK) -> dict[str, Json]:
    answer = api.ask(
        "PUT",
        f"notices/{week}/postings/{channel}",
        role=Role.SCRIPT,
        body={"label": "smtp, 2 addresses"},
    )
    return told(answer, 200)


def report(api: Api, claim: Json, *, channel: str = MAIL, is_posted: bool = True) -> int:
    answer = api.ask(
        "PUT",
        f"notices/{WEEK}/postings/{channel}/outcome",
        role=Role.SCRIPT,
        body={"claim": claim, "is_posted": is_posted},
    )
    return answer.status_code


def test_before_it_is_posted_a_notice_is_as_it_would_be_now(api: Api) -> None:
    first = api.get("notices/current")
    put_up(api.engine, box(printed="2026-09-03"))
    second = api.get("notices/current")
    assert (first["id"], second["id"]) == ("fernhollow-2026-W36", "fernhollow-2026-W36")
    assert (first["made_at"], second["made_at"]) == (None, None)
    bands = second["bands"]
    assert isinstance(bands, list)
    assert isinstance(bands[0], dict)
    assert bands[0]["within_days"] == 7
    assert len(bands[0]["lots"]) == 1  # type: ignore[arg-type]
    assert "Pink salmon, tinned" in str(second["text"])
    assert "Pink salmon, tinned" in str(second["html"])


def test_the_first_posting_keeps_the_notice_and_every_channel_gets_the_same(api: Api) -> None:
    first = begin(api)
    api.clock.move(timedelta(days=2))
    put_up(api.engine, box(printed="2026-09-05"))
    second = begin(api, HALL)
    assert (first["state"], second["state"]) == ("begun", "begun")
    assert first["claim"] != second["claim"]
    kept = first["notice"]
    assert isinstance(kept, dict)
    assert second["notice"] == kept
    assert kept["made_at"] == "2026-09-01T12:00:00.000000Z"
    assert api.get("notices/current") == kept
    assert api.get(f"notices/{WEEK}") == kept


def test_a_notice_is_posted_to_a_channel_once(api: Api) -> None:
    began = begin(api)
    assert report(api, began["claim"]) == 200
    again = begin(api)
    assert again["state"] == "posted"
    assert again["posted_at"] == "2026-09-01T12:00:00.000000Z"
    assert (again["claim"], again["notice"]) == (None, None)


def test_while_one_is_at_it_another_is_told_so_and_ten_minutes_later_may_try(api: Api) -> None:
    first = begin(api)
    assert begin(api)["state"] == "under_way"
    api.clock.move(timedelta(minutes=9))
    assert begin(api)["state"] == "under_way"
    api.clock.move(timedelta(minutes=2))
    second = begin(api)
    assert second["state"] == "begun"
    assert report(api, first["claim"]) == 412
    assert report(api, second["claim"]) == 200
    assert begin(api)["state"] == "posted"


def test_a_posting_that_failed_can_be_begun_again(api: Api) -> None:
    first = begin(api)
    assert report(api, first["claim"], is_posted=False) == 200
    second = begin(api)
    assert second["state"] == "begun"
    assert second["claim"] != first["claim"]
    assert second["notice"] == first["notice"]


def test_of_many_at_once_one_begins(api: Api) -> None:
    with ThreadPoolExecutor(8) as several:
        states = list(several.map(lambda _: begin(api)["state"], range(8)))
    assert sorted(map(str, states)) == ["begun", *["under_way"] * 7]


def test_the_next_week_tells_of_the_last_notice(api: Api) -> None:
    begin(api)
    api.clock.move(timedelta(days=7))
    last = api.get("notices/current")["last_notice"]
    assert isinstance(last, dict)
    assert last["week"] == WEEK
    assert begin(api, week="current")["week"] == "2026-W37"
    assert api.get(f"notices/{WEEK}")["last_notice"] is None


@pytest.mark.parametrize(
    ("week", "status"),
    [
        ("2026-W35", 404),
        ("2026-W37", 404),
        ("2026-W54", 422),
        ("next", 422),
        ("2026W36", 422),
        ("2026-w36", 422),
        ("%00", 422),
    ],
)
def test_there_is_no_notice_of_a_week_that_was_not_posted_or_is_none(
    api: Api, week: str, status: int
) -> None:
    problem(api.ask("GET", f"notices/{week}", role=Role.SCRIPT), status)
    asked = api.ask(
        "PUT", f"notices/{week}/postings/{MAIL}", role=Role.SCRIPT, body={"label": "file"}
    )
    problem(asked, status)


def test_a_report_on_what_was_not_begun_is_refused(api: Api) -> None:
    assert report(api, "N-0000000000") == 404
    began = begin(api)
    assert report(api, "N-0000000000") == 412
    assert report(api, began["claim"]) == 200
    assert report(api, began["claim"]) == 412


@pytest.mark.parametrize("channel", ["a" * 63, "A" * 64, "g" * 64, "smtp:someone@fernhollow.test"])
def test_a_channel_is_a_hash_and_never_an_address(api: Api, channel: str) -> None:
    asked = partial(api.ask, "PUT", f"notices/{WEEK}/postings/{channel}", role=Role.SCRIPT)
    problem(asked(body={"label": "x"}), 422)


def test_a_notice_tells_of_nobodys_needs_and_of_nothing_a_household_keeps(api: Api) -> None:
    own = IntakeLine(
        place=SHELF,
        words="special formula of theirs",
        units=1,
        owner=OTHER_HOME,
        is_shared=False,
        label_kind=LabelKind.UNLABELLED,
    )
    put_up(api.engine, box(), own)
    told_by_it = api.ask("GET", "notices/current", role=Role.SCRIPT).text.casefold()
    assert "formula of theirs" not in told_by_it
    assert "peanut" not in told_by_it.replace("h-peanut", "")


def test_a_notice_tells_what_is_promised_and_who_else_receives(api: Api) -> None:
    (lot,) = put_up(api.engine, box())
    add_kitchen(api.engine)
    before = api.get("notices/current")
    assert before["promised_visits"] == []
    (opening,) = objects(before, "other_visits")
    assert (opening["opens_at"], opening["promise_by_day"]) == ("2026-09-08T09:00", "2026-09-08")
    promise_to_kitchen(api.engine, (lot, 4))
    notice = api.get("notices/current")
    assert notice["other_visits"] == []
    (visit,) = objects(notice, "promised_visits")
    assert (visit["partner_name"], visit["visit_on"]) == (KITCHEN, "2026-09-08")
    assert visit["contents"] == [{"food": "Pink salmon, tinned", "units": 4, "place": "Shelf"}]
    text = " ".join(str(notice["text"]).split())
    assert f"Promised to {KITCHEN}: Tuesday, September 8, 2026, 9:00 AM" in text
    kept = begin(api)["notice"]
    assert isinstance(kept, dict)
    assert kept["promised_visits"] == notice["promised_visits"]


def test_a_household_that_leaves_is_taken_out_of_every_notice(api: Api) -> None:
    begin(api)
    before = api.get(f"notices/{WEEK}")
    assert "H-other" in str(before["below_floor"])
    gone = api.ask("DELETE", "households/H-other", headers={"If-Match": '"r1"'})
    assert gone.status_code == 204
    after = api.get(f"notices/{WEEK}")
    assert "H-other" not in str(after)
    assert "H-peanut" in str(after["below_floor"])
