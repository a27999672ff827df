"""Keep credentials: made once, shown once, stored as hashes, revocable."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, Engine, Row, insert, select, update

from daysworth.db.people_kept import Kept
from daysworth.db.secret_hashes import find_by_secret, hash_of, new_secret
from daysworth.db.tables import CREDENTIAL, HOUSEHOLD, STORE
from daysworth.db.transactions import Reading, kept_instant, new_id
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused, InputRefused, NotThere
from daysworth.domain.identifiers import HouseholdId, StoreId


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
    token = new_secret()
    connection.execute(
        insert(CREDENTIAL).values(
            store=asked.store,
            id=new_id("C"),
            role=asked.role,
            label=asked.label,
            household=asked.household,
            hash=hash_of(token),
            created_at=kept_instant(at),
            expires_at=kept_instant(asked.expires_at),
            revoked_at=None,
        )
    )
    return token


def recognise(engine: Engine, token: str, *, at: datetime) -> Credential:
    """Tell whose token this is. Raises AccessRefused where it is nobody's, expired or revoked."""
    row = find_by_secret(engine, token, table=CREDENTIAL)
    if row.revoked_at is not None:
        raise AccessRefused("this credential was revoked: ask a coordinator for another")
    if row.expires_at <= kept_instant(at):
        raise AccessRefused("this credential has expired: ask a coordinator for another")
    return _credential(row)


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


def _credential(row: Row[tuple[Kept, ...]]) -> Credential:
    return Credential(
        id=CredentialId(row.id),
        store=StoreId(row.store),
        role=Role(row.role),
        label=row.label,
        household=None if row.household is None else HouseholdId(row.household),
    )
