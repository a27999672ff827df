"""Read promises: those that are open, what became of those that are not, and what went in all."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final, NewType

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Label,
    Row,
    RowMapping,
    Table,
    and_,
    distinct,
    extract,
    func,
    select,
    tuple_,
)

from daysworth.db.pages_of_rows import MOST_A_PAGE, Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import HAND_OFF_LINE, PARTNER, PROMISE, PROMISE_ITEM, ROUND_LINE
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, StoreId, WindowId
from daysworth.domain.promises import Promise, PromisedLot, PromiseState

AT_ROUNDS: Final = "at rounds"

Month = NewType("Month", date)
"""A month, named by its first day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    """Units of a lot that were promised, and how many of them went.

    `went` None: nothing was handed off, or not yet. `why` is why not all of them went.
    """

    lot: LotId
    units: int
    went: int | None = None
    why: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPromise:
    """A promise as it is kept, with what became of it; what was promised stays when it has ended.

    `partner_name` is what the partner was called when it was promised. `handed_on` is the day of
    the hand-off, None: there was none.
    """

    promise: Promise
    partner_name: str
    state: PromiseState
    revision: int
    made_at: str
    made_by: str
    lines: tuple[PromiseLine, ...]
    ended_at: str | None = None
    ended_by: str | None = None
    handed_on: date | None = None
    why: str | None = None

    @property
    def id(self) -> PromiseId:
        """Give the promise's id."""
        return self.promise.id


def read_promise(reading: Reading | Writing, promise: PromiseId) -> KeptPromise:
    """Read a promise, an ended one too. Raises NotThere."""
    found = read_promises(reading, [promise])
    if not found:
        raise NotThere(f"there is no promise {promise!r} in this store")
    return found[0]


def read_promises(reading: Reading | Writing, promises: Sequence[PromiseId]) -> list[KeptPromise]:
    """Read those of some promises that are there, ended ones too, in their order."""
    found = dict[PromiseId, KeptPromise]()
    for first in range(0, len(promises), MOST_A_PAGE):
        some = PROMISE.c.id.in_(promises[first : first + MOST_A_PAGE])
        rows = reading.connection.execute(
            select(PROMISE).where(PROMISE.c.store == reading.store, some)
        )
        found.update({kept.id: kept for kept in _with_lines(reading, rows.all())})
    return [found[id_] for id_ in promises if id_ in found]


def list_promises(
    reading: Reading,
    *,
    state: PromiseState | None = None,
    partner: PartnerId | None = None,
    after: str = "",
    limit: int = MOST_A_PAGE,
) -> Page[KeptPromise]:
    """List promises by the time of their visits and by id, those after a given key."""
    opens_at, _, id_ = after.partition(" ")
    chosen = select(PROMISE).where(
        PROMISE.c.store == reading.store,
        tuple_(PROMISE.c.opens_at, PROMISE.c.id) > tuple_(opens_at, id_),
    )
    if state is not None:
        chosen = chosen.where(PROMISE.c.state == state)
    if partner is not None:
        chosen = chosen.where(PROMISE.c.partner == partner)
    ordered = chosen.order_by(PROMISE.c.opens_at, PROMISE.c.id).limit(limit + 1)
    found = _with_lines(reading, reading.connection.execute(ordered).all())
    keys = [f"{visit_key(one.promise.opens_at)} {one.id}" for one in found]
    return page_of(found, keys=keys, limit=limit)


def open_promises(connection: Connection, store: StoreId) -> tuple[Promise, ...]:
    """Load every open promise of a store, by id, in one query."""
    return _open(connection, where=PROMISE.c.store == store)


def open_promises_to(
    connection: Connection, store: StoreId, *, partner: PartnerId
) -> tuple[Promise, ...]:
    """Load every open promise to one partner, by id."""
    its = and_(PROMISE.c.store == store, PROMISE.c.partner == partner)
    return _open(connection, where=its)


def visit_key(opens_at: datetime) -> str:
    """Write the wall-clock time of a visit as it is kept."""
    return opens_at.isoformat(timespec="minutes")


def _open(connection: Connection, *, where: ColumnElement[bool]) -> tuple[Promise, ...]:
    its_items = and_(
        PROMISE_ITEM.c.store == PROMISE.c.store, PROMISE_ITEM.c.promise == PROMISE.c.id
    )
    chosen = (
        select(PROMISE, PROMISE_ITEM.c.position, PROMISE_ITEM.c.lot, PROMISE_ITEM.c.units)
        .join(PROMISE_ITEM, its_items)
        .where(where, PROMISE.c.state == PromiseState.OPEN)
    )
    rows: dict[str, list[Row[tuple[Kept, ...]]]] = defaultdict(list)
    for row in connection.execute(chosen):
        rows[row.id].append(row)
    return tuple(_promise(rows[id_][0], items=rows[id_]) for id_ in sorted(rows))


Rows = Collection[Row[tuple[Kept, ...]]]


def _with_lines(reading: Reading | Writing, rows: Rows) -> list[KeptPromise]:
    ids = [row.id for row in rows]
    items, went = defaultdict[str, list[Row[tuple[Kept, ...]]]](list), {}
    chosen = select(PROMISE_ITEM).where(
        PROMISE_ITEM.c.store == reading.store, PROMISE_ITEM.c.promise.in_(ids)
    )
    for row in reading.connection.execute(chosen) if ids else ():
        items[row.promise].append(row)
    gone = select(HAND_OFF_LINE).where(
        HAND_OFF_LINE.c.store == reading.store, HAND_OFF_LINE.c.promise.in_(ids)
    )
    for row in reading.connection.execute(gone) if ids else ():
        went[row.promise, row.lot] = row
    return [_kept(row, items=items[row.id], went=went) for row in rows]


