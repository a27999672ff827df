"""Ask whether a box has a label that was read before: the labels to hold the pack beside.

A reading belongs to the lots it was made on. A box takes over another lot's readings only where
somebody held the two labels beside one another and said that they are the same.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from daysworth.db.label_history import food_labels
from daysworth.db.readings_kept import readings_from
from daysworth.db.stock import read_lot
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.labels import LabelReading
from daysworth.domain.settings import StoreSettings

MOST_LABELS: Final = 3
"""Labels that are shown to compare with; whoever packs a shelf has time for no more."""

MOST_COMPARED: Final = 4_000
"""Characters of a label that are shown to compare with: a longer one is not offered for a yes."""

ANOTHER: Final = "no"
NOT_COMPARED: Final = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelOffered:
    """A label that was read: a lot that has it, who read it and when, and what was read.

    `is_shown_whole` False: it is too long to be compared here.
    """

    lot: LotId
    by: str | None
    read_on: date | None
    readings: tuple[LabelReading, ...]

    @property
    def is_shown_whole(self) -> bool:
        """Tell whether all of it can be shown."""
        return all(len(one.text) <= MOST_COMPARED for one in self.readings)


def labels_to_compare(
    reading: Reading, food: FoodId, *, settings: StoreSettings
) -> Sequence[LabelOffered]:
    """Give the labels of a food that were read last, each different one once, the newest first."""
    offered: dict[frozenset[LabelReading], LabelOffered] = {}
    for one in _offered(reading, food, settings=settings):
        offered.setdefault(frozenset(one.readings), one)
        if len(offered) == MOST_LABELS:
            break
    return list(offered.values())


def _offered(reading: Reading, food: FoodId, *, settings: StoreSettings) -> Iterator[LabelOffered]:
    for found in food_labels(reading, food, owner=None):
        at = found.signed.at
        yield LabelOffered(
            lot=found.lot,
            by=found.signed.by,
            read_on=None if at is None else day_there(settings, at=datetime.fromisoformat(at)),
            readings=readings_from(read_lot(reading, found.lot).reading),
        )


def is_label_of(reading: Reading, lot: str, *, food: FoodId) -> bool:
    """Tell whether a lot is of a food and its label was read, so that a box may have the same."""
    try:
        held = read_lot(reading, LotId(lot))
    except NotThere:
        return False
    return held.food == food and held.reading is not None
