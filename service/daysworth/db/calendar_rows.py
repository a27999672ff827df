"""Lay out the tables of calendars that are subscribed to: their addresses, and what they showed."""

from datetime import date

from sqlalchemy import CheckConstraint, Index, UniqueConstraint
from sqlmodel import Field

from daysworth.db.rows import Row


class CalendarLinkRow(Row, table=True):
    """The address of a calendar. Only the hash of the secret in it is kept.

    `credential` is whose it is: a credential's id, or a coordinator's who signs in. It opens
    nothing once that is revoked, expired or barred.
    """

    __tablename__ = "calendar_link"
    __table_args__ = (
        UniqueConstraint("hash"),
        Index("ix_calendar_link_credential", "store", "credential"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    credential: str
    made_by: str
    label: str
    hash: str
    created_at: str
    revoked_at: str | None = None


class CalendarEventRow(Row, table=True):
    """What a calendar last showed of an event, as a digest, and how often that has changed."""

    __tablename__ = "calendar_event"
    __table_args__ = (
        CheckConstraint("sequence >= 0", name="sequence_not_negative"),
        Index("ix_calendar_event_on_day", "store", "on_day"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    uid: str = Field(primary_key=True)
    digest: str
    sequence: int = 0
    changed_at: str
    on_day: date
