"""Gather all that decides whom a lot suits: the food, its label, when packed, whether handled."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache
from typing import Final

from daysworth.domain.demands import Demand
from daysworth.domain.foods import Food
from daysworth.domain.known import Known, known_of
from daysworth.domain.label_dates import LabelKind, first_day
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Lot
from daysworth.domain.regimes import packed_since_day
from daysworth.domain.verdicts import Reason

OFFERS_REMEMBERED: Final = 4_096
"""Offers that are kept with all that is known of them: a large store's, from one question to the
next."""

_PACKED_ON: Final = LabelKind.PACKED_ON


@dataclass(frozen=True)
class Offer:
    """A food as it stands in a lot. Two lots with equal offers suit the same people.

    `packed_since_on` is the last change of a labelling law before it was packed; None: it is not
    known when that was.
    """

    food: Food
    readings: tuple[LabelReading, ...] = ()
    is_handled_here: bool = False
    packed_since_on: date | None = None

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        # Every stack of a store is looked up by its offer, and a food has many fields.
        return hash((self.food, self.readings, self.is_handled_here, self.packed_since_on))

    @cached_property
    def known(self) -> Known:
        """Give what is known of the food; read once, however many people it is judged for."""
        return known_of(self.food, readings=self.readings, packed_since_on=self.packed_since_on)

    @cached_property
    def decided(self) -> dict[Demand, Reason]:
        """Hold the reasons found so far, so that no demand is decided twice for one offer."""
        return {}


@lru_cache(maxsize=OFFERS_REMEMBERED)
def _offered(
    food: Food,
    *,
    readings: tuple[LabelReading, ...],
    is_handled_here: bool,
    packed_since_on: date | None,
) -> Offer:
    return Offer(food, readings, is_handled_here, packed_since_on)


def offer_of(lot: Lot, food: Food) -> Offer:
    """Give what a lot offers: the one offer for all that is the same, so that it is read once."""
    return _offered(
        food,
        readings=lot.readings,
        is_handled_here=lot.is_handled_here,
        packed_since_on=packed_since_on(lot),
    )


def packed_since_on(lot: Lot) -> date | None:
    """Give the last change of a labelling law before a lot was packed; None: not known when."""
    if lot.label_kind is not _PACKED_ON or lot.printed is None:
        return None
    return packed_since_day(first_day(lot.printed))
