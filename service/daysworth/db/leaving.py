"""Let a household leave: its stock is returned or given, and all that tells of it is erased."""

from enum import StrEnum

from sqlalchemy import delete, select, update

from daysworth.db.households import check_household, read_household
from daysworth.db.kept_exports import erase_from_exports
from daysworth.db.kits import NEVER_LOOKED_AT
from daysworth.db.ledger.held import LOT_COLUMNS, change, held_from
from daysworth.db.notices import forget_household
from daysworth.db.packing_plans import forget_plans_of
from daysworth.db.tables import CREDENTIAL, DISCLOSURE, HOUSEHOLD, KIT, LOT, REPLAY
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import StockRefused
from daysworth.domain.identifiers import HouseholdId


class OwnStock(StrEnum):
    """What becomes of a leaving household's own stock."""

    RETURNED = "returned"
    GIVEN = "given"


def erase_household(
    writing: Writing, household: HouseholdId, *, own_stock: OwnStock | None, if_revision: int
) -> None:
    """Return or give what a household owns, and erase it, its members and its credentials.

    The ledger keeps what happened to the lots, under an id that then stands for nobody. A kit that
    was put up for it is anybody's, once somebody has looked at it again. Raises NotThere,
    NotAsItWas; StockRefused where nobody said what becomes of its stock, or where some
    of what is to be returned is in kits or promised.
    """
    check_household(read_household(writing, household), if_revision)
    lots = select(*LOT_COLUMNS).where(LOT.c.store == writing.store, LOT.c.owner == household)
    for row in writing.connection.execute(lots.order_by(LOT.c.id)).all():
        lot = held_from(row)
        nobody = {"owner": None, "is_shared": True}
        if lot.units == 0:
            _forget_owner(writing, lot.id)
        elif own_stock is OwnStock.GIVEN:
            change(writing, lot, kind=EntryKind.GIVEN, values=nobody)
        elif own_stock is None:
            raise StockRefused(
                "this household owns stock: say whether it is returned to them or given to the "
                "store (own_stock=returned or own_stock=given)"
            )
        elif lot.units_free < lot.units:
            raise StockRefused(f"some of lot {lot.id!r} is in kits or promised: settle that first")
        else:
            change(writing, lot, kind=EntryKind.RETURNED, units=-lot.units, values=nobody)
    _erase(writing, household)


def _forget_owner(writing: Writing, lot: str) -> None:
    writing.connection.execute(
        update(LOT)
        .where(LOT.c.store == writing.store, LOT.c.id == lot)
        .values(owner=None, is_shared=True)
    )


def _erase(writing: Writing, household: HouseholdId) -> None:
    forget_household(writing, household)
    erase_from_exports(writing, household)
    forget_plans_of(writing, household)
    writing.connection.execute(
        update(KIT)
        .where(KIT.c.store == writing.store, KIT.c.household == household)
        .values(household=None, facts=NEVER_LOOKED_AT, looked_why=None, revision=KIT.c.revision + 1)
    )
    writing.connection.execute(
        update(REPLAY)
        .where(REPLAY.c.store == writing.store, REPLAY.c.household == household)
        .values(body=None, fingerprint="")
    )
    for table, column in (
        (CREDENTIAL, CREDENTIAL.c.household),
        (DISCLOSURE, DISCLOSURE.c.household),
        (HOUSEHOLD, HOUSEHOLD.c.id),
    ):
        writing.connection.execute(
            delete(table).where(table.c.store == writing.store, column == household)
        )
