"""How a browser comes to the pages of surplus, promises and partners."""

from collections.abc import Callable
from typing import Final

from playwright.sync_api import Page

from tests.browser.promises_made import LONG_NAMED
from tests.browser.served import Site, days_ahead
from tests.browser.visiting import sign_in_quietly

NO_NUMBER = "9" * 4


Way = Callable[[Page, Site], None]
"""How a browser comes to a page."""


def opens(name: str) -> Way:
    """Give the way to a page of the neighbourhood."""

    def reach(page: Page, site: Site) -> None:
        sign_in_quietly(page, site)
        page.goto(site.page_of(site.neighbourhood, name))

    return reach


def sent(page: Page, form: str) -> None:
    """Press the last button of a form, and wait for the page that it leads to."""
    with page.expect_navigation():
        page.locator(f"{form} button").last.click()


def open_surplus(page: Page, site: Site) -> None:
    """Open what can go of the food that passes its date in the coming weeks."""
    opens(f"surplus?until={days_ahead(45)}")(page, site)


def open_surplus_with_faults(page: Page, site: Site) -> None:
    """Send the plan with no visit ticked."""
    open_surplus(page, site)
    ticked = page.locator("#promise input:checked")
    while ticked.count():
        ticked.first.uncheck()
    sent(page, "#promise")


def open_floors(page: Page, site: Site) -> None:
    """Open how much could go with other floors."""
    opens(f"surplus/floors?floors=0,+7&until={days_ahead(45)}")(page, site)


open_promises = opens("promises")
open_lapsed = opens("promises?state=lapsed")
open_partners = opens("partners")
open_partner = opens(f"partners/{LONG_NAMED}")
open_given = opens("given")
open_given_with_faults = opens("given?from=2026-09-02&to=2026-09-01")
open_calendar = opens("calendar")


def open_promise(page: Page, site: Site) -> None:
    """Open a promise that waits for its day."""
    opens(f"promises/{site.promises.waiting}")(page, site)


def open_promise_in_part(page: Page, site: Site) -> None:
    """Open a promise of which some went."""
    opens(f"promises/{site.promises.in_part}")(page, site)


def open_promise_with_faults(page: Page, site: Site) -> None:
    """Say that more went than was promised, and less without a reason."""
    open_promise(page, site)
    page.fill("#went-1", NO_NUMBER)
    page.fill("#went-2", "0")
    page.fill("#day", "")
    # The browser itself would ask for the day.
    page.locator("#day").evaluate("field => field.required = false")
    sent(page, "#hand-off")


def open_partners_with_faults(page: Page, site: Site) -> None:
    """Add a partner without a name."""
    open_partners(page, site)
    page.fill("#name", " ")
    sent(page, "#add")


def _fill_window(page: Page, site: Site) -> None:
    open_partner(page, site)
    page.check("[name=weekday-wednesday]")
    page.check("[name=weekday-sunday]")


def open_window_looked_at(page: Page, site: Site) -> None:
    """Ask when a window would open."""
    _fill_window(page, site)
    with page.expect_navigation():
        page.locator("#window button").first.click()


def open_window_with_faults(page: Page, site: Site) -> None:
    """Add a window by the clock of no zone, on days that no month has, and never open."""
    _fill_window(page, site)
    page.fill("#timezone", "Nowhere/At_All")
    page.fill("#month_days", "15, 77")
    page.fill("#every", "xx")
    page.locator("#window summary").first.click()
    page.fill("#most_kg", "a lot")
    page.locator("#window summary").last.click()
    for box in page.locator("#window [name^=month-]").all():
        box.uncheck()
    sent(page, "#window")


def open_rule_with_faults(page: Page, site: Site) -> None:
    """Say what it takes in no number."""
    open_partner(page, site)
    page.fill("#days", "many")
    page.fill("#visit_kg", "few")
    sent(page, "#rule")


def open_calendar_with_faults(page: Page, site: Site) -> None:
    """Make an address for nothing."""
    open_calendar(page, site)
    page.fill("#label", " ")
    sent(page, "#make")


def open_calendar_made(page: Page, site: Site) -> None:
    """Make an address, and revoke it again after it was shown, so that there is room for more."""
    open_calendar(page, site)
    for revoke in page.locator("td button").all()[:1]:
        with page.expect_navigation():
            revoke.click()
    page.fill("#label", "L" * 120)
    sent(page, "#make")


WAYS: Final[tuple[tuple[str, Way, int], ...]] = (
    ("surplus", open_surplus, 200),
    ("surplus, with faults", open_surplus_with_faults, 422),
    ("surplus, other floors", open_floors, 200),
    ("promises", open_promises, 200),
    ("promises that lapsed", open_lapsed, 200),
    ("promise", open_promise, 200),
    ("promise, with faults", open_promise_with_faults, 422),
    ("promise kept in part", open_promise_in_part, 200),
    ("partners", open_partners, 200),
    ("partners, with faults", open_partners_with_faults, 422),
    ("partner", open_partner, 200),
    ("partner, its window, looked at", open_window_looked_at, 200),
    ("partner, its window, with faults", open_window_with_faults, 422),
    ("partner, its rule, with faults", open_rule_with_faults, 422),
    ("what was given", open_given, 200),
    ("what was given, with faults", open_given_with_faults, 422),
    ("calendar", open_calendar, 200),
    ("calendar, with faults", open_calendar_with_faults, 422),
    ("calendar, an address made", open_calendar_made, 200),
)
"""Each page by what is seen of it, and the status that it is answered with."""
