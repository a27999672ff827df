"""Keep the first answer to a request that carried an idempotency key, and give it again.

The key is looked up behind the lock of the store's row, so that of two requests with one key the
second finds what the first one left, however close they come. Keys belong to the store and are
kept as long as the ledger.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from sqlalchemy import bindparam, insert, select

from daysworth.db.tables import REPLAY
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.errors import KeyUsed, NotThere
from daysworth.domain.identifiers import HouseholdId

_FIND: Final = select(REPLAY).where(
    REPLAY.c.store == bindparam("of_store"), REPLAY.c.key == bindparam("of_key")
)
_KEEP: Final = insert(REPLAY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer as it is sent; `household` is whose facts it holds, if a household's."""

    status: int
    body: str
    headers: Mapping[str, str]
    household: HouseholdId | None = None


@dataclass(frozen=True, slots=True)
class Request:
    """What makes two requests the same: the key, and the fingerprint of all that was asked."""

    key: str
    fingerprint: str


class Replayed(Exception):
    """Carry an answer that was given before out of a transaction, which then changes nothing."""

    def __init__(self, reply: Reply) -> None:
        super().__init__("answered before")
        self.reply = reply


def is_used(reading: Reading, key: str) -> bool:
    """Tell whether something was done under a key already."""
    asked = {"of_store": reading.store, "of_key": key}
    return reading.connection.execute(_FIND, asked).first() is not None


def once(writing: Writing, request: Request, *, work: Callable[[], Reply]) -> Reply:
    """Run `work` and keep its answer, or raise Replayed with the answer that was kept.

    Raises KeyUsed where the key was used for another request.
    """
    asked = {"of_store": writing.store, "of_key": request.key}
    row = writing.connection.execute(_FIND, asked).first()
    if row is not None:
        if row.body is None:
            raise NotThere("what was made with this Idempotency-Key has been erased since")
        if row.fingerprint != request.fingerprint:
            raise KeyUsed(
                "this Idempotency-Key was used before, for another request: make a new key for "
                "each thing that is logged"
            )
        headers = json.loads(row.headers)
        raise Replayed(Reply(status=row.status, body=row.body, headers=headers))
    reply = work()
    kept = {
        "store": writing.store,
        "key": request.key,
        "fingerprint": request.fingerprint,
        "status": reply.status,
        "headers": json.dumps(dict(reply.headers), sort_keys=True),
        "body": reply.body,
        "household": reply.household,
        "at": writing.instant,
    }
    writing.connection.execute(_KEEP, kept)
    return reply
