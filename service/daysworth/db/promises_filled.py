"""Put the partners and the open promises of a snapshot into a store that has its lots already."""

from sqlalchemy import insert

from daysworth.db.ledger.promises import keep_promises
from daysworth.db.partners import partner_values
from daysworth.db.tables import PARTNER
from daysworth.db.transactions import Writing
from daysworth.domain.snapshot import Snapshot


def fill_partners(writing: Writing, snapshot: Snapshot) -> None:
    """Put in what a snapshot has of partners and promises.

    Whoever puts it in stands for the promises: who made them is in no snapshot.
    """
    rows = [
        {"store": writing.store, "revision": 1, **partner_values(one)} for one in snapshot.partners
    ]
    if rows:
        writing.connection.execute(insert(PARTNER), rows)
    names = {partner.id: partner.name for partner in snapshot.partners}
    keep_promises(writing, snapshot.promises, names=names)
