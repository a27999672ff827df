"""Find what two readings of one label say differently. The stricter holds until it is settled."""

from collections.abc import Sequence
from datetime import date
from itertools import combinations

from daysworth.domain.foods import Food
from daysworth.domain.known import disagreeing
from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import Substance


def disagreement(
    readings: Sequence[LabelReading], *, food: Food | None, packed_since_on: date | None = None
) -> frozenset[Substance]:
    """Give the substances of which two readings say different things.

    As ticked: one finds it and the other was free of it, or one says "contains" and the other "may
    contain". As copied: one finds it and another, whole under the laws of the food, does not; that
    can be told only where it is known what `food` it is.
    """
    ticked = _as_ticked(readings)
    if food is None or len(readings) < 2:
        return ticked
    return ticked | disagreeing(food, readings=readings, packed_since_on=packed_since_on)


def _as_ticked(readings: Sequence[LabelReading]) -> frozenset[Substance]:
    found: set[Substance] = set()
    for one, other in combinations(readings, 2):
        found |= _told_apart(one, other) | _told_apart(other, one)
    return frozenset(found)


def _told_apart(one: LabelReading, other: LabelReading) -> frozenset[Substance]:
    """Give what one reading finds and another denies, or finds to be less."""
    denied = (one.contains | one.may_contain) & (other.free_from | other.not_declared)
    return denied | (one.contains & (other.may_contain - other.contains))
