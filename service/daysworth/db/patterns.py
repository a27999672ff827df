"""Keep a store's own patterns. Those that come with the release are in no database."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, Row, delete, insert, select, update

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.pattern_kept import pattern_from, pattern_text
from daysworth.db.people_kept import Kept
from daysworth.db.tables import FOOD, PATTERN
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.built_in_patterns import BUILT_IN_BEGINS
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, NotThere
from daysworth.domain.identifiers import PatternId, StoreId, is_addressable
from daysworth.domain.meal_patterns import MealPattern


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPattern:
    """A pattern of the store's own as it is kept."""

    pattern: MealPattern
    revision: int


def list_patterns(reading: Reading, *, after: str, limit: int) -> Page[KeptPattern]:
    """List the store's own patterns by id, those after a given one."""
    chosen = select(PATTERN).where(PATTERN.c.store == reading.store, PATTERN.c.id > after)
    rows = reading.connection.execute(chosen.order_by(PATTERN.c.id).limit(limit + 1)).all()
    return page_of([_kept(row) for row in rows], keys=[row.id for row in rows], limit=limit)


def own_patterns(connection: Connection, store: StoreId) -> tuple[MealPattern, ...]:
    """Load every pattern of a store's own, by id, in one query."""
    rows = connection.execute(select(PATTERN).where(PATTERN.c.store == store)).all()
    return tuple(pattern_from(row.body) for row in sorted(rows, key=lambda row: row.id))


def read_pattern(reading: Reading | Writing, pattern: PatternId) -> KeptPattern:
    """Read a pattern of the store's own. Raises NotThere."""
    row = _find(reading, pattern)
    if row is None:
        raise NotThere(f"there is no pattern {pattern!r} of this store's own")
    return _kept(row)


def add_pattern(writing: Writing, pattern: MealPattern) -> KeptPattern:
    """Add a pattern. Raises FieldsRefused for an id that cannot be, and a food that is not there.

    An id that begins with std- is the release's.
    """
    faults = [*_id_faults(writing, pattern.id), *_food_faults(writing, pattern)]
    if faults:
        raise FieldsRefused(tuple(faults))
    values = {"store": writing.store, "id": pattern.id, "revision": 1, **pattern_values(pattern)}
    writing.connection.execute(insert(PATTERN).values(**values))
    return KeptPattern(pattern=pattern, revision=1)


def change_pattern(writing: Writing, pattern: MealPattern, *, if_revision: int) -> KeptPattern:
    """Put a pattern in the place of the one of its id; kits keep what they had of the old one.

    Raises NotThere, NotAsItWas, FieldsRefused for a food that is not there.
    """
    _check(read_pattern(writing, pattern.id), if_revision)
    if faults := tuple(_food_faults(writing, pattern)):
        raise FieldsRefused(faults)
    writing.connection.execute(
        update(PATTERN)
        .where(PATTERN.c.store == writing.store, PATTERN.c.id == pattern.id)
        .values(**pattern_values(pattern), revision=if_revision + 1)
    )
    return KeptPattern(pattern=pattern, revision=if_revision + 1)


def delete_pattern(writing: Writing, pattern: PatternId, *, if_revision: int) -> None:
    """Delete a pattern; kits keep what they had of it. Raises NotThere, NotAsItWas."""
    _check(read_pattern(writing, pattern), if_revision)
    writing.connection.execute(
        delete(PATTERN).where(PATTERN.c.store == writing.store, PATTERN.c.id == pattern)
    )


def of_the_release(patterns: Iterable[MealPattern]) -> Iterator[Fault]:
    """Find patterns whose ids are the release's own."""
    for pattern in patterns:
        if pattern.id.startswith(BUILT_IN_BEGINS):
            what = f"an id that begins with {BUILT_IN_BEGINS!r} is the release's own"
            yield Fault(f"pattern {pattern.id!r}", what)


def pattern_values(pattern: MealPattern) -> dict[str, Kept]:
    """Give the columns of what a pattern says."""
    return {"name": pattern.name, "body": pattern_text(pattern)}


def _check(kept: KeptPattern, if_revision: int) -> None:
    if kept.revision != if_revision:
        raise NotAsItWas(f"pattern {kept.pattern.id!r} was changed since you looked: look again")


def _id_faults(writing: Writing, pattern: PatternId) -> Iterator[Fault]:
    if pattern.startswith(BUILT_IN_BEGINS):
        yield Fault("id", f"an id that begins with {BUILT_IN_BEGINS!r} is the release's own")
    elif not is_addressable(pattern):
        yield Fault("id", "has no slash, line break or control sign in it")
    elif _find(writing, pattern) is not None:
        yield Fault("id", f"there is a pattern {pattern!r} already")


def _food_faults(writing: Writing, pattern: MealPattern) -> Iterator[Fault]:
    own = select(FOOD.c.id).where(FOOD.c.store == writing.store)
    known = {*generic_foods(), *writing.connection.scalars(own)}
    for number, slot in enumerate(pattern.slots, start=1):
        wanted = {one.food for choice in slot.choices for one in choice.foods}
        for food in sorted(one for one in wanted if one is not None and one not in known):
            yield Fault(f"slots number {number} > food", f"there is no food {food!r}")


def _find(reading: Reading | Writing, pattern: PatternId) -> Row[tuple[Kept, ...]] | None:
    chosen = select(PATTERN).where(PATTERN.c.store == reading.store, PATTERN.c.id == pattern)
    return reading.connection.execute(chosen).first()


def _kept(row: Row[tuple[Kept, ...]]) -> KeptPattern:
    return KeptPattern(pattern=pattern_from(row.body), revision=row.revision)
