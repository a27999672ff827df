"""Read kits: those that are closed, and what became of those that are not."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import ColumnElement, Connection, Row, Select, and_, select

from daysworth.db.pages_of_rows import MOST_A_PAGE
from daysworth.db.pattern_kept import (
    steps_from,
    steps_text,
    waivers_from,
    waivers_text,
    wares_from,
    wares_text,
)
from daysworth.db.people_kept import Kept
from daysworth.db.tables import KIT, KIT_ITEM
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import KitState
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PatternId, PlaceId, StoreId
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.meal_patterns import Served, Utensil

NEVER_LOOKED_AT: Final = ""
"""The digest of a kit that somebody has to look at before it is anybody's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptKit:
    """A kit as it is kept, with what became of it; what was in it stays when it has ended.

    `facts` is the digest of what it was looked at by (see `kit_facts`). `looked_at`, `looked_by`
    and `looked_why` are of the last coordinator who answered for it though its facts had changed.
    """

    kit: MealKit
    state: KitState
    revision: int
    packed_by: str
    facts: str
    ended_at: str | None = None
    looked_at: str | None = None
    looked_by: str | None = None
    looked_why: str | None = None

    @property
    def id(self) -> KitId:
        """Give the kit's id."""
        return self.kit.id


@dataclass(frozen=True, slots=True, kw_only=True)
class KitChoice:
    """Which kits are wanted; None leaves a thing open."""

    place: PlaceId | None = None
    household: HouseholdId | None = None
    state: KitState | None = KitState.CLOSED


def read_kit(reading: Reading | Writing, kit: KitId) -> KeptKit:
    """Read a kit, ended ones too. Raises NotThere."""
    chosen = select(KIT).where(KIT.c.store == reading.store, KIT.c.id == kit)
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere(f"there is no kit {kit!r} in this store")
    return _with_items(reading, [row])[0]


def read_kits(reading: Reading | Writing, kits: Collection[KitId]) -> dict[KitId, KeptKit]:
    """Read those of some kits that are there, ended ones too."""
    ids, found = sorted(kits), dict[KitId, KeptKit]()
    for first in range(0, len(ids), MOST_A_PAGE):
        some = KIT.c.id.in_(ids[first : first + MOST_A_PAGE])
        rows = reading.connection.execute(select(KIT).where(KIT.c.store == reading.store, some))
        found.update({kept.id: kept for kept in _with_items(reading, rows.all())})
    return found


def all_kits(reading: Reading, *, choice: KitChoice) -> list[KeptKit]:
    """Give every kit of a choice, by id."""
    rows = reading.connection.execute(_chosen(reading, choice)).all()
    return [
        kept
        for first in range(0, len(rows), MOST_A_PAGE)
        for kept in _with_items(reading, rows[first : first + MOST_A_PAGE])
    ]


def closed_kits(connection: Connection, store: StoreId) -> tuple[MealKit, ...]:
    """Load every closed kit of a store, by id, in two queries."""
    is_closed = KIT.c.state == KitState.CLOSED
    kits = select(KIT).where(KIT.c.store == store, is_closed)
    items = select(KIT_ITEM).join(KIT, _ITS_KIT).where(KIT_ITEM.c.store == store, is_closed)
    rows = sorted(connection.execute(kits).all(), key=lambda row: row.id)
    by_kit = _by_kit(connection.execute(items).all())
    return tuple(_kit(row, by_kit[row.id]) for row in rows)


def kit_values(kit: MealKit) -> dict[str, Kept]:
    """Give a kit's columns, but for the store's and what became of it."""
    return {
        "id": kit.id,
        "name": kit.name,
        "place": kit.place,
        "persons": kit.persons,
        "household": kit.household,
        "pattern": kit.pattern,
        "packed_on": kit.packed_on,
        "utensil": kit.utensil,
        "wares": wares_text(kit.wares),
        "waivers": waivers_text(kit.waivers),
        "steps": steps_text(kit.steps),
        "may_be_warmed": kit.may_be_warmed,
    }


def item_values(kit: MealKit) -> list[dict[str, Kept]]:
    """Give the columns of what is in a kit, but for the store's."""
    return [
        {
            "kit": kit.id,
            "lot": item.lot,
            "position": position,
            "units": item.units,
            "served": item.served,
        }
        for position, item in enumerate(kit.items)
    ]


_ITS_KIT: Final[ColumnElement[bool]] = and_(
    KIT.c.store == KIT_ITEM.c.store, KIT.c.id == KIT_ITEM.c.kit
)

Rows = Sequence[Row[tuple[Kept, ...]]]


def _chosen(reading: Reading, choice: KitChoice) -> Select[tuple[Kept, ...]]:
    chosen = select(KIT).where(KIT.c.store == reading.store).order_by(KIT.c.id)
    for column, wanted in (
        (KIT.c.place, choice.place),
        (KIT.c.household, choice.household),
        (KIT.c.state, choice.state),
    ):
        if wanted is not None:
            chosen = chosen.where(column == wanted)
    return chosen


def _with_items(reading: Reading | Writing, rows: Rows) -> list[KeptKit]:
    chosen = select(KIT_ITEM).where(
        KIT_ITEM.c.store == reading.store, KIT_ITEM.c.kit.in_([row.id for row in rows])
    )
    items = _by_kit(reading.connection.execute(chosen).all() if rows else ())
    return [
        KeptKit(
            kit=_kit(row, items[row.id]),
            state=KitState(row.state),
            revision=row.revision,
            packed_by=row.packed_by,
            facts=row.facts,
            ended_at=row.ended_at,
            looked_at=row.looked_at,
            looked_by=row.looked_by,
            looked_why=row.looked_why,
        )
        for row in rows
    ]


def _by_kit(rows: Rows) -> dict[str, list[Row[tuple[Kept, ...]]]]:
    found: dict[str, list[Row[tuple[Kept, ...]]]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: int(row.position)):
        found[row.kit].append(row)
    return found


def _kit(row: Row[tuple[Kept, ...]], items: Rows) -> MealKit:
    return MealKit(
        id=KitId(row.id),
        name=row.name,
        place=PlaceId(row.place),
        persons=row.persons,
        packed_on=row.packed_on,
        items=tuple(
            KitItem(lot=LotId(item.lot), units=item.units, served=Served(item.served))
            for item in items
        ),
        household=None if row.household is None else HouseholdId(row.household),
        pattern=None if row.pattern is None else PatternId(row.pattern),
        wares=wares_from(row.wares),
        utensil=Utensil(row.utensil),
        waivers=waivers_from(row.waivers),
        steps=steps_from(row.steps),
        may_be_warmed=row.may_be_warmed,
    )
