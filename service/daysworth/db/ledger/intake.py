"""Receive boxes: one or many in one write, all of them or none."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date
from typing import Final

from sqlalchemy import ColumnElement, Select, Table, and_, bindparam, select

from daysworth.db.food_kept import food_from
from daysworth.db.foods import foods_read
from daysworth.db.ledger.held import LOT_COLUMNS, Held, begin, held_from
from daysworth.db.ledger.labels import (
    compared_with,
    not_the_same,
    packed_fault,
    read_alone,
)
from daysworth.db.people_kept import Kept
from daysworth.db.readings_kept import reading_text
from daysworth.db.tables import FOOD, HOUSEHOLD, LOT, PLACE
from daysworth.db.transactions import Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import EntryKind, Role
from daysworth.domain.errors import Fault, FieldsRefused, NotAllowed
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.intake import IntakeLine, Warned, warnings_for
from daysworth.domain.label_dates import printed_day
from daysworth.domain.lots import Lot
from daysworth.domain.settings import StoreSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedOver:
    """The last good day of a box, None for undated, and what to look at."""

    last_good_day: date | None
    warnings: tuple[tuple[Warned, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """One line of an intake as it was saved: the lot, its food, its day, and what to look at."""

    lot: Held
    food: Food | None
    last_good_day: date | None
    warnings: tuple[tuple[Warned, str], ...]


def receive(writing: Writing, lines: Sequence[IntakeLine]) -> list[Received]:
    """Save every line as a lot of its own, in one write.

    Raises FieldsRefused, naming every line that refers to what the store does not have, and
    NotAllowed where a household logs what is not its own.
    """
    known = _Known(writing, lines)
    faults = tuple(
        fault for number, line in enumerate(lines) for fault in known.faults(number, line)
    )
    if faults:
        raise FieldsRefused(faults)
    received = []
    for line in lines:
        food = known.foods.get(line.food) if line.food is not None else None
        seen = look_over(
            line,
            food=food,
            settings=writing.settings,
            today=writing.today,
            is_food_read=line.food in known.foods_read,
        )
        received.append(
            Received(
                lot=_begin(writing, line, same_label=known.same_label(line)),
                food=food,
                last_good_day=seen.last_good_day,
                warnings=seen.warnings,
            )
        )
    return received


def look_over(
    line: IntakeLine,
    *,
    food: Food | None,
    settings: StoreSettings,
    today: date,
    is_food_read: bool = False,
) -> LookedOver:
    """Tell what to look at before a box is saved: nothing is changed.

    `is_food_read`: some lot of this food has a label that was read. Raises DateRefused for a date
    that is none.
    """
    day = (
        None if food is None else _as_lot(line).last_good_day(food, grace_days=settings.grace_days)
    )
    found = warnings_for(line, food=food, last_good_day=day, today=today, is_food_read=is_food_read)
    return LookedOver(last_good_day=day, warnings=tuple(found))


class _Known:
    """What the lines refer to, looked up once for all of them."""

    def __init__(self, writing: Writing, lines: Sequence[IntakeLine]) -> None:
        self._writing = writing
        self._by = writing.by
        self._places = _existing(writing, _PLACES, ids={line.place for line in lines})
        owners = {line.owner for line in lines if line.owner is not None}
        self._owners = _existing(writing, _HOUSEHOLDS, ids=owners)
        named = {line.food for line in lines if line.food is not None}
        self.foods = foods_named(writing, named)
        self.foods_read = foods_read(writing, named, owner=writing.by.household)
        self._compared = _lots_compared(writing, lines)

    def same_label(self, line: IntakeLine) -> Held | None:
        """Give the lot whose label a line's box has as well, where it names one."""
        return None if line.same_label_as is None else self._compared.get(line.same_label_as)

    def faults(self, number: int, line: IntakeLine) -> list[Fault]:
        """Find what a line refers to that is not there."""
        where = f"lines number {number + 1}"
        if self._by.role is Role.HOUSEHOLD and line.owner != self._by.household:
            raise NotAllowed("a household logs its own stock: name it as the owner")
        found = []
        if line.place not in self._places:
            found.append(Fault(f"{where} > place", f"there is no place {line.place!r}"))
        if line.food is not None and line.food not in self.foods:
            found.append(
                Fault(
                    f"{where} > food",
                    f"there is no food {line.food!r}: search for it, or give words instead",
                )
            )
        if line.owner is not None and line.owner not in self._owners:
            found.append(Fault(f"{where} > owner", f"there is no household {line.owner!r}"))
        if line.printed is not None:
            found.extend(_date_faults(line.printed, where=f"{where} > printed"))
        found.extend(self._label_faults(line, where=where))
        return found

    def _label_faults(self, line: IntakeLine, *, where: str) -> list[Fault]:
        found: list[Fault | None] = []
        if line.reading is not None:
            at = f"{where} > reading > packed_on"
            found.append(packed_fault(self._writing, line.reading, where=at))
        if line.same_label_as is not None:
            other = self.same_label(line)
            what = f"there is no lot {line.same_label_as!r}"
            if other is not None:
                what = not_the_same(other, food=line.food) or ""
            found.append(Fault(f"{where} > same_label_as", what) if what else None)
        return [fault for fault in found if fault is not None]


