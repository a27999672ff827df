"""Promise units to partners, hand them off, and let promises lapse: each in one write.

What is promised stays in its lots and is told by their `units_promised`: that is always the sum of
what open promises hold of a lot.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from sqlalchemy import insert, update

from daysworth.db.ledger.handing_off import ToHandOff, WhatWent, check_hand_off
from daysworth.db.ledger.held import Held, change, find
from daysworth.db.ledger.promisable import ToReserve, check_promisable, unit_mass_g
from daysworth.db.overdue_promises import overdue_promises
from daysworth.db.people_kept import Kept
from daysworth.db.promises import (
    KeptPromise,
    PromiseLine,
    read_promise,
    read_promises,
    visit_key,
)
from daysworth.db.tables import HAND_OFF_LINE, PROMISE, PROMISE_ITEM
from daysworth.db.transactions import Writing, day_there, new_id
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, StockRefused
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR
from daysworth.domain.promises import (
    LAPSES_AFTER_DAYS,
    MOST_ITEMS,
    Promise,
    PromisedLot,
    PromiseState,
)

OVERDUE: Final = f"its visit was over for more than {LAPSES_AFTER_DAYS} days"

NO_WHYS: Final[Mapping[LotId, str]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPromise:
    """What is to be promised for one visit; `opens_at` is the wall-clock time at the partner's."""

    partner: PartnerId
    window: WindowId
    opens_at: datetime
    items: tuple[PromisedLot, ...]


def promise(writing: Writing, visits: Sequence[ToPromise]) -> list[KeptPromise]:
    """Promise units of lots for visits, all of it or nothing; gives the promises in their order.

    Raises FieldsRefused, naming every fault by the number of its visit.
    """
    faults = tuple(_form_faults(visits))
    if faults:
        raise FieldsRefused(faults)
    made = [
        Promise(
            id=PromiseId(new_id("R")),
            partner=visit.partner,
            window=visit.window,
            opens_at=visit.opens_at,
            items=visit.items,
        )
        for visit in visits
    ]
    about = check_promisable(writing, made)
    _keep(writing, made, about=about)
    lots = dict(about.lots)
    for one in made:
        detail: dict[str, Kept] = {"promise": one.id, "partner": one.partner}
        for item in one.items:
            lots[item.lot] = _reserve(writing, lots[item.lot], units=item.units, detail=detail)
    return read_promises(writing, [one.id for one in made])


def _form_faults(visits: Sequence[ToPromise]) -> Iterator[Fault]:
    if not visits:
        yield Fault("visits", "there is nothing to promise")
    for number, visit in enumerate(visits, start=1):
        where, lots = f"visits number {number}", [item.lot for item in visit.items]
        if not lots:
            yield Fault(f"{where} > items", "there is nothing to promise")
        if len(lots) > MOST_ITEMS:
            yield Fault(f"{where} > items", f"a promise is of {MOST_ITEMS} lots at most")
        if len(set(lots)) < len(lots):
            yield Fault(f"{where} > items", "a lot stands in a visit once, with all its units")
        if any(item.units < 1 for item in visit.items):
            yield Fault(f"{where} > items", "say how many units, 1 or more")
        if visit.opens_at.tzinfo is not None:
            what = "give the time on the clock there, without an offset"
            yield Fault(f"{where} > opens_at", what)
        elif visit.opens_at.second or visit.opens_at.microsecond:
            yield Fault(f"{where} > opens_at", "give a time in hours and minutes")
        elif not FIRST_YEAR <= visit.opens_at.year <= LAST_YEAR:
            yield Fault(f"{where} > opens_at", f"is not between {FIRST_YEAR} and {LAST_YEAR}")


def _keep(writing: Writing, made: Sequence[Promise], *, about: ToReserve) -> None:
    names = {id_: partner.name for id_, partner in about.partners.items()}
    keep_promises(writing, made, names=names)


def keep_promises(
    writing: Writing, promises: Sequence[Promise], *, names: Mapping[PartnerId, str]
) -> None:
    """Put in the rows of open promises; their lots are another's to change."""
    rows: list[dict[str, Kept]] = [
        {
            "store": writing.store,
            "id": one.id,
            "partner": one.partner,
            "partner_name": names[one.partner],
            "window": one.window,
            "opens_at": visit_key(one.opens_at),
            "state": PromiseState.OPEN,
            "made_at": writing.instant,
            "made_by": writing.by.signs_as,
            "revision": 1,
        }
        for one in promises
    ]
    items: list[dict[str, Kept]] = [
        {
            "store": writing.store,
            "promise": one.id,
            "lot": item.lot,
            "position": position,
            "units": item.units,
        }
        for one in promises
        for position, item in enumerate(one.items)
    ]
    if rows:
        writing.connection.execute(insert(PROMISE), rows)
        writing.connection.execute(insert(PROMISE_ITEM), items)


def _reserve(writing: Writing, lot: Held, *, units: int, detail: Mapping[str, Kept]) -> Held:
    return change(
        writing,
        lot,
        kind=EntryKind.PROMISED,
        detail={**detail, "units_promised": units},
        values={"units_promised": lot.units_promised + units},
    )


