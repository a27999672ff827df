"""Make secrets that are shown once, and the hashes that are kept of them.

A secret has 256 random bits, so its SHA-256 cannot be guessed back; slow hashing is for what people
choose themselves.
"""

import hashlib
import secrets
from typing import Final

from sqlalchemy import Engine, Row, Table, bindparam, select

from daysworth.db import engine as engines
from daysworth.db.people_kept import Kept
from daysworth.db.transactions import name_for_security, troubles
from daysworth.domain.errors import AccessRefused

PREFIX: Final = "dw_"
"""How every secret begins, so that one left lying about is known for what it is."""

_MOST_CHARACTERS: Final = 200


def new_secret() -> str:
    """Make a secret of 256 random bits, in letters that an address can hold."""
    return PREFIX + secrets.token_urlsafe(32)


def hash_of(secret: str) -> str:
    """Give the hash of a secret as it is kept, in 64 hexadecimal digits."""
    return hashlib.sha256(secret.encode()).hexdigest()


def find_by_secret(engine: Engine, secret: str, *, table: Table) -> Row[tuple[Kept, ...]]:
    """Find the row that a secret opens, whichever store it is of. Raises AccessRefused."""
    if not secret.startswith(PREFIX) or len(secret) > _MOST_CHARACTERS or not secret.isascii():
        raise AccessRefused("this credential is not known here")
    hashed = hash_of(secret)
    by_hash = select(table).where(table.c.hash == bindparam("of_hash"))
    with troubles(), engines.reading(engine) as connection, connection.begin():
        name_for_security(connection, "daysworth.credential", value=hashed)
        row = connection.execute(by_hash, {"of_hash": hashed}).first()
    if row is None:
        raise AccessRefused("this credential is not known here")
    return row
