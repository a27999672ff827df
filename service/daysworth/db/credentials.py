"""Keep credentials: made once, shown once, stored as hashes, revocable.

A secret has 256 random bits, so its SHA-256 cannot be guessed back; slow hashing is for what people
choose themselves.
"""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, Engine, Row, bindparam, insert, select, update

from daysworth.db import engine as engines
from daysworth.db.people_kept import Kept
from daysworth.db.tables import CREDENTIAL, HOUSEHOLD, STORE
from daysworth.db.transactions import (
    Reading,
    kept_instant,
    name_for_security,
    new_id,
    troubles,
)
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused, InputRefused, NotThere
from daysworth.domain.identifiers import HouseholdId, StoreId

PREFIX: Final = "dw_"
"""How every token begins, so that one left lying about is known for what it is."""

_MOST_CHARACTERS: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class CredentialAsked:
    """A credential that is to be made. Raises InputRefused for a household that is not named."""

    store: StoreId
    role: Role
    label: str
    expires_at: datetime
    household: HouseholdId | None = None

    def __post_init__(self) -> None:
        if (self.role is Role.HOUSEHOLD) != (self.household is not None):
            raise InputRefused("a household's credential names the household, and no other does")
        if not 1 <= len(self.label) <= 120:
            raise InputRefused("a credential's label has 1 to 120 characters")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCredential:
    """A credential as it is listed, without its secret, which nobody has."""

    credential: Credential
    created_at: str
    expires_at: str
    revoked_at: str | None


def make_credential(connection: Connection, asked: CredentialAsked, *, at: datetime) -> str:
    """Make a credential and give its token, which is shown this once.

    Raises NotThere without such a store or household, InputRefused where it expires before now.
    """
    if asked.expires_at <= at:
        raise InputRefused("a credential expires in the future")
    if connection.execute(select(STORE.c.id).where(STORE.c.id == asked.store)).first() is None:
        raise NotThere(f"there is no store {asked.store!r} here")
    if asked.household is not None:
        home = select(HOUSEHOLD.c.id).where(
            HOUSEHOLD.c.store == asked.store, HOUSEHOLD.c.id == asked.household
        )
        if connection.execute(home).first() is None:
            raise NotThere(f"there is no household {asked.household!r} in this store")
    token = PREFIX + secrets.token_urlsafe(32)
    connection.execute(
        insert(CREDENTIAL).values(
            store=asked.store,
            id=new_id("C"),
            role=asked.role,
            label=asked.label,
            household=asked.household,
            hash=_hash(token),
            created_at=kept_instant(at),
            expires_at=kept_instant(asked.expires_at),
            revoked_at=None,
        )
    )
    return token


def recognise(engine: Engine, token: str, *, at: datetime) -> Credential:
    """Tell whose token this is. Raises AccessRefused where it is nobody's, expired or revoked."""
    if not token.startswith(PREFIX) or len(token) > _MOST_CHARACTERS or not token.isascii():
        raise AccessRefused("this credential is not known here")
    hashed = _hash(token)
    with troubles(), engines.reading(engine) as connection, connection.begin():
        name_for_security(connection, "daysworth.credential", value=hashed)
        row = connection.execute(_BY_HASH, {"of_hash": hashed}).first()
    if row is None:
        raise AccessRefused("this credential is not known here")
    if row.revoked_at is not None:
        raise AccessRefused("this credential was revoked: ask a coordinator for another")
    if row.expires_at <= kept_instant(at):
        raise AccessRefused("this credential has expired: ask a coordinator for another")
    return _credential(row)


_BY_HASH: Final = select(CREDENTIAL).where(CREDENTIAL.c.hash == bindparam("of_hash"))


def list_credentials(reading: Reading) -> list[KeptCredential]:
    """List a store's credentials, the oldest first."""
    chosen = select(CREDENTIAL).where(CREDENTIAL.c.store == reading.store)
    return [
        KeptCredential(
            credential=_credential(row),
            created_at=row.created_at,
            expires_at=row.expires_at,
            revoked_at=row.revoked_at,
        )
        for row in reading.connection.execute(chosen.order_by(CREDENTIAL.c.created_at))
    ]


def revoke_credential(
    connection: Connection, credential: CredentialId, *, store: StoreId, at: datetime
) -> None:
    """Revoke a credential from now on. Raises NotThere."""
    revoked = (
        update(CREDENTIAL)
        .where(CREDENTIAL.c.store == store, CREDENTIAL.c.id == credential)
        .values(revoked_at=kept_instant(at))
    )
    if connection.execute(revoked).rowcount == 0:
        raise NotThere(f"there is no credential {credential!r} in this store")


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _credential(row: Row[tuple[Kept, ...]]) -> Credential:
    return Credential(
        id=CredentialId(row.id),
        store=StoreId(row.store),
        role=Role(row.role),
        label=row.label,
        household=None if row.household is None else HouseholdId(row.household),
    )
