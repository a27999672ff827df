"""Tell of lots that nobody has yet said what they are: on the shelf, and in no plan."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WaitingAnswer:
    """A lot without a food: what its giver called it, how many units, and its place's name."""

    lot: str
    words: str
    units: int
    place: str
