"""Give tests of the pages kits that are put up in the small store."""

from functools import partial
from typing import Final

from daysworth.db.kits import KeptKit
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.labels import record
from daysworth.domain.identifiers import LotId
from daysworth.domain.intake import IntakeLine
from tests.db.kit_grounds import lots_in, pack, stock_wares, to_pack, with_wares
from tests.grounds import PEANUT_HOME, box, change, put_up
from tests.pages.browsing import Browser, Page, Site
from tests.pages.coordinating import NO_PEANUT, STORE, read_as

KITS: Final = f"{STORE}/kits"
PEANUT_LABEL: Final = "Ingredients: salmon, peanut oil, salt. Contains: fish, peanuts."


def put_up_kit(site: Site, *, line: IntakeLine | None = None) -> KeptKit:
    """Put up a kit for two of three packs of salmon, in the cellar, with what it is eaten with."""
    (lot,) = put_up(site.engine, line or box(6))
    stock_wares(site.engine)
    (kept,) = pack(site.engine, with_wares((lot, 3), may_be_warmed="the fish, out of its pack"))
    return kept


def put_up_for_home(site: Site) -> KeptKit:
    """Put up a kit for the household that must not have peanuts, of salmon without any."""
    (lot,) = put_up(site.engine, box(6))
    change(site.engine, partial(record, lot=LotId(lot.id), reading=NO_PEANUT))
    (kept,) = pack(site.engine, to_pack((lot, 3), household=PEANUT_HOME))
    return kept


def read_another_label(site: Site, kit: KeptKit, *, text: str = PEANUT_LABEL) -> Held:
    """Record a label of what is in a kit, so that it has changed since it was put up."""
    (lot,) = lots_in(site.engine, kit)
    change(site.engine, partial(record, lot=LotId(lot.id), reading=read_as(text)))
    return lot


def open_kit(browser: Browser, kit: KeptKit) -> Page:
    """Open a kit's page."""
    page = browser.open(f"{KITS}/{kit.id}")
    assert page.status == 200, page.text
    assert "Read every label every time" in page.text
    return page
