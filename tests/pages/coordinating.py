"""Give tests a coordinator at a browser, and lots whose labels were read."""

from functools import partial
from typing import Final

from daysworth.db.ledger.labels import record
from daysworth.domain.identifiers import LotId
from daysworth.domain.intake import IntakeLine
from daysworth.domain.labels import LabelReading, Regime
from tests.grounds import STORE_ID, box, change, put_up
from tests.pages.browsing import Browser, Page, Site
from tests.pages.test_doors import signed_in

STORE: Final = f"/stores/{STORE_ID}"

PEANUT_TEXT: Final = "Ingredients: salmon, peanut oil, salt. Contains: fish, peanuts."
PLAIN_TEXT: Final = "Ingredients: salmon, water, salt. Contains: fish."
DOUBTFUL_TEXT: Final = "Ingredients: salmon, hydrolyzed vegetable protein, salt."


def coordinator(site: Site) -> Browser:
    """Give the browser of somebody who is signed in."""
    return signed_in(site)


def read_as(text: str, **said: object) -> LabelReading:
    """Describe a whole US food label that was copied."""
    whole: dict[str, object] = {"is_whole": True, "regime": Regime.US_FDA, **said}
    return LabelReading(text=text, **whole)  # type: ignore[arg-type]


def put_up_read(site: Site, *readings: LabelReading, line: IntakeLine | None = None) -> str:
    """Put up a box, and record readings of its label one after the other; give its lot."""
    (lot,) = put_up(site.engine, line or box())
    for reading in readings:
        change(site.engine, partial(record, lot=LotId(lot.id), reading=reading))
    return lot.id


def open_lot(browser: Browser, lot: str) -> Page:
    """Open a lot's page."""
    page = browser.open(f"{STORE}/lots/{lot}")
    assert page.status == 200, page.text
    return page
