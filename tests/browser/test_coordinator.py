"""A coordinator signs in, reads how the store stands, makes a link, reads the notice, leaves."""

import re
from typing import Final

from playwright.sync_api import Page

from tests.browser.served import COORDINATOR, PASSWORD, TABLE, Site, days_ahead
from tests.browser.sights import WORDS, press
from tests.browser.visiting import focused_id

LAST_DAY: Final = days_ahead(20)

_DAYS: Final = re.compile(r"(\d+\.\d) days")


def _sign_in(page: Page, site: Site) -> None:
    page.goto(site.page_of(site.neighbourhood, "summary"))
    assert page.url.startswith(site.page_of(site.neighbourhood, "sign-in?then="))
    assert focused_id(page) == "name"
    page.get_by_label(WORDS.say("sign-in-name")).fill(COORDINATOR)
    page.get_by_label(WORDS.say("sign-in-password")).fill(PASSWORD)
    press(page, "sign-in")
    assert page.url == site.page_of(site.neighbourhood, "summary")


def _headline_days(page: Page) -> float:
    found = _DAYS.fullmatch(page.locator(".figure .big").first.inner_text())
    assert found is not None
    return float(found[1])


def _homes(page: Page) -> list[tuple[str, float]]:
    """Give each row of the households' table: the name, and the days."""
    rows = page.locator("section[aria-labelledby=homes-title] tbody tr").all()
    found = []
    for row in rows:
        # Those after the first ten are folded up, and are read all the same.
        days = row.locator("td").last.text_content() or ""
        found.append((row.locator("th").text_content() or "", float(days.removesuffix("+"))))
    return found


def _reads_the_summary(page: Page, site: Site) -> None:
    homes = _homes(page)
    assert len(homes) == 24
    days = [days for _, days in homes]
    assert days == sorted(days)
    # Everyone is fed for as long as the household that is fed for the fewest days.
    assert days[0] == _headline_days(page) < days[-1]
    person_days = page.locator(".figure .big").nth(1).inner_text()
    assert re.fullmatch(r"[\d,]+ person-days", person_days)
    # The child with the peanut allergy lives there.
    assert homes[0][0] == "H05"
    held = page.locator("section[aria-labelledby=held-title] h3").first.inner_text()
    assert re.fullmatch(r"\d+ (person|people): .*peanut.*", held)
    picture = page.get_by_alt_text(WORDS.say("summary-bars-alt"))
    assert picture.evaluate("one => [one.complete, one.naturalWidth > 0]") == [True, True]


def _asks_it_another_way(page: Page, site: Site) -> None:
    before, worst_first = _headline_days(page), _homes(page)
    half = page.get_by_label(WORDS.say("switch-ration-part", percent=50))
    half.check()
    press(page, "switches-ask")
    assert _headline_days(page) > before
    assert half.is_checked()
    assert _homes(page) != worst_first
    bars = page.get_by_alt_text(WORDS.say("summary-bars-alt"))
    assert "ration=0.5" in (bars.get_attribute("src") or "")
    assert bars.evaluate("one => one.naturalWidth > 0") is True
    page.get_by_label(WORDS.say("switch-ration-part", percent=100)).check()
    press(page, "switches-ask")
    assert (_headline_days(page), _homes(page)) == (before, worst_first)


def _makes_a_link_and_follows_it(page: Page, site: Site) -> None:
    page.get_by_role("link", name=WORDS.say("nav-links")).click()
    page.get_by_label(WORDS.say("links-place")).select_option(site.place)
    page.get_by_label(WORDS.say("links-label")).fill(TABLE)
    page.get_by_label(WORDS.say("links-last")).fill(LAST_DAY.isoformat())
    press(page, "links-make")
    assert WORDS.say("made-until", label=TABLE, day=WORDS.day(LAST_DAY)) in page.inner_text("main")
    code = page.get_by_alt_text(WORDS.say("made-qr-alt"))
    assert code.evaluate("one => one.naturalWidth > 0") is True
    made = page.locator("p.address a")
    address = made.inner_text()
    assert address == made.get_attribute("href")
    made.click()
    page.wait_for_url(address)
    assert page.locator("h1").inner_text() == WORDS.say("log-title", place="Meeting hall, closet")
    assert focused_id(page) == "what"


def _reads_the_notice(page: Page, site: Site) -> None:
    page.goto(site.page_of(site.neighbourhood, "links"))
    assert TABLE in page.locator("tbody th").all_inner_texts()
    page.get_by_role("link", name=WORDS.say("nav-notice")).click()
    page.wait_for_url("**/notice")
    assert page.locator("h1").inner_text() == WORDS.say("notice-page-title")
    here = page.locator("nav [aria-current=page]").all_inner_texts()
    assert here == [WORDS.say("nav-notice")]
    assert len(page.inner_text(".letter")) > 500


def _signs_out(page: Page, site: Site) -> None:
    page.goto(site.page_of(site.neighbourhood, "summary"))
    press(page, "sign-out")
    assert page.url == site.page_of(site.neighbourhood, "sign-in")


def test_a_coordinator_finds_everything_from_signing_in_to_signing_out(
    page: Page, site: Site
) -> None:
    for step in (
        _sign_in,
        _reads_the_summary,
        _asks_it_another_way,
        _makes_a_link_and_follows_it,
        _reads_the_notice,
        _signs_out,
    ):
        step(page, site)
    # Whoever comes to the desk next presses Back, and then loads the page again.
    page.go_back()
    _asks_for_a_sign_in(page, site)
    page.reload()
    _asks_for_a_sign_in(page, site)


def _asks_for_a_sign_in(page: Page, site: Site) -> None:
    assert "/sign-in" in page.url
    assert page.get_by_label(WORDS.say("sign-in-password")).is_visible()
    assert page.locator(".figure").count() == 0
