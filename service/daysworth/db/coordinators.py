"""Keep who signs in to a store by a name and a password, and the attempts that failed.

Passwords are hashed with argon2id by `pwdlib`, at its recommended cost. A name that is not known
costs the same time as one that is. Attempts that fail are counted in the database, so that every
process keeps the same count, and a restart forgets none.
"""

import hashlib
import unicodedata
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from typing import Final

from pwdlib import PasswordHash
from sqlalchemy import Connection, Select, delete, func, insert, select, update

from daysworth.db.people_kept import Kept
from daysworth.db.tables import COORDINATOR, MISSED_SIGN_IN, SESSION, STORE
from daysworth.db.transactions import Reading, kept_instant, new_id
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import Fault, FieldsRefused, NotThere, SignInsTooMany
from daysworth.domain.identifiers import StoreId, is_plain

LEAST_PASSWORD_CHARACTERS: Final = 12
"""NIST SP 800-63B-4, 3.1.1.2 asks for 15 where a password is all there is; 8 is its floor. Twelve
is our choice for a name that few know and attempts that are counted."""
MOST_PASSWORD_CHARACTERS: Final = 200

SPAN: Final = timedelta(minutes=15)
"""For how long an attempt that failed is counted."""
MISSES_OF_A_NAME: Final = 30
"""From anywhere: so many that nobody is kept out by a few guesses of somebody else."""
MISSES_OF_A_NAME_FROM_ONE: Final = 5
MISSES_FROM_ONE: Final = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCoordinator:
    """Somebody who may sign in, as listed."""

    id: CredentialId
    name: str
    created_at: str
    barred_at: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """An attempt to sign in: to which store, as whom, and from which address."""

    store: StoreId
    name: str
    password: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Whom a name stands for, and the hash that the password is held against."""

    who: Credential | None
    password: str


@cache
def _hasher() -> PasswordHash:
    return PasswordHash.recommended()


@cache
def _nobodys() -> str:
    """Give a hash that is nobody's, to spend the time of a real one on."""
    return _hasher().hash("nobody signs in with this")


def check_password(password: str) -> None:
    """Raise FieldsRefused where a password is too short or too long to be taken."""
    if not LEAST_PASSWORD_CHARACTERS <= len(password) <= MOST_PASSWORD_CHARACTERS:
        least, most = LEAST_PASSWORD_CHARACTERS, MOST_PASSWORD_CHARACTERS
        raise FieldsRefused((Fault("password", f"has {least} to {most} characters"),))


def add_coordinator(
    connection: Connection, store: StoreId, *, name: str, password: str, at: datetime
) -> CredentialId:
    """Let somebody sign in. Raises NotThere without such a store, FieldsRefused."""
    check_password(password)
    key = name_key(name)
    if not 1 <= len(name.strip()) <= 120 or not is_plain(name):
        raise FieldsRefused((Fault("name", "has 1 to 120 characters, on one line"),))
    if connection.execute(select(STORE.c.id).where(STORE.c.id == store)).first() is None:
        raise NotThere(f"there is no store {store!r} here")
    if connection.execute(_of(store, key)).first() is not None:
        raise FieldsRefused((Fault("name", "signs in here already"),))
    id_ = new_id("K")
    connection.execute(
        insert(COORDINATOR).values(
            store=store,
            id=id_,
            name=name.strip(),
            name_key=key,
            password=_hasher().hash(password),
            created_at=kept_instant(at),
            barred_at=None,
        )
    )
    return CredentialId(id_)


def change_password(
    connection: Connection, store: StoreId, *, name: str, password: str, at: datetime
) -> None:
    """Give somebody another password, and end their sessions; whoever was barred may sign in again.

    Raises NotThere, FieldsRefused.
    """
    check_password(password)
    found = _existing(connection, store, name=name)
    connection.execute(
        update(COORDINATOR)
        .where(COORDINATOR.c.store == store, COORDINATOR.c.id == found)
        .values(password=_hasher().hash(password), barred_at=None)
    )
    _end_sessions(connection, store, coordinator=found, at=at)


