"""A coordinator makes an address of the calendar, sees it this once, and revokes it."""

from typing import Final

import pytest

from tests.pages.browsing import Browser, Page, Site
from tests.pages.coordinating import STORE, signed_in
from tests.pages.giving import open_page

CALENDAR: Final = f"{STORE}/calendar"


def make(browser: Browser, label: str = "my phone") -> Page:
    """Make an address."""
    return open_page(browser, CALENDAR).form("make").filled(label=label).submit()


def path_of(page: Page) -> str:
    """Give the path of the address that was just made."""
    return "/calendar/" + page.by_id("made").text.rpartition("/")[2]


def test_an_address_is_shown_once_and_opens_the_calendar(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    page = make(browser)
    assert "It is shown this once" in page.text
    feed = quick_site.browser().open(path_of(page))
    assert feed.status == 200
    assert feed.answer.text.startswith("BEGIN:VCALENDAR")
    again = open_page(browser, CALENDAR)
    assert path_of(page).removesuffix(".ics").rpartition("/")[2] not in again.html
    assert "my phone" in again.text


def test_a_revoked_address_opens_nothing(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    made = make(browser)
    page = made.form("/revoke").submit()
    assert page.status == 200
    assert "revoked" in page.text
    assert quick_site.browser().open(path_of(made)).status == 404


def test_a_sixth_address_is_refused_in_words(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for number in range(5):
        assert make(browser, f"phone {number}").status == 200
    page = make(browser, "one too many")
    assert page.status == 409
    assert "5 calendar addresses already" in page.text
    assert page.form("make")["label"] == "one too many"


@pytest.mark.parametrize("label", ["", " ", "L" * 121, "two\u2028lines"])
def test_what_reads_it_is_said_in_plain_words(quick_site: Site, label: str) -> None:
    form = open_page(signed_in(quick_site), CALENDAR).form("make")
    page = form.forged(label=label).submit()
    assert page.status == 422
    assert page.by_id("label-fault").text == "Say what will read it, in 1 to 120 characters."
    assert "No address was made yet" in page.text
