"""Give tests a small store in a real database, with a credential for each role.

The store is invented: two households, one of which must not eat peanuts, and two places.
"""

from collections import Counter
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from typing import Final, TypeVar

from sqlalchemy import Engine, func, select

from daysworth.db import transactions
from daysworth.db.credentials import CredentialAsked, make_credential
from daysworth.db.ledger.held import LOT_COLUMNS, Held, held_from
from daysworth.db.ledger.intake import receive
from daysworth.db.promises import open_promises
from daysworth.db.snapshots import fill_store
from daysworth.db.stores import begin_store
from daysworth.db.tables import ENTRY, LOT, STORE
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.identifiers import FoodId, HouseholdId, MemberId, PlaceId, StoreId
from daysworth.domain.intake import IntakeLine
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Place
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot

Result = TypeVar("Result")

STORE_ID: Final = StoreId("fernhollow")
OTHER_STORE: Final = StoreId("stonebrook")
NOON: Final = datetime(2026, 9, 1, 12, 0, tzinfo=UTC)
PEANUT_HOME: Final = HouseholdId("H-peanut")
OTHER_HOME: Final = HouseholdId("H-other")
SHELF: Final = PlaceId("shelf")
CELLAR: Final = PlaceId("cellar")
SALMON: Final = FoodId("salmon_pink_tinned")


def small_store(store: StoreId = STORE_ID) -> Snapshot:
    """Describe the invented store, empty of stock."""
    peanut = Restriction(allergy=Substance.PEANUT)
    homes = (
        Household(
            id=OTHER_HOME,
            members=(Member(id=MemberId("M-1"), born_on=date(1980, 5, 6), sex=Sex.FEMALE),),
        ),
        Household(
            id=PEANUT_HOME,
            members=(
                Member(
                    id=MemberId("M-2"),
                    born_on=date(1990, 2, 3),
                    sex=Sex.MALE,
                    restrictions=(peanut,),
                ),
            ),
        ),
    )
    return Snapshot(
        store=store,
        store_name="Fernhollow (invented)",
        taken_on=NOON.date(),
        settings=StoreSettings(),
        households=homes,
        foods=tuple(generic_foods().values()),
        places=(Place(id=CELLAR, name="Cellar"), Place(id=SHELF, name="Shelf")),
    )


def someone(role: Role = Role.COORDINATOR, *, store: StoreId = STORE_ID) -> Credential:
    """Give somebody of a role, without a token."""
    household = PEANUT_HOME if role is Role.HOUSEHOLD else None
    return Credential(
        id=CredentialId(f"C-{role}"),
        store=store,
        role=role,
        label=f"a {role}",
        household=household,
    )


def box(units: int = 6, **changed: object) -> IntakeLine:
    """Describe a box of tinned salmon that keeps for two years, on the shelf."""
    said: dict[str, object] = {
        "place": SHELF,
        "food": SALMON,
        "label_kind": LabelKind.BEST_BY,
        "printed": "2028-09",
        **changed,
    }
    return IntakeLine(units=units, **said)  # type: ignore[arg-type]


def begin_ground(engine: Engine, snapshot: Snapshot) -> None:
    """Make a store in a database and fill it from a snapshot."""
    store = snapshot.store
    begin = partial(begin_store, store=store, name="x", settings=StoreSettings(), at=NOON)
    transactions.write_beside(engine, begin, store=store)
    change(engine, partial(fill_store, snapshot=snapshot), by=someone(store=store))


def change(
    engine: Engine,
    work: Callable[[Writing], Result],
    *,
    by: Credential | None = None,
    at: datetime = NOON,
) -> Result:
    """Run a write, as a coordinator unless told otherwise."""
    writer = by or someone()
    return transactions.write(engine, work, store=writer.store, by=writer, at=at)


def look(engine: Engine, work: Callable[[Reading], Result], *, store: StoreId = STORE_ID) -> Result:
    """Run a read."""
    return transactions.read(engine, work, store=store)


def put_up(engine: Engine, *boxes: IntakeLine, by: Credential | None = None) -> list[Held]:
    """Receive boxes, and give their lots."""
    received = change(engine, partial(receive, lines=boxes or (box(),)), by=by)
    return [one.lot for one in received]


def lots_of(engine: Engine, store: StoreId = STORE_ID) -> dict[str, Held]:
    """Give every lot of a store by its id, the empty ones too."""

    def all_of(reading: Reading) -> dict[str, Held]:
        rows = reading.connection.execute(select(*LOT_COLUMNS).where(LOT.c.store == store))
        return {row.id: held_from(row) for row in rows}

    return look(engine, all_of, store=store)


def version_of(engine: Engine, store: StoreId = STORE_ID) -> int:
    """Give a store's version."""
    chosen = select(STORE.c.version).where(STORE.c.id == store)
    return look(engine, lambda r: int(r.connection.execute(chosen).scalar_one()), store=store)


def entries_by_lot(engine: Engine, store: StoreId = STORE_ID) -> dict[str, int]:
    """Sum the entries of each lot."""
    chosen = (
        select(ENTRY.c.lot, func.sum(ENTRY.c.units))
        .where(ENTRY.c.store == store)
        .group_by(ENTRY.c.lot)
    )

    def sums(reading: Reading) -> dict[str, int]:
        return {lot: int(units) for lot, units in reading.connection.execute(chosen)}

    return look(engine, sums, store=store)


def books_balance(engine: Engine, store: StoreId = STORE_ID) -> bool:
    """Tell whether every lot has the units that its entries add up to, and none is negative."""
    units = {id_: lot.units for id_, lot in lots_of(engine, store).items()}
    return units == entries_by_lot(engine, store) and all(n >= 0 for n in units.values())


def promises_balance(engine: Engine, store: StoreId = STORE_ID) -> bool:
    """Tell whether lots have promised of them what open promises hold, and no other."""
    promised = Counter[str]()
    for one in look(engine, lambda r: open_promises(r.connection, r.store), store=store):
        promised.update({item.lot: item.units for item in one.items})
    lots = lots_of(engine, store)
    return all(lot.units_promised == promised[id_] for id_, lot in lots.items()) and (
        set(promised) <= set(lots)
    )


def token_for(
    engine: Engine,
    role: Role,
    *,
    store: StoreId = STORE_ID,
    expires_at: datetime = NOON + timedelta(days=365),
) -> str:
    """Make a credential and give its token; a household's is the peanut home's."""
    asked = CredentialAsked(
        store=store,
        role=role,
        label=f"a {role}",
        expires_at=expires_at,
        household=PEANUT_HOME if role is Role.HOUSEHOLD else None,
    )
    made = partial(make_credential, asked=asked, at=NOON)
    return transactions.write_beside(engine, made, store=store)
