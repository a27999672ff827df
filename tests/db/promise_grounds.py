"""Give tests an invented partner, with promises to it of what stands in the small store.

It receives every second Tuesday from 8 September 2026, but not in October, and on every Friday.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import Final

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger import promises as deeds
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.promises import ToPromise
from daysworth.db.partners import KeptPartner, add_partner
from daysworth.db.promises import KeptPromise, list_promises, read_promise
from daysworth.db.stock import list_entries
from daysworth.domain.entries import Credential
from daysworth.domain.errors import FieldsRefused
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.recurrence import Recurrence
from tests.grounds import NOON, change, look, lots_of, version_of

KITCHEN: Final = PartnerId("kitchen")
TUESDAYS: Final = WindowId("tuesdays")
FRIDAYS: Final = WindowId("fridays")
OPENS: Final = datetime.fromisoformat("2026-09-08T09:00")
"""The first Tuesday on which the kitchen receives, by its own clock."""

FRIDAY: Final = datetime.fromisoformat("2026-09-04T14:00")

PARTNER: Final = Partner(
    id=KITCHEN,
    name="Moss Lane kitchen (invented)",
    contact="at the side door",
    rules=(
        AcceptanceRule(group=FoodGroup.BEANS_AND_LENTILS, takes=False),
        AcceptanceRule(group=FoodGroup.FISH, least_days_left=30, most_units_per_visit=60),
    ),
    windows=(
        Window(
            id=TUESDAYS,
            recurrence=Recurrence(
                starts_at=OPENS,
                timezone="Europe/Berlin",
                rule="FREQ=WEEKLY;INTERVAL=2;BYDAY=TU",
                also_at=(datetime.fromisoformat("2026-09-10T18:30"),),
                except_at=(datetime.fromisoformat("2026-12-29T09:00"),),
            ),
            minutes=120,
            most_kg=40.0,
            notice_days=2,
            open_months=frozenset({1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12}),
            driver="whoever has the van",
        ),
        Window(
            id=FRIDAYS,
            recurrence=Recurrence(
                starts_at=FRIDAY, timezone="Europe/Berlin", rule="FREQ=WEEKLY;BYDAY=FR"
            ),
            minutes=60,
            vehicle_kg=20.0,
            most_units=50,
        ),
    ),
)
PROMISE: Final = Promise(
    id=PromiseId("R-1"),
    partner=KITCHEN,
    window=TUESDAYS,
    opens_at=OPENS,
    items=(PromisedLot(lot=LotId("L1"), units=3),),
)
VISIT_DAY: Final = NOON + timedelta(days=7)
"""An instant after the first Tuesday's visit, on its day."""


def add_kitchen(engine: Engine, **changed: object) -> KeptPartner:
    """Add the partner, with some of it changed."""
    asked = replace(PARTNER, **changed)  # type: ignore[arg-type]
    return change(engine, partial(add_partner, partner=asked))


def visit(
    *items: tuple[Held, int], window: WindowId = TUESDAYS, opens_at: datetime = OPENS
) -> ToPromise:
    """Say what is to be promised for a visit, the first Tuesday unless told otherwise."""
    return ToPromise(
        partner=KITCHEN,
        window=window,
        opens_at=opens_at,
        items=tuple(PromisedLot(lot=LotId(lot.id), units=units) for lot, units in items),
    )


def promise(
    engine: Engine, *visits: ToPromise, by: Credential | None = None, at: datetime = NOON
) -> list[KeptPromise]:
    """Promise for visits."""
    return change(engine, partial(deeds.promise, visits=visits), by=by, at=at)


def hand_off(
    engine: Engine, kept: KeptPromise, *, at: datetime = VISIT_DAY, **said: object
) -> KeptPromise:
    """Record a hand-off, all of it unless told otherwise."""
    given = {"went": None, "if_revision": kept.revision, **said}
    return change(engine, partial(deeds.hand_off, promise=kept.id, **given), at=at)  # type: ignore[arg-type]


def lapse(engine: Engine, kept: KeptPromise, *, why: str | None = "no driver") -> KeptPromise:
    """Let a promise lapse."""
    deed = partial(deeds.lapse, promise=kept.id, why=why, if_revision=kept.revision)
    return change(engine, deed)


def promise_of(engine: Engine, promise: PromiseId) -> KeptPromise:
    """Read a promise as it is now."""
    return look(engine, partial(read_promise, promise=promise))


def told(engine: Engine, lot: Held) -> list[tuple[str, int]]:
    """Give the kinds and units of a lot's entries, in the order they were written."""
    page = look(engine, partial(list_entries, lot=LotId(lot.id), after=(0, -1), limit=99))
    return [(entry.kind, entry.units) for entry in page.items]


def refused(engine: Engine, *visits: ToPromise, at: datetime = NOON) -> list[str]:
    """Give what is refused, in words, and see that nothing was changed."""
    before, version = lots_of(engine), version_of(engine)
    promised = look(engine, list_promises).items
    with pytest.raises(FieldsRefused) as caught:
        promise(engine, *visits, at=at)
    assert (lots_of(engine), version_of(engine)) == (before, version)
    assert look(engine, list_promises).items == promised
    return [str(fault) for fault in caught.value.faults]
