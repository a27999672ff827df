"""Write what goes on a visit, place by place, in walking order. The names here are those in JSON.

Dates are those of the label alone: a partner's rules do not know the store's grace.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from daysworth.domain.identifiers import PlaceId
from daysworth.domain.lots import Place

Line = TypeVar("Line")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLineAnswer:
    """Units of a lot. `last_good_day` is by its label alone; null: undated."""

    lot: str
    food: str
    food_name: str
    units: int
    mass_g: float
    energy_kcal: float
    label_kind: str
    printed: str | None
    last_good_day: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPlaceAnswer:
    """What is taken from one place, by food and date; the places stand in walking order."""

    place: str
    place_name: str
    lines: list[PackLineAnswer]


def in_walking_order(
    lines: Iterable[Line], *, places: Sequence[Place], place_of: Callable[[Line], PlaceId]
) -> list[tuple[Place, list[Line]]]:
    """Group lines by place, the places in walking order; within one they stay as they stand."""
    found: dict[PlaceId, list[Line]] = {}
    for line in lines:
        found.setdefault(place_of(line), []).append(line)
    ordered = sorted(places, key=lambda one: (one.walk_position, one.name, one.id))
    return [(place, found[place.id]) for place in ordered if place.id in found]