def bar_coordinator(connection: Connection, store: StoreId, *, name: str, at: datetime) -> None:
    """Let somebody sign in no more, and end their sessions. Raises NotThere."""
    found = _existing(connection, store, name=name)
    connection.execute(
        update(COORDINATOR)
        .where(COORDINATOR.c.store == store, COORDINATOR.c.id == found)
        .values(barred_at=kept_instant(at))
    )
    _end_sessions(connection, store, coordinator=found, at=at)


def list_coordinators(reading: Reading) -> list[KeptCoordinator]:
    """List who may sign in to a store, by name."""
    chosen = select(COORDINATOR).where(COORDINATOR.c.store == reading.store)
    return [
        KeptCoordinator(
            id=CredentialId(row.id),
            name=row.name,
            created_at=row.created_at,
            barred_at=row.barred_at,
        )
        for row in reading.connection.execute(chosen.order_by(COORDINATOR.c.name_key))
    ]


def find_coordinator(connection: Connection, asked: SignIn, *, at: datetime) -> Found:
    """Find whom a name stands for, nobody where it is not known or barred.

    Raises SignInsTooMany where too many attempts failed of late.
    """
    _check_misses(connection, asked, at=at)
    row = connection.execute(_of(asked.store, name_key(asked.name))).first()
    if row is None or row.barred_at is not None:
        return Found(who=None, password=_nobodys())
    who = Credential(
        id=CredentialId(row.id), store=asked.store, role=Role.COORDINATOR, label=row.name
    )
    return Found(who=who, password=row.password)


def fits(found: Found, password: str) -> bool:
    """Tell whether a password is that of whom a name stands for; slow, whoever it is."""
    return _hasher().verify(password, found.password) and found.who is not None


def note_miss(connection: Connection, asked: SignIn, *, at: datetime) -> None:
    """Count an attempt that failed, and forget those that are counted no more."""
    connection.execute(
        delete(MISSED_SIGN_IN).where(
            MISSED_SIGN_IN.c.store == asked.store, MISSED_SIGN_IN.c.at < kept_instant(at - SPAN)
        )
    )
    connection.execute(
        insert(MISSED_SIGN_IN).values(
            store=asked.store,
            id=new_id("M"),
            at=kept_instant(at),
            name_key=_hash(name_key(asked.name)),
            address=_hash(asked.address),
        )
    )


def name_key(name: str) -> str:
    """Give a name without regard to capitals, spaces around it, and ways to write its letters."""
    return unicodedata.normalize("NFKC", name.strip()).casefold()


def _check_misses(connection: Connection, asked: SignIn, *, at: datetime) -> None:
    of_name = MISSED_SIGN_IN.c.name_key == _hash(name_key(asked.name))
    from_here = MISSED_SIGN_IN.c.address == _hash(asked.address)
    for which, most in (
        (of_name & from_here, MISSES_OF_A_NAME_FROM_ONE),
        (from_here, MISSES_FROM_ONE),
        (of_name, MISSES_OF_A_NAME),
    ):
        counted = select(func.count()).where(
            MISSED_SIGN_IN.c.store == asked.store,
            MISSED_SIGN_IN.c.at > kept_instant(at - SPAN),
            which,
        )
        if connection.execute(counted).scalar_one() >= most:
            raise SignInsTooMany("too many sign-ins failed: wait fifteen minutes, then try again")


def _hash(said: str) -> str:
    # A password typed for a name must not stay, and whence somebody came need not.
    return hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:32]


def _of(store: StoreId, key: str) -> Select[tuple[Kept, ...]]:
    return select(COORDINATOR).where(COORDINATOR.c.store == store, COORDINATOR.c.name_key == key)


def _existing(connection: Connection, store: StoreId, *, name: str) -> str:
    row = connection.execute(_of(store, name_key(name))).first()
    if row is None:
        raise NotThere(f"nobody signs in to this store as {name!r}")
    return str(row.id)


def _end_sessions(
    connection: Connection, store: StoreId, *, coordinator: str, at: datetime
) -> None:
    connection.execute(
        update(SESSION)
        .where(
            SESSION.c.store == store,
            SESSION.c.coordinator == coordinator,
            SESSION.c.ended_at.is_(None),
        )
        .values(ended_at=kept_instant(at))
    )
