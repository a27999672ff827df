"""How a browser comes to a list of what to bring: worked out, published, and withdrawn."""

from playwright.sync_api import Page

from tests.browser.served import Site
from tests.browser.visiting import sign_in_quietly


def open_wish_list(page: Page, site: Site, *, asked: str = "") -> None:
    """Open the page on which a coordinator works out what to bring."""
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "wish-list") + asked)


def open_wish_list_found(page: Page, site: Site) -> None:
    """Work out a list that helps everyone but some, who are named."""
    open_wish_list(page, site, asked="?target_days=21&least=mass")


def open_wish_list_published(page: Page, site: Site) -> None:
    """Show that a list is published, with its address."""
    site.publish_list()
    open_wish_list(page, site)


def open_wish_list_met(page: Page, site: Site) -> None:
    """Ask for fewer days than everyone has already."""
    open_wish_list(page, site, asked="?target_days=1")


def open_wish_list_with_faults(page: Page, site: Site) -> None:
    """Try to publish a list with nothing right in it."""
    open_wish_list_found(page, site)
    page.fill("#title", " ")
    page.fill("#note", "\u202e")
    for number, line in enumerate(page.locator("#publish fieldset input").all()):
        line.fill("" if number else "some")
    with page.expect_navigation():
        page.locator("#publish button").click()


def open_bring_list(page: Page, site: Site) -> None:
    """Open what to bring as anyone does who was given its address."""
    page.goto(site.publish_list())


def open_bring_list_withdrawn(page: Page, site: Site) -> None:
    """Open what to bring at an address that was withdrawn since."""
    address = site.publish_list()
    site.withdraw_list()
    page.goto(address)
