"""Make small stores and questions in which kits can be counted by trying: few packs, hard rules."""

import random
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MealRole, Preparation
from daysworth.domain.identifiers import HouseholdId, LotId, MemberId, PatternId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Utensil,
    Waiver,
    Wanted,
)
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.packing import PackAsked
from tests.planners.small_stores import AS_OF, food

_P, _S, _F = MealRole.PROTEIN, MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE
_NEEDED: Final = Preparation.NEEDED
FISH, BEANS, CRACKERS = FoodGroup.FISH, FoodGroup.BEANS_AND_LENTILS, FoodGroup.BREADS_AND_CRACKERS
FRUIT, SWEETS, MEALS = FoodGroup.FRUIT, FoodGroup.SWEETS, FoodGroup.PREPARED_MEALS


def _of(id_: str, group: FoodGroup, *, kcal: float, net_g: float, **more: object) -> Food:
    return food(id_, kcal=kcal, protein_g=1, net_g=net_g, group=group, **more)


FOODS: Final = (
    _of("tuna tin", FISH, kcal=200, net_g=85, roles=frozenset({_P}), needs_opener=True),
    _of("sardines", FISH, kcal=120, net_g=60, roles=frozenset({_P})),
    _of("mackerel", FISH, kcal=230, net_g=120, roles=frozenset({_P})),
    _of("baked beans", BEANS, kcal=100, net_g=200, roles=frozenset({_P, _S})),
    _of("lentil tin", BEANS, kcal=110, net_g=130, roles=frozenset({_P, _S}), needs_opener=True),
    _of("stew", MEALS, kcal=90, net_g=245, roles=frozenset({_P, _S, _F})),
    _of(
        "oat crackers",
        CRACKERS,
        kcal=450,
        net_g=30,
        roles=frozenset({_S}),
        keeps_opened_days=250,
    ),
    _of("rye crackers", CRACKERS, kcal=380, net_g=45, roles=frozenset({_S})),
    _of("peaches", FRUIT, kcal=60, net_g=140, roles=frozenset({_F})),
    _of("pear tin", FRUIT, kcal=90, net_g=280, roles=frozenset({_F}), needs_opener=True),
    _of("apple bits", FRUIT, kcal=75, net_g=100, roles=frozenset({_F})),
    _of("dates", SWEETS, kcal=500, net_g=30, is_extra=True, keeps_opened_days=300),
    _of("honey bar", SWEETS, kcal=400, net_g=15, is_extra=True),
    _of(
        "dry lentils",
        BEANS,
        kcal=340,
        net_g=100,
        roles=frozenset({_P, _S}),
        heating=_NEEDED,
        added_water=_NEEDED,
        added_water_ml_100g=200,
    ),
    _of("hot pudding", SWEETS, kcal=300, net_g=30, is_extra=True, heating=_NEEDED),
    _of("fruit bucket", FRUIT, kcal=80, net_g=900, roles=frozenset({_F})),
)
_OF_GROUP: Final = {group: tuple(one for one in FOODS if one.group is group) for group in FoodGroup}
_ALLERGIES: Final = (Substance.PEANUT, Substance.MILK)
_GROUPS_OF: Final = {
    SlotKind.PROTEIN: (FISH, BEANS, MEALS),
    SlotKind.STARCH: (CRACKERS, BEANS, MEALS),
    SlotKind.FRUIT_OR_VEGETABLE: (FRUIT, MEALS),
    SlotKind.EXTRA: (SWEETS, CRACKERS, FISH),
}


def kit_trial(seed: int) -> tuple[Snapshot, tuple[PackAsked, ...]]:
    """Make the store and the question of a seed."""
    rng = random.Random(seed)
    homes = tuple(_home(rng, n) for n in range(2))
    patterns = [_pattern(rng, n) for n in range(rng.choice((1, 1, 2, 2, 3)))]
    asked = tuple(_asked(rng, one, homes=homes, kinds=len(patterns)) for one in patterns)
    return _store(rng, homes=homes, patterns=patterns), asked


