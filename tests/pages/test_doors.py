"""Claims about doors: whom each page lets in, and what stands where it lets nobody in."""

from collections.abc import Iterable, Iterator
from datetime import timedelta
from functools import partial
from urllib.parse import urlencode

import pytest
from fastapi.routing import APIRoute
from sqlalchemy import Engine, select
from starlette.routing import BaseRoute

from daysworth.db.links import LinkAsked, make_link
from daysworth.db.tables import METADATA
from daysworth.db.transactions import write_beside
from daysworth.pages.doors import (
    FORM_COOKIE,
    FORM_FIELD,
    SESSION_COOKIE,
    Door,
    PageRoute,
    behind,
    form_proof,
    pages_router,
)
from daysworth.pages.frame import HEADERS
from tests.grounds import (
    NOON,
    OTHER_HOME,
    OTHER_STORE,
    SHELF,
    STORE_ID,
    begin_ground,
    look,
    small_store,
    someone,
)
from tests.pages.browsing import URLENCODED, Browser, Page, Site
from tests.pages.coordinating import signed_in
from tests.pages.doors_meant import DOORS, GIVEN, SENT


def proof_of(browser: Browser) -> str:
    """Give what a form of this coordinator's pages carries."""
    return form_proof(browser.cookies[SESSION_COOKIE])


def send(browser: Browser, address: str, body: str, **headers: str) -> Page:
    """Send a form, and follow nothing."""
    sent = {"Content-Type": URLENCODED} | {
        name.replace("_", "-"): value for name, value in headers.items()
    }
    return browser.send("POST", address, content=body.encode(), headers=sent, is_followed=False)


def everything_kept(engine: Engine) -> str:
    """Write out every row of every table that the store has."""
    return look(
        engine,
        lambda reading: repr(
            [reading.connection.execute(select(one)).all() for one in METADATA.sorted_tables]
        ),
    )


def link_to_shelf(site: Site) -> str:
    """Make a link by which volunteers log to the shelf, and give its secret."""
    asked = LinkAsked(
        store=STORE_ID, place=SHELF, label="Tuesday table", expires_at=NOON + timedelta(days=30)
    )
    make = partial(make_link, asked=asked, by=someone(), at=NOON)
    return write_beside(site.engine, make, store=STORE_ID)


def at_fernhollow(path: str) -> str:
    named = {
        "store": STORE_ID,
        "link": "V-1",
        "lot": "L-1",
        "kit": "K-1",
        "household": OTHER_HOME,
        "partner": "lantern-kitchen",
        "promise": "R-1",
        "week": "2026-W36",
        "window": "tuesdays",
    }
    return path.format(**named)


def each_route(routes: Iterable[BaseRoute]) -> Iterator[BaseRoute]:
    for route in routes:
        inside = getattr(route, "original_router", None)
        if inside is None:
            yield route
        else:
            yield from each_route(inside.routes)


def pages_of(site: Site) -> list[APIRoute]:
    """Walk the application, and give every route that is no part of the API."""
    every = [one for one in each_route(site.app.routes) if isinstance(one, APIRoute)]
    return [route for route in every if not is_of_the_api(route.path)]


def is_of_the_api(path: str) -> bool:
    """Tell whether a path is the API's: a calendar's too, whose address its secret alone opens."""
    return path.startswith("/v1") or path == "/calendar/{secret}.ics"


def test_every_page_is_in_the_table_behind_its_door_and_none_beside(quick_site: Site) -> None:
    walked = {
        f"{method} {route.path}": Door(str((route.openapi_extra or {})["x-door"]))
        for route in pages_of(quick_site)
        for method in sorted(route.methods or ())
        if method != "HEAD"
    }
    assert walked == DOORS


def test_every_page_is_kept_by_a_door_and_none_is_in_the_description(quick_site: Site) -> None:
    assert {type(route) for route in pages_of(quick_site)} == {PageRoute}
    described = quick_site.app.openapi()["paths"]
    assert [path for path in described if not is_of_the_api(path)] == []


def test_a_page_that_does_not_say_whom_it_is_for_can_not_be_built() -> None:
    async def unguarded() -> str:
        return "anything"

    router = pages_router()
    with pytest.raises(ValueError, match="/unguarded does not say whom it is for"):
        router.add_api_route("/unguarded", unguarded)
    with pytest.raises(ValueError, match="'nobody' is not a valid Door"):
        router.add_api_route("/unguarded", unguarded, openapi_extra={"x-door": "nobody"})
    router.add_api_route("/guarded", unguarded, openapi_extra=behind(Door.COORDINATOR))


def test_without_a_session_a_coordinators_page_leads_to_the_sign_in(quick_site: Site) -> None:
    for path in map(at_fernhollow, GIVEN):
        answer = quick_site.browser().send("GET", path, is_followed=False)
        then = path.replace("/", "%2F")
        assert answer.status == 303
        assert answer.headers["location"] == f"/stores/fernhollow/sign-in?then={then}"


