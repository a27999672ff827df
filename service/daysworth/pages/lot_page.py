"""Gather what the page of one lot shows: what it is, where it stands, and what happened to it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from daysworth.db.foods import KeptFood, every_food, read_food
from daysworth.db.ledger.held import Held
from daysworth.db.places import read_place
from daysworth.db.readings_kept import readings_from
from daysworth.db.stock import KeptEntry, list_entries, read_lot
from daysworth.db.stores import KeptStore
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.identifiers import FoodId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.pages.label_part import LabelShown, label_shown

MOST_ENTRIES = 100
MOST_NAMES = 600


@dataclass(frozen=True, slots=True)
class ShownEntry:
    """One entry of the ledger, and its day in the store's own zone."""

    written_on: date
    entry: KeptEntry


@dataclass(frozen=True, slots=True)
class LotShown:
    """One lot: as held, its food (None: it waits for a name), its place, its last good day.

    `entries` are what happened to it, the first one first.
    """

    lot: Held
    food: KeptFood | None
    place_name: str
    last_good_day: date | None
    entries: Sequence[ShownEntry]
    food_names: Sequence[str]
    label: LabelShown

    @property
    def name(self) -> str:
        """Give what it is called: its food, or the words of whoever logged it."""
        return self.lot.words or "" if self.food is None else self.food.food.name


def load_lot(reading: Reading, lot: LotId, *, store: KeptStore) -> LotShown:
    """Gather what a lot's page shows, in one read. Raises NotThere."""
    held = read_lot(reading, lot)
    food = None if held.food is None else read_food(reading, FoodId(held.food))
    lot_kept = None if food is None else _as_lot(held, food)
    day = None
    if food is not None and lot_kept is not None:
        day = lot_kept.last_good_day(food.food, grace_days=store.settings.grace_days)
    entries = list_entries(reading, lot=lot, after=(-1, -1), limit=MOST_ENTRIES)
    names = [] if food is not None else [kept.food.name for kept in every_food(reading)]
    return LotShown(
        held,
        food,
        read_place(reading, PlaceId(held.place)).name,
        day,
        [_shown(entry, store=store) for entry in entries.items],
        names[:MOST_NAMES],
        label_shown(
            held,
            lot=lot_kept,
            food=None if food is None else food.food,
            settings=store.settings,
        ),
    )


def _shown(entry: KeptEntry, *, store: KeptStore) -> ShownEntry:
    return ShownEntry(day_there(store.settings, at=datetime.fromisoformat(entry.at)), entry)


def _as_lot(held: Held, food: KeptFood) -> Lot:
    return Lot(
        id=LotId(held.id),
        food=food.food.id,
        place=PlaceId(held.place),
        units=held.units,
        label_kind=LabelKind(held.label_kind),
        printed=held.printed,
        opened_on=held.opened_on,
        repacked_on=held.repacked_on,
        readings=readings_from(held.reading),
    )
