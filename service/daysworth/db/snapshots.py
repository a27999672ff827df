"""Load a store at its current version as a snapshot, and fill an empty store from one.

A load takes thirteen queries, whatever the store's size, in one read transaction. A lot that still
waits for a coordinator to say what it is, and a lot of which nothing is left, are in no snapshot.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime, timedelta
from itertools import count
from operator import attrgetter
from typing import Final, cast

from sqlalchemy import Connection, Select, Table, insert, select, update

from daysworth.db.food_kept import food_from, food_values, with_generic
from daysworth.db.kept_values import settings_from, settings_text
from daysworth.db.kits import closed_kits
from daysworth.db.kits_filled import fill_kits, units_in_kits
from daysworth.db.lot_kept import LOT_KEPT, KeptLot, lot_from, lot_values
from daysworth.db.partners import partners_of
from daysworth.db.patterns import of_the_release, own_patterns
from daysworth.db.people_kept import (
    Kept,
    member_from,
    member_values,
    restriction_from,
    restriction_values,
)
from daysworth.db.promises import open_promises
from daysworth.db.promises_filled import fill_partners
from daysworth.db.readings_kept import SignedReading, signed_values
from daysworth.db.tables import (
    ENTRY,
    FOOD,
    HOUSEHOLD,
    LOT,
    MEMBER,
    PARTNER,
    PATTERN,
    PLACE,
    RESTRICTION,
    STORE,
)
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.db.wares import ware_stock
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, NotThere, SnapshotRefused, StoreOccupied, StoreUnsound
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId, PlaceId, StoreId
from daysworth.domain.lots import Lot, Place
from daysworth.domain.people import Household, Member
from daysworth.domain.promise_faults import units_promised
from daysworth.domain.restrictions import Restriction
from daysworth.domain.snapshot import Snapshot, unreadable

ROWS_AT_ONCE: Final = 500

LAST_IMPORTED_VERSION: Final = 2**50
"""An import leaves room above it for as many changes as a store can ever see."""


def load_snapshot(reading: Reading, *, at: datetime) -> Snapshot:
    """Load the store's current version, taken on the date that it is there at this instant.

    Raises NotThere without such a store, StoreUnsound where a clock is wrong.
    """
    connection, store = reading.connection, reading.store
    row = connection.execute(select(STORE).where(STORE.c.id == store)).first()
    if row is None:
        raise NotThere(f"there is no store {store!r} here")
    settings = settings_from(row.settings)
    households = _households(connection, store)
    lots = _lots(connection, store)
    try:
        return Snapshot(
            store=StoreId(row.id),
            store_name=row.name,
            version=row.version,
            taken_on=_taken_on(day_there(settings, at=at), households=households, lots=lots),
            settings=settings,
            households=households,
            foods=with_generic(own_foods(connection, store)),
            places=_places(connection, store),
            lots=lots,
            kits=closed_kits(connection, store),
            wares=ware_stock(connection, store),
            patterns=own_patterns(connection, store),
            partners=partners_of(connection, store),
            promises=open_promises(connection, store),
        )
    except SnapshotRefused as refused:
        raise StoreUnsound(
            f"no plan can be made of this store (is this machine's clock right?): {refused}"
        ) from refused


def _taken_on(today: date, *, households: tuple[Household, ...], lots: tuple[Lot, ...]) -> date:
    """Give today, or the day after where something happened on it already.

    It did when the store was moved to a zone further west since.
    """
    tomorrow = today + timedelta(days=1)
    handled = {lot.opened_on for lot in lots} | {lot.repacked_on for lot in lots}
    born = (member.born_on for home in households for member in home.members)
    return tomorrow if tomorrow in handled or tomorrow in born else today


def own_foods(connection: Connection, store: StoreId) -> list[Food]:
    """Load the foods that are the store's own."""
    return [food_from(row) for row in connection.execute(_of(FOOD, store))]


def _of(table: Table, store: StoreId) -> Select[tuple[Kept, ...]]:
    return select(table).where(table.c.store == store)


def _places(connection: Connection, store: StoreId) -> tuple[Place, ...]:
    rows = connection.execute(_of(PLACE, store))
    found = [
        Place(id=PlaceId(row.id), name=row.name, walk_position=row.walk_position) for row in rows
    ]
    return tuple(sorted(found, key=lambda place: place.id))


def _households(connection: Connection, store: StoreId) -> tuple[Household, ...]:
    restrictions = restrictions_by_member(connection, store)
    members: dict[str, list[Member]] = defaultdict(list)
    for row in connection.execute(_of(MEMBER, store).order_by(MEMBER.c.position)).all():
        members[row.household].append(member_from(row, restrictions.get(row.id, [])))
    return tuple(
        Household(id=HouseholdId(row.id), members=tuple(members[row.id]), pets=row.pets)
        for row in sorted(connection.execute(_of(HOUSEHOLD, store)).all(), key=lambda row: row.id)
    )


def restrictions_by_member(connection: Connection, store: StoreId) -> dict[str, list[Restriction]]:
    """Load every restriction in a store, by member, in their order."""
    found: dict[str, list[Restriction]] = defaultdict(list)
    for row in connection.execute(_of(RESTRICTION, store).order_by(RESTRICTION.c.position)).all():
        found[row.member].append(restriction_from(row))
    return found