def _kept(
    row: Row[tuple[Kept, ...]],
    *,
    items: Rows,
    went: dict[tuple[str, str], Row[tuple[Kept, ...]]],
) -> KeptPromise:
    promise = _promise(row, items=items)
    lines = [(item, went.get((row.id, item.lot))) for item in promise.items]
    return KeptPromise(
        promise=promise,
        partner_name=row.partner_name,
        state=PromiseState(row.state),
        revision=row.revision,
        made_at=row.made_at,
        made_by=row.made_by,
        lines=tuple(
            PromiseLine(
                lot=item.lot,
                units=item.units,
                went=None if gone is None else gone.units,
                why=None if gone is None else gone.why,
            )
            for item, gone in lines
        ),
        ended_at=row.ended_at,
        ended_by=row.ended_by,
        handed_on=row.handed_on,
        why=row.why,
    )


def _promise(row: Row[tuple[Kept, ...]], *, items: Rows) -> Promise:
    return Promise(
        id=PromiseId(row.id),
        partner=PartnerId(row.partner),
        window=WindowId(row.window),
        opens_at=datetime.fromisoformat(row.opens_at),
        items=tuple(
            PromisedLot(lot=LotId(item.lot), units=item.units)
            for item in sorted(items, key=lambda item: int(item.position))
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenTotal:
    """What went to one partner in a month, by the day of the hand-off.

    `partner` None: at the rounds, to whoever was named there. `hand_offs` counts the hand-offs at
    which something went, or the rounds.
    """

    partner: PartnerId | None
    partner_name: str
    month: Month
    hand_offs: int
    units: int
    mass_g: float
    energy_kcal: float


def given_totals(reading: Reading, *, from_on: date, to_on: date) -> list[GivenTotal]:
    """Total what went from one day to another, both included, by month and partner.

    What went at the rounds comes last in its month. What is not known counts nothing.
    """
    found = [
        *_handed_off(reading, from_on=from_on, to_on=to_on),
        *_given_at_rounds(reading, from_on=from_on, to_on=to_on),
    ]
    return sorted(
        found,
        key=lambda one: (
            one.month,
            one.partner is None,
            one.partner_name.casefold(),
            one.partner or "",
        ),
    )


def _handed_off(reading: Reading, *, from_on: date, to_on: date) -> Iterator[GivenTotal]:
    day = HAND_OFF_LINE.c.handed_on
    of_it = and_(PROMISE.c.store == HAND_OFF_LINE.c.store, PROMISE.c.id == HAND_OFF_LINE.c.promise)
    by = (PROMISE.c.partner, *_month_of(day))
    chosen = (
        select(
            *by,
            func.max(PROMISE.c.partner_name).label("name"),
            *_sums(HAND_OFF_LINE, times=HAND_OFF_LINE.c.promise),
        )
        .join(PROMISE, of_it)
        .where(HAND_OFF_LINE.c.store == reading.store, HAND_OFF_LINE.c.units > 0)
        .where(day.between(from_on, to_on))
        .group_by(*by)
    )
    names = select(PARTNER.c.id, PARTNER.c.name).where(PARTNER.c.store == reading.store)
    named = {row.id: row.name for row in reading.connection.execute(names)}
    for row in reading.connection.execute(chosen):
        name = named.get(row.partner, row.name)
        yield _total(row._mapping, partner=PartnerId(row.partner), partner_name=name)


def _given_at_rounds(reading: Reading, *, from_on: date, to_on: date) -> Iterator[GivenTotal]:
    day = ROUND_LINE.c.round_on
    by = _month_of(day)
    chosen = (
        select(*by, *_sums(ROUND_LINE, times=day))
        .where(ROUND_LINE.c.store == reading.store, ROUND_LINE.c.outcome == RoundOutcome.GIVEN)
        .where(day.between(from_on, to_on))
        .group_by(*by)
    )
    for row in reading.connection.execute(chosen):
        yield _total(row._mapping, partner=None, partner_name=AT_ROUNDS)


def _month_of(day: Column[Kept]) -> tuple[ColumnElement[int], ColumnElement[int]]:
    return extract("year", day).label("of_year"), extract("month", day).label("of_month")


def _sums(
    table: Table, *, times: Column[Kept]
) -> tuple[Label[int], Label[int], Label[float], Label[float]]:
    return (
        func.count(distinct(times)).label("times"),
        func.sum(table.c.units).label("units"),
        func.sum(func.coalesce(table.c.mass_g, 0.0)).label("mass_g"),
        func.sum(func.coalesce(table.c.energy_kcal, 0.0)).label("energy_kcal"),
    )


def _total(said: RowMapping, *, partner: PartnerId | None, partner_name: str) -> GivenTotal:
    return GivenTotal(
        partner=partner,
        partner_name=partner_name,
        month=Month(date(int(said["of_year"]), int(said["of_month"]), 1)),
        hand_offs=int(said["times"]),
        units=int(said["units"]),
        mass_g=float(said["mass_g"]),
        energy_kcal=float(said["energy_kcal"]),
    )