def test_without_a_session_a_form_leads_to_the_sign_in_and_not_back_to_it(
    quick_site: Site,
) -> None:
    for path in map(at_fernhollow, SENT):
        answer = send(quick_site.browser(), path, "form=x")
        assert (answer.status, answer.headers["location"]) == (303, "/stores/fernhollow/sign-in")


def test_a_cookie_that_is_no_session_is_nobodys(site: Site) -> None:
    unquoted = ("garbage", "dw_" + "a" * 43, "dw_" + "x" * 8_000, "")
    quoted = ('"\\012\\015Set-Cookie: x=y"', '"\\000"', '"\\377\\376"', '"dw_\\351"')
    for cookie in (*unquoted, *quoted):
        # As it is: the browser of these tests would write a cookie properly.
        sent = {"Cookie": f"{SESSION_COOKIE}={cookie}"}
        answer = site.browser().send(
            "GET", "/stores/fernhollow/links", headers=sent, is_followed=False
        )
        assert answer.status == 303, cookie
        assert answer.headers["location"].startswith("/stores/fernhollow/sign-in?")


def test_a_session_of_one_store_opens_no_page_of_another(quick_site: Site) -> None:
    begin_ground(quick_site.engine, small_store(OTHER_STORE))
    browser = signed_in(quick_site, OTHER_STORE)
    for path in map(at_fernhollow, GIVEN):
        answer = browser.open(path)
        assert answer.status == 403, path
        assert "You are signed in to another store" in answer.text
        assert "Fernhollow" not in answer.html


def test_a_session_of_one_store_sends_no_form_to_another(quick_site: Site) -> None:
    begin_ground(quick_site.engine, small_store(OTHER_STORE))
    browser = signed_in(quick_site, OTHER_STORE)
    for path in map(at_fernhollow, SENT):
        assert send(browser, path, f"form={proof_of(browser)}").status == 403, path
    assert browser.open("/stores/stonebrook/links").status == 200


def test_a_volunteers_link_opens_no_coordinators_page(quick_site: Site) -> None:
    browser = quick_site.browser()
    browser.cookies.set(SESSION_COOKIE, link_to_shelf(quick_site))
    for path in map(at_fernhollow, GIVEN):
        answer = browser.send("GET", path, is_followed=False)
        assert answer.status == 303, path
        assert answer.headers["location"].startswith("/stores/fernhollow/sign-in?")


def test_a_session_is_no_link_and_no_credential_of_the_api(site: Site) -> None:
    browser = signed_in(site)
    secret = browser.cookies[SESSION_COOKIE]
    assert browser.open(f"/log/{secret}").status == 401
    bearer = {"Authorization": f"Bearer {secret}"}
    assert browser.open("/v1/stores/fernhollow/summary", headers=bearer).status == 401
    assert browser.open("/v1/stores/fernhollow/summary").status == 401


def test_a_link_is_no_credential_of_the_api(quick_site: Site) -> None:
    bearer = {"Authorization": f"Bearer {link_to_shelf(quick_site)}"}
    assert quick_site.browser().open("/v1/stores/fernhollow/lots", headers=bearer).status == 401


def test_a_form_without_its_proof_is_refused(quick_site: Site) -> None:
    browser, other = signed_in(quick_site), signed_in(quick_site)
    proofs = ("", "form=", f"form={'0' * 64}", "form=%C3%A9", "form=%00", f"form={proof_of(other)}")
    for path in map(at_fernhollow, SENT):
        for proof in proofs:
            answer = send(browser, path, proof)
            assert answer.status == 422, (path, proof)
            assert "load it again, and send it again" in answer.text
    assert browser.open("/stores/fernhollow/links").status == 200