def _lots(connection: Connection, store: StoreId) -> tuple[Lot, ...]:
    kept = select(*LOT_KEPT).where(LOT.c.store == store, LOT.c.food.is_not(None), LOT.c.units > 0)
    found = [
        lot_from(row)
        for some in connection.execute(kept).partitions(ROWS_AT_ONCE)
        for row in cast(Sequence[KeptLot], some)
    ]
    found.sort(key=attrgetter("id"))
    return tuple(found)


def fill_store(writing: Writing, snapshot: Snapshot) -> None:
    """Put everything of a snapshot into the store, each lot and ware by an entry in its ledger.

    The store's version becomes higher than the snapshot's. Units that are in kits are those of the
    kits it has, and promised are those of its promises; what else it says of either is free. Raises
    StoreOccupied where the store holds anything already, SnapshotRefused for a version beyond all
    reason and for ids and names that no store can keep.
    """
    connection = writing.connection
    for table in (PLACE, HOUSEHOLD, FOOD, LOT, PATTERN, PARTNER):
        if connection.execute(_of(table, writing.store).limit(1)).first() is not None:
            raise StoreOccupied(
                "a snapshot can only be put into a store that holds nothing yet; "
                "nothing was changed"
            )
    if snapshot.version > LAST_IMPORTED_VERSION:
        raise SnapshotRefused((Fault("version", "is higher than any store's has ever been"),))
    faults = (*unreadable(snapshot), *of_the_release(snapshot.patterns))
    if faults:
        raise SnapshotRefused(faults)
    version = max(writing.version, snapshot.version + 1)
    connection.execute(
        update(STORE)
        .where(STORE.c.id == writing.store)
        .values(
            version=version,
            revision=STORE.c.revision + 1,
            last_parcel_number=len(snapshot.households),
            settings=settings_text(snapshot.settings),
            name=snapshot.store_name,
        )
    )
    for table, rows in _rows(writing, snapshot, version=version):
        if rows:
            connection.execute(insert(table), rows)
    fill_kits(writing, snapshot, version=version)
    fill_partners(writing, snapshot)


Rows = list[dict[str, Kept]]


def _rows(writing: Writing, snapshot: Snapshot, *, version: int) -> Iterator[tuple[Table, Rows]]:
    kept = _keeper(writing.store)
    members = [
        (household, position, member)
        for household in snapshot.households
        for position, member in enumerate(household.members)
    ]
    yield PLACE, [kept(asdict(place)) for place in snapshot.places]
    yield (
        HOUSEHOLD,
        [
            kept({"id": one.id, "parcel_number": number, "name": one.id, "pets": one.pets})
            for number, one in zip(count(1), snapshot.households)
        ],
    )
    yield (
        MEMBER,
        [
            kept({**member_values(member), "household": household.id, "position": position})
            for household, position, member in members
        ],
    )
    yield (
        RESTRICTION,
        [
            kept({**values, "member": member.id}, has_revision=False)
            for _, _, member in members
            for values in restriction_values(member.restrictions)
        ],
    )
    generic = generic_foods()
    yield FOOD, [kept(food_values(food)) for food in snapshot.foods if generic.get(food.id) != food]
    yield LOT, [kept({**values, **_signed(writing, lot)}) for lot, values in _reserved(snapshot)]
    yield (
        ENTRY,
        [
            kept(_received(writing, lot, version=version, line=line), has_revision=False)
            for lot, line in zip(snapshot.lots, writing.lines, strict=False)
        ],
    )


def _reserved(snapshot: Snapshot) -> Iterator[tuple[Lot, dict[str, Kept]]]:
    """Give each lot's columns, with no more in kits or promised than its kits and promises hold."""
    packed, promised = units_in_kits(snapshot.kits), units_promised(snapshot.promises)
    for lot in snapshot.lots:
        held = {"units_in_kits": packed[lot.id], "units_promised": promised[lot.id]}
        yield lot, {**lot_values(lot), **held}


def _signed(writing: Writing, lot: Lot) -> dict[str, str | None]:
    """Let whoever puts a snapshot in sign for its readings: who made them is in no snapshot."""
    by, at = writing.by.signs_as, writing.instant
    return signed_values(SignedReading(reading=one, by=by, at=at) for one in lot.readings)


def _received(writing: Writing, lot: Lot, *, version: int, line: int) -> dict[str, Kept]:
    return {
        "version": version,
        "line": line,
        "kind": EntryKind.RECEIVED,
        "lot": lot.id,
        "units": lot.units,
        "at": writing.instant,
        "credential": writing.by.id,
        "by": writing.by.signs_as,
        "why": "from a snapshot",
        "detail": "{}",
    }


def _keeper(store: StoreId) -> Callable[..., dict[str, Kept]]:
    def kept(values: Mapping[str, Kept], *, has_revision: bool = True) -> dict[str, Kept]:
        return {"store": store, **values, **({"revision": 1} if has_revision else {})}

    return kept
