"""Promise food of the invented neighbourhood, so that a promise of each kind can be looked at."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import partial
from typing import Final

from sqlalchemy import Engine

from daysworth.db.ledger import promises as deeds
from daysworth.db.partners import add_partner
from daysworth.db.promises import KeptPromise
from daysworth.db.transactions import Writing
from daysworth.domain.acceptance import refusal
from daysworth.domain.entries import Credential
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.lots import Lot
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.promises import PromisedLot
from daysworth.domain.recurrence import Recurrence
from daysworth.domain.snapshot import Snapshot
from tests.grounds import change

LONG_NAMED: Final = PartnerId("long-table")
WEEKLY: Final = WindowId("weekly")
_LONG: Final = "Through the gate beside the old pump, then the second door on the left. "


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisesMade:
    """Promises to a partner with a long name, by what a page says of them."""

    waiting: PromiseId
    in_part: PromiseId
    lapsed: PromiseId


def make_promises(
    engine: Engine, snapshot: Snapshot, *, by: Credential, at: datetime
) -> PromisesMade:
    """Add a partner who takes anything in the three weeks from tomorrow, and promise to it."""
    partner = _partner(at)
    change(engine, partial(add_partner, partner=partner), by=by, at=at)
    lots = _lots(snapshot, partner, at=at)
    opens_at = partner.windows[0].recurrence.starts_at
    visits = [
        deeds.ToPromise(
            partner=LONG_NAMED,
            window=WEEKLY,
            opens_at=opens_at + timedelta(weeks=week),
            items=tuple(PromisedLot(lot=lot, units=2) for lot in some),
        )
        for week, some in enumerate((lots[:6], lots[6:9], lots[9:10]))
    ]
    waiting, in_part, lapsed = change(engine, partial(deeds.promise, visits=visits), by=by, at=at)
    took_one = partial(
        deeds.hand_off,
        promise=in_part.id,
        went={lots[6]: 1, lots[7]: 0},
        why="Their shelf was full, and the lift was out of order.",
        if_revision=in_part.revision,
    )
    change(engine, took_one, by=by, at=at)
    change(engine, partial(_lapse, kept=lapsed), by=by, at=at)
    return PromisesMade(waiting=waiting.id, in_part=in_part.id, lapsed=lapsed.id)


def _lapse(writing: Writing, kept: KeptPromise) -> KeptPromise:
    return deeds.lapse(writing, kept.id, why="Nobody could drive.", if_revision=kept.revision)


def _partner(at: datetime) -> Partner:
    tomorrow = at.date() + timedelta(days=1)
    window = Window(
        id=WEEKLY,
        recurrence=Recurrence(
            starts_at=datetime.combine(tomorrow, time(23)),
            timezone="UTC",
            rule="FREQ=WEEKLY;COUNT=3",
        ),
        minutes=30,
        most_kg=40.5,
        most_units=12_345,
        vehicle_kg=30.0,
        driver="Whoever has the van that day",
        appointment="By telephone, two days before",
        contact=(_LONG * 2)[:200],
    )
    return Partner(
        id=LONG_NAMED,
        name="The Long Table of the Quarter behind the Upper Mill, with its Kitchen (invented)",
        is_nonprofit=False,
        contact=_LONG.strip(),
        notes="W" * 120,
        rules=(
            AcceptanceRule(group=FoodGroup.SWEETS, takes=False),
            AcceptanceRule(least_days_left=1, most_kg_per_visit=25.0, most_units_per_visit=400),
        ),
        windows=(window,),
    )


def _lots(snapshot: Snapshot, partner: Partner, *, at: datetime) -> list[LotId]:
    """Give lots that go to the partner in three weeks, those that keep longest first."""
    foods = {food.id: food for food in snapshot.foods}
    last = at.date() + timedelta(weeks=3)

    def is_free(lot: Lot) -> bool:
        return lot.units - lot.units_promised - lot.units_in_kits > 8

    fit = [
        lot
        for lot in snapshot.lots
        if is_free(lot) and refusal(partner, lot, food=foods[lot.food], on=last) is None
    ]
    return [lot.id for lot in sorted(fit, key=lambda lot: (lot.printed or "", lot.id))[-12:]]
