"""Say which allergens are in a kit, may be in it, and of which nobody knows, over all its foods.

Silence clears nothing: an allergen is left out of all three lists only where every label was read
whole, and each of them had to declare it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.domain.labels import Presence
from daysworth.domain.offers import Offer
from daysworth.domain.regimes import named_by_a_law
from daysworth.domain.restrictions import Substance

_STRICTEST_FIRST: Final = tuple(Presence)
_POSSIBLE: Final = frozenset({Presence.POSSIBLE, Presence.IN_DOUBT})
_NOT_KNOWN: Final = frozenset({Presence.NOT_KNOWN, Presence.NOT_LISTED})
"""What is not listed might be in it all the same: no law had the maker name it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitAllergens:
    """The allergens of all foods in a kit: those that some law has declared on labels.

    `present`: in one food at least. `may_be_present`: a label warns of it, or a word may mean it.
    `not_known`: neither, and not every label clears it. `is_read`: every food's label was read.
    """

    present: tuple[Substance, ...]
    may_be_present: tuple[Substance, ...]
    not_known: tuple[Substance, ...]
    is_read: bool


def allergens_of(offers: Iterable[Offer]) -> KitAllergens:
    """Gather the allergens of foods that are served together, in the order of `Substance`."""
    given = tuple(offers)
    worst = {
        one: _worst(given, one)
        for one in sorted(named_by_a_law(), key=tuple(Substance).index)
        if given
    }
    return KitAllergens(
        present=tuple(one for one, how in worst.items() if how is Presence.CONTAINED),
        may_be_present=tuple(one for one, how in worst.items() if how in _POSSIBLE),
        not_known=tuple(one for one, how in worst.items() if how in _NOT_KNOWN),
        is_read=all(offer.readings for offer in given),
    )


def _worst(offers: Sequence[Offer], substance: Substance) -> Presence:
    """Give how an allergen stands in the food that is worst, cross-contact counted."""
    return min((_stands(offer, substance) for offer in offers), key=_STRICTEST_FIRST.index)


def _stands(offer: Offer, substance: Substance) -> Presence:
    found = offer.known.of(substance)
    # What was opened or repacked here may have met anything: no label speaks for it any more.
    is_cleared = found in (Presence.ABSENT, Presence.NOT_LISTED)
    return Presence.NOT_KNOWN if is_cleared and offer.is_handled_here else found
