"""Lay out the table of what anyone may read: lists of what to bring, as they were published."""

from sqlmodel import Field

from daysworth.db.rows import Row


class BringListRow(Row, table=True):
    """One published list. `body` has its lines as they were; emptied when it is withdrawn.

    `code` is the part of its address that cannot be guessed. It is no credential: whoever is told
    the address may read the list.
    """

    __tablename__ = "bring_list"

    store: str = Field(primary_key=True, foreign_key="store.id")
    code: str = Field(primary_key=True)
    body: str
    published_by: str
    published_at: str
    withdrawn_at: str | None = None
