"""Claims about links for logging: made, shown once with a QR code, listed, and withdrawn."""

import base64
from datetime import date, timedelta
from functools import partial
from typing import Final

from sqlalchemy import select

from daysworth.db.places import change_place
from daysworth.db.stores import change_store
from daysworth.db.tables import LINK
from daysworth.domain.settings import StoreSettings
from daysworth.pages.doors import SESSION_COOKIE
from daysworth.printing.qr import qr_svg
from daysworth.wiring import build_service, shut_down
from tests.grounds import OTHER_STORE, SHELF, begin_ground, change, look, small_store
from tests.pages.browsing import Browser, Element, Page, Site
from tests.pages.coordinating import signed_in
from tests.pages.test_doors import everything_kept, proof_of, send

LINKS: Final = "/stores/fernhollow/links"
TUESDAY: Final = "Tuesday table"
ROWS: Final = select(LINK).order_by(LINK.c.created_at, LINK.c.id)


def make(
    browser: Browser, *, label: str = TUESDAY, place: str = "shelf", last: str = "2026-09-20"
) -> Page:
    form = browser.open(LINKS).form("/links")
    return form.filled(label=label, place=place, last=last).submit()


def address_of(page: Page) -> str:
    """Give the address that the page of a new link shows, which is also where it leads."""
    (shown,) = page.root.each(**{"class": "address"})
    assert shown.the("a").marks["href"] == shown.text
    return shown.text


def secret_of(page: Page) -> str:
    return address_of(page).rpartition("/log/")[2]


def kept(site: Site) -> list[dict[str, str | None]]:
    rows = look(site.engine, lambda reading: reading.connection.execute(ROWS).mappings().all())
    return [dict(row) for row in rows]


def rows_of(page: Page) -> list[Element]:
    return list(page.root.the("tbody").each("tr"))


def move_to_chicago(site: Site) -> None:
    west = StoreSettings(timezone="America/Chicago")
    moved = partial(change_store, name="Fernhollow (invented)", settings=west, if_revision=2)
    change(site.engine, moved)


def states(page: Page) -> dict[str, str]:
    """Give what the list says of each link, by whom it is for."""
    return {row.the("th").text: next(row.each("td")).text for row in rows_of(page)}


def withdraw(page: Page) -> Page:
    return page.form("/withdraw").submit()


def test_a_link_is_made_and_logs_to_its_place_alone(site: Site) -> None:
    page = make(signed_in(site))
    assert (page.status, page.root.the("h1").text) == (
        200,
        "Log what you put on the shelf: Shelf",
    )
    assert "For Tuesday table, until September 20, 2026." in page.text
    opened = site.browser().open(address_of(page))
    assert (opened.status, opened.root.the("h1").text) == (200, "Put on the shelf: Shelf")
    (link,) = kept(site)
    assert (link["place"], link["label"], link["made_by"]) == ("shelf", TUESDAY, "Ada Rowe")


def test_the_qr_code_is_that_of_the_address_shown(quick_site: Site) -> None:
    page = make(signed_in(quick_site))
    picture = page.root.the("img", **{"class": "qr"}).marks["src"]
    start = "data:image/svg+xml;base64,"
    assert picture.startswith(start)
    assert base64.b64decode(picture.removeprefix(start), validate=True) == qr_svg(address_of(page))


