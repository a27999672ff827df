"""Make a synthetic store for packing kits: hundreds of foods, few openers, energy and bags bind.

The same seed makes the same store. Foods, households and patterns are invented; figures lie where
those of such foods lie, so that many pairs of foods do not make a kit that passes.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MadeOf, MealRole, Texture
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    LotId,
    MemberId,
    PatternId,
    PlaceId,
    StoreId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_patterns import Choice, MealPattern, Served, Slot, SlotKind, Wanted
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.packing_kinds import PackAsked

TAKEN_ON: Final = date(2027, 3, 1)
FOODS: Final = 500
_P, _S, _F = MealRole.PROTEIN, MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE
_ALLERGENS: Final = (Substance.PEANUT, Substance.MILK, Substance.WHEAT, Substance.FISH)


@dataclass(frozen=True)
class _Shape:
    """What foods of a group are like: kcal in 100 g, grams a pack, and the parts they play."""

    group: FoodGroup
    kcal: tuple[int, int]
    net_g: tuple[int, ...]
    roles: tuple[frozenset[MealRole], ...]
    tin_share: float = 0.0


_SHAPES: Final = (
    _Shape(FoodGroup.FISH, (100, 230), (85, 112, 142, 185, 400), (frozenset({_P}),), 0.5),
    _Shape(FoodGroup.MEAT_AND_POULTRY, (120, 260), (142, 200, 284, 340), (frozenset({_P}),), 0.6),
    _Shape(FoodGroup.BEANS_AND_LENTILS, (85, 135), (400, 425, 540), (frozenset({_P, _S}),), 0.6),
    _Shape(
        FoodGroup.PREPARED_MEALS,
        (70, 150),
        (340, 400, 425, 680),
        (frozenset({_P}), frozenset({_P, _S}), frozenset({_P, _S, _F})),
        0.5,
    ),
    _Shape(FoodGroup.NUTS_AND_SEEDS, (540, 640), (40, 60, 100, 150), (frozenset({_P}),)),
    _Shape(FoodGroup.BREADS_AND_CRACKERS, (360, 480), (100, 150, 227, 350), (frozenset({_S}),)),
    _Shape(FoodGroup.GRAINS_AND_PASTA, (110, 180), (220, 250, 300, 425), (frozenset({_S}),), 0.2),
    _Shape(FoodGroup.VEGETABLES, (20, 80), (200, 241, 411, 425), (frozenset({_F}),), 0.5),
    _Shape(FoodGroup.FRUIT, (45, 95), (113, 227, 411, 425, 820), (frozenset({_F}),), 0.4),
    _Shape(FoodGroup.SWEETS, (380, 520), (30, 40, 85, 150), (frozenset(),)),
    _Shape(FoodGroup.DRINKS, (30, 60), (200, 330, 1000), (frozenset(),)),
)


def kit_store(seed: int) -> Snapshot:
    """Make the store of a seed."""
    rng = random.Random(seed)
    foods = tuple(_food(rng, number) for number in range(FOODS))
    places = tuple(
        Place(id=PlaceId(f"P{n:02}"), name=f"Shelf {n}", walk_position=n) for n in range(12)
    )
    lots: list[Lot] = []
    for food in foods:
        for _ in range(rng.choice((1, 2, 3, 4))):
            lots.append(_lot(rng, food, number=len(lots), place=rng.choice(places).id))
    homes = tuple(_home(rng, number) for number in range(3))
    return Snapshot(
        store=StoreId("kits"),
        store_name="A store of kits",
        taken_on=TAKEN_ON,
        settings=StoreSettings(),
        households=homes,
        foods=foods,
        places=places,
        lots=tuple(lots),
        wares=_wares(rng),
    )


def _wares(rng: random.Random) -> tuple[WareStock, ...]:
    place = PlaceId("P00")
    opener = WareStock(kind=WareKind.OPENER, place=place, units=rng.choice((12, 20, 30)))
    rest = [kind for kind in WareKind if kind is not WareKind.OPENER]
    return (opener, *(WareStock(kind=kind, place=place, units=400) for kind in rest))


def _food(rng: random.Random, number: int) -> Food:
    shape = _SHAPES[number % len(_SHAPES)]
    kcal = rng.randint(*shape.kcal)
    return Food(
        id=FoodId(f"f{number:03}"),
        name=f"{shape.group} {number}",
        group=shape.group,
        energy_kcal_100g=kcal,
        protein_g_100g=round(rng.uniform(0, min(24, kcal / 5)), 1),
        net_mass_g=rng.choice(shape.net_g) + rng.randint(-5, 5),
        roles=rng.choice(shape.roles),
        is_extra=shape.group in (FoodGroup.SWEETS, FoodGroup.DRINKS),
        needs_opener=rng.random() < shape.tin_share,
        texture=Texture.SOFT,
        made_of=MadeOf.MIXED,
    )


def _lot(rng: random.Random, food: Food, *, number: int, place: PlaceId) -> Lot:
    held = frozenset(one for one in _ALLERGENS if rng.random() < 0.2)
    ticked = LabelReading(
        contains=held,
        not_declared=frozenset(Substance) - held,
        is_whole=True,
        regime=Regime.US_FDA,
    )
    return Lot(
        id=LotId(f"l{number:04}"),
        food=food.id,
        place=place,
        units=rng.randint(2, 30),
        label_kind=LabelKind.BEST_BY,
        printed=(TAKEN_ON + timedelta(days=rng.randint(30, 1_000))).isoformat(),
        readings=(ticked,) if rng.random() < 0.6 else (),
    )


def _home(rng: random.Random, number: int) -> Household:
    members = tuple(
        Member(
            id=MemberId(f"h{number}-{n}"),
            born_on=TAKEN_ON - timedelta(days=365 * rng.randint(5, 80)),
            sex=rng.choice((Sex.FEMALE, Sex.MALE)),
            restrictions=(Restriction(allergy=_ALLERGENS[number]),) if n == 0 and number else (),
            dislikes=("beans and lentils",) if n == 1 else (),
        )
        for n in range(rng.randint(2, 5))
    )
    return Household(id=HouseholdId(f"h{number}"), members=members)


def _any_of(*groups: FoodGroup) -> tuple[Choice, ...]:
    return tuple(Choice(foods=(Wanted(group=group),)) for group in groups)


_MAIN: Final = _any_of(
    FoodGroup.FISH, FoodGroup.MEAT_AND_POULTRY, FoodGroup.PREPARED_MEALS, FoodGroup.NUTS_AND_SEEDS
)
_PULSES: Final = _any_of(FoodGroup.BEANS_AND_LENTILS, FoodGroup.PREPARED_MEALS)
_BREAD: Final = _any_of(FoodGroup.BREADS_AND_CRACKERS, FoodGroup.GRAINS_AND_PASTA)
_MOIST: Final = _any_of(FoodGroup.GRAINS_AND_PASTA, FoodGroup.BEANS_AND_LENTILS)
_GREENS: Final = _any_of(FoodGroup.FRUIT, FoodGroup.VEGETABLES)
_TREAT: Final = _any_of(FoodGroup.SWEETS)
_DRINK: Final = _any_of(FoodGroup.DRINKS)
_TWO_MAINS: Final = Choice(
    foods=(Wanted(group=FoodGroup.FISH), Wanted(group=FoodGroup.MEAT_AND_POULTRY))
)


def _slot(kind: SlotKind, choices: tuple[Choice, ...], *, each: float = 1.0) -> Slot:
    return Slot(kind=kind, choices=choices, servings_each=each, served=Served.PLATE)


def _pattern(id_: str, *slots: Slot) -> MealPattern:
    return MealPattern(id=PatternId(id_), name=f"Supper {id_}", persons=4, slots=slots)


PATTERNS: Final = (
    _pattern(
        "a",
        _slot(SlotKind.PROTEIN, (*_MAIN, _TWO_MAINS), each=1.5),
        _slot(SlotKind.STARCH, _BREAD, each=1.5),
        _slot(SlotKind.FRUIT_OR_VEGETABLE, _GREENS),
        _slot(SlotKind.EXTRA, _TREAT),
    ),
    _pattern(
        "b",
        _slot(SlotKind.PROTEIN, _PULSES, each=1.5),
        _slot(SlotKind.STARCH, _MOIST, each=1.5),
        _slot(SlotKind.FRUIT_OR_VEGETABLE, _GREENS),
        _slot(SlotKind.EXTRA, _DRINK, each=0.5),
    ),
    _pattern(
        "c",
        _slot(SlotKind.PROTEIN, (*_PULSES, *_MAIN), each=1.5),
        _slot(SlotKind.STARCH, _BREAD, each=2.0),
        _slot(SlotKind.FRUIT_OR_VEGETABLE, _GREENS, each=1.5),
    ),
)


def kits_asked(homes: Sequence[Household]) -> tuple[PackAsked, ...]:
    """Ask for fifty kits of five kinds: two for numbers, three for households."""
    a, b, c = PATTERNS
    return (
        PackAsked(pattern=a, wanted=15, persons=4),
        PackAsked(pattern=b, wanted=10, persons=2),
        PackAsked(pattern=c, wanted=8, household=homes[0].id),
        PackAsked(pattern=a, wanted=8, household=homes[1].id),
        PackAsked(pattern=c, wanted=9, household=homes[2].id),
    )
