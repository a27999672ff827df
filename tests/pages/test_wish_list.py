"""Claims about what to bring, on pages: worked out, published, read by anyone, and withdrawn."""

from typing import Final
from urllib.parse import urlencode

import pytest
from sqlalchemy import select

from daysworth.db.tables import BRING_LIST, DISCLOSURE
from tests.grounds import look
from tests.pages.browsing import Browser, Page, Site
from tests.pages.coordinating import STORE, signed_in
from tests.pages.test_doors import proof_of, send

WISH: Final = f"{STORE}/wish-list"
ASKED: Final = f"{WISH}?target_days=14&least=units&running_water=true"


def published(browser: Browser, **typed: str) -> Page:
    """Work a list out, and publish it as it is but for what is typed."""
    return browser.open(ASKED).form("/publish").filled(**typed).submit()


def address_of(page: Page) -> str:
    """Give the public address that a coordinator's page shows."""
    (address,) = [
        str(link.marks["href"])
        for link in page.root.each("a")
        if str(link.marks.get("href", "")).startswith("/bring/")
    ]
    return address


def test_a_list_is_worked_out_with_whom_it_does_not_help(quick_site: Site) -> None:
    page = signed_in(quick_site).open(ASKED)
    assert page.status == 200
    assert "everyone but those named below can eat for 14 days" in page.text
    assert "1 person (peanut allergy): 0 days at most." in page.text
    assert "Nothing with fewer packs is enough." in page.text
    (row, *_) = page.root.the("tbody").each("tr")
    assert row.the("th").text == "Sunflower seed butter"


def test_the_page_asks_before_it_works_anything_out(quick_site: Site) -> None:
    page = signed_in(quick_site).open(WISH)
    assert "Nothing is published." in page.text
    assert not list(page.root.each("tbody"))


def test_each_reading_of_whom_it_does_not_help_is_noted(quick_site: Site) -> None:
    signed_in(quick_site).open(ASKED)
    noted = look(quick_site.engine, lambda r: list(r.connection.scalars(select(DISCLOSURE.c.what))))
    assert noted == ["wish list"]


def test_what_is_published_is_read_by_anyone_and_tells_of_nobody(site: Site) -> None:
    page = published(signed_in(site), title="What to bring on Saturday", note="From ten.")
    assert page.status == 200
    public = site.browser().open(address_of(page))
    assert public.status == 200
    assert public.root.the("h1").text == "What to bring on Saturday"
    assert "From ten." in public.text
    assert "Nothing canned or bottled at home." in public.text
    for never in ("peanut allergy", "Ada Rowe", "H-peanut", "14 days", "Sign out"):
        assert never not in public.text
    assert public.headers["cache-control"] == "no-store"


def test_a_line_that_is_emptied_is_left_out_and_numbers_are_as_typed(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    page = published(browser, **{"units.sunflower_seed_butter": "99"})
    public = quick_site.browser().open(address_of(page))
    rows = {
        row.the("th").text: next(row.each("td")).text for row in public.root.the("tbody").each("tr")
    }
    assert rows["Sunflower seed butter"] == "99"
    page = published(browser, **{"units.sunflower_seed_butter": ""})
    public = quick_site.browser().open(address_of(page))
    assert list(public.root.the("tbody").each("tr"))
    assert "Sunflower seed butter" not in public.text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"title": ""}, "Give it a heading"),
        ({"note": "n" * 401}, "at most 400 characters"),
        ({"units.sunflower_seed_butter": "some"}, "Write a whole number"),
        ({"units.sunflower_seed_butter": "-3"}, "Write a whole number"),
    ],
)
def test_what_cannot_be_published_is_said_beside_it_and_what_was_typed_stays(
    quick_site: Site, typed: dict[str, str], said: str
) -> None:
    page = published(signed_in(quick_site), **typed)
    assert page.status == 422
    assert said in page.text
    form = page.form("/publish")
    assert all(form[name] == value for name, value in typed.items())
    assert look(quick_site.engine, lambda r: r.connection.execute(select(BRING_LIST)).all()) == []


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"title": "x", "units.infant_formula_milk_powder": "2"}, "Is for infants"),
        ({"title": "x", "units.ambrosia": "2"}, "there is no food"),
        ({"title": "x"}, "Leave at least one food"),
    ],
)
def test_a_form_with_what_is_not_there_publishes_nothing(
    quick_site: Site, fields: dict[str, str], said: str
) -> None:
    browser = signed_in(quick_site)
    body = urlencode({"form": proof_of(browser), "key": "k1", **fields})
    page = send(browser, f"{WISH}/publish", body)
    assert page.status == 422
    assert said.casefold() in page.text.casefold()
    assert look(quick_site.engine, lambda r: r.connection.execute(select(BRING_LIST)).all()) == []


def test_food_for_infants_is_published_once_it_is_confirmed(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    fields = {"title": "x", "units.infant_formula_milk_powder": "2", "confirms": "yes"}
    body = urlencode({"form": proof_of(browser), "key": "k1", **fields})
    assert send(browser, f"{WISH}/publish", body).status == 303


def test_withdrawn_the_address_says_so_and_nothing_of_the_list(quick_site: Site) -> None:
    page = published(signed_in(quick_site))
    address = address_of(page)
    assert "Nothing is published." in page.form("/withdraw").submit().text
    gone = quick_site.browser().open(address)
    assert gone.status == 404
    assert "taken down" in gone.text
    assert "Sunflower" not in gone.text


def test_an_address_that_was_not_given_is_answered_in_words(quick_site: Site) -> None:
    page = quick_site.browser().open("/bring/fernhollow/guessed")
    assert page.status == 404
    assert "There is no list at this address" in page.text


@pytest.mark.parametrize("query", ["target_days=0", "target_days=lots", "target_days=14&least=x"])
def test_what_cannot_be_asked_is_refused_in_words(quick_site: Site, query: str) -> None:
    assert signed_in(quick_site).open(f"{WISH}?{query}").status == 422
