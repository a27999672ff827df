"""What an attack on signing in and the coordinators' pages found, each held by a claim."""

import asyncio
import logging
from collections.abc import MutableMapping
from functools import partial

import pytest

from daysworth.db.coordinators import add_coordinator, list_coordinators
from daysworth.db.transactions import write_beside
from daysworth.domain.errors import FieldsRefused
from tests.grounds import NOON, STORE_ID, look
from tests.pages.browsing import Site
from tests.pages.coordinating import signed_in
from tests.pages.test_doors import everything_kept, link_to_shelf
from tests.pages.test_links import LINKS, kept, make
from tests.pages.test_sign_in import SIGN_IN, SUMMARY, answered, attempt, form_at, is_in, let_in


@pytest.fixture
def ours(quick_site: Site) -> Site:
    let_in(quick_site)
    return quick_site


@pytest.mark.parametrize(
    "then",
    [
        "/stores/fernhollow/%2e%2e/stonebrook/links",
        "/stores/fernhollow/%2E./stonebrook/links",
        "/stores/fernhollow/\u65e5",
        "/stores/fernhollow/caf\u00e9",
    ],
)
def test_signing_in_by_a_crooked_way_leads_nowhere_but_into_this_store(
    ours: Site, then: str
) -> None:
    answer = answered(ours.browser(), then=then)
    assert (answer.status_code, answer.headers["location"]) == (303, SUMMARY)


def test_what_was_typed_as_a_name_is_not_kept_where_the_sign_in_failed(ours: Site) -> None:
    attempt(ours.browser(), "a password in the wrong field", "x")
    assert "a password in the wrong field" not in everything_kept(ours.engine)


def test_a_store_that_is_not_there_is_answered_like_a_wrong_name(ours: Site) -> None:
    form = form_at(ours.browser(), "/stores/nowhere/sign-in").filled(name="x", password="y")
    assert form.submit().text.replace("nowhere", "fernhollow") == attempt(ours.browser(), "x").text


def test_to_sign_in_again_ends_the_session_that_was_there(ours: Site) -> None:
    browser, other = ours.browser(), ours.browser()
    attempt(browser)
    other.cookies = browser.cookies
    attempt(browser)
    assert not is_in(other)


def test_whoever_is_sent_to_sign_in_keeps_the_scenario_they_asked_about(ours: Site) -> None:
    page = ours.browser().open(f"{SUMMARY}?heating=true")
    assert page.form("sign-in")["then"] == f"{SUMMARY}?heating=true"


def test_a_store_of_any_length_is_not_our_fault(ours: Site) -> None:
    assert ours.browser().open(f"/stores/{'x' * 3_000}/sign-in").status in (200, 404, 422)


@pytest.mark.parametrize("accept", ["text/html", "*/*"])
def test_another_method_is_told_which_there_are(ours: Site, accept: str) -> None:
    answer = signed_in(ours).send("PUT", SUMMARY, headers={"Accept": accept})
    assert (answer.status, "GET" in answer.headers.get("allow", "")) == (405, True)


def test_a_page_answers_to_head(ours: Site) -> None:
    assert signed_in(ours).send("HEAD", SIGN_IN).status == 200


def test_a_secret_of_a_link_is_in_no_log(ours: Site, caplog: pytest.LogCaptureFixture) -> None:
    secret = link_to_shelf(ours)
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "POST",
        "scheme": "http",
        "path": f"/log/{secret}",
        "raw_path": f"/log/{secret}".encode(),
        "query_string": b"",
        "root_path": "",
        "client": ("127.0.0.1", 1),
        "server": ("x", 80),
        "headers": [(b"host", b"x"), (b"content-type", b"application/x-www-form-urlencoded")],
    }
    sent: list[MutableMapping[str, object]] = []
    messages: list[MutableMapping[str, object]] = [
        {"type": "http.request", "body": b"what=", "more_body": True},
        {"type": "http.disconnect"},
    ]

    async def receive() -> MutableMapping[str, object]:
        return messages.pop(0)

    async def send(message: MutableMapping[str, object]) -> None:
        sent.append(message)

    with caplog.at_level(logging.DEBUG):
        asyncio.run(ours.app(scope, receive, send))
    assert secret not in caplog.text
    assert "unforeseen" not in caplog.text
    assert sent[0]["status"] == 400


def test_a_last_day_is_written_year_month_day(ours: Site) -> None:
    assert make(signed_in(ours), last="2026-W38-7").status == 422


def test_a_host_too_long_for_a_code_makes_no_link_that_nobody_can_see(ours: Site) -> None:
    form = signed_in(ours).open(LINKS).form("/links").filled(label="x")
    page = form.submit(headers={"Host": "a" * 3_000})
    assert (page.status < 500) or kept(ours) == []


def test_a_name_of_more_than_120_characters_is_refused(ours: Site) -> None:
    add = partial(add_coordinator, store=STORE_ID, name="n" * 121, password="x" * 12, at=NOON)
    with pytest.raises(FieldsRefused):
        write_beside(ours.engine, add, store=STORE_ID)
    assert [one.name for one in look(ours.engine, list_coordinators)] == ["Ada Rowe"]


def test_a_flat_store_can_be_asked_by_age_and_sex(ours: Site) -> None:
    page = signed_in(ours).open(f"{SUMMARY}?basis=flat&horizon_days=30&ration=0.6")
    form = page.form("/summary")
    assert (form["basis"], form["horizon_days"], form["ration"]) == ("flat", "30", "0.6")
    again = form.filled(basis="reference").submit()
    assert again.form("/summary")["basis"] == "reference"
    assert again.form("/summary")["horizon_days"] == "30"


def test_a_page_that_went_wrong_promises_nothing(
    ours: Site, caplog: pytest.LogCaptureFixture
) -> None:
    ours.service.engine.dispose()
    browser = signed_in(ours)
    object.__setattr__(ours.service, "clock", lambda: None)
    with caplog.at_level(logging.CRITICAL):
        page = browser.open(SUMMARY)
    assert page.status == 500
    assert "Nothing was changed" not in page.text
    assert "It was noted" in page.text
