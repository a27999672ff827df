"""A volunteer with a link logs boxes to one place, sees them below, and takes them back."""

import json
from collections.abc import Sequence
from datetime import timedelta
from functools import partial

import pytest
from sqlalchemy import Row, select

from daysworth.db.ledger import handling, taking
from daysworth.db.links import revoke_link
from daysworth.db.people_kept import Kept
from daysworth.db.tables import ENTRY, LINK
from daysworth.db.transactions import write_beside
from daysworth.domain.entries import CredentialId, Role
from daysworth.domain.identifiers import LotId
from daysworth.domain.label_dates import LabelKind
from tests.grounds import (
    CELLAR,
    SALMON,
    SHELF,
    STORE_ID,
    books_balance,
    change,
    look,
    lots_of,
    token_for,
    version_of,
)
from tests.pages.browsing import Form, Page, Site

SALMON_NAME = "Pink salmon, tinned"
BOX: dict[str, str | bool] = {
    "what": SALMON_NAME,
    "units": "12",
    "kind": "best_by",
    "date": "2029-04",
}


def listed(page: Page) -> list[str]:
    """Give what is said of each box that was just logged, the newest first."""
    return [box.the("strong").text for box in page.by_id("just-logged").each("li")]


def lot_of(page: Page) -> LotId:
    """Give the lot of the newest box."""
    return LotId(take_back_form(page)["lot"])


def take_back_form(page: Page) -> Form:
    """Give the form that takes back the newest box that can be taken back."""
    return next(form for form in page.forms if form.address.endswith("/take-back"))


def entries(site: Site) -> Sequence[Row[tuple[Kept, ...]]]:
    """Give the ledger of the store, in order."""
    chosen = select(ENTRY).where(ENTRY.c.store == STORE_ID).order_by(ENTRY.c.version, ENTRY.c.line)
    return look(site.engine, lambda reading: reading.connection.execute(chosen).all())


def withdraw_all(site: Site) -> None:
    """Withdraw every link of the store."""
    chosen = select(LINK.c.id).where(LINK.c.store == STORE_ID)
    for link in look(site.engine, lambda r: list(r.connection.scalars(chosen))):
        revoke = partial(revoke_link, link=CredentialId(link), store=STORE_ID, at=site.clock.now())
        write_beside(site.engine, revoke, store=STORE_ID)


def test_a_box_that_leaves_nothing_open_is_saved_at_once_and_stands_below(site: Site) -> None:
    page = site.log(site.new_link(), giver="Elm Row")
    assert page.status == 200
    assert page.root.the("div", role="status").text == (
        f"Saved: 12 packs of {SALMON_NAME}, best by April 2029."
    )
    (box,) = page.by_id("just-logged").each("li")
    assert box.the("p").text.startswith(
        f"12 packs of {SALMON_NAME}, best by April 2029, from Elm Row"
    )
    (lot,) = lots_of(site.engine).values()
    assert (lot.food, lot.words, lot.units, lot.place) == (SALMON, None, 12, SHELF)
    assert (lot.label_kind, lot.printed, lot.condition) == (LabelKind.BEST_BY, "2029-04", "sound")
    assert (lot.owner, lot.is_shared) == (None, True)
    assert books_balance(site.engine)


def test_what_was_saved_is_reached_by_a_redirect_so_that_loading_again_saves_nothing(
    quick_site: Site,
) -> None:
    page = quick_site.log(quick_site.new_link())
    assert page.answer.request.method == "GET"
    assert listed(page.browser.open(page.address)) == [f"12 packs of {SALMON_NAME}"]
    assert len(lots_of(quick_site.engine)) == 1


def test_an_entry_carries_the_links_id_its_label_and_who_gave_it(quick_site: Site) -> None:
    quick_site.log(quick_site.new_link(label="Saturday crew"), giver="Elm Row")
    (entry,) = entries(quick_site)
    chosen = select(LINK.c.id)
    link = look(quick_site.engine, lambda r: r.connection.execute(chosen).scalar_one())
    assert (entry.kind, entry.units, entry.credential) == ("received", 12, link)
    assert entry.by == "Saturday crew"
    assert json.loads(entry.detail) == {"giver": "Elm Row"}