def test_a_form_from_another_site_is_refused_even_with_the_proof(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for path in map(at_fernhollow, SENT):
        for told in ("cross-site", "same-site", "SAME-ORIGIN", ""):
            answer = send(browser, path, f"form={proof_of(browser)}", Sec_Fetch_Site=told)
            assert answer.status == 422, (path, told)
            assert "This form came from another site: nothing was changed" in answer.text
    assert browser.open("/stores/fernhollow/links").status == 200


def test_a_form_of_ours_is_taken_from_new_browsers_and_old(quick_site: Site) -> None:
    for told in ({}, {"Sec_Fetch_Site": "same-origin"}, {"Sec_Fetch_Site": "none"}):
        browser = signed_in(quick_site)
        answer = send(browser, "/stores/fernhollow/sign-out", f"form={proof_of(browser)}", **told)
        assert (answer.status, answer.headers["location"]) == (303, "/stores/fernhollow/sign-in")


def test_a_form_of_another_kind_is_refused(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    body = f"form={proof_of(browser)}".encode()
    for kind in ("", "multipart/form-data; boundary=x", "application/json", "text/plain"):
        sent = {"Content-Type": kind} if kind else {}
        answer = browser.send("POST", "/stores/fernhollow/links", content=body, headers=sent)
        assert answer.status == 422, kind
        assert "takes what its own form sends, and nothing else" in answer.text


def test_a_form_that_is_too_large_is_refused_before_it_is_read(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    proof = f"{FORM_FIELD}={proof_of(browser)}&label="
    answer = send(browser, "/stores/fernhollow/links", proof + "a" * 65_536)
    assert (answer.status, "At most 64 kB fit here" in answer.text) == (413, True)
    lying = send(browser, "/stores/fernhollow/links", proof + "a" * 65_536, Content_Length="10")
    assert (lying.status, lying.text[:25]) == (413, "That is more than fits Sk")


def test_a_form_of_more_fields_than_any_of_ours_is_not_read(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    body = f"form={proof_of(browser)}" + "&a=1" * 400
    assert send(browser, "/stores/fernhollow/links", body).status == 400


def test_a_browser_at_an_address_that_is_not_there_is_given_a_page(quick_site: Site) -> None:
    browser = quick_site.browser()
    for address in (
        "/nowhere",
        "/stores",
        "/stores/fernhollow/",
        "/stores/fernhollow/nothing",
        "/static/other.css",
        "/static/%2e%2e/pages/frame.py",
        "/stores/a%2Fb/summary",
        "/log",
    ):
        answer = browser.open(address)
        assert answer.status == 404, address
        assert answer.root.the("h1").text == "There is nothing here"
        assert {name: answer.headers[name] for name in HEADERS} == HEADERS


def test_anything_else_there_is_given_a_problem_document(quick_site: Site) -> None:
    browser = quick_site.browser()
    answers = [
        browser.open("/nowhere", headers={"Accept": "*/*"}),
        browser.open("/v1/nowhere"),
        browser.open("/v1"),
    ]
    told = {(one.status, one.headers["content-type"]) for one in answers}
    assert told == {(404, "application/problem+json")}


def test_no_page_takes_any_other_method(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for path in ("/", "/stores/fernhollow/summary", "/stores/fernhollow/sign-out"):
        for method in ("PUT", "DELETE", "PATCH", "TRACE"):
            answer = browser.send(method, path, is_followed=False)
            assert (answer.status, answer.headers["cache-control"]) == (405, "no-store")
            assert answer.root.the("h1").text == "That page takes nothing of the kind"


def test_signing_out_by_an_address_alone_is_not_possible(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    assert browser.open("/stores/fernhollow/sign-out").status == 405
    assert browser.open("/stores/fernhollow/links").status == 200


def test_the_headers_let_nobody_frame_keep_or_run_anything() -> None:
    policy = HEADERS["Content-Security-Policy"].split("; ")
    assert {"default-src 'none'", "form-action 'self'", "frame-ancestors 'none'"} <= set(policy)
    assert not [part for part in policy if part.startswith("script-src") or "unsafe" in part]
    assert HEADERS["Cache-Control"] == "no-store"
    assert HEADERS["Referrer-Policy"] == "same-origin"


def test_every_page_says_what_a_browser_may_do_with_it(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for address, status in {
        "/": 200,
        "/stores/fernhollow/sign-in": 200,
        "/stores/fernhollow/summary": 200,
        "/stores/fernhollow/notice": 200,
        "/stores/fernhollow/links": 200,
        "/stores/fernhollow": 303,
        "/stores/stonebrook/summary": 403,
        "/stores/fernhollow/summary?ration=0": 422,
        "/stores/%00/sign-in": 422,
        "/log/dw_nothing": 401,
        "/nowhere": 404,
    }.items():
        answer = browser.send("GET", address, is_followed=False)
        assert answer.status == status, address
        assert {name: answer.headers[name] for name in HEADERS} == HEADERS
        assert list(answer.root.each("script", "iframe", "object", "embed", "style")) == []


def test_the_style_sheet_may_be_kept_and_is_not_sent_twice(quick_site: Site) -> None:
    browser = quick_site.browser()
    first = browser.open("/static/daysworth.css")
    assert first.headers["content-type"] == "text/css; charset=utf-8"
    assert first.headers["cache-control"] == "public, max-age=86400"
    again = browser.open("/static/daysworth.css", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status, again.answer.content) == (304, b"")


def test_a_refusal_tells_nothing_of_the_inside(quick_site: Site) -> None:
    answer = signed_in(quick_site).open("/stores/fernhollow/summary?without_place=attic")
    assert answer.status == 422
    for inside in ("Traceback", "sqlite", "Scenario", SESSION_COOKIE, FORM_COOKIE):
        assert inside not in answer.html


def test_the_front_leads_to_the_sign_in_of_a_store(quick_site: Site) -> None:
    page = quick_site.browser().open("/").forms[0].filled(store=" fernhollow ").submit()
    assert page.address == "/stores/fernhollow/sign-in"
    assert "Sign in to fernhollow" in page.text


def test_the_front_asks_again_for_what_is_no_store(quick_site: Site) -> None:
    for store in ("a/b", "x" * 65, "two\nlines", ""):
        page = quick_site.browser().open(f"/?{urlencode({'store': store})}")
        assert (page.status, page.root.the("h1").text) == (200, "Daysworth"), store
