"""Lay out the tables of what is kept of a store each week, and of the key to its pseudonyms."""

from datetime import date

from sqlalchemy import BigInteger, ForeignKeyConstraint
from sqlmodel import Field

from daysworth.db.rows import Row


class KeptExportRow(Row, table=True):
    """One week's export, compressed, without the people and what they keep back.

    `rewritten_at` is when a household was last taken out of it.
    """

    __tablename__ = "kept_export"

    store: str = Field(primary_key=True, foreign_key="store.id")
    week: str = Field(primary_key=True)
    version: int = Field(sa_type=BigInteger)
    taken_on: date
    kept_at: str
    rewritten_at: str | None = None
    stock: bytes


class KeptHomeRow(Row, table=True):
    """One household of a week's export under its pseudonym, with what it keeps back; compressed.

    A row for each, so that erasing a household takes no more than its rows.
    """

    __tablename__ = "kept_home"
    __table_args__ = (
        ForeignKeyConstraint(
            ["store", "week"], ["kept_export.store", "kept_export.week"], ondelete="CASCADE"
        ),
    )

    store: str = Field(primary_key=True)
    pseudonym: str = Field(primary_key=True)
    week: str = Field(primary_key=True)
    home: bytes


class PseudonymKeyRow(Row, table=True):
    """A store's secret key to the pseudonyms in its exports; a table of its own.

    So a copy of the database can be made without it, in which no export names anybody.
    """

    __tablename__ = "pseudonym_key"

    store: str = Field(primary_key=True, foreign_key="store.id")
    key: str