def _asked(
    rng: random.Random, pattern: MealPattern, *, homes: Sequence[Household], kinds: int
) -> PackAsked:
    wanted = rng.randint(1, 4 if kinds == 1 else 3 if kinds == 2 else 2)
    if rng.random() < 0.5:
        return PackAsked(pattern=pattern, wanted=wanted, household=rng.choice(homes).id)
    return PackAsked(pattern=pattern, wanted=wanted, persons=rng.choice((None, 1, 1, 2)))


def _home(rng: random.Random, number: int) -> Household:
    members = tuple(
        Member(
            id=MemberId(f"h{number}-{n}"),
            born_on=AS_OF - timedelta(days=rng.choice((200, 3_000, 12_000, 25_000))),
            sex=rng.choice((Sex.FEMALE, Sex.MALE)),
            restrictions=_restrictions(rng),
            dislikes=rng.choice(((), ("Crackers",), ("tuna", "baked beans"), ("peaches",))),
        )
        for n in range(rng.choice((1, 2)))
    )
    first = Member(id=MemberId(f"h{number}"), born_on=date(1990, 2, 1), sex=Sex.FEMALE)
    return Household(id=HouseholdId(f"h{number}"), members=(first, *members[1:]))


def _restrictions(rng: random.Random) -> tuple[Restriction, ...]:
    return (Restriction(allergy=rng.choice(_ALLERGIES)),) if rng.random() < 0.35 else ()


def _pattern(rng: random.Random, number: int) -> MealPattern:
    parts = [SlotKind.PROTEIN, SlotKind.STARCH, SlotKind.FRUIT_OR_VEGETABLE, SlotKind.EXTRA]
    kinds = rng.choice(([*parts[:3]], [*parts[:2]], rng.sample(parts, 2), rng.sample(parts, 3)))
    slots = tuple(_slot(rng, kind) for kind in kinds)
    return MealPattern(
        id=PatternId(f"p{number}"),
        name=f"Supper {number}",
        persons=rng.choice((1, 2)),
        slots=slots,
        utensil=rng.choice(tuple(Utensil)),
        waivers=tuple(Waiver(rule=rule, why="as tried") for rule in _waived(rng, slots)),
    )


def _waived(rng: random.Random, slots: Sequence[Slot]) -> list[MealRule]:
    parts = {slot.kind for slot in slots if slot.servings_each >= 1 and slot.grams_in_all is None}
    waived = [rule for rule in MealRule if rng.random() < 0.08]
    if len(parts - {SlotKind.EXTRA}) < 3 and rng.random() < 0.97:
        waived.append(MealRule.COMPLETE)
    return sorted(set(waived))


def _slot(rng: random.Random, kind: SlotKind) -> Slot:
    groups = _GROUPS_OF[kind]
    choices = [_choice(rng, groups) for _ in range(rng.choice((1, 2, 2, 3)))]
    return Slot(
        kind=kind,
        choices=tuple(choices),
        servings_each=rng.choice((0.5, 1.0, 1.0, 1.0, 1.5)),
        grams_in_all=rng.choice((20.0, 60.0)) if rng.random() < 0.06 else None,
        served=rng.choice(tuple(Served)),
    )


def _choice(rng: random.Random, groups: Sequence[FoodGroup]) -> Choice:
    def wanted() -> Wanted:
        group = rng.choice(groups)
        if rng.random() < 0.6:
            return Wanted(group=group)
        return Wanted(food=rng.choice(_OF_GROUP[group]).id)

    return Choice(foods=tuple(wanted() for _ in range(2 if rng.random() < 0.25 else 1)))


