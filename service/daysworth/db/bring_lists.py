"""Publish a list of what to bring, for anyone with its address to read, and withdraw it.

A store has one list at a time. Published again it is replaced, at the same address; once withdrawn
its words are gone, and the next one has another address. A list holds foods by name, how many, how
big, how long each keeps, and a coordinator's own words; it never says for whom, or why.
"""

import json
import secrets
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Final

from sqlalchemy import Row, delete, insert, select, update

from daysworth.db.foods import read_food
from daysworth.db.people_kept import Kept
from daysworth.db.tables import BRING_LIST
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.errors import Fault, FieldsRefused, NotThere
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId

MOST_LINES: Final = 200
MOST_WITHDRAWN: Final = 50
"""Addresses that are remembered as withdrawn; the oldest beyond them are as if never given."""
CODE_BYTES: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAsked:
    """So many units of one food, the store's own or a generic one."""

    food: FoodId
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BringListAsked:
    """A list that is to be published.

    `confirms_infant_food`: a coordinator has seen that it names food for infants, which tells that
    some are fed here.
    """

    title: str
    note: str | None
    lines: Sequence[LineAsked]
    confirms_infant_food: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BringLine:
    """One line as anyone reads it; `keeps_months` None: not known."""

    food_name: str
    units: int
    unit_mass_g: float
    keeps_months: int | None
    is_water: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BringList:
    """A list as it was published."""

    code: str
    title: str
    note: str | None
    lines: tuple[BringLine, ...]
    published_by: str
    published_at: str


def publish_list(writing: Writing, asked: BringListAsked) -> BringList:
    """Publish a list in the place of the one there is, if any.

    Raises FieldsRefused for a food that is not there or stands twice, and for food for infants that
    was not confirmed.
    """
    lines = _lines(writing, asked)
    before = find_list(_reading(writing))
    code = secrets.token_urlsafe(CODE_BYTES) if before is None else before.code
    if before is not None:
        writing.connection.execute(
            delete(BRING_LIST).where(BRING_LIST.c.store == writing.store, BRING_LIST.c.code == code)
        )
    written = {
        "title": asked.title,
        "note": asked.note,
        "lines": [asdict(line) for line in lines],
    }
    writing.connection.execute(
        insert(BRING_LIST).values(
            store=writing.store,
            code=code,
            body=json.dumps(written, ensure_ascii=False),
            published_by=writing.by.signs_as,
            published_at=writing.instant,
            withdrawn_at=None,
        )
    )
    return BringList(
        code=code,
        title=asked.title,
        note=asked.note,
        lines=lines,
        published_by=writing.by.signs_as,
        published_at=writing.instant,
    )


def withdraw_list(writing: Writing) -> None:
    """Withdraw the list there is, and its words with it. Raises NotThere where there is none."""
    of_store = BRING_LIST.c.store == writing.store
    done = writing.connection.execute(
        update(BRING_LIST)
        .where(of_store, BRING_LIST.c.withdrawn_at.is_(None))
        .values(withdrawn_at=writing.instant, body="", published_by="")
    )
    if done.rowcount == 0:
        raise NotThere("no list of what to bring is published")
    gone = (
        select(BRING_LIST.c.code)
        .where(of_store, BRING_LIST.c.withdrawn_at.is_not(None))
        .order_by(BRING_LIST.c.withdrawn_at.desc(), BRING_LIST.c.code)
        .offset(MOST_WITHDRAWN)
    )
    forgotten = list(writing.connection.scalars(gone))
    writing.connection.execute(delete(BRING_LIST).where(of_store, BRING_LIST.c.code.in_(forgotten)))


def find_list(reading: Reading) -> BringList | None:
    """Give the list that is published, if any."""
    chosen = select(BRING_LIST).where(
        BRING_LIST.c.store == reading.store, BRING_LIST.c.withdrawn_at.is_(None)
    )
    row = reading.connection.execute(chosen).first()
    return None if row is None else _list(row)


def read_public_list(reading: Reading, code: str) -> BringList:
    """Read a list at its address. Raises NotThere where there is none, or it was withdrawn."""
    chosen = select(BRING_LIST).where(
        BRING_LIST.c.store == reading.store, BRING_LIST.c.code == code
    )
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere("there is no list at this address: ask whoever gave it to you")
    if row.withdrawn_at is not None:
        raise NotThere("this list was taken down: ask whoever gave you the address for the new one")
    return _list(row)


def _reading(writing: Writing) -> Reading:
    return Reading(connection=writing.connection, store=writing.store)


def _lines(writing: Writing, asked: BringListAsked) -> tuple[BringLine, ...]:
    faults, lines, seen = [], [], set[FoodId]()
    reading = _reading(writing)
    for number, line in enumerate(asked.lines, start=1):
        where = f"lines number {number} > food"
        food = _food(reading, line.food)
        if food is None:
            faults.append(Fault(where, f"there is no food {line.food!r}"))
        elif line.food in seen:
            faults.append(Fault(where, "is on the list already"))
        elif food.is_for_infants and not asked.confirms_infant_food:
            what = (
                "is for infants, and so tells that some are fed here: confirm it, or leave it out"
            )
            faults.append(Fault(where, what))
        else:
            lines.append(_line(food, units=line.units))
        seen.add(line.food)
    if faults:
        raise FieldsRefused(tuple(faults))
    # By name, so that the order tells nothing of how it was worked out.
    return tuple(sorted(lines, key=lambda line: (line.food_name.casefold(), line.food_name)))


def _food(reading: Reading, food: FoodId) -> Food | None:
    try:
        return read_food(reading, food).food
    except NotThere:
        return None


def _line(food: Food, *, units: int) -> BringLine:
    return BringLine(
        food_name=food.name,
        units=units,
        unit_mass_g=food.net_mass_g,
        keeps_months=food.shelf_life_months,
        is_water=food.is_water,
    )


def _list(row: Row[tuple[Kept, ...]]) -> BringList:
    said = json.loads(row.body)
    return BringList(
        code=row.code,
        title=said["title"],
        note=said["note"],
        lines=tuple(BringLine(**line) for line in said["lines"]),
        published_by=row.published_by,
        published_at=row.published_at,
    )
