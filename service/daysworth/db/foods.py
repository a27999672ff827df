"""Keep a store's own foods, and find foods by words or by the number on the pack."""

import json
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Row, insert, select, update

from daysworth.db.food_kept import food_from, food_values
from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import Kept
from daysworth.db.tables import FOOD, LOT
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import NotAllowed, NotAsItWas, NotThere
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId

GENERIC_REVISION = 0
"""The revision of a food that comes with the release, which no store can change."""

Label = Mapping[str, float | None]
"""A label's own figures as they were given, per serving."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFood:
    """A food of the catalogue: the store's own, or one that comes with the release."""

    food: Food
    is_own: bool
    gtin: str | None = None
    label: Label | None = None
    revision: int = GENERIC_REVISION


def add_food(writing: Writing, food: Food, *, gtin: str | None, label: Label | None) -> KeptFood:
    """Add a food of the store's own."""
    values = {**food_values(food), **_label_values(gtin, label)}
    writing.connection.execute(insert(FOOD).values(store=writing.store, revision=1, **values))
    return read_food(writing, food.id)


def read_food(reading: Reading | Writing, food: FoodId) -> KeptFood:
    """Read a food. Raises NotThere."""
    chosen = select(FOOD).where(FOOD.c.store == reading.store, FOOD.c.id == food)
    row = reading.connection.execute(chosen).first()
    if row is not None:
        return _own(row)
    generic = generic_foods().get(food)
    if generic is None:
        raise NotThere(f"there is no food {food!r} in this store")
    return KeptFood(food=generic, is_own=False)


def change_food(
    writing: Writing, food: Food, *, gtin: str | None, label: Label | None, if_revision: int
) -> KeptFood:
    """Change a food of the store's own. Raises NotThere, NotAsItWas, NotAllowed for a generic."""
    kept = read_food(writing, food.id)
    if not kept.is_own:
        raise NotAllowed("a generic food comes with the release: add one of your own instead")
    if kept.revision != if_revision:
        raise NotAsItWas(f"food {food.id!r} was changed since you looked: look again")
    values = {**food_values(food), **_label_values(gtin, label), "revision": if_revision + 1}
    writing.connection.execute(
        update(FOOD).where(FOOD.c.store == writing.store, FOOD.c.id == food.id).values(values)
    )
    return read_food(writing, food.id)


def find_foods(
    reading: Reading, *, words: str, gtin: str | None, after: str, limit: int
) -> Page[KeptFood]:
    """Find foods whose name or id has every word given, or whose pack has that number, by id."""
    own = select(FOOD).where(FOOD.c.store == reading.store)
    if gtin is not None:
        own = own.where(FOOD.c.gtin == gtin)
    found = {row.id: _own(row) for row in reading.connection.execute(own)}
    if gtin is None:
        for id_, food in generic_foods().items():
            found.setdefault(id_, KeptFood(food=food, is_own=False))
    wanted = words.casefold().split()
    ids = [id_ for id_ in sorted(found) if id_ > after and _matches(found[id_].food, wanted)]
    some = ids[: limit + 1]
    return page_of([found[id_] for id_ in some], keys=some, limit=limit)


def foods_by_digits(reading: Reading, digits: str, *, limit: int) -> list[KeptFood]:
    """Find foods of the store's own whose trade item number has these digits in a row, by id."""
    chosen = select(FOOD).where(FOOD.c.store == reading.store, FOOD.c.gtin.contains(digits))
    rows = reading.connection.execute(chosen.order_by(FOOD.c.id).limit(limit))
    return [_own(row) for row in rows]


def gtins(reading: Reading) -> dict[FoodId, str]:
    """Give the trade item numbers of the store's own foods that have one."""
    chosen = select(FOOD.c.id, FOOD.c.gtin).where(
        FOOD.c.store == reading.store, FOOD.c.gtin.is_not(None)
    )
    return {FoodId(id_): gtin for id_, gtin in reading.connection.execute(chosen)}


def every_food(reading: Reading) -> list[KeptFood]:
    """Give every food there is to choose from, by name."""
    own = select(FOOD).where(FOOD.c.store == reading.store)
    found = {row.id: _own(row) for row in reading.connection.execute(own)}
    for id_, food in generic_foods().items():
        found.setdefault(id_, KeptFood(food=food, is_own=False))
    return sorted(found.values(), key=lambda kept: (kept.food.name.casefold(), kept.food.id))


def foods_read(
    reading: Reading | Writing, foods: set[FoodId], *, owner: HouseholdId | None
) -> set[str]:
    """Give those of some foods that have a lot whose label was read."""
    if not foods:
        return set()
    chosen = select(LOT.c.food).where(
        LOT.c.store == reading.store, LOT.c.food.in_(list(foods)), LOT.c.reading.is_not(None)
    )
    if owner is not None:
        chosen = chosen.where(LOT.c.owner == owner)
    return set(reading.connection.scalars(chosen.distinct()))


def _matches(food: Food, wanted: list[str]) -> bool:
    said = f"{food.name} {food.id} {food.group}".casefold()
    return all(word in said for word in wanted)


def _own(row: Row[tuple[Kept, ...]]) -> KeptFood:
    return KeptFood(
        food=food_from(row),
        is_own=True,
        gtin=row.gtin,
        label=None if row.label is None else json.loads(row.label),
        revision=row.revision,
    )


def _label_values(gtin: str | None, label: Label | None) -> dict[str, Kept]:
    return {"gtin": gtin, "label": None if label is None else json.dumps(label, sort_keys=True)}
