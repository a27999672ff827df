"""Give tests of the pages an invented partner, what can go there, and what is promised to it."""

from typing import Final

from daysworth.db.ledger.held import Held
from daysworth.db.promises import KeptPromise
from tests.grounds import box, put_up
from tests.pages.browsing import Browser, Form, Page, Site
from tests.pages.coordinating import STORE
from tests.partner_grounds import (
    FIRST_TUESDAY,
    KITCHEN_ID,
    TUESDAYS,
    add_kitchen,
    promise_to_kitchen,
)

SURPLUS: Final = f"{STORE}/surplus"
PROMISES: Final = f"{STORE}/promises"
PARTNERS: Final = f"{STORE}/partners"
KITCHEN: Final = f"{PARTNERS}/{KITCHEN_ID}"

SOON: Final = {"printed": "2026-10-20"}
VISIT: Final = f"visit-{KITCHEN_ID}/{TUESDAYS}/{FIRST_TUESDAY}T09:00"
"""What the box of the first Tuesday's visit is called."""


def put_up_surplus(site: Site, units: int = 6) -> Held:
    """Add the partner, and put up food that would spoil beside much that keeps."""
    add_kitchen(site.engine)
    soon, _ = put_up(site.engine, box(units, **SOON), box(900))
    return soon


def promised(site: Site, *units: int) -> tuple[KeptPromise, list[Held]]:
    """Promise some of six units of a lot each to the partner, for a Tuesday in a week."""
    add_kitchen(site.engine)
    lots = put_up(site.engine, *(box(6) for _ in units))
    return promise_to_kitchen(site.engine, *zip(lots, units, strict=True)), lots


def open_page(browser: Browser, address: str) -> Page:
    """Open a page that must be there."""
    page = browser.open(address)
    assert page.status == 200, page.text
    return page


def tick(form: Form, name: str, *, is_ticked: bool) -> Form:
    """Tick a box whose name is no word of Python."""
    return form.filled(**{name: is_ticked})
