"""Lay out the tables of those who sign in or follow a link, and of the weekly notices.

Secrets and passwords are kept as hashes alone.
"""

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index, UniqueConstraint
from sqlmodel import Field

from daysworth.db.rows import Row


class CoordinatorRow(Row, table=True):
    """Somebody who signs in to one store by a name and a password.

    `name_key` is the name without regard to capitals; `password` is an argon2 hash with its salt.
    """

    __tablename__ = "coordinator"
    __table_args__ = (UniqueConstraint("store", "name_key"),)

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    name_key: str
    password: str
    created_at: str
    barred_at: str | None = None


class SessionRow(Row, table=True):
    """One signed-in browser; only the hash of what its cookie holds is kept."""

    __tablename__ = "session"
    __table_args__ = (
        UniqueConstraint("hash"),
        ForeignKeyConstraint(["store", "coordinator"], ["coordinator.store", "coordinator.id"]),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    coordinator: str
    hash: str
    created_at: str
    expires_at: str
    ended_at: str | None = None


class MissedSignInRow(Row, table=True):
    """One sign-in that failed: under which name and from where, both as hashes."""

    __tablename__ = "missed_sign_in"
    __table_args__ = (Index("ix_missed_sign_in_at", "store", "at"),)

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    at: str
    name_key: str
    address: str


class LinkRow(Row, table=True):
    """A link by which volunteers log to one place, without an account."""

    __tablename__ = "link"
    __table_args__ = (
        UniqueConstraint("hash"),
        ForeignKeyConstraint(["store", "place"], ["place.store", "place.id"]),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    place: str
    label: str
    hash: str
    made_by: str
    created_at: str
    expires_at: str
    revoked_at: str | None = None


class NoticeRow(Row, table=True):
    """The notice of one ISO week, as it was when it was first posted. It has no health facts."""

    __tablename__ = "notice"

    store: str = Field(primary_key=True, foreign_key="store.id")
    week: str = Field(primary_key=True)
    version: int = Field(sa_type=BigInteger)
    made_at: str
    body: str


class PostingRow(Row, table=True):
    """A notice on its way to one channel, or posted there.

    The channel is the hash of where it is: an address may be a secret.
    """

    __tablename__ = "posting"
    __table_args__ = (
        ForeignKeyConstraint(["store", "week"], ["notice.store", "notice.week"]),
        CheckConstraint("(claim IS NULL) = (posted_at IS NOT NULL)", name="begun_or_posted"),
    )

    store: str = Field(primary_key=True)
    week: str = Field(primary_key=True)
    channel: str = Field(primary_key=True)
    label: str
    claim: str | None = None
    begun_at: str
    posted_at: str | None = None