def test_a_form_sent_twice_saves_its_box_once(site: Site) -> None:
    filled = site.browser().open(site.new_link()).form("box").filled(**BOX)
    filled.submit()
    version = version_of(site.engine)
    assert listed(filled.submit()) == [f"12 packs of {SALMON_NAME}"]
    assert (len(lots_of(site.engine)), version_of(site.engine)) == (1, version)


def test_a_form_sent_eight_times_at_once_saves_its_box_once(site: Site) -> None:
    browser = site.browser()
    filled = browser.open(site.new_link()).form("box").filled(**BOX)
    pages = browser.submit_together([filled] * 8)
    assert {page.status for page in pages} == {200}
    assert len(lots_of(site.engine)) == 1
    assert books_balance(site.engine)


def test_the_same_box_once_more_is_asked_about_and_saved_when_it_is_another(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    quick_site.log(link)
    page = quick_site.log(link)
    assert "The same was logged here a moment ago. Is this another box?" in page.text
    assert len(lots_of(quick_site.engine)) == 1
    assert listed(page.form("box").submit()) == [f"12 packs of {SALMON_NAME}"] * 2


def test_the_same_box_of_another_link_or_a_quarter_of_an_hour_later_is_not_asked_about(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    quick_site.log(link)
    assert "Saved:" in quick_site.log(quick_site.new_link()).text
    quick_site.clock.move(timedelta(minutes=15, microseconds=1))
    assert "Saved:" in quick_site.log(link).text


def test_the_same_box_after_one_was_taken_back_is_not_asked_about(quick_site: Site) -> None:
    link = quick_site.new_link()
    take_back_form(quick_site.log(link)).submit()
    assert "Saved:" in quick_site.log(link).text


def test_eight_boxes_sent_at_once_are_eight_boxes(site: Site) -> None:
    browser = site.browser()
    link = site.new_link()
    forms = [
        browser.open(link).form("box").filled(**{**BOX, "units": str(units)})
        for units in range(1, 9)
    ]
    browser.submit_together(forms)
    assert sorted(lot.units for lot in lots_of(site.engine).values()) == [*range(1, 9)]
    assert books_balance(site.engine)


def test_a_form_sent_again_with_something_else_in_it_is_asked_about_and_loses_nothing(
    site: Site,
) -> None:
    form = site.browser().open(site.new_link()).form("box")
    filled = form.filled(**BOX)
    filled.submit()
    page = filled.filled(units="13", giver="Elm Row").submit()
    assert page.status == 422
    assert page.by_id("form-fault").text.startswith("This form was sent before")
    asked = page.form("box")
    typed = [asked[name] for name in ("what", "units", "kind", "date", "giver")]
    assert typed == [SALMON_NAME, "13", "best_by", "2029-04", "Elm Row"]
    assert len(lots_of(site.engine)) == 1
    assert listed(asked.submit()) == [f"13 packs of {SALMON_NAME}", f"12 packs of {SALMON_NAME}"]


def test_two_links_may_send_the_same_key_and_save_a_box_each(quick_site: Site) -> None:
    for label in ("one", "another"):
        page = quick_site.browser().open(quick_site.new_link(label=label))
        form = page.form("box").filled(**BOX)
        sent = form.forged(key="the same").submit()
        if sent.status == 422:
            sent.form("box").submit()
    assert [entry.by for entry in entries(quick_site)] == ["one", "another"]


@pytest.mark.parametrize("kind", list(LabelKind))
def test_who_gave_it_and_what_the_label_says_stay_the_same_and_nothing_else_does(
    quick_site: Site, kind: LabelKind
) -> None:
    date = "" if kind is LabelKind.UNLABELLED else "2026-08"
    page = quick_site.log(quick_site.new_link(), kind=kind, date=date, giver="Elm Row")
    saved = page if "Saved:" in page.text else page.form("box").submit()
    form = saved.form("box")
    with_date = {name: value for name, value in form.fields if name == "kind"}
    assert with_date == ({} if kind is LabelKind.UNLABELLED else {"kind": kind})
    assert form["giver"] == "Elm Row"
    names = ("what", "units", "cases", "units_per_case", "date")
    assert [form[name] for name in names] == [""] * len(names)
    assert not {"damaged", "home_canned", "unreadable"} & {name for name, _ in form.fields}


def test_the_same_again_fills_the_form_and_saves_nothing_until_it_is_sent(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    saved = quick_site.log(link, kind="use_by", giver="Elm Row", units="7")
    page = saved.browser.open(saved.link("Same again"))
    form = page.form("box")
    names = ("what", "units", "kind", "date", "giver")
    again = [SALMON_NAME, "7", "use_by", "2029-04", "Elm Row"]
    assert [form[name] for name in names] == again
    assert len(lots_of(quick_site.engine)) == 1
    assert listed(form.submit()) == [f"7 packs of {SALMON_NAME}"] * 2
    assert len(lots_of(quick_site.engine)) == 2


def test_cases_are_counted_out_in_packs(quick_site: Site) -> None:
    link = quick_site.new_link()
    assert listed(quick_site.log(link, units="", cases="3", units_per_case="24"))[0] == (
        f"72 packs of {SALMON_NAME}"
    )
    assert listed(quick_site.log(link, units="48", cases="2", units_per_case="24"))[0] == (
        f"48 packs of {SALMON_NAME}"
    )


def test_a_box_taken_back_counts_as_never_put_up_and_stays_in_the_ledger(site: Site) -> None:
    page = take_back_form(site.log(site.new_link())).submit()
    assert page.root.the("div", role="status").text == f"Taken back: 12 packs of {SALMON_NAME}."
    (box,) = page.by_id("just-logged").each("li")
    assert "Taken back: it does not count." in box.text
    assert list(box.each("form")) == []
    (lot,) = lots_of(site.engine).values()
    assert lot.units == 0
    assert [(entry.kind, entry.units) for entry in entries(site)] == [
        ("received", 12),
        ("corrected", -12),
    ]
    assert books_balance(site.engine)


def test_a_box_taken_back_twice_or_four_times_at_once_is_taken_back_once(site: Site) -> None:
    page = site.log(site.new_link())
    form = take_back_form(page)
    page.browser.submit_together([form] * 4)
    again = form.submit()
    assert again.status == 200
    assert "was not taken back" not in again.text
    assert [entry.units for entry in entries(site)] == [12, -12]
    assert books_balance(site.engine)


@pytest.mark.parametrize("deed", ["moved", "counted", "eaten"])
def test_a_box_that_somebody_has_seen_to_since_is_left_alone_and_the_page_says_so(
    quick_site: Site, deed: str
) -> None:
    page = quick_site.log(quick_site.new_link())
    form, lot = take_back_form(page), lot_of(page)
    match deed:
        case "moved":
            change(quick_site.engine, partial(handling.move, lot=lot, place=CELLAR, units=None))
        case "counted":
            count = partial(taking.count_place, place=SHELF, units_by_lot={lot: 11})
            change(quick_site.engine, count)
        case _:
            change(quick_site.engine, partial(taking.eat, lot=lot, units=1))
    units = lots_of(quick_site.engine)[lot].units
    refused = form.submit()
    assert refused.root.the("p", role="alert").text == (
        f"{SALMON_NAME} was not taken back: somebody has moved, counted or changed it since. "
        "Ask a coordinator."
    )
    assert all(not one.address.endswith("/take-back") for one in refused.forms)
    assert lots_of(quick_site.engine)[lot].units == units
    assert books_balance(quick_site.engine)


def test_a_box_of_another_link_is_neither_listed_nor_taken_back(quick_site: Site) -> None:
    form = take_back_form(quick_site.log(quick_site.new_link(label="one")))
    other = quick_site.new_link(label="another")
    page = quick_site.browser().open(f"{other}?after={form['lot']}&again={form['lot']}")
    assert listed(page) == []
    assert SALMON_NAME not in page.text
    assert page.form("box")["what"] == ""
    quick_site.browser().send(
        "POST",
        f"{other}/take-back",
        content=f"lot={form['lot']}".encode(),
        headers={"Content-Type": "application/x-www-form-urlencoded"},
    )
    assert [entry.units for entry in entries(quick_site)] == [12]


def test_a_box_of_yesterday_is_no_longer_listed_or_taken_back(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link())
    quick_site.clock.move(timedelta(hours=25))
    assert listed(page.browser.open(page.address)) == []
    take_back_form(page).submit()
    assert [entry.units for entry in entries(quick_site)] == [12]


def test_a_box_can_be_taken_back_for_a_whole_day(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link())
    quick_site.clock.move(timedelta(hours=24))
    take_back_form(page).submit()
    assert [entry.units for entry in entries(quick_site)] == [12, -12]


def test_a_link_that_was_withdrawn_opens_a_page_in_words_and_saves_nothing(site: Site) -> None:
    page = site.browser().open(site.new_link())
    withdraw_all(site)
    form = page.form("box").filled(**BOX)
    for refused in (page.browser.open(page.address), form.submit()):
        assert refused.status == 401
        assert "This link was withdrawn: ask a coordinator for another." in refused.text
    assert lots_of(site.engine) == {}


def test_a_link_opens_until_it_expires_and_then_a_page_in_words(quick_site: Site) -> None:
    page = quick_site.browser().open(quick_site.new_link(days=1))
    quick_site.clock.move(timedelta(days=1) - timedelta(microseconds=1))
    assert page.browser.open(page.address).status == 200
    quick_site.clock.move(timedelta(microseconds=1))
    form = page.form("box").filled(**BOX)
    for refused in (page.browser.open(page.address), form.submit()):
        assert refused.status == 401
        assert "This link has expired: ask a coordinator for another." in refused.text
    assert lots_of(quick_site.engine) == {}


def test_a_links_secret_opens_no_route_of_the_api_and_no_other_page(quick_site: Site) -> None:
    secret = quick_site.new_link().rpartition("/")[2]
    browser = quick_site.browser()
    bearer = {"Authorization": f"Bearer {secret}"}
    store = f"/v1/stores/{STORE_ID}"
    for path in (store, f"{store}/lots", f"{store}/households", f"{store}/coverage"):
        assert browser.open(path, headers=bearer).status == 401, path
    sent = browser.send("POST", f"{store}/intake", content=b"{}", headers=bearer)
    assert sent.status == 401
    cookie = {"Cookie": f"daysworth_session={secret}"}
    for path in ("summary", "links", "notice"):
        page = browser.send("GET", f"/stores/{STORE_ID}/{path}", headers=cookie, is_followed=False)
        assert page.status == 303, path
        assert page.headers["Location"].startswith(f"/stores/{STORE_ID}/sign-in")


@pytest.mark.parametrize("role", list(Role))
def test_a_credential_of_the_api_opens_no_logging_page(quick_site: Site, role: Role) -> None:
    token = token_for(quick_site.engine, role)
    assert quick_site.browser().open(f"/log/{token}").status == 401


@pytest.mark.parametrize("where", ["cross-site", "same-site", "anything"])
def test_a_form_that_another_site_sends_is_refused(quick_site: Site, where: str) -> None:
    page = quick_site.browser().open(quick_site.new_link())
    form = page.form("box").filled(**BOX)
    refused = form.submit(headers={"Sec-Fetch-Site": where})
    assert refused.status == 422
    assert "This form came from another site: nothing was changed." in refused.text
    assert lots_of(quick_site.engine) == {}


@pytest.mark.parametrize(
    "query",
    [
        "after=%FF",
        "again=L-nobody",
        "no=%3Cb%3E",
        "back=x",
        "order=%22%3E%3Cb%3E",
        "after=" + "a" * 9_000,
    ],
)
def test_a_strange_query_shows_the_page_as_it_is(quick_site: Site, query: str) -> None:
    page = quick_site.browser().open(f"{quick_site.new_link()}?{query}")
    assert page.status == 200
    assert list(page.root.each("b")) == []
    assert list(page.root.each("div", role="status")) == []


@pytest.mark.parametrize(
    "secret",
    [
        "dw_nobody",
        "dw_" + "x" * 300,
        "caf%C3%A9",
        "%FF",
        "%ED%A0%80",
        "dw_%00",
        "dw_a%2Fb",
        "dw_a?b",
    ],
)
def test_a_strange_address_is_answered_in_words(quick_site: Site, secret: str) -> None:
    page = quick_site.browser().open(f"/log/{secret}")
    assert page.status in (401, 404, 422)
    assert page.root.the("h1").text
