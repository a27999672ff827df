"""Write what is picked for kits, place by place, in walking order.

The names here are the names in JSON.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from daysworth.answers.kit_words import ware_words
from daysworth.domain.identifiers import LotId, PlaceId
from daysworth.domain.lots import Place
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.wares import WareKind
from daysworth.planners.shelf import DatedLot


@dataclass(frozen=True, slots=True, kw_only=True)
class PickLineAnswer:
    """Units of a lot, or of a ware, that are taken from a place, for all kits together."""

    lot: str | None
    food: str | None
    ware: str | None
    name: str
    units: int
    last_good_day: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PickPlaceAnswer:
    """What is picked in one place; the places stand in walking order."""

    place: str
    place_name: str
    lines: list[PickLineAnswer]


def picking_answer(
    kits: Iterable[KitToPack], *, lots: Mapping[LotId, DatedLot], places: Sequence[Place]
) -> list[PickPlaceAnswer]:
    """List what kits take from where: in each place foods by name and date, then wares."""
    units, wares = Counter[LotId](), Counter[tuple[PlaceId, WareKind]]()
    for kit in kits:
        units.update({item.lot: item.units for item in kit.items})
        for ware in kit.wares:
            wares[ware.place, ware.kind] += ware.units
    lines: dict[PlaceId, list[PickLineAnswer]] = {}
    for id_ in sorted(units, key=lambda id_: _by_name(lots[id_])):
        item = lots[id_]
        lines.setdefault(item.lot.place, []).append(_of_lot(item, units=units[id_]))
    order = list(WareKind)
    for place, kind in sorted(wares, key=lambda one: order.index(one[1])):
        lines.setdefault(place, []).append(_of_ware(kind, units=wares[place, kind]))
    return [
        PickPlaceAnswer(place=one.id, place_name=one.name, lines=lines[one.id])
        for one in sorted(places, key=lambda one: (one.walk_position, one.name, one.id))
        if one.id in lines
    ]


def _by_name(item: DatedLot) -> tuple[str, date, str]:
    return item.food.name, item.last_good_day or date.max, item.lot.id


def _of_lot(item: DatedLot, *, units: int) -> PickLineAnswer:
    return PickLineAnswer(
        lot=item.lot.id,
        food=item.food.id,
        ware=None,
        name=item.food.name,
        units=units,
        last_good_day=item.last_good_day,
    )


def _of_ware(kind: WareKind, *, units: int) -> PickLineAnswer:
    return PickLineAnswer(
        lot=None,
        food=None,
        ware=kind,
        name=ware_words(kind, units=units),
        units=units,
        last_good_day=None,
    )
