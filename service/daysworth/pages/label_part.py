"""Gather what is known of a lot's label: its readings, what they come to, where they disagree."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from daysworth.db.ledger.held import Held
from daysworth.db.readings_kept import SignedReading, signed_readings
from daysworth.db.transactions import day_there
from daysworth.domain.foods import Food
from daysworth.domain.known import Known
from daysworth.domain.label_disagreement import disagreement
from daysworth.domain.label_reader import read_text
from daysworth.domain.labels import Evidence, LabelReading, Presence
from daysworth.domain.lots import Lot
from daysworth.domain.offers import offer_of
from daysworth.domain.restrictions import Substance
from daysworth.domain.settings import StoreSettings

MOST_IN_SIGHT: Final = 400
"""Characters of a label's text that are shown at once; a longer one is opened by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingShown:
    """One reading that stands: its number, who made it and on which day; None: not known.

    `text_faults` say why its text is not taken for the whole, although it was ticked as such.
    """

    number: int
    by: str | None
    read_on: date | None
    reading: LabelReading
    text_faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SubstanceShown:
    """One substance, and the words that say so."""

    substance: Substance
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True)
class PresenceShown:
    """The substances that stand one way in a food."""

    presence: Presence
    substances: Sequence[SubstanceShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelShown:
    """What is known of a label. `comes_to` is empty without a reading, or without a food."""

    standing: Sequence[ReadingShown]
    comes_to: Sequence[PresenceShown]
    disagree_about: Sequence[Substance]


def label_shown(
    held: Held, *, lot: Lot | None, food: Food | None, settings: StoreSettings
) -> LabelShown:
    """Gather what a lot's label says. `lot` and `food` None: nobody said yet what it is."""
    signed = signed_readings(held.reading, held.read_by)
    standing = [_shown(number, one, settings=settings) for number, one in enumerate(signed, 1)]
    readings = tuple(one.reading for one in signed)
    if lot is None or food is None or not readings:
        return LabelShown(
            standing=standing, comes_to=(), disagree_about=sorted(disagreement(readings, food=None))
        )
    offer = offer_of(lot, food)
    unlike = disagreement(readings, food=food, packed_since_on=offer.packed_since_on)
    return LabelShown(
        standing=standing,
        comes_to=list(_presences(offer.known)),
        disagree_about=[one for one in Substance if one in unlike],
    )


def _shown(number: int, signed: SignedReading, *, settings: StoreSettings) -> ReadingShown:
    at = None if signed.at is None else datetime.fromisoformat(signed.at)
    reading = signed.reading
    faults = read_text(reading.text, language=reading.language).faults if reading.is_whole else ()
    return ReadingShown(
        number=number,
        by=signed.by,
        read_on=None if at is None else day_there(settings, at=at),
        reading=reading,
        text_faults=tuple(sorted(faults)),
    )


def _presences(known: Known) -> Iterator[PresenceShown]:
    for presence in Presence:
        found = [
            SubstanceShown(one, _telling(known, one))
            for one in Substance
            if known.of(one) is presence
        ]
        if found:
            yield PresenceShown(presence, found)


def _telling(known: Known, substance: Substance) -> tuple[Evidence, ...]:
    """Give the words behind what is said of a substance: of the presence it comes to, each once."""
    said = known.evidence.get(substance, ())
    presence = known.of(substance)
    return tuple(dict.fromkeys(one for one in said if one.presence is presence))
