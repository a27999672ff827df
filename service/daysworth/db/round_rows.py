"""Lay out the table of what became of what was due at each round."""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index
from sqlmodel import Field

from daysworth.db.rows import Row


class RoundLineRow(Row, table=True):
    """One line of a round's record. Triggers refuse to change or delete it; it names no household.

    A line of a kit is of one lot in it. `mass_g` and `energy_kcal` are those of all its units; None
    where nobody said what food it was.
    """

    __tablename__ = "round_line"
    __table_args__ = (
        ForeignKeyConstraint(["store", "lot"], ["lot.store", "lot.id"]),
        ForeignKeyConstraint(["store", "kit"], ["kit.store", "kit.id"]),
        CheckConstraint("lot IS NOT NULL OR kit IS NOT NULL", name="of_something"),
        CheckConstraint("units >= 1", name="units_count"),
        CheckConstraint(
            "outcome IN ('eaten', 'given', 'discarded', 'unpacked')", name="outcome_known"
        ),
        Index("ix_round_line_round_on", "store", "round_on"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    version: int = Field(primary_key=True, sa_type=BigInteger)
    line: int = Field(primary_key=True)
    round_on: date
    lot: str | None = None
    kit: str | None = None
    outcome: str
    units: int
    mass_g: float | None = None
    energy_kcal: float | None = None
    at: str
    by: str
    why: str | None = None
