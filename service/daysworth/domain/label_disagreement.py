"""Find what two readings of one label say differently. The stricter holds until it is settled."""

from collections.abc import Sequence
from itertools import combinations

from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import Substance


def disagreement(readings: Sequence[LabelReading]) -> frozenset[Substance]:
    """Give the substances of which two readings say different things.

    One finds it and the other was free of it; or one says "contains" and the other "may contain".
    """
    found: set[Substance] = set()
    for one, other in combinations(readings, 2):
        found |= _told_apart(one, other) | _told_apart(other, one)
    return frozenset(found)


def _told_apart(one: LabelReading, other: LabelReading) -> frozenset[Substance]:
    """Give what one reading finds and another denies, or finds to be less."""
    denied = (one.contains | one.may_contain) & (other.free_from | other.not_declared)
    return denied | (one.contains & (other.may_contain - other.contains))