def test_the_address_is_that_by_which_the_coordinator_came(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    assert address_of(make(browser)).startswith("http://store.test/log/dw_")
    secure = quick_site.browser(origin="https://door.test:8443")
    secure.cookies.set(SESSION_COOKIE, browser.cookies[SESSION_COOKIE])
    assert address_of(make(secure)).startswith("https://door.test:8443/log/dw_")


def test_where_the_pages_are_reached_may_be_said_and_no_request_changes_it(
    quick_site: Site,
) -> None:
    told = build_service(quick_site.engine, clock=quick_site.clock.now, site="https://door.test/")
    quick_site.app.state.service = told
    form = signed_in(quick_site).open(LINKS).form("/links").filled(label=TUESDAY)
    page = form.submit(headers={"Host": "evil.test", "X-Forwarded-Host": "evil.test"})
    assert address_of(page).startswith("https://door.test/log/dw_")
    assert "evil.test" not in page.html
    shut_down(told, drop_waiting=False)


def test_the_secret_is_on_the_page_that_makes_it_and_nowhere_after(site: Site) -> None:
    browser = signed_in(site)
    secret = secret_of(make(browser))
    rows = everything_kept(site.engine)
    assert TUESDAY in rows
    assert secret.removeprefix("dw_") not in rows
    for path in (LINKS, "/stores/fernhollow/summary", "/stores/fernhollow/notice"):
        assert secret not in browser.open(path).html


def test_the_page_of_a_new_link_is_kept_by_no_browser(quick_site: Site) -> None:
    assert make(signed_in(quick_site)).headers["cache-control"] == "no-store"


def test_a_link_opens_to_the_end_of_its_last_day_where_the_store_is(quick_site: Site) -> None:
    move_to_chicago(quick_site)
    page = make(signed_in(quick_site), last="2026-09-03")
    address = address_of(page)
    (link,) = kept(quick_site)
    # Midnight in Chicago is five hours behind: daylight saving time, UTC-5.
    assert link["expires_at"] == "2026-09-04T05:00:00.000000Z"
    quick_site.clock.move(timedelta(days=2, hours=17) - timedelta(microseconds=1))
    assert quick_site.browser().open(address).status == 200
    quick_site.clock.move(timedelta(microseconds=1))
    assert quick_site.browser().open(address).status == 401


def test_the_list_says_the_last_day_where_the_store_is(quick_site: Site) -> None:
    move_to_chicago(quick_site)
    browser = signed_in(quick_site)
    make(browser, last="2026-09-03")
    (row,) = rows_of(browser.open(LINKS))
    cells = [cell.text for cell in row.each("td")]
    assert cells[1:] == ["Shelf", "Sep 3, 2026", "Sep 1, 2026"]


def test_links_are_listed_newest_first_as_open_withdrawn_or_expired(site: Site) -> None:
    browser = signed_in(site)
    for label, last in (("First", "2026-09-01"), ("Second", "2026-09-20"), ("Third", "2026-09-20")):
        make(browser, label=label, last=last)
        site.clock.move(timedelta(minutes=1))
    page = browser.open(LINKS)
    assert list(states(page)) == ["Third", "Second", "First"]
    third = next(form for form in page.forms if form.address.endswith("/withdraw"))
    third.submit()
    site.clock.move(timedelta(hours=11, minutes=57))
    again = signed_in(site).open(LINKS)
    assert states(again) == {
        "Third": "withdrawn",
        "Second": "Withdraw Second",
        "First": "expired",
    }


def test_a_link_withdrawn_opens_nothing_and_stays_withdrawn(site: Site) -> None:
    browser = signed_in(site)
    address = address_of(make(browser))
    listed = browser.open(LINKS)
    once = withdraw(listed)
    assert (once.status, once.address, states(once)) == (200, LINKS, {TUESDAY: "withdrawn"})
    (first,) = kept(site)
    site.clock.move(timedelta(hours=1))
    twice = withdraw(listed)
    assert (twice.status, states(twice), kept(site)) == (200, {TUESDAY: "withdrawn"}, [first])
    assert site.browser().open(address).status == 401


def test_a_link_of_another_store_can_not_be_withdrawn_from_here(quick_site: Site) -> None:
    make(signed_in(quick_site))
    (link,) = kept(quick_site)
    begin_ground(quick_site.engine, small_store(OTHER_STORE))
    other = signed_in(quick_site, OTHER_STORE)
    theirs = send(
        other, f"/stores/stonebrook/links/{link['id']}/withdraw", f"form={proof_of(other)}"
    )
    assert theirs.status == 404
    crossed = send(other, f"{LINKS}/{link['id']}/withdraw", f"form={proof_of(other)}")
    assert crossed.status == 403
    assert [one["revoked_at"] for one in kept(quick_site)] == [None]


def test_a_link_that_is_not_there_is_said_in_a_page(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for link in ("V-none", "x" * 300, "V-%E2%80%AE", "'--", "%0A"):
        page = send(browser, f"{LINKS}/{link}/withdraw", f"form={proof_of(browser)}")
        assert (page.status, page.root.the("h1").text) == (404, "There is nothing here"), link


def fault(page: Page, field: str) -> str:
    """Give what stands beside a field, which must point to it."""
    control = page.by_id(field)
    assert control.marks["aria-invalid"] == "true"
    assert f"{field}-fault" in control.marks["aria-describedby"].split()
    return page.by_id(f"{field}-fault").text


def test_a_label_that_cannot_be_kept_is_said_beside_its_field(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for label in ("", "   ", "x" * 121, "two\nlines", "turned \u202eround", "nul\x00"):
        page = make(browser, label=label)
        assert page.status == 422, label
        assert fault(page, "label") == "Say who will have the link, in 1 to 120 characters."
        assert page.form("/links")["last"] == "2026-09-20"
    assert kept(quick_site) == []


NO_DAYS: Final = (
    "",
    "2026-08-31",
    "2027-10-07",
    "9999-12-31",
    "20260920",
    "09/20/2026",
    "tomorrow",
    "2026-09-20T12:00",
    "2026-02-30",
)


def test_a_last_day_that_is_none_is_said_beside_its_field(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for last in NO_DAYS:
        page = make(browser, last=last)
        assert page.status == 422, last
        assert fault(page, "last") == "Choose a day from today to 400 days ahead."
        assert (page.form("/links")["label"], page.form("/links")["last"]) == (TUESDAY, last)
    assert kept(quick_site) == []


def test_the_last_day_is_from_today_to_four_hundred_days_ahead(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    field = browser.open(LINKS).by_id("last").marks
    assert (field["min"], field["max"]) == ("2026-09-01", "2027-10-06")
    assert date(2027, 10, 6) - date(2026, 9, 1) == timedelta(days=400)
    assert {make(browser, last=last).status for last in (field["min"], field["max"])} == {200}


def test_a_place_that_is_not_there_is_said_beside_its_field(quick_site: Site) -> None:
    for place in ("attic", "", "shelf\x00", None):
        form = signed_in(quick_site).open(LINKS).form("/links").filled(label=TUESDAY)
        page = form.forged(place=place).submit()
        assert (page.status, fault(page, "place")) == (422, "Choose a place.")
        assert page.form("/links")["label"] == TUESDAY
    assert kept(quick_site) == []


def test_every_fault_is_said_at_once_and_all_that_was_typed_is_kept(quick_site: Site) -> None:
    page = make(signed_in(quick_site), label="x" * 130, place="shelf", last="soon")
    assert {one.marks["id"] for one in page.root.each("p", **{"class": "fault"})} == {
        "label-fault",
        "last-fault",
    }
    form = page.form("/links")
    assert (form["label"], form["place"], form["last"]) == ("x" * 130, "shelf", "soon")


def test_the_form_begins_with_thirty_days_and_every_place(quick_site: Site) -> None:
    page = signed_in(quick_site).open(LINKS)
    assert page.form("/links")["last"] == "2026-10-01"
    offered = [one.marks["value"] for one in page.by_id("place").each("option")]
    assert offered == ["cellar", "shelf"]
    assert page.by_id("issued-title").text == "No link was made yet"


def test_names_are_shown_as_they_are_and_run_nothing(quick_site: Site) -> None:
    name = "<b>&\"'</b>"
    rename = partial(change_place, place=SHELF, name=name, if_revision=1)
    change(quick_site.engine, rename)
    browser = signed_in(quick_site)
    made = make(browser, label=name)
    listed = browser.open(LINKS)
    assert made.root.the("h1").text == f"Log what you put on the shelf: {name}"
    assert states(listed) == {name: f"Withdraw {name}"}
    for page in (made, listed):
        assert list(page.root.each("b", "script")) == []


def test_a_form_sent_from_elsewhere_makes_no_link(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    form = browser.open(LINKS).form("/links").filled(label=TUESDAY)
    assert form.submit(headers={"Sec-Fetch-Site": "cross-site"}).status == 422
    assert form.forged(form=None).submit().status == 422
    assert form.forged(form=proof_of(signed_in(quick_site))).submit().status == 422
    assert kept(quick_site) == []


def test_a_form_sent_from_elsewhere_withdraws_no_link(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    make(browser)
    form = browser.open(LINKS).form("/withdraw")
    assert form.submit(headers={"Sec-Fetch-Site": "cross-site"}).status == 422
    assert form.forged(form=None).submit().status == 422
    assert [one["revoked_at"] for one in kept(quick_site)] == [None]
