"""Give tests a coordinator at a browser, and lots whose labels were read."""

from datetime import date
from functools import partial
from typing import Final

from sqlalchemy import insert

from daysworth.db.households import KeptMember, add_member
from daysworth.db.ledger.labels import record
from daysworth.db.sessions import begin_session
from daysworth.db.tables import COORDINATOR
from daysworth.db.transactions import kept_instant, new_id, write_beside
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.identifiers import LotId, MemberId, StoreId
from daysworth.domain.intake import IntakeLine
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.people import Member, Sex
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.pages.doors import SESSION_COOKIE
from tests.grounds import NOON, PEANUT_HOME, STORE_ID, box, change, put_up
from tests.pages.browsing import Browser, Page, Site

STORE: Final = f"/stores/{STORE_ID}"

PEANUT_TEXT: Final = "Ingredients: salmon, peanut oil, salt. Contains: fish, peanuts."
PLAIN_TEXT: Final = "Ingredients: salmon, water, salt. Contains: fish."
NO_PEANUT: Final = LabelReading(
    not_declared=frozenset({Substance.PEANUT}), is_whole=True, regime=Regime.US_FDA
)
"""The whole of a US label was looked over for peanut, and it is not declared."""

DOUBTFUL_TEXT: Final = "Ingredients: salmon, hydrolyzed vegetable protein, salt."


def someone_who_signs_in(site: Site, store: StoreId = STORE_ID) -> Credential:
    """Keep somebody who could sign in, without the time that a password's hash costs."""
    who = Credential(
        id=CredentialId(new_id("K")), store=store, role=Role.COORDINATOR, label="Ada Rowe"
    )
    kept = insert(COORDINATOR).values(
        store=store,
        id=who.id,
        name=who.label,
        name_key=str(who.id),
        password="none",
        created_at=kept_instant(NOON),
        barred_at=None,
    )
    write_beside(site.engine, lambda connection: connection.execute(kept), store=store)
    return who


def signed_in(site: Site, store: StoreId = STORE_ID) -> Browser:
    """Give the browser of a coordinator who is signed in."""
    begin = partial(begin_session, who=someone_who_signs_in(site, store), at=site.clock.now())
    browser = site.browser()
    browser.cookies.set(SESSION_COOKIE, write_beside(site.engine, begin, store=store))
    return browser


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


def add_somebody(site: Site, *restrictions: Restriction, name: str | None = None) -> None:
    """Add somebody to the household that must not have peanuts: no allergy but what is given."""
    facts = Member(
        id=MemberId(new_id("M")),
        born_on=date(1985, 4, 3),
        sex=Sex.FEMALE,
        restrictions=restrictions,
    )
    add = partial(add_member, member=KeptMember(facts=facts, name=name))
    change(site.engine, lambda writing: add(writing, PEANUT_HOME))