def hand_off(
    writing: Writing,
    promise: PromiseId,
    *,
    went: Mapping[LotId, int] | None,
    whys: Mapping[LotId, str] = NO_WHYS,
    why: str | None = None,
    if_revision: int,
    handed_on: date | None = None,
) -> KeptPromise:
    """Record what really went of an open promise, today when no day is given; the rest is free.

    `went` None: all of it; a lot that it does not name went as promised. Where fewer went, `whys`
    says why for a lot, else `why`. Raises NotThere, NotAsItWas; StockRefused where the promise has
    ended; FieldsRefused, naming each lot of which more is said to have gone than was promised, or
    that the partner takes no more.
    """
    kept = _find_open(writing, promise, if_revision=if_revision)
    what = WhatWent(went=went or {}, whys=whys, why=why, handed_on=handed_on or writing.today)
    about = check_hand_off(writing, kept, what=what)
    for line in kept.lines:
        _hand_off_lot(writing, line, kept=kept, what=what, about=about)
    lots_went = [(line.units, what.went.get(line.lot, line.units)) for line in kept.lines]
    state = PromiseState.KEPT_IN_PART
    if all(units == gone for units, gone in lots_went):
        state = PromiseState.KEPT
    elif not any(gone for _, gone in lots_went):
        state = PromiseState.REFUSED
    return _end(writing, kept, state=state, why=why, handed_on=what.handed_on)


def _hand_off_lot(
    writing: Writing, line: PromiseLine, *, kept: KeptPromise, what: WhatWent, about: ToHandOff
) -> None:
    lot, food = about.lots[line.lot], about.food_of(line.lot)
    units = what.went.get(line.lot, line.units)
    why = what.why_not(line.lot) if units < line.units else None
    if units:
        detail = {**_said_of(kept), "to": about.partner.name, "on": what.handed_on}
        left = {"units_promised": lot.units_promised - units}
        kind = EntryKind.HANDED_OFF
        lot = change(writing, lot, kind=kind, units=-units, detail=detail, values=left)
    if units < line.units:
        _free(writing, lot, units=line.units - units, kept=kept, why=why)
    writing.connection.execute(
        insert(HAND_OFF_LINE).values(
            store=writing.store,
            version=writing.version,
            line=next(writing.lines),
            promise=kept.id,
            lot=line.lot,
            handed_on=what.handed_on,
            units=units,
            mass_g=units * unit_mass_g(lot, food),
            energy_kcal=units * food.energy_kcal(lot.net_mass_g),
            at=writing.instant,
            by=writing.by.signs_as,
            why=why,
        )
    )


def lapse(
    writing: Writing, promise: PromiseId, *, why: str | None, if_revision: int
) -> KeptPromise:
    """Let an open promise lapse: what it held is free.

    Raises NotThere, NotAsItWas; StockRefused where it has ended already.
    """
    return _lapse(writing, _find_open(writing, promise, if_revision=if_revision), why=why)


def lapse_overdue(writing: Writing) -> list[KeptPromise]:
    """Let every promise lapse whose visit has been over for more than two days."""
    overdue = overdue_promises(writing, at=writing.at)
    return [_lapse(writing, kept, why=OVERDUE) for kept in read_promises(writing, overdue)]


def _lapse(writing: Writing, kept: KeptPromise, *, why: str | None) -> KeptPromise:
    for line in kept.lines:
        _free(writing, find(writing, line.lot), units=line.units, kept=kept, why=why)
    return _end(writing, kept, state=PromiseState.LAPSED, why=why)


def _find_open(writing: Writing, promise: PromiseId, *, if_revision: int) -> KeptPromise:
    kept = read_promise(writing, promise)
    if kept.ended_at is not None:
        day = day_there(writing.settings, at=datetime.fromisoformat(kept.ended_at))
        state = kept.state.replace("_", " ")
        raise StockRefused(f"promise {promise!r} was {state} on {day} already; nothing was changed")
    if kept.revision != if_revision:
        raise NotAsItWas(f"promise {promise!r} was changed since you looked: look again")
    return kept


def _said_of(kept: KeptPromise) -> dict[str, Kept]:
    return {"promise": kept.id, "partner": kept.promise.partner}


def _free(writing: Writing, lot: Held, *, units: int, kept: KeptPromise, why: str | None) -> Held:
    return change(
        writing,
        lot,
        kind=EntryKind.LAPSED,
        why=why,
        detail={**_said_of(kept), "units_freed": units},
        values={"units_promised": lot.units_promised - units},
    )


def _end(
    writing: Writing,
    kept: KeptPromise,
    *,
    state: PromiseState,
    why: str | None,
    handed_on: date | None = None,
) -> KeptPromise:
    writing.connection.execute(
        update(PROMISE)
        .where(PROMISE.c.store == writing.store, PROMISE.c.id == kept.id)
        .values(
            state=state,
            ended_at=writing.instant,
            ended_by=writing.by.signs_as,
            handed_on=handed_on,
            why=why,
            revision=kept.revision + 1,
        )
    )
    return read_promise(writing, kept.id)