def _store(
    rng: random.Random, *, homes: tuple[Household, ...], patterns: Sequence[MealPattern]
) -> Snapshot:
    slots = [slot for pattern in patterns for slot in pattern.slots]
    needed = [_food_for(rng, slot) for slot in slots]
    chosen = needed + [_food_for(rng, rng.choice(slots)) for _ in range(rng.randint(0, 3))]
    lots = [_lot(rng, of, number=n) for n, of in enumerate(chosen)]
    lots += [_lot(rng, of, number=len(lots) + n) for n, of in enumerate(rng.sample(chosen, 2))]
    return Snapshot(
        store=StoreId("kits"),
        store_name="Kits",
        taken_on=AS_OF,
        settings=StoreSettings(
            meal_rules=MealRules(
                share_of_day=rng.choice((0.02, 0.05, 0.1, 0.15, 0.2)),
                bag_l=rng.choice((0.6, 0.9, 1.2, 7.6, 7.6)),
                pack_g_each=400.0,
            )
        ),
        households=homes,
        foods=FOODS,
        places=tuple(Place(id=PlaceId(one), name=one) for one in ("hall", "attic")),
        lots=tuple(lots),
        wares=tuple(_wares(rng)),
    )


def _food_for(rng: random.Random, slot: Slot) -> Food:
    """Choose a food that a choice of a slot may name; now and then one that plays no such part."""
    wanted = rng.choice(rng.choice(slot.choices).foods)
    role = slot.kind.role
    named = [one for one in FOODS if wanted.food == one.id or wanted.group is one.group]
    playing = [one for one in named if role is None or role in one.roles]
    # What no kit takes as it is stands there more seldom than what kits are made of.
    plain = [one for one in playing if one.heating is not _NEEDED and one.net_mass_g < 900]
    playing = plain if plain and rng.random() < 0.8 else playing
    return rng.choice(playing if playing and rng.random() < 0.98 else named)


def _lot(rng: random.Random, of: Food, *, number: int) -> Lot:
    units = rng.randint(1, 6)
    days = (-5, 100, *(200, 210, 210, 230, 230, 260, 400) * 3)
    day = AS_OF + timedelta(days=rng.choice(days))
    is_dated = rng.random() < 0.97
    is_kept = rng.random() < 0.06
    in_kits = 1 if rng.random() < 0.05 else 0
    return Lot(
        id=LotId(f"l{number}"),
        food=of.id,
        place=PlaceId(rng.choice(("hall", "attic"))),
        units=units + in_kits,
        units_in_kits=in_kits,
        units_promised=1 if rng.random() < 0.05 else 0,
        owner=HouseholdId(rng.choice(("h0", "h1"))) if is_kept else None,
        is_shared=not is_kept,
        net_mass_g=of.net_mass_g * 2 if rng.random() < 0.1 else None,
        label_kind=LabelKind.USE_BY if is_dated else LabelKind.UNLABELLED,
        printed=day.isoformat() if is_dated else None,
        opened_on=AS_OF if rng.random() < 0.05 else None,
        condition=rng.choice((*(Condition.SOUND,) * 60, *Condition)),
        readings=_readings(rng),
    )


def _readings(rng: random.Random) -> tuple[LabelReading, ...]:
    if rng.random() < 0.25:
        return ()
    held = frozenset(one for one in _ALLERGIES if rng.random() < 0.15)
    clear = frozenset(Substance) - held
    return (LabelReading(contains=held, not_declared=clear, is_whole=True, regime=Regime.US_FDA),)


def _wares(rng: random.Random) -> list[WareStock]:
    is_scarce = rng.random() < 0.2
    found = []
    for kind in WareKind:
        units = rng.choice((0, 1, 1, 2, 2, 9)) if kind is WareKind.OPENER else 30
        if is_scarce and kind is not WareKind.OPENER:
            units = rng.choice((1, 2, 3, 4, 30, 30))
        halves = units // 2, units - units // 2
        for place, held in zip(("hall", "attic"), halves, strict=True):
            found.append(WareStock(kind=kind, place=PlaceId(place), units=held))
    return found
