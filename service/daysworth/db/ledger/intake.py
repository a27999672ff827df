"""Receive boxes: one or many in one write, all of them or none."""

from collections.abc import Sequence, Set
from dataclasses import dataclass
from datetime import date
from typing import Final

from sqlalchemy import ColumnElement, Select, Table, and_, bindparam, select

from daysworth.db.food_kept import food_from
from daysworth.db.kept_values import facts_text
from daysworth.db.ledger.held import Held, begin
from daysworth.db.people_kept import Kept
from daysworth.db.tables import FOOD, HOUSEHOLD, PLACE
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
        seen = look_over(line, food=food, settings=writing.settings, today=writing.today)
        received.append(
            Received(
                lot=_begin(writing, line),
                food=food,
                last_good_day=seen.last_good_day,
                warnings=seen.warnings,
            )
        )
    return received


def look_over(
    line: IntakeLine, *, food: Food | None, settings: StoreSettings, today: date
) -> LookedOver:
    """Tell what to look at before a box is saved: nothing is changed.

    Raises DateRefused for a date that is none.
    """
    day = (
        None if food is None else _as_lot(line).last_good_day(food, grace_days=settings.grace_days)
    )
    found = warnings_for(line, food=food, last_good_day=day, today=today)
    return LookedOver(last_good_day=day, warnings=tuple(found))


class _Known:
    """What the lines refer to, looked up once for all of them."""

    def __init__(self, writing: Writing, lines: Sequence[IntakeLine]) -> None:
        self._by = writing.by
        self._places = _existing(writing, _PLACES, ids={line.place for line in lines})
        owners = {line.owner for line in lines if line.owner is not None}
        self._owners = _existing(writing, _HOUSEHOLDS, ids=owners)
        self.foods = foods_named(writing, {line.food for line in lines if line.food is not None})

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
        return found


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


def _named(table: Table) -> ColumnElement[bool]:
    of_store = table.c.store == bindparam("of_store")
    return and_(of_store, table.c.id.in_(bindparam("ids", expanding=True)))


_PLACES: Final[Select[str]] = select(PLACE.c.id).where(_named(PLACE))
_HOUSEHOLDS: Final[Select[str]] = select(HOUSEHOLD.c.id).where(_named(HOUSEHOLD))
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


def _begin(writing: Writing, line: IntakeLine) -> Held:
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
        reading=None if line.reading is None else facts_text(line.reading),
        pack_code=line.pack_code,
        revision=1,
    )
    return begin(writing, like, kind=EntryKind.RECEIVED, detail=_detail(line))


def _detail(line: IntakeLine) -> dict[str, Kept]:
    said: dict[str, Kept] = {"giver": line.giver} if line.giver else {}
    if line.is_home_canned:
        said["is_home_canned"] = True
    if line.is_label_unreadable:
        said["is_label_unreadable"] = True
    return said
