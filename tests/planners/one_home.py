"""Build stores small enough to be reckoned by hand: people who need 2,000 kcal, packs of 1,000."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import HouseholdId, LotId, MemberId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import Coverage, plan_coverage
from daysworth.planners.scenario import Scenario
from tests.planners.small_stores import AS_OF, food

BREAD: Final = food("bread", kcal=500, protein_g=20, net_g=200)
"""1,000 kcal and 40 g of protein a pack."""
OIL: Final = food("oil", kcal=800, protein_g=0, net_g=125, is_extra=True)
STARCH: Final = food("starch", kcal=400, protein_g=1, net_g=250)
WATER: Final = food(
    "water", kcal=0, protein_g=0, net_g=1_000, group=FoodGroup.WATER, shelf_life_months=6
)
DRY: Final = Scenario(running_water=True)
"""Water runs, so that food alone counts."""


def woman(id_: str = "a", **more: object) -> Member:
    """Make a woman of 27: 2,000 kcal by the table at moderate activity, 46 g of protein."""
    facts: dict[str, object] = {"born_on": AS_OF.replace(year=AS_OF.year - 27), "sex": Sex.FEMALE}
    return Member(id=MemberId(id_), **{**facts, **more})  # type: ignore[arg-type]


def home(*members: Member, id_: str = "h", pets: int = 0) -> Household:
    """Make a household; a woman alone if nobody is named."""
    return Household(id=HouseholdId(id_), members=members or (woman(),), pets=pets)


def lot(of: Food, units: int, **more: object) -> Lot:
    """Make a lot of a food, good for years unless told otherwise."""
    facts: dict[str, object] = {
        "id": LotId(f"{of.id}-{units}-{len(more)}"),
        "place": PlaceId("hall"),
        "label_kind": LabelKind.USE_BY,
        "printed": "2090",
    }
    return Lot(food=of.id, units=units, **{**facts, **more})  # type: ignore[arg-type]


def filled(litres: int, **more: object) -> Lot:
    """Make a lot of litre bottles filled a week ago."""
    return lot(WATER, litres, label_kind=LabelKind.PACKED_ON, printed="2027-05-07", **more)


def store(
    homes: Iterable[Household] = (), lots: Iterable[Lot] = (), **settings: object
) -> Snapshot:
    """Make a store of these homes (one woman alone, if none) and lots."""
    held = tuple(lots)
    return Snapshot(
        store=StoreId("one"),
        store_name="One",
        taken_on=AS_OF,
        settings=StoreSettings(**settings),  # type: ignore[arg-type]
        households=tuple(homes) or (home(),),
        foods=(BREAD, OIL, STARCH, WATER, *_others(held)),
        places=(Place(id=PlaceId("hall"), name="Hall"), Place(id=PlaceId("attic"), name="Attic")),
        lots=tuple(replace(one, id=LotId(f"{n}")) for n, one in enumerate(held)),
    )


_MORE: Final[dict[str, Food]] = {}


def also(made: Food) -> Food:
    """Let stores hold another food, the same in every test that there is."""
    if _MORE.setdefault(made.id, made) != made:
        raise ValueError(f"there is another food {made.id!r} already")
    return made


def _others(lots: Iterable[Lot]) -> list[Food]:
    return [_MORE[name] for name in sorted({one.food for one in lots} & set(_MORE))]


def asked(snapshot: Snapshot, scenario: Scenario = DRY) -> Coverage:
    """Ask a store for its coverage."""
    return plan_coverage(snapshot, AS_OF, scenario=scenario)
