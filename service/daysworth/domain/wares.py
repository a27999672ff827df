"""Name what goes into a kit beside food: an opener, tableware and the bag. They run out too."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from annotated_types import Ge, Le

from daysworth.domain.identifiers import IdLength, PlaceId


class WareKind(StrEnum):
    """A thing that is put in a kit and is no food."""

    OPENER = "opener"
    PLATE = "plate"
    BOWL = "bowl"
    FORK = "fork"
    SPOON = "spoon"
    NAPKIN = "napkin"
    BAG = "bag"


WareUnits = Annotated[int, Ge(0), Le(1_000_000)]


@dataclass(frozen=True, slots=True, kw_only=True)
class WareStock:
    """How many of a ware stand free in a place; those in kits are counted with the kits."""

    kind: WareKind
    place: Annotated[PlaceId, IdLength]
    units: WareUnits
