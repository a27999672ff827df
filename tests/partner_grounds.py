"""Give tests an invented partner who receives on Tuesdays, and promises to it."""

from datetime import date, datetime, time
from functools import partial
from typing import Final

from sqlalchemy import Engine

from daysworth.db.ledger import promises as deeds
from daysworth.db.ledger.held import Held
from daysworth.db.partners import add_partner
from daysworth.db.promises import KeptPromise
from daysworth.domain.identifiers import LotId, PartnerId, WindowId
from daysworth.domain.partners import Partner, Window
from daysworth.domain.promises import PromisedLot
from daysworth.domain.recurrence import Recurrence
from tests.grounds import change

KITCHEN_ID: Final = PartnerId("lantern-kitchen")
TUESDAYS: Final = WindowId("tuesdays")
FIRST_TUESDAY: Final = date(2026, 9, 8)
ZONE: Final = "Europe/Berlin"


def kitchen(**changed: object) -> Partner:
    """Describe a partner who receives on Tuesdays, nine to eleven, until something is changed."""
    window = Window(
        id=TUESDAYS,
        recurrence=Recurrence(
            starts_at=datetime.combine(FIRST_TUESDAY, time(9)),
            timezone=ZONE,
            rule="FREQ=WEEKLY;BYDAY=TU",
        ),
        minutes=120,
        appointment="Ref. 8812",
        contact="Side door, 4 Mill Row",
    )
    said: dict[str, object] = {
        "id": KITCHEN_ID,
        "name": "Lantern Kitchen (invented)",
        "windows": (window,),
        **changed,
    }
    return Partner(**said)  # type: ignore[arg-type]


def add_kitchen(engine: Engine, **changed: object) -> None:
    """Add the partner to the small store."""
    change(engine, partial(add_partner, partner=kitchen(**changed)))


def promise_to_kitchen(
    engine: Engine, *items: tuple[Held, int], on: date = FIRST_TUESDAY
) -> KeptPromise:
    """Promise units of lots for a Tuesday."""
    visit = deeds.ToPromise(
        partner=KITCHEN_ID,
        window=TUESDAYS,
        opens_at=datetime.combine(on, time(9)),
        items=tuple(PromisedLot(lot=LotId(lot.id), units=units) for lot, units in items),
    )
    (kept,) = change(engine, partial(deeds.promise, visits=[visit]))
    return kept
