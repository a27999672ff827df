"""Write snapshot files that hold kits, for the commands that ask about them."""

from dataclasses import replace
from datetime import date
from functools import cache
from typing import Final

from daysworth.answers.snapshot_file import write_snapshot
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PatternId, PlaceId
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Waiver,
    Wanted,
)
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind

AS_OF: Final = date(2026, 11, 25)
HALL: Final = PlaceId("hall")

OWN: Final = MealPattern(
    id=PatternId("fish-and-crackers"),
    name="Fish and crackers",
    persons=2,
    slots=(
        Slot(
            kind=SlotKind.PROTEIN,
            choices=(Choice(foods=(Wanted(group=FoodGroup.FISH),)),),
            served=Served.OWN_PACK,
        ),
    ),
    waivers=(
        Waiver(rule=MealRule.COMPLETE, why="It is a snack."),
        Waiver(rule=MealRule.ENERGY, why="It goes with a larger meal."),
    ),
)


def kit(
    id_: str,
    name: str,
    *,
    lots: dict[str, int],
    persons: int = 2,
    household: str | None = None,
    wares: dict[WareKind, int] | None = None,
) -> MealKit:
    """Put units of lots into a kit that stands in the hall, with a waiver."""
    return MealKit(
        id=KitId(id_),
        name=name,
        place=HALL,
        persons=persons,
        packed_on=date(2026, 10, 1),
        items=tuple(
            KitItem(lot=LotId(lot), units=units, served=Served.BOWL) for lot, units in lots.items()
        ),
        household=None if household is None else HouseholdId(household),
        wares=wares or {},
        waivers=(Waiver(rule=MealRule.KEEPS, why="It is eaten this autumn."),),
        steps=("Open the tins and share them out.",),
    )


KITS: Final = (
    kit("K-SALMON", "Salmon and rice", lots={"L001": 2, "L101": 3}, wares={WareKind.OPENER: 1}),
    kit("K-STEW", "Beef stew", lots={"L017": 4}, persons=4),
    kit("K-JERKY", "Jerky and nuts", lots={"L009": 2, "L051": 2}),
    kit("K-PEAS", "Salmon for parcel 5", lots={"L001": 1, "L101": 1}, household="H05", persons=5),
)
"""Four kits: two need an opener, one is due before the next round, one is for a household."""


@cache
def store_with_kits() -> Snapshot:
    """Give the invented neighbourhood with some kits, and with a pattern of its own."""
    made = neighbourhood(AS_OF)
    held: dict[LotId, int] = {}
    for one in KITS:
        for item in one.items:
            held[item.lot] = held.get(item.lot, 0) + item.units
    lots = tuple(replace(lot, units_in_kits=held.get(lot.id, 0)) for lot in made.lots)
    return replace(made, lots=lots, kits=KITS, patterns=(OWN,))


@cache
def file_with_kits() -> bytes:
    """Give that store as a snapshot file."""
    return write_snapshot(store_with_kits())
