"""Lay out the tables of promises: what is reserved for which visit, and what went."""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index
from sqlmodel import Field

from daysworth.db.rows import Row


class PromiseRow(Row, table=True):
    """A promise for one visit. Its row stays when it has ended, and when its partner has gone.

    `opens_at` is the wall-clock time at the partner's, YYYY-MM-DDTHH:MM, so that text order is
    time.
    """

    __tablename__ = "promise"
    __table_args__ = (
        CheckConstraint(
            "state IN ('open', 'kept', 'kept_in_part', 'refused', 'lapsed')", name="state_known"
        ),
        CheckConstraint("(state = 'open') = (ended_at IS NULL)", name="open_or_ended"),
        CheckConstraint("(ended_at IS NULL) = (ended_by IS NULL)", name="ended_by_someone"),
        CheckConstraint("revision >= 1", name="revision_counts"),
        Index("ix_promise_state", "store", "state"),
        Index("ix_promise_visit", "store", "partner", "window", "opens_at"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    partner: str
    partner_name: str
    window: str
    opens_at: str
    state: str
    made_at: str
    made_by: str
    ended_at: str | None = None
    ended_by: str | None = None
    handed_on: date | None = None
    why: str | None = None
    revision: int = 1


class PromiseItemRow(Row, table=True):
    """Units of one lot in a promise; when the promise has ended, what was promised."""

    __tablename__ = "promise_item"
    __table_args__ = (
        ForeignKeyConstraint(["store", "promise"], ["promise.store", "promise.id"]),
        ForeignKeyConstraint(["store", "lot"], ["lot.store", "lot.id"]),
        CheckConstraint("units >= 1", name="units_count"),
        Index("ix_promise_item_lot", "store", "lot"),
    )

    store: str = Field(primary_key=True)
    promise: str = Field(primary_key=True)
    lot: str = Field(primary_key=True)
    position: int
    units: int


class HandOffLineRow(Row, table=True):
    """One line of the record of hand-offs. Triggers refuse to change or delete it.

    `units` are those that went, 0 where none did; `mass_g` and `energy_kcal` are of all of them.
    """

    __tablename__ = "hand_off_line"
    __table_args__ = (
        ForeignKeyConstraint(["store", "promise"], ["promise.store", "promise.id"]),
        ForeignKeyConstraint(["store", "lot"], ["lot.store", "lot.id"]),
        CheckConstraint("units >= 0", name="units_not_negative"),
        Index("ix_hand_off_line_promise", "store", "promise"),
        Index("ix_hand_off_line_handed_on", "store", "handed_on"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    version: int = Field(primary_key=True, sa_type=BigInteger)
    line: int = Field(primary_key=True)
    promise: str
    lot: str
    handed_on: date
    units: int
    mass_g: float
    energy_kcal: float
    at: str
    by: str
    why: str | None = None
