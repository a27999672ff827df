"""Keep stores: make one, read it, change its name and settings."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from daysworth.db.kept_values import settings_from, settings_text
from daysworth.db.tables import STORE
from daysworth.db.transactions import Reading, Writing, kept_instant
from daysworth.domain.errors import NotAsItWas, NotThere, StoreOccupied
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptStore:
    """A store as it is kept: the version counts every change, the revision those of itself."""

    id: StoreId
    name: str
    version: int
    revision: int
    settings: StoreSettings


def begin_store(
    connection: Connection, store: StoreId, *, name: str, settings: StoreSettings, at: datetime
) -> None:
    """Make a store that holds nothing. Raises StoreOccupied where there is one of that id."""
    if connection.execute(select(STORE.c.id).where(STORE.c.id == store)).first() is not None:
        raise StoreOccupied(f"there is a store {store!r} already")
    connection.execute(
        insert(STORE).values(
            id=store,
            name=name,
            version=0,
            revision=1,
            last_parcel_number=0,
            settings=settings_text(settings),
            created_at=kept_instant(at),
        )
    )


def read_store(reading: Reading | Writing) -> KeptStore:
    """Read the store of this transaction. Raises NotThere without it."""
    row = reading.connection.execute(select(STORE).where(STORE.c.id == reading.store)).first()
    if row is None:
        raise NotThere(f"there is no store {reading.store!r} here")
    return KeptStore(
        id=StoreId(row.id),
        name=row.name,
        version=row.version,
        revision=row.revision,
        settings=settings_from(row.settings),
    )


def change_store(
    writing: Writing, *, name: str, settings: StoreSettings, if_revision: int
) -> KeptStore:
    """Change a store's name and settings. Raises NotAsItWas where it was changed meanwhile."""
    kept = read_store(writing)
    if kept.revision != if_revision:
        raise NotAsItWas("the store's settings were changed since you looked: look again")
    writing.connection.execute(
        update(STORE)
        .where(STORE.c.id == writing.store)
        .values(name=name, settings=settings_text(settings), revision=kept.revision + 1)
    )
    return read_store(writing)