def _date_faults(printed: str, *, where: str) -> list[Fault]:
    try:
        printed_day(printed)
    except ValueError as fault:
        return [Fault(where, str(fault))]
    return []


def _existing(writing: Writing, named: Select[str], *, ids: Set[str]) -> Set[str]:
    if not ids:
        return set()
    asked = {"of_store": writing.store, "ids": list(ids)}
    return set(writing.connection.scalars(named, asked))


def _lots_compared(writing: Writing, lines: Sequence[IntakeLine]) -> dict[str, Held]:
    """Find the lots whose labels boxes were compared with: for a household, among its own."""
    ids = {line.same_label_as for line in lines if line.same_label_as is not None}
    if not ids:
        return {}
    asked = {"of_store": writing.store, "ids": list(ids)}
    lots = [held_from(row) for row in writing.connection.execute(_LOTS, asked)]
    mine = writing.by.household
    return {lot.id: lot for lot in lots if mine is None or lot.owner == mine}


def _named(table: Table) -> ColumnElement[bool]:
    of_store = table.c.store == bindparam("of_store")
    return and_(of_store, table.c.id.in_(bindparam("ids", expanding=True)))


_PLACES: Final[Select[str]] = select(PLACE.c.id).where(_named(PLACE))
_HOUSEHOLDS: Final[Select[str]] = select(HOUSEHOLD.c.id).where(_named(HOUSEHOLD))
_LOTS: Final = select(*LOT_COLUMNS).where(_named(LOT))
_FOODS: Final = select(FOOD).where(_named(FOOD))


def foods_named(writing: Writing, ids: set[FoodId]) -> dict[FoodId, Food]:
    """Find foods by id: the store's own, then those that come with the release."""
    generic = generic_foods()
    found = {id_: generic[id_] for id_ in ids if id_ in generic}
    if ids:
        asked = {"of_store": writing.store, "ids": list(ids)}
        own = [food_from(row) for row in writing.connection.execute(_FOODS, asked)]
        found.update({food.id: food for food in own})
    return found


def _as_lot(line: IntakeLine) -> Lot:
    return Lot(
        id=LotId("new"),
        food=line.food or FoodId("none"),
        place=line.place,
        units=line.units,
        owner=line.owner,
        is_shared=line.is_shared,
        net_mass_g=line.net_mass_g,
        label_kind=line.label_kind,
        printed=line.printed,
        condition=line.standing,
    )


def _begin(writing: Writing, line: IntakeLine, *, same_label: Held | None) -> Held:
    detail = _detail(line)
    read: Mapping[str, str | None] = {"reading": None, "read_by": None}
    if line.reading is not None:
        read = read_alone(writing, line.reading)
        detail["reading"] = reading_text(line.reading)
    if same_label is not None:
        read = {"reading": same_label.reading, "read_by": same_label.read_by}
        detail.update(compared_with(same_label))
    like = Held(
        id="",
        food=line.food,
        words=line.words,
        place=line.place,
        units=line.units,
        owner=line.owner,
        is_shared=line.is_shared,
        units_in_kits=0,
        units_promised=0,
        net_mass_g=line.net_mass_g,
        label_kind=line.label_kind,
        printed=line.printed,
        opened_on=None,
        repacked_on=None,
        condition=line.standing,
        reading=read["reading"],
        read_by=read["read_by"],
        pack_code=line.pack_code,
        revision=1,
    )
    return begin(writing, like, kind=EntryKind.RECEIVED, detail=detail)


def _detail(line: IntakeLine) -> dict[str, Kept]:
    said: dict[str, Kept] = {"giver": line.giver} if line.giver else {}
    if line.is_home_canned:
        said["is_home_canned"] = True
    if line.is_label_unreadable:
        said["is_label_unreadable"] = True
    return said
