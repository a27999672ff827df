"""Record what a label says, by entries: readings stand beside one another until they are settled.

An entry keeps the whole reading, and what stood before wherever something ceases to stand, so that
no reading is ever lost.
"""

from collections.abc import Sequence
from datetime import date
from typing import Final

from daysworth.db.ledger.held import Held, change, find
from daysworth.db.people_kept import Kept
from daysworth.db.readings_kept import (
    SignedReading,
    reading_text,
    readings_from,
    readings_text,
    signed_readings,
    signed_values,
)
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import MOST_READINGS

FIRST_PACKED_DAY: Final = date(2000, 1, 1)


def record(writing: Writing, lot: LotId, *, reading: LabelReading, why: str | None = None) -> Held:
    """Add a reading of a lot's label to those that stand; one that stands already stays one.

    Raises NotThere, FieldsRefused; StockRefused where too many stand.
    """
    found = find(writing, lot)
    if fault := packed_fault(writing, reading, where="reading > packed_on"):
        raise FieldsRefused((fault,))
    return change(
        writing,
        found,
        kind=EntryKind.LABEL_READ,
        why=why,
        detail={"reading": reading_text(reading)},
        values=_with(found, [_signed(writing, reading)]),
    )


def same_label(writing: Writing, lot: LotId, *, as_lot: LotId, why: str | None = None) -> Held:
    """Say that a lot's label is the same as another's: its readings stand here, too.

    Raises NotThere, StockRefused where the other is of another food, was not read, or is this one.
    """
    found, other = find(writing, lot), find(writing, as_lot)
    if found.id == other.id:
        raise StockRefused("name another lot, whose label was read and is the same")
    if fault := not_the_same(other, food=found.food):
        raise StockRefused(fault)
    return change(
        writing,
        found,
        kind=EntryKind.LABEL_SAME,
        why=why,
        detail=compared_with(other),
        values=_with(found, signed_readings(other.reading, other.read_by)),
    )


def settle(
    writing: Writing,
    lot: LotId,
    *,
    keep: Sequence[int] | LabelReading,
    why: str,
    if_revision: int,
) -> Held:
    """Let those readings stand that a coordinator names, counted from 1, or a new one alone.

    Raises NotThere, NotAsItWas, FieldsRefused, StockRefused where none stands.
    """
    found = find(writing, lot, if_revision=if_revision)
    before = signed_readings(found.reading, found.read_by)
    if not before:
        raise StockRefused(f"the label of lot {lot!r} was not read: there is nothing to settle")
    detail: dict[str, Kept] = {"was_reading": found.reading, "was_read_by": found.read_by}
    if isinstance(keep, LabelReading):
        if fault := packed_fault(writing, keep, where="reading > packed_on"):
            raise FieldsRefused((fault,))
        kept: Sequence[SignedReading] = [_signed(writing, keep)]
        detail["reading"] = reading_text(keep)
    else:
        kept = _numbered(before, keep)
        detail["readings"] = readings_text(one.reading for one in kept)
    return change(
        writing,
        found,
        kind=EntryKind.LABEL_SETTLED,
        why=why,
        detail=detail,
        values=signed_values(kept),
    )


def read_alone(writing: Writing, reading: LabelReading) -> dict[str, str | None]:
    """Give a lot's columns where one reading, signed by who writes, is the only one to stand."""
    return signed_values([_signed(writing, reading)])


def packed_fault(writing: Writing, reading: LabelReading, *, where: str) -> Fault | None:
    """Find a packing day that no pack of today can have."""
    day = reading.packed_on
    if day is None or FIRST_PACKED_DAY <= day <= writing.today:
        return None
    return Fault(where, "must be a day from 2000 to today")


def not_the_same(other: Held, *, food: str | None) -> str | None:
    """Say why a lot's label can not be that of a lot of a food; None: it can."""
    if food is None or other.food != food:
        return f"lot {other.id!r} is of another food: its label is not this one"
    if other.reading is None:
        return f"the label of lot {other.id!r} was not read yet: read this one instead"
    return None


def compared_with(other: Held) -> dict[str, Kept]:
    """Give the detail of an entry that takes over another lot's readings."""
    return {
        "same_label_as": other.id,
        "readings": readings_text(readings_from(other.reading)),
    }


def _signed(writing: Writing, reading: LabelReading) -> SignedReading:
    return SignedReading(reading=reading, by=writing.by.signs_as, at=writing.instant)


def _with(lot: Held, more: Sequence[SignedReading]) -> dict[str, str | None]:
    standing = list(signed_readings(lot.reading, lot.read_by))
    known = {one.reading for one in standing}
    standing += [one for one in more if one.reading not in known]
    if len(standing) > MOST_READINGS:
        raise StockRefused(
            f"{MOST_READINGS} readings of this label stand beside one another already: ask a "
            "coordinator to settle them"
        )
    return signed_values(standing)


def _numbered(before: Sequence[SignedReading], numbers: Sequence[int]) -> list[SignedReading]:
    unknown = [number for number in numbers if not 1 <= number <= len(before)]
    if unknown or not numbers:
        what = f"name readings by their numbers, 1 to {len(before)}"
        raise FieldsRefused((Fault("keep", what),))
    return [one for number, one in enumerate(before, start=1) if number in numbers]
