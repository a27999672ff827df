"""Every page that there is, and how a browser comes to it."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import count
from typing import Final

from playwright.sync_api import Page

from daysworth.domain.identifiers import StoreId
from daysworth.wording.catalogue import catalogue
from tests.browser import kitting, promising
from tests.browser.bringing import (
    open_bring_list,
    open_bring_list_withdrawn,
    open_wish_list,
    open_wish_list_found,
    open_wish_list_met,
    open_wish_list_published,
    open_wish_list_with_faults,
)
from tests.browser.served import IN_WORDS, Site, days_ahead
from tests.browser.visiting import sign_in_quietly

WORDS: Final = catalogue("en-US")
FAR: Final = days_ahead(1_000)

_nobodies: Final = count(1)


@dataclass(frozen=True)
class Sight:
    """One page as it may be seen, and the status it is answered with."""

    name: str
    reach: Callable[[Page, Site], None]
    status: int = 200


@cache
def shelf_store(site: Site) -> StoreId:
    """Give a small store for what is logged only to be looked at."""
    return site.new_store()


def _front(page: Page, site: Site) -> None:
    page.goto(site.address)


def _sign_in(page: Page, site: Site) -> None:
    page.goto(site.page_of(site.neighbourhood, "sign-in"))


def _sign_in_refused(page: Page, site: Site) -> None:
    _sign_in(page, site)
    # Another name each time: attempts that failed are counted.
    page.fill("#name", f"Nobody {next(_nobodies)}")
    page.fill("#password", "not the password")
    press(page, "sign-in")


def _log_empty(page: Page, site: Site) -> None:
    page.goto(site.new_link(shelf_store(site)))


def _log_with_faults(page: Page, site: Site) -> None:
    _log_empty(page, site)
    page.fill("#what", "W" * 100)
    page.fill("#date", "9" * 40)
    page.locator("summary").click()
    page.fill("#cases", "several")
    press(page, "log-save")


def fill_box(page: Page, what: str, *, date: str = FAR.isoformat(), kind: str = "best_by") -> None:
    """Fill in the form for six packs of something."""
    page.fill("#what", what)
    page.fill("#units", "6")
    page.check(f"input[name=kind][value={kind}]")
    page.fill("#date", date)


def _log_with_review(page: Page, site: Site) -> None:
    _log_empty(page, site)
    fill_box(page, "tinned", date=f"03/04/{FAR.year % 100:02}")
    page.check("input[name=damaged]")
    press(page, "log-save")


def _log_with_warnings(page: Page, site: Site) -> None:
    _log_empty(page, site)
    fill_box(page, "Honey", date=days_ahead(-3).isoformat())
    page.check("input[name=home_canned]")
    page.check("input[name=unreadable]")
    press(page, "log-save")


def _log_with_boxes(page: Page, site: Site) -> None:
    _log_empty(page, site)
    for what in ("Honey", "Raisins"):
        fill_box(page, what)
        page.fill("#giver", "G" * 120)
        press(page, "log-save")
    with page.expect_navigation():
        page.locator("button.quiet").first.click()


@cache
def label_store(site: Site) -> StoreId:
    """Give a small store in which the labels of what is logged are recorded."""
    return site.new_store()


def open_label(page: Page, site: Site) -> None:
    """Log a box of honey, and open the form for its label."""
    page.goto(site.new_link(label_store(site)))
    fill_box(page, "Honey")
    press(page, "log-save")
    if page.locator("input[name=same_label][type=radio]").count():
        press(page, "review-save")
    with page.expect_navigation():
        page.get_by_role("link", name=WORDS.say("log-record-label")).first.click()


def record_label(page: Page, site: Site) -> None:
    """Record the label of a box of honey."""
    open_label(page, site)
    page.fill("#label-text", f"Ingredients: honey, {'x' * 200}.")
    page.check("input[name=may_contain_peanut]")
    press(page, "label-save")


def _label_with_faults(page: Page, site: Site) -> None:
    open_label(page, site)
    page.check("#label-whole")
    press(page, "label-save")


def _log_with_labels(page: Page, site: Site) -> None:
    record_label(page, site)
    fill_box(page, "Honey")
    press(page, "log-save")


def _summary(page: Page, site: Site) -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "summary"))


def _summary_of_a_scenario(page: Page, site: Site) -> None:
    sign_in_quietly(page, site)
    asked = "?heating=true&ration=0.5&stock=all&away=H05&without_place=hall"
    page.goto(site.page_of(site.neighbourhood, "summary") + asked)


def _lot(page: Page, site: Site, *, name: str = IN_WORDS) -> None:
    _summary(page, site)
    with page.expect_navigation():
        page.get_by_role("link", name=name, exact=True).first.click()


def _lot_set_aside(page: Page, site: Site) -> None:
    _summary(page, site)
    rows = page.locator("section[aria-labelledby=quarantined-title] tbody")
    with page.expect_navigation():
        rows.get_by_role("link").first.click()


def _lot_with_foods(page: Page, site: Site) -> None:
    _lot(page, site)
    page.fill("#what", "tinned")
    press(page, "lot-save-name")


def _lot_with_dates(page: Page, site: Site) -> None:
    _lot(page, site)
    page.check("input[name=kind][value=best_by]")
    page.fill("#date", f"03/04/{FAR.year % 100:02}")
    press(page, "lot-save-date")


def _lot_dated_with_faults(page: Page, site: Site) -> None:
    _lot(page, site)
    page.check("input[name=kind][value=unlabelled]")
    page.fill("#date", FAR.isoformat())
    press(page, "lot-save-date")


def _lot_thrown_out_with_faults(page: Page, site: Site) -> None:
    _lot(page, site)
    page.fill("#units", "some")
    page.fill("#why", " ")
    press(page, "lot-save-throw-out")


def _lot_read_twice(page: Page, site: Site) -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, f"lots/{site.read_twice}"))


def _lot_label_with_faults(page: Page, site: Site) -> None:
    _lot_read_twice(page, site)
    page.locator("summary", has_text=WORDS.say("label-record")).click()
    page.check("#label-whole")
    press(page, "label-save")


def _lot_settled_with_faults(page: Page, site: Site) -> None:
    _lot_read_twice(page, site)
    page.fill("#settle-why", " ")
    press(page, "label-save-settle")


def _households(page: Page, site: Site) -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "households"))


def open_warnings(page: Page, site: Site, *, household: str = "H05") -> None:
    """Open the warnings of a household, if no other of somebody allergic to peanut."""
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, f"households/{household}/warnings"))


def _warnings_of_nothing(page: Page, site: Site) -> None:
    open_warnings(page, site, household="H03")


def _warnings_with_faults(page: Page, site: Site) -> None:
    open_warnings(page, site)
    warning = page.locator("article").first
    warning.locator("summary").click()
    warning.locator("input[name=why]").fill(" ")
    with page.expect_navigation():
        warning.get_by_role("button").click()


def open_parcels(page: Page, site: Site, *, asked: str = "") -> None:
    """Open the parcels of the neighbourhood, and ask of one of them."""
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "parcels") + asked)


def _parcel_no(page: Page, site: Site) -> None:
    open_parcels(page, site, asked="?number=5&what=peanut+butter")


def _parcel_yes(page: Page, site: Site) -> None:
    open_parcels(page, site, asked="?number=3&what=peanut+butter")


def _parcel_not_known(page: Page, site: Site) -> None:
    open_parcels(page, site, asked=f"?number=5&what={'w' * 120}")


def _parcel_with_faults(page: Page, site: Site) -> None:
    open_parcels(page, site, asked="?number=none&what=")


def _compare(page: Page, site: Site, *, asked: str = "") -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "compare") + asked)


def _compare_two(page: Page, site: Site) -> None:
    asked = "?away=H05&other_away=&other_heating=true&other_without_place=hall"
    _compare(page, site, asked=asked)


def _kept_week(page: Page, site: Site) -> None:
    site.keep_week()
    _compare(page, site)
    with page.expect_navigation():
        page.locator("section[aria-labelledby=weeks-title] a").first.click()


def _timeline(page: Page, site: Site, *, asked: str = "") -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "timeline") + asked)


def _timeline_of_a_household(page: Page, site: Site) -> None:
    _timeline(page, site, asked="?household=H05")


def _links(page: Page, site: Site) -> None:
    site.new_link(site.neighbourhood, place=site.place)
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "links"))


def _links_with_faults(page: Page, site: Site) -> None:
    _links(page, site)
    page.fill("#label", " ")
    press(page, "links-make")


def _link_made(page: Page, site: Site) -> None:
    _links(page, site)
    page.fill("#label", "L" * 120)
    press(page, "links-make")


def _notice(page: Page, site: Site) -> None:
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "notice"))


def _link_refused(page: Page, site: Site) -> None:
    page.goto(f"{site.address}/log/dw_that-opens-nothing")


def _not_there(page: Page, site: Site) -> None:
    page.goto(f"{site.address}/shelves")


def press(page: Page, message: str) -> None:
    """Press the button with a message of the catalogue on it, and wait for the page it leads to."""
    with page.expect_navigation():
        page.get_by_role("button", name=WORDS.say(message), exact=True).click()


SIGHTS: Final = (
    Sight("front", _front),
    Sight("sign-in", _sign_in),
    Sight("sign-in refused", _sign_in_refused, status=401),
    Sight("log, empty", _log_empty),
    Sight("log, with faults", _log_with_faults, status=422),
    Sight("log, with foods and dates to choose from", _log_with_review),
    Sight("log, with warnings", _log_with_warnings),
    Sight("log, with boxes", _log_with_boxes),
    Sight("log, with labels to compare", _log_with_labels),
    Sight("label of a box", open_label),
    Sight("label of a box, recorded", record_label),
    Sight("label of a box, with faults", _label_with_faults, status=422),
    Sight("summary", _summary),
    Sight("summary of a scenario", _summary_of_a_scenario),
    Sight("lot in words", _lot),
    Sight("lot set aside", _lot_set_aside),
    Sight("lot, with foods to choose from", _lot_with_foods),
    Sight("lot, with dates to choose from", _lot_with_dates),
    Sight("lot, dated, with faults", _lot_dated_with_faults, status=422),
    Sight("lot, thrown out, with faults", _lot_thrown_out_with_faults, status=422),
    Sight("lot read twice", _lot_read_twice),
    Sight("lot, its label, with faults", _lot_label_with_faults, status=422),
    Sight("lot, settled, with faults", _lot_settled_with_faults, status=422),
    Sight("households", _households),
    Sight("warnings", open_warnings),
    Sight("warnings of nothing", _warnings_of_nothing),
    Sight("warnings, with faults", _warnings_with_faults, status=422),
    Sight("parcels", open_parcels),
    Sight("parcel, no", _parcel_no),
    Sight("parcel, yes", _parcel_yes),
    Sight("parcel, not known", _parcel_not_known),
    Sight("parcel, with faults", _parcel_with_faults, status=422),
    Sight("compare", _compare),
    Sight("compare, two scenarios", _compare_two),
    Sight("compare, a kept week", _kept_week),
    Sight("timeline", _timeline),
    Sight("timeline of a household", _timeline_of_a_household),
    Sight("wish list", open_wish_list),
    Sight("wish list, found", open_wish_list_found),
    Sight("wish list, met", open_wish_list_met),
    Sight("wish list, with faults", open_wish_list_with_faults, status=422),
    Sight("wish list, published", open_wish_list_published),
    Sight("what to bring, public", open_bring_list),
    Sight("what to bring, withdrawn", open_bring_list_withdrawn, status=404),
    Sight("kits", kitting.open_kits),
    Sight("kits, labels, with faults", kitting.open_labels_with_faults, status=422),
    Sight("kits to take along", kitting.open_kits_to_take),
    Sight("kits to take along for a household", kitting.open_kits_to_take_for_a_home),
    Sight("kits to take along, with faults", kitting.open_kits_to_take_with_faults, status=422),
    Sight("kit", kitting.open_kit),
    Sight("kit for a household", kitting.open_kit_of_a_home),
    Sight("kit that has changed", kitting.open_kit_changed),
    Sight("kit that was eaten", kitting.open_kit_eaten),
    Sight("kit, with faults", kitting.open_kit_with_faults, status=422),
    Sight("round", kitting.open_round),
    Sight("round, with faults", kitting.open_round_with_faults, status=422),
    *(Sight(name, reach, status=status) for name, reach, status in promising.WAYS),
    Sight("links", _links),
    Sight("links, with faults", _links_with_faults, status=422),
    Sight("link made", _link_made),
    Sight("notice", _notice),
    Sight("refused", _link_refused, status=401),
    Sight("not there", _not_there, status=404),
)
