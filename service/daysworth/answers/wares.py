"""Write how many of each ware stand where. The names here are the names in JSON."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from daysworth.answers.kit_words import ware_words
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.wares import WareKind, WareStock


@dataclass(frozen=True, slots=True, kw_only=True)
class WareAnswer:
    """How many of one ware stand free in one place; those in kits are counted with the kits."""

    kind: str
    name: str
    place: str
    place_name: str
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WareTotal:
    """How many of one ware stand free anywhere, and how many are in closed kits."""

    kind: str
    name: str
    units_free: int
    units_in_kits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WaresAnswer:
    """All wares of a store, place by place, and of each kind in all."""

    items: list[WareAnswer]
    totals: list[WareTotal]


def wares_answer(
    wares: Iterable[WareStock],
    *,
    places: Mapping[PlaceId, str],
    in_kits: Mapping[WareKind, int],
) -> WaresAnswer:
    """Write the wares of a store, those of a kind together, every kind once in the totals."""
    order = list(WareKind)
    stock = sorted(wares, key=lambda one: (order.index(one.kind), places[one.place], one.place))
    free = dict.fromkeys(WareKind, 0)
    for one in stock:
        free[one.kind] += one.units
    return WaresAnswer(
        items=[ware_answer(one, places=places) for one in stock],
        totals=[
            WareTotal(
                kind=kind,
                name=ware_words(kind),
                units_free=units,
                units_in_kits=in_kits.get(kind, 0),
            )
            for kind, units in free.items()
        ],
    )


def ware_answer(one: WareStock, *, places: Mapping[PlaceId, str]) -> WareAnswer:
    """Write the stock of one ware in one place."""
    return WareAnswer(
        kind=one.kind,
        name=ware_words(one.kind),
        place=one.place,
        place_name=places[one.place],
        units=one.units,
    )
