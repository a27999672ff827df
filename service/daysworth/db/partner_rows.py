"""Lay out the table of partners."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from daysworth.db.rows import Row


class PartnerRow(Row, table=True):
    """Who takes what the store can spare; `body` is JSON, with its windows and its rules."""

    __tablename__ = "partner"
    __table_args__ = (CheckConstraint("revision >= 1", name="revision_counts"),)

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    body: str
    revision: int = 1
