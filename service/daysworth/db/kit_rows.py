"""Lay out the tables of kits: patterns, kits and what is in them, wares, and plans for packing."""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index
from sqlmodel import Field

from daysworth.db.rows import Row


class PatternRow(Row, table=True):
    """A pattern of this store's own; `body` is JSON. Kits keep what they need of theirs."""

    __tablename__ = "pattern"
    __table_args__ = (CheckConstraint("revision >= 1", name="revision_counts"),)

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    body: str
    revision: int = 1


class KitRow(Row, table=True):
    """A kit that was put up. Its row stays when it was unpacked or eaten.

    `facts` is a digest of what made it suit whom it is for; empty, it was never looked at. `looked`
    is when a coordinator last answered for it though its facts had changed, who, and why.
    """

    __tablename__ = "kit"
    __table_args__ = (
        ForeignKeyConstraint(["store", "place"], ["place.store", "place.id"]),
        ForeignKeyConstraint(["store", "household"], ["household.store", "household.id"]),
        CheckConstraint("persons >= 1", name="persons_count"),
        CheckConstraint("revision >= 1", name="revision_counts"),
        CheckConstraint("state IN ('closed', 'unpacked', 'eaten')", name="state_known"),
        CheckConstraint("(state = 'closed') = (ended_at IS NULL)", name="closed_or_ended"),
        Index("ix_kit_state", "store", "state"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    place: str
    persons: int
    household: str | None = None
    pattern: str | None = None
    packed_on: date
    packed_by: str
    utensil: str
    wares: str
    waivers: str
    steps: str
    may_be_warmed: str | None = None
    state: str
    ended_at: str | None = None
    facts: str
    looked_at: str | None = None
    looked_by: str | None = None
    looked_why: str | None = None
    revision: int = 1


class KitItemRow(Row, table=True):
    """Units of one lot in a kit; when the kit has ended, what was in it."""

    __tablename__ = "kit_item"
    __table_args__ = (
        ForeignKeyConstraint(["store", "kit"], ["kit.store", "kit.id"]),
        ForeignKeyConstraint(["store", "lot"], ["lot.store", "lot.id"]),
        CheckConstraint("units >= 1", name="units_count"),
        Index("ix_kit_item_lot", "store", "lot"),
    )

    store: str = Field(primary_key=True)
    kit: str = Field(primary_key=True)
    lot: str = Field(primary_key=True)
    position: int
    units: int
    served: str


class WareRow(Row, table=True):
    """How many of a ware stand free in a place. `units` equals the sum of its entries."""

    __tablename__ = "ware"
    __table_args__ = (
        ForeignKeyConstraint(["store", "place"], ["place.store", "place.id"]),
        CheckConstraint("units >= 0", name="units_not_negative"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    kind: str = Field(primary_key=True)
    place: str = Field(primary_key=True)
    units: int
    revision: int = 1


class WareEntryRow(Row, table=True):
    """One line of the wares' ledger. Triggers refuse to change or delete it."""

    __tablename__ = "ware_entry"
    __table_args__ = (
        ForeignKeyConstraint(["store", "ware", "place"], ["ware.store", "ware.kind", "ware.place"]),
        Index("ix_ware_entry_ware", "store", "ware", "place"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    version: int = Field(primary_key=True, sa_type=BigInteger)
    line: int = Field(primary_key=True)
    kind: str
    ware: str
    place: str
    units: int
    at: str
    credential: str
    by: str
    why: str | None = None


class PackingPlanRow(Row, table=True):
    """A plan of kits to put up; `body` and `facts` are of what it would pack.

    `told` is the answer that was shown when it was made, as a coordinator reads it.
    """

    __tablename__ = "packing_plan"
    __table_args__ = (
        CheckConstraint("(packed_at IS NULL) = (packed_by IS NULL)", name="packed_by_someone"),
        Index("ix_packing_plan_made_at", "store", "made_at"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    version: int = Field(sa_type=BigInteger)
    made_at: str
    made_by: str
    place: str
    body: str
    facts: str
    told: str
    packed_at: str | None = None
    packed_by: str | None = None
