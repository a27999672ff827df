"""Lay out the tables of a store: who it feeds, and where things stand. `stock_rows` has the rest.

Every key starts with the store. Instants are ISO 8601 text in UTC, so that both databases keep
them alike and order them rightly. Tables do not validate: rules stand in the domain, in the
schemas of what comes in, and in the CHECKs here, which hold whoever writes.
"""

from datetime import date
from typing import ClassVar

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    ForeignKeyConstraint,
    Index,
    MetaData,
    UniqueConstraint,
    false,
    text,
)
from sqlmodel import Field, SQLModel

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


NO_BEFORE = {"server_default": false()}
"""A column that a later release added: what was there before does not have it."""


class Row(SQLModel):
    """Stand under every table, so that constraints have names by one convention."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMES)


class StoreRow(Row, table=True):
    """One store: its settings, and the version that every change to it raises by one.

    A parcel number is given once: a label still about must not reach another home.
    """

    __tablename__ = "store"
    __table_args__ = (
        CheckConstraint("version >= 0", name="version_not_negative"),
        CheckConstraint("revision >= 1", name="revision_counts"),
    )

    id: str = Field(primary_key=True)
    name: str
    version: int = Field(default=0, sa_type=BigInteger)
    revision: int = 1
    last_parcel_number: int = 0
    settings: str
    created_at: str


class PlaceRow(Row, table=True):
    """A shelf, a closet, a home; whoever goes round takes the lowest `walk_position` first."""

    __tablename__ = "place"

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    walk_position: int = Field(default=0, sa_column_kwargs={"server_default": text("0")})
    revision: int = 1


class HouseholdRow(Row, table=True):
    """People who share a home and a parcel."""

    __tablename__ = "household"
    __table_args__ = (
        UniqueConstraint("store", "parcel_number"),
        CheckConstraint("pets >= 0", name="pets_not_negative"),
        CheckConstraint("parcel_number >= 1", name="parcel_counts"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    parcel_number: int
    name: str
    pets: int = 0
    revision: int = 1


class MemberRow(Row, table=True):
    """One person who eats. What they must avoid is in `restriction`."""

    __tablename__ = "member"
    __table_args__ = (
        ForeignKeyConstraint(
            ["store", "household"], ["household.store", "household.id"], ondelete="CASCADE"
        ),
        CheckConstraint("(born_on IS NULL) <> (age_from_years IS NULL)", name="one_age"),
        CheckConstraint("(age_from_years IS NULL) = (age_to_years IS NULL)", name="whole_band"),
        CheckConstraint("appetite > 0", name="appetite_positive"),
        Index("ix_member_household", "store", "household"),
    )

    store: str = Field(primary_key=True)
    id: str = Field(primary_key=True)
    household: str
    position: int
    name: str | None = None
    born_on: date | None = None
    age_from_years: int | None = None
    age_to_years: int | None = None
    sex: str | None = None
    height_cm: float | None = None
    weight_kg: float | None = None
    activity: str | None = None
    appetite: float = 1.0
    pregnancy_due_on: date | None = None
    prepregnancy_weight: str
    breastfeeding_since_on: date | None = None
    infant_feeding: str | None = None
    dislikes: str | None = None
    revision: int = 1


ONE_THING = (
    "(CASE WHEN allergy IS NULL THEN 0 ELSE 1 END) + (CASE WHEN diet IS NULL THEN 0 ELSE 1 END)"
    " + (CASE WHEN words IS NULL THEN 0 ELSE 1 END)"
    " + (CASE WHEN formula IS NULL THEN 0 ELSE 1 END) = 1"
)


class RestrictionRow(Row, table=True):
    """One thing a member must not eat: an allergy, a diet, words or a formula, one of them."""

    __tablename__ = "restriction"
    __table_args__ = (
        ForeignKeyConstraint(
            ["store", "member"], ["member.store", "member.id"], ondelete="CASCADE"
        ),
        CheckConstraint(ONE_THING, name="one_thing"),
    )

    store: str = Field(primary_key=True)
    member: str = Field(primary_key=True)
    position: int = Field(primary_key=True)
    allergy: str | None = None
    diet: str | None = None
    words: str | None = None
    formula: str | None = None
    reach: str | None = None
    accepts_may_contain: bool = False
    level: str | None = None
    is_excluding: bool = Field(default=False, sa_column_kwargs=NO_BEFORE)


class AcknowledgementRow(Row, table=True):
    """A warning that a coordinator has seen and answered for. The first one stands.

    It goes with the household that it was about, and with nothing else.
    """

    __tablename__ = "acknowledgement"
    __table_args__ = (
        ForeignKeyConstraint(
            ["store", "household"], ["household.store", "household.id"], ondelete="CASCADE"
        ),
        UniqueConstraint("store", "household", "warning"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    household: str
    warning: str
    food: str | None = None
    why: str
    by: str
    credential: str
    at: str


class CredentialRow(Row, table=True):
    """A key to one store. Only the hash of its secret is kept."""

    __tablename__ = "credential"
    __table_args__ = (
        UniqueConstraint("hash"),
        CheckConstraint(
            "role IN ('coordinator', 'volunteer', 'household', 'script')", name="role_known"
        ),
        CheckConstraint(
            "(role = 'household') = (household IS NOT NULL)", name="household_has_its_own"
        ),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    role: str
    label: str
    household: str | None = None
    hash: str
    created_at: str
    expires_at: str
    revoked_at: str | None = None


class DisclosureRow(Row, table=True):
    """One reading of health facts: who read whose, and when. It raises no version."""

    __tablename__ = "disclosure"
    __table_args__ = (Index("ix_disclosure_at", "store", "at"),)

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    at: str
    credential: str
    by: str
    what: str
    household: str | None = None


class ReplayRow(Row, table=True):
    """The first answer to a request that carried a key, kept as long as the ledger.

    `household` is whose facts the answer holds; when it is erased, so is the body.
    """

    __tablename__ = "replay"

    store: str = Field(primary_key=True, foreign_key="store.id")
    key: str = Field(primary_key=True)
    fingerprint: str
    status: int
    headers: str
    body: str | None = None
    household: str | None = None
    at: str
