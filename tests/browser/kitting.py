"""How a browser comes to the pages of kits, and to that of the round."""

from playwright.sync_api import Page

from daysworth.domain.identifiers import KitId
from tests.browser.served import Site
from tests.browser.visiting import sign_in_quietly


def open_kits(page: Page, site: Site, *, asked: str = "") -> None:
    """Open the list of kits."""
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "kits") + asked)


def open_kits_to_take(page: Page, site: Site) -> None:
    """Open the list of kits in the order to take them along."""
    open_kits(page, site, asked="?order=take-along")


def open_kits_to_take_for_a_home(page: Page, site: Site) -> None:
    """Ask what a household takes along that can carry little."""
    open_kits(page, site, asked="?order=take-along&household=H05&most_kg=1.5")


def open_kits_to_take_with_faults(page: Page, site: Site) -> None:
    """Ask for what nobody can carry."""
    open_kits(page, site, asked=f"?order=take-along&household=H99&most_kg={'9' * 12}")


def open_labels_with_faults(page: Page, site: Site) -> None:
    """Ask for labels on no paper, from a place that it has not."""
    open_kits(page, site, asked="/labels?sheet=napkin&first_position=none")


def open_kit(page: Page, site: Site, *, kit: KitId | None = None) -> None:
    """Open a kit's page; of one that is for anybody unless told otherwise."""
    open_kits(page, site, asked=f"/{kit or site.kits.anybodys}")


def open_kit_of_a_home(page: Page, site: Site) -> None:
    """Open a kit for a household in which somebody is allergic."""
    open_kit(page, site, kit=site.kits.of_a_home)


def open_kit_changed(page: Page, site: Site) -> None:
    """Open a kit that somebody has to look at again."""
    open_kit(page, site, kit=site.kits.changed)


def open_kit_eaten(page: Page, site: Site) -> None:
    """Open a kit that was eaten."""
    open_kit(page, site, kit=site.kits.eaten)


def open_kit_with_faults(page: Page, site: Site) -> None:
    """Try to answer for a kit without a reason."""
    open_kit_changed(page, site)
    page.fill("#confirm-why", " ")
    with page.expect_navigation():
        page.locator("#confirm button").click()


def open_round(page: Page, site: Site) -> None:
    """Open the round that is being worked."""
    sign_in_quietly(page, site)
    page.goto(site.page_of(site.neighbourhood, "round"))


def open_round_with_faults(page: Page, site: Site) -> None:
    """Send the round with nothing ticked."""
    open_round(page, site)
    ticked = page.locator("#accept input:checked")
    while ticked.count():
        ticked.first.uncheck()
    with page.expect_navigation():
        page.locator("#accept button").click()
