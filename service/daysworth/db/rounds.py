"""Read what became of what was due at each round, so that waste can be seen falling."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Row, func, select, tuple_

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import ROUND_LINE
from daysworth.db.transactions import Reading
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.identifiers import KitId, LotId


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLine:
    """One line of a round's record: units of a lot, alone or in a kit, and what became of them.

    `mass_g` and `energy_kcal` are those of all its units; None where nobody said what food it was.
    """

    version: int
    line: int
    round_on: date
    lot: LotId | None
    kit: KitId | None
    outcome: RoundOutcome
    units: int
    mass_g: float | None
    energy_kcal: float | None
    at: str
    by: str
    why: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTotal:
    """What had one outcome at one round, over all its lines; what is not known counts nothing."""

    round_on: date
    outcome: RoundOutcome
    lines: int
    units: int
    mass_g: float
    energy_kcal: float


def list_rounds(reading: Reading) -> list[RoundTotal]:
    """Give the totals of every round that was recorded, the newest first, by outcome."""
    chosen = (
        select(
            ROUND_LINE.c.round_on,
            ROUND_LINE.c.outcome,
            func.count().label("lines"),
            func.sum(ROUND_LINE.c.units).label("units"),
            func.sum(func.coalesce(ROUND_LINE.c.mass_g, 0.0)).label("mass_g"),
            func.sum(func.coalesce(ROUND_LINE.c.energy_kcal, 0.0)).label("energy_kcal"),
        )
        .where(ROUND_LINE.c.store == reading.store)
        .group_by(ROUND_LINE.c.round_on, ROUND_LINE.c.outcome)
        .order_by(ROUND_LINE.c.round_on.desc(), ROUND_LINE.c.outcome)
    )
    return [
        RoundTotal(
            round_on=row.round_on,
            outcome=RoundOutcome(row.outcome),
            lines=int(row.lines),
            units=int(row.units),
            mass_g=float(row.mass_g),
            energy_kcal=float(row.energy_kcal),
        )
        for row in reading.connection.execute(chosen)
    ]


def read_round(
    reading: Reading, round_on: date, *, after: tuple[int, int] = (0, -1), limit: int
) -> Page[RoundLine]:
    """List a round's record in the order it was written, from after a version and line."""
    key = tuple_(ROUND_LINE.c.version, ROUND_LINE.c.line)
    chosen = (
        select(ROUND_LINE)
        .where(ROUND_LINE.c.store == reading.store, ROUND_LINE.c.round_on == round_on)
        .where(key > tuple_(*after))
        .order_by(ROUND_LINE.c.version, ROUND_LINE.c.line)
        .limit(limit + 1)
    )
    found = [_line(row) for row in reading.connection.execute(chosen)]
    return page_of(found, keys=[f"{one.version}.{one.line}" for one in found], limit=limit)


def _line(row: Row[tuple[Kept, ...]]) -> RoundLine:
    return RoundLine(
        version=row.version,
        line=row.line,
        round_on=row.round_on,
        lot=None if row.lot is None else LotId(row.lot),
        kit=None if row.kit is None else KitId(row.kit),
        outcome=RoundOutcome(row.outcome),
        units=row.units,
        mass_g=row.mass_g,
        energy_kcal=row.energy_kcal,
        at=row.at,
        by=row.by,
        why=row.why,
    )
