"""Make small stores in which what kits hold can seldom be exchanged: energy and bags just do.

Most goods are there once or twice, each with an energy of its own, and a kit asks for about as much
energy as three of them have. So counts of goods that add up may come apart into no kits.
"""

import random
from dataclasses import replace
from datetime import timedelta
from math import fsum
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MealRole
from daysworth.domain.identifiers import FoodId, LotId, PatternId, PlaceId
from daysworth.domain.kit_rules import pack_volume_l
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.domain.meal_patterns import Choice, MealPattern, Slot, SlotKind, Wanted
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.needs import FLAT_ENERGY_KCAL
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.packing import PackAsked
from tests.planners.small_kits import kit_trial
from tests.planners.small_stores import AS_OF, food

_HALL: Final = PlaceId("hall")
_PARTS: Final = (
    (SlotKind.PROTEIN, FoodGroup.FISH, (85, 170, 255)),
    (SlotKind.STARCH, FoodGroup.BREADS_AND_CRACKERS, (30, 60, 90)),
    (SlotKind.FRUIT_OR_VEGETABLE, FoodGroup.FRUIT, (140, 280, 420)),
)


def tight_trial(seed: int) -> tuple[Snapshot, tuple[PackAsked, ...]]:
    """Make the store and the question of a seed: one kind or two, of the same three parts."""
    rng = random.Random(seed)
    foods = [_food(rng, part, number=n) for part in range(3) for n in range(rng.randint(2, 4))]
    lots = [_lot(rng, one, number=n) for n, one in enumerate(foods)]
    lots += [_lot(rng, rng.choice(foods), number=len(lots) + n) for n in range(rng.randint(0, 1))]
    asked = [_asked(rng, number=n) for n in range(rng.choice((1, 1, 2)))]
    kcal, litres = _of_a_kit(foods)
    rules = MealRules(
        share_of_day=kcal / FLAT_ENERGY_KCAL * rng.uniform(0.85, 1.1),
        bag_l=litres * rng.choice((0.95, 1.1, 10)),
    )
    wares = [WareStock(kind=kind, place=_HALL, units=99) for kind in WareKind]
    wares[0] = replace(wares[0], units=rng.choice((1, 2, 99)))
    snapshot = replace(
        kit_trial(0)[0],
        settings=StoreSettings(meal_rules=rules),
        households=(),
        foods=tuple(foods),
        lots=tuple(lots),
        wares=tuple(wares),
    )
    return snapshot, tuple(asked)


def _food(rng: random.Random, part: int, *, number: int) -> Food:
    kind, group, masses_g = _PARTS[part]
    return food(
        f"{kind} {number}",
        kcal=rng.choice((60, 80, 100, 120, 150, 200, 260, 330, 420)),
        protein_g=1,
        net_g=rng.choice(masses_g[:2]) if rng.random() < 0.9 else masses_g[2],
        group=group,
        roles=frozenset({MealRole(kind.value)}),
        needs_opener=rng.random() < 0.2,
    )


def _lot(rng: random.Random, of: Food, *, number: int) -> Lot:
    day = AS_OF + timedelta(days=rng.choice((200, 210, 240, 300, 300)))
    return Lot(
        id=LotId(f"l{number}"),
        food=of.id,
        place=_HALL,
        units=rng.choice((1, 1, 2, 2)),
        label_kind=LabelKind.USE_BY,
        printed=day.isoformat(),
    )


def _asked(rng: random.Random, *, number: int) -> PackAsked:
    slots = []
    for kind, group, _ in _PARTS:
        first = Choice(foods=(Wanted(food=FoodId(f"{kind} 1")),))
        choices: tuple[Choice, ...] = (first, Choice(foods=(Wanted(group=group),)))
        if rng.random() < 0.2:
            choices = (*choices, Choice(foods=(Wanted(group=group), Wanted(group=group))))
        slots.append(Slot(kind=kind, choices=choices[rng.choice((0, 1)) :]))
    pattern = MealPattern(
        id=PatternId(f"p{number}"), name=f"Supper {number}", persons=1, slots=tuple(slots)
    )
    return PackAsked(pattern=pattern, wanted=rng.choice((3, 4)), persons=rng.choice((1, 1, 2)))


def _of_a_kit(foods: list[Food]) -> tuple[float, float]:
    """Give the energy and the volume of a kit of middling packs for one."""
    by_group: dict[FoodGroup, list[Food]] = {}
    for one in foods:
        by_group.setdefault(one.group, []).append(one)
    kcal = fsum(fsum(f.energy_kcal() for f in held) / len(held) for held in by_group.values())
    litres = fsum(
        fsum(pack_volume_l(f, f.net_mass_g) for f in held) / len(held) for held in by_group.values()
    )
    return kcal, litres
