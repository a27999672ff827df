"""Put kits of the built-in menus together by the simplest search: every choice, usual packs."""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import product
from math import ceil
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food
from daysworth.domain.kit_rules import (
    Diners,
    PackedFood,
    RuleFinding,
    check_rules,
    wares_needed,
)
from daysworth.domain.meal_patterns import Choice, MealPattern, Slot
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.servings import servings

PACKED_ON: Final = date(2026, 3, 1)
NEARLY: Final = 1e-9


def units_for(slot: Slot, food: Food, *, persons: int, share: float = 1.0) -> int:
    """Count the usual packs of a food that fill a share of a slot: never a part of a pack."""
    if slot.grams_in_all is not None:
        return ceil(slot.grams_in_all * share / food.net_mass_g - NEARLY)
    return ceil(slot.servings_each * persons * share / servings(food) - NEARLY)


def fillings(pattern: MealPattern, *, persons: int | None = None) -> Iterator[list[PackedFood]]:
    """Fill a menu in every way that its choices leave, with usual packs that were made that day."""
    many = persons or pattern.persons
    for choices in product(*(slot.choices for slot in pattern.slots)):
        yield filled(pattern, choices, persons=many)


def filled(pattern: MealPattern, choices: Sequence[Choice], *, persons: int) -> list[PackedFood]:
    """Fill each slot by its choice; a dish that fills two parts of the meal goes in once."""
    kit: dict[str, PackedFood] = {}
    for slot, choice in zip(pattern.slots, choices, strict=True):
        for wanted in choice.foods:
            food = generic_foods()[wanted.food]  # type: ignore[index]
            units = units_for(slot, food, persons=persons, share=1 / len(choice.foods))
            before = kit[food.id].units if food.id in kit else 0
            kit[food.id] = PackedFood(
                food=food,
                units=max(units, before),
                last_good_day=PACKED_ON + relativedelta(months=food.shelf_life_months or 0),
                served=slot.served,
            )
    return list(kit.values())


def judged(
    pattern: MealPattern, kit: Sequence[PackedFood], *, kcal_each: float, persons: int | None = None
) -> tuple[RuleFinding, ...]:
    """Judge a kit with all the wares that it needs, for people who need so much in a day."""
    many = persons or pattern.persons
    wares = wares_needed(
        [(one.food, one.served) for one in kit], persons=many, utensil=pattern.utensil
    )
    return check_rules(
        kit,
        wares=wares,
        diners=Diners(persons=many, energy_kcal_day=many * kcal_each),
        packed_on=PACKED_ON,
        rules=MealRules(),
        waivers=pattern.waivers,
    )
