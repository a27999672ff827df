"""Claims about signing in and out: who is let in, for how long, and how often one may guess."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from functools import cache, partial
from typing import Final
from urllib.parse import urlencode

import httpx
import pytest
from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher
from sqlalchemy import func, insert, select

from daysworth.db.coordinators import bar_coordinator, change_password
from daysworth.db.tables import COORDINATOR, SESSION
from daysworth.db.transactions import kept_instant, write_beside
from daysworth.domain.identifiers import StoreId
from daysworth.pages.doors import FORM_COOKIE, SESSION_COOKIE, form_proof
from daysworth.wiring import build_service, shut_down
from tests.grounds import NOON, OTHER_STORE, STORE_ID, begin_ground, look, small_store
from tests.pages.browsing import Browser, Form, Page, Site
from tests.pages.test_doors import everything_kept, send

NAME: Final = "Ada Rowe"
PASSWORD: Final = "twelve small tins"
SIGN_IN: Final = "/stores/fernhollow/sign-in"
SUMMARY: Final = "/stores/fernhollow/summary"
REFUSED: Final = "Name and password do not belong together. Try again."
TOO_MANY: Final = "Too many sign-ins failed. Wait fifteen minutes, then try again."


@cache
def quick_hash() -> str:
    """Hash the password at the least cost there is: how long a real one takes is no claim here."""
    cheap = Argon2Hasher(time_cost=1, memory_cost=8, parallelism=1)
    return PasswordHash((cheap,)).hash(PASSWORD)


def let_in(site: Site, *, name: str = NAME, store: StoreId = STORE_ID) -> None:
    """Keep somebody who may sign in."""
    kept = insert(COORDINATOR).values(
        store=store,
        id="K-ADA",
        name=name,
        name_key=name.casefold(),
        password=quick_hash(),
        created_at=kept_instant(NOON),
        barred_at=None,
    )
    write_beside(site.engine, lambda connection: connection.execute(kept), store=store)


@pytest.fixture
def ours(quick_site: Site) -> Site:
    """Let Ada Rowe sign in to the store in SQLite."""
    let_in(quick_site)
    return quick_site


@pytest.fixture
def both(site: Site) -> Site:
    """Let Ada Rowe sign in to the store, in each kind of database."""
    let_in(site)
    return site


def form_at(browser: Browser, address: str = SIGN_IN) -> Form:
    return browser.open(address).form("sign-in")


def attempt(browser: Browser, name: str = NAME, password: str = PASSWORD) -> Page:
    return form_at(browser).filled(name=name, password=password).submit()


def answered(browser: Browser, *, then: str = "") -> httpx.Response:
    """Sign in, and give the answer itself, followed nowhere."""
    filled = form_at(browser).filled(name=NAME, password=PASSWORD).forged(then=then)
    body = urlencode(filled.fields)
    return send(browser, SIGN_IN, body).answer


def is_in(browser: Browser) -> bool:
    page = browser.send("GET", SUMMARY, is_followed=False)
    assert page.status in (200, 303)
    return page.status == 200


def test_name_and_password_let_a_coordinator_in(both: Site) -> None:
    browser = both.browser()
    page = attempt(browser)
    assert (page.status, page.address) == (200, SUMMARY)
    assert NAME in page.root.the("header").text
    assert is_in(browser)


def test_capitals_and_spaces_around_a_name_do_not_matter(ours: Site) -> None:
    for name in ("ada rowe", "ADA ROWE", "  Ada Rowe "):
        assert attempt(ours.browser(), name).address == SUMMARY


def test_a_wrong_password_is_refused_and_the_name_stays_in_its_field(ours: Site) -> None:
    wrong = ("twelve small tin", "Twelve small tins", " twelve small tins", "", "x" * 5_000)
    for number, password in enumerate(wrong):
        browser = ours.browser(address=f"10.0.0.{number}")
        page = attempt(browser, NAME, password)
        assert (page.status, page.by_id("problem").text) == (401, REFUSED), password
        assert page.form("sign-in")["name"] == NAME
        assert "value" not in page.by_id("password").marks
        assert SESSION_COOKIE not in browser.cookies


def test_a_name_that_is_not_known_is_refused_in_the_same_words(ours: Site) -> None:
    for name in ("", "K-ADA", "Ada Rowe' OR '1'='1"):
        page = attempt(ours.browser(), name)
        assert (page.status, page.by_id("problem").text) == (401, REFUSED), name


def test_whoever_is_barred_is_refused_in_the_same_words(ours: Site) -> None:
    barred = partial(bar_coordinator, store=STORE_ID, name=NAME, at=NOON)
    write_beside(ours.engine, barred, store=STORE_ID)
    page = attempt(ours.browser())
    assert (page.status, page.by_id("problem").text) == (401, REFUSED)


def test_a_store_that_is_not_there_refuses_in_the_same_words(ours: Site) -> None:
    form = form_at(ours.browser(), "/stores/nowhere/sign-in")
    page = form.filled(name=NAME, password=PASSWORD).submit()
    assert (page.status, page.by_id("problem").text) == (401, REFUSED)


def test_a_name_of_another_store_opens_nothing_here(ours: Site) -> None:
    begin_ground(ours.engine, small_store(OTHER_STORE))
    form = form_at(ours.browser(), "/stores/stonebrook/sign-in")
    page = form.filled(name=NAME, password=PASSWORD).submit()
    assert (page.status, page.by_id("problem").text) == (401, REFUSED)


def test_five_misses_of_a_name_from_one_address_close_it_to_that_name_for_a_while(
    both: Site,
) -> None:
    here, there = both.browser(address="10.0.0.1"), both.browser(address="10.0.0.2")
    assert [attempt(here, password="guessed").status for _ in range(5)] == [401] * 5
    page = attempt(here)
    assert (page.status, page.by_id("problem").text) == (429, TOO_MANY)
    assert page.headers["retry-after"] == "900"
    assert SESSION_COOKIE not in here.cookies
    assert attempt(there).address == SUMMARY
    both.clock.move(timedelta(minutes=15, seconds=1))
    assert attempt(here).address == SUMMARY


def test_misses_count_whatever_the_capitals_and_are_not_those_of_another_name(ours: Site) -> None:
    here = ours.browser()
    for name in ("ada rowe", "ADA ROWE", " Ada Rowe", "aDA rOWE", "Ada Rowe "):
        attempt(here, name, "guessed")
    assert attempt(here, "Bo Rowe").status == 401
    assert attempt(here).status == 429


@contextmanager
def another_process(site: Site) -> Iterator[None]:
    """Put a second service, with its own threads and cache, around the same database."""
    second = build_service(site.engine, clock=site.clock.now)
    site.app.state.service = second
    yield
    site.app.state.service = site.service
    shut_down(second, drop_waiting=False)


def test_misses_are_counted_across_processes(both: Site) -> None:
    here = both.browser()
    assert [attempt(here, password="guessed").status for _ in range(3)] == [401] * 3
    with another_process(both):
        assert [attempt(here, password="guessed").status for _ in range(2)] == [401] * 2
        assert attempt(here).status == 429
    assert attempt(here).status == 429


def test_a_flood_of_guesses_at_once_gains_no_more_than_the_threads_that_check(both: Site) -> None:
    browser = both.browser()
    form = form_at(browser)
    guesses = [form.filled(name=NAME, password=f"guessed {number}") for number in range(64)]
    statuses = [page.status for page in browser.submit_together(guesses)]
    assert set(statuses) == {401, 429}
    # Five, and what the second of two threads may have begun before the fifth was counted.
    assert 5 <= statuses.count(401) <= 6
    assert attempt(browser).status == 429


def test_many_who_sign_in_at_once_are_all_let_in_with_a_session_each(both: Site) -> None:
    browser = both.browser()
    form = form_at(browser).filled(name=NAME, password=PASSWORD)
    pages = browser.submit_together([form] * 16)
    assert {(page.status, page.address) for page in pages} == {(200, SUMMARY)}
    counted = select(func.count(SESSION.c.hash.distinct()))
    kept = look(both.engine, lambda reading: reading.connection.execute(counted).scalar_one())
    assert kept == 16


def test_the_cookie_of_a_session_is_kept_from_scripts_and_from_other_sites(ours: Site) -> None:
    answer = answered(ours.browser())
    said = answer.headers["set-cookie"].partition("; ")[2].split("; ")
    assert sorted(said) == ["HttpOnly", "Max-Age=43200", "Path=/", "SameSite=lax"]
    form = ours.browser().open(SIGN_IN).headers["set-cookie"].partition("; ")[2].split("; ")
    assert sorted(form) == ["HttpOnly", "Max-Age=3600", "Path=/", "SameSite=lax"]


def test_over_https_the_cookies_are_kept_to_https(ours: Site) -> None:
    browser = ours.browser(origin="https://store.test")
    assert "Secure" in browser.open(SIGN_IN).headers["set-cookie"].split("; ")
    assert "Secure" in answered(browser).headers["set-cookie"].split("; ")
    assert is_in(browser)


def test_a_session_is_over_after_twelve_hours_used_or_not(ours: Site) -> None:
    browser = ours.browser()
    attempt(browser)
    ours.clock.move(timedelta(hours=6))
    assert is_in(browser)
    ours.clock.move(timedelta(hours=6) - timedelta(microseconds=1))
    assert is_in(browser)
    ours.clock.move(timedelta(microseconds=1))
    assert not is_in(browser)


def test_signing_out_ends_the_session_whoever_has_its_cookie(ours: Site) -> None:
    browser, thief = ours.browser(), ours.browser()
    page = attempt(browser)
    thief.cookies.set(SESSION_COOKIE, browser.cookies[SESSION_COOKIE])
    assert is_in(thief)
    out = page.form("sign-out").submit()
    assert out.address == SIGN_IN
    assert SESSION_COOKIE not in browser.cookies
    assert not is_in(thief)


def test_signing_out_ends_no_other_session(ours: Site) -> None:
    one, other = ours.browser(), ours.browser()
    page = attempt(one)
    attempt(other)
    page.form("sign-out").submit()
    assert is_in(other)


def test_another_password_ends_every_session_and_the_old_one_opens_nothing(ours: Site) -> None:
    one, other = ours.browser(), ours.browser()
    attempt(one)
    attempt(other)
    change = partial(
        change_password, store=STORE_ID, name=NAME, password="thirteen small tins", at=NOON
    )
    write_beside(ours.engine, change, store=STORE_ID)
    assert (is_in(one), is_in(other)) == (False, False)
    assert attempt(one).status == 401


def test_barring_ends_every_session(ours: Site) -> None:
    browser = ours.browser()
    attempt(browser)
    barred = partial(bar_coordinator, store=STORE_ID, name=NAME, at=ours.clock.now())
    write_beside(ours.engine, barred, store=STORE_ID)
    assert not is_in(browser)


def test_a_session_that_was_there_before_is_not_taken_over(ours: Site) -> None:
    browser = ours.browser()
    planted = "dw_" + "p" * 43
    browser.cookies.set(SESSION_COOKIE, planted, domain="store.test")
    answer = answered(browser)
    assert answer.status_code == 303
    given = answer.cookies[SESSION_COOKIE]
    assert given != planted
    thief = ours.browser()
    thief.cookies.set(SESSION_COOKIE, planted)
    assert not is_in(thief)


def test_each_sign_in_begins_a_session_of_its_own(ours: Site) -> None:
    browser = ours.browser()
    given = [answered(browser).cookies[SESSION_COOKIE] for _ in range(2)]
    assert len(set(given)) == 2


def test_the_form_needs_its_cookie(ours: Site) -> None:
    form = form_at(ours.browser()).filled(name=NAME, password=PASSWORD)
    body = urlencode(form.fields)
    without = send(ours.browser(), SIGN_IN, body)
    another = ours.browser()
    another.open(SIGN_IN)
    assert (without.status, send(another, SIGN_IN, body).status) == (422, 422)
    assert "set-cookie" not in without.headers


def test_an_empty_cookie_proves_nothing(ours: Site) -> None:
    browser = ours.browser()
    browser.cookies.set(FORM_COOKIE, "")
    body = urlencode({"form": form_proof(""), "name": NAME, "password": PASSWORD})
    assert send(browser, SIGN_IN, body).status == 422


def test_a_form_from_another_site_signs_nobody_in(ours: Site) -> None:
    form = form_at(ours.browser()).filled(name=NAME, password=PASSWORD)
    page = form.submit(headers={"Sec-Fetch-Site": "cross-site"})
    assert (page.status, SESSION_COOKIE in form.browser.cookies) == (422, False)


def test_a_second_tab_does_not_spoil_the_first(ours: Site) -> None:
    browser = ours.browser()
    first = form_at(browser)
    form_at(browser)
    assert first.filled(name=NAME, password=PASSWORD).submit().address == SUMMARY


def test_one_who_was_sent_to_sign_in_comes_back_to_where_they_were_going(ours: Site) -> None:
    page = ours.browser().open("/stores/fernhollow/links")
    page = page.form("sign-in").filled(name=NAME, password="guessed").submit()
    page = page.form("sign-in").filled(name=NAME, password=PASSWORD).submit()
    assert (page.status, page.address) == (200, "/stores/fernhollow/links")


OUTSIDE: Final = (
    "",
    "//evil.test",
    "/\\evil.test",
    "\\\\evil.test",
    "https://evil.test/stores/fernhollow/",
    "javascript:alert(1)",
    "/stores/stonebrook/links",
    "/stores/fernhollow",
    "/stores/fernhollowed/links",
    "/stores/fernhollow/../stonebrook/links",
    "/stores/fernhollow/..",
    "/stores/fernhollow/\\..\\stonebrook",
    "stores/fernhollow/links",
    " /stores/fernhollow/links",
    "/stores/fernhollow/links\r\nSet-Cookie: a=b",
    "/stores/fernhollow/links\n",
    "/stores/fernhollow/\tlinks",
    "/stores/fernhollow/\u202esknil",
)


def test_signing_in_leads_nowhere_but_into_this_store(ours: Site) -> None:
    browser = ours.browser()
    for then in OUTSIDE:
        answer = answered(browser, then=then)
        assert (answer.status_code, answer.headers["location"]) == (303, SUMMARY), then


def test_the_form_carries_no_address_outside_this_store(ours: Site) -> None:
    browser = ours.browser()
    for then in OUTSIDE:
        asked = urlencode({"then": then})
        assert form_at(browser, f"{SIGN_IN}?{asked}")["then"] == "", then


def test_a_page_of_this_store_is_led_to(ours: Site) -> None:
    for then in ("/stores/fernhollow/notice", "/stores/fernhollow/summary?heating=true"):
        answer = answered(ours.browser(), then=then)
        assert (answer.status_code, answer.headers["location"]) == (303, then)


def test_a_nul_in_a_name_is_refused_and_nobody_is_signed_in(both: Site) -> None:
    browser = both.browser()
    page = attempt(browser, "ada\x00rowe", "x\x00")
    assert page.status in (401, 422)
    assert SESSION_COOKIE not in browser.cookies


def test_what_was_typed_as_a_name_is_shown_as_it_is_and_runs_nothing(ours: Site) -> None:
    typed = '"><script>alert(1)</script><b>'
    page = attempt(ours.browser(), typed)
    assert page.form("sign-in")["name"] == typed
    assert list(page.root.each("script", "b")) == []


def test_no_password_and_no_secret_of_a_cookie_is_in_the_database(both: Site) -> None:
    browser = both.browser()
    attempt(browser, password="a guess to remember")
    attempt(browser)
    kept = everything_kept(both.engine)
    assert NAME in kept
    assert PASSWORD not in kept
    assert "a guess to remember" not in kept
    for cookie in (SESSION_COOKIE, FORM_COOKIE):
        assert browser.cookies[cookie].removeprefix("dw_") not in kept
    assert "127.0.0.1" not in kept


def test_no_page_shows_the_secret_of_a_session(ours: Site) -> None:
    browser = ours.browser()
    pages = [attempt(browser), browser.open("/stores/fernhollow/links")]
    secrets = [browser.cookies[SESSION_COOKIE], browser.cookies[FORM_COOKIE]]
    assert [one for one in secrets for page in pages if one in page.html] == []
