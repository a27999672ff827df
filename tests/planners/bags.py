"""Put kits together for the tests of checking them and of taking them along."""

from dataclasses import replace
from datetime import timedelta
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MealRole
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.people import Household
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from daysworth.planners.kit_check import CheckAsked, ItemAsked, KitCheck, check_kit
from tests.planners.one_home import also, home, store, woman
from tests.planners.small_stores import AS_OF, food
from tests.planners.warned_homes import read

ROLES: Final = frozenset(MealRole)
DISH: Final = also(food("dish", kcal=250, protein_g=10, net_g=400, roles=ROLES))
"""A pouch of 1,000 kcal with more than a serving of every part of the meal."""
TINNED: Final = also(food("tinned_dish", kcal=250, protein_g=10, roles=ROLES, needs_opener=True))
FRUIT: Final = also(
    food(
        "fruit_cup",
        kcal=50,
        protein_g=0,
        net_g=140,
        group=FoodGroup.FRUIT,
        roles=frozenset({MealRole.FRUIT_OR_VEGETABLE}),
    )
)
PAIR: Final = home(woman("a"), woman("b"))
WARES: Final = {WareKind.PLATE: 2, WareKind.FORK: 2, WareKind.NAPKIN: 2, WareKind.BAG: 1}


def in_kits(of: Food, units: int = 2, /, **more: object) -> Lot:
    """Make a lot whose label was read, and of which every unit is in a kit."""
    return replace(read(of, units, units_in_kits=units), **more)  # type: ignore[arg-type]


def a_kit(id_: str, *lots: str, units: int = 2, **more: object) -> MealKit:
    """Make a kit for two of so many units of each lot."""
    facts: dict[str, object] = {
        "name": f"Kit {id_}",
        "place": PlaceId("hall"),
        "persons": 2,
        "packed_on": AS_OF - timedelta(days=30),
        "wares": WARES,
    }
    items = tuple(KitItem(lot=LotId(one), units=units) for one in lots)
    return MealKit(id=KitId(id_), items=items, **{**facts, **more})  # type: ignore[arg-type]


def stocked(
    *lots: Lot, kits: tuple[MealKit, ...] = (), homes: tuple[Household, ...] = (PAIR,)
) -> Snapshot:
    """Make a store whose lots are named "0", "1" and so on, with kits of them."""
    return replace(store(homes, lots), kits=kits)


def items(*lots: str, units: int = 1) -> tuple[ItemAsked, ...]:
    """Ask for so many units of each lot."""
    return tuple(ItemAsked(lot=LotId(one), units=units) for one in lots)


def checked(snapshot: Snapshot, *given: ItemAsked, **more: object) -> KitCheck:
    """Check items for two persons, unless it is told for whom."""
    whom = {} if "household" in more else {"persons": 2}
    asked = CheckAsked(items=given, **{**whom, **more})  # type: ignore[arg-type]
    return check_kit(snapshot, AS_OF, asked=asked)


HOME: Final = HouseholdId("h")
