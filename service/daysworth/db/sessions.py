"""Keep signed-in browsers: what the cookie holds is a secret, and only its hash is kept."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection, Engine, delete, insert, select, update

from daysworth.db import engine as engines
from daysworth.db.secret_hashes import find_by_secret, hash_of, new_secret
from daysworth.db.tables import COORDINATOR, SESSION
from daysworth.db.transactions import kept_instant, name_for_security, new_id, troubles
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused
from daysworth.domain.identifiers import StoreId

LASTS: Final = timedelta(hours=12)
"""How long somebody stays signed in, used or not."""


def begin_session(
    connection: Connection, who: Credential, *, at: datetime, instead_of: str = ""
) -> str:
    """Begin a session and give its secret, for the cookie.

    The one that the browser had before is ended, and those long over are forgotten.
    """
    if instead_of:
        end_session(connection, instead_of, store=who.store, at=at)
    over = SESSION.c.expires_at <= kept_instant(at - LASTS)
    connection.execute(delete(SESSION).where(SESSION.c.store == who.store, over))
    secret = new_secret()
    connection.execute(
        insert(SESSION).values(
            store=who.store,
            id=new_id("B"),
            coordinator=who.id,
            hash=hash_of(secret),
            created_at=kept_instant(at),
            expires_at=kept_instant(at + LASTS),
            ended_at=None,
        )
    )
    return secret


def recognise_session(engine: Engine, secret: str, *, at: datetime) -> Credential:
    """Tell who is signed in. Raises AccessRefused where it is nobody, or no longer."""
    found = find_by_secret(engine, secret, table=SESSION)
    if found.ended_at is not None or found.expires_at <= kept_instant(at):
        raise AccessRefused("you are signed in no longer: sign in again")
    chosen = select(COORDINATOR).where(
        COORDINATOR.c.store == found.store, COORDINATOR.c.id == found.coordinator
    )
    with troubles(), engines.reading(engine) as connection, connection.begin():
        name_for_security(connection, "daysworth.store", value=str(found.store))
        row = connection.execute(chosen).first()
    if row is None or row.barred_at is not None:
        raise AccessRefused("you are signed in no longer: sign in again")
    return Credential(
        id=CredentialId(row.id), store=StoreId(row.store), role=Role.COORDINATOR, label=row.name
    )


def end_session(connection: Connection, secret: str, *, store: StoreId, at: datetime) -> None:
    """End a session; one that is not there is ended already."""
    connection.execute(
        update(SESSION)
        .where(
            SESSION.c.store == store,
            SESSION.c.hash == hash_of(secret),
            SESSION.c.ended_at.is_(None),
        )
        .values(ended_at=kept_instant(at))
    )
