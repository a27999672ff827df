"""Keep the places where lots stand."""

from dataclasses import asdict, dataclass

from sqlalchemy import Row, insert, select, update

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import PLACE
from daysworth.db.transactions import Reading, Writing, new_id
from daysworth.domain.errors import NotAsItWas, NotThere
from daysworth.domain.identifiers import PlaceId


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlace:
    """A place as it is kept."""

    id: PlaceId
    name: str
    revision: int
    walk_position: int = 0


def add_place(writing: Writing, *, name: str, walk_position: int = 0) -> KeptPlace:
    """Add a place."""
    id_ = PlaceId(new_id("P"))
    place = KeptPlace(id=id_, name=name, revision=1, walk_position=walk_position)
    writing.connection.execute(insert(PLACE).values(store=writing.store, **asdict(place)))
    return place


def every_place(reading: Reading | Writing) -> list[KeptPlace]:
    """Give every place of the store, by name."""
    chosen = select(PLACE).where(PLACE.c.store == reading.store)
    ordered = chosen.order_by(PLACE.c.name, PLACE.c.id)
    return [_place(row) for row in reading.connection.execute(ordered)]


def read_place(reading: Reading | Writing, place: PlaceId) -> KeptPlace:
    """Read a place. Raises NotThere."""
    chosen = select(PLACE).where(PLACE.c.store == reading.store, PLACE.c.id == place)
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere(f"there is no place {place!r} in this store")
    return _place(row)


def list_places(reading: Reading, *, after: str, limit: int) -> Page[KeptPlace]:
    """List places by id, those after a given one."""
    chosen = select(PLACE).where(PLACE.c.store == reading.store, PLACE.c.id > after)
    rows = reading.connection.execute(chosen.order_by(PLACE.c.id).limit(limit + 1))
    places = [_place(row) for row in rows]
    return page_of(places, keys=[place.id for place in places], limit=limit)


def change_place(
    writing: Writing, place: PlaceId, *, name: str, if_revision: int, walk_position: int = 0
) -> KeptPlace:
    """Give a place another name and another turn on the way round. Raises NotThere, NotAsItWas."""
    kept = read_place(writing, place)
    if kept.revision != if_revision:
        raise NotAsItWas(f"place {place!r} was changed since you looked: look again")
    writing.connection.execute(
        update(PLACE)
        .where(PLACE.c.store == writing.store, PLACE.c.id == place)
        .values(name=name, walk_position=walk_position, revision=kept.revision + 1)
    )
    return read_place(writing, place)


def _place(row: Row[tuple[Kept, ...]]) -> KeptPlace:
    return KeptPlace(
        id=PlaceId(row.id), name=row.name, revision=row.revision, walk_position=row.walk_position
    )
