"""Count complete meals: the most person-meals that the stock makes for each class by itself.

A complete meal is a serving of protein, of starch, and of fruit or vegetable for one person, eaten
cold and with no water added: the trade's own unit. Each class is asked as if all that suits it were
its own, its household's own stock included, so the classes' meals do not add up. Servings are
divisible. Extras play no part, and neither does how much energy a meal has.

A food may fill two parts or three, but a serving of it is eaten in one meal. So a meal is a set of
servings that fill all three parts between them, and the most meals are a small linear program over
the sets of parts that foods fill. By duality its optimum is the least of four sums: for each part,
the servings that can fill it; and half of all servings that fill one part or two, for a meal takes
two of them at least. Servings that fill all three parts are meals by themselves, and come on top.

Infants under twelve months eat no such meals, so classes of infants are left out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.ages import Stage
from daysworth.domain.foods import Food, MealRole, Preparation
from daysworth.domain.servings import serving_g
from daysworth.planners.classes import EatingClass
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays
from daysworth.planners.shelf import Stack

Roles = frozenset[MealRole]
_ALL: Final = frozenset(MealRole)
_ROLE_SETS: Final = tuple(
    frozenset(role for bit, role in enumerate(MealRole) if number >> bit & 1)
    for number in range(2 ** len(MealRole))
)
_NUMBER_OF: Final = {roles: number for number, roles in enumerate(_ROLE_SETS)}
_SOME: Final = 1e-9


@dataclass(frozen=True, slots=True)
class ClassMeals:
    """The complete meals of one class, and which part of a meal is scarcest.

    `person_meals` is exact, not rounded. `scarcest` is the part of which one more serving alone
    would add most; None: no part alone would add any.
    """

    members: EatingClass
    person_meals: float
    scarcest: MealRole | None


def complete_meals(grounds: Grounds, final: Sequence[ClassDays]) -> tuple[ClassMeals, ...]:
    """Count the meals of every class that eats what is on the table, in the classes' order."""
    stacks = grounds.question.stacks
    numbers = np.array([_NUMBER_OF[_roles(stack.offer.food)] for stack in stacks], dtype=np.intp)
    servings = np.array([_servings(stack) for stack in stacks])
    return tuple(
        _meals_of(item.members, numbers=numbers, servings=servings)
        for item in final
        if any(mouth.eater.stage is Stage.TABLE_FOOD for mouth in item.members.mouths)
    )


def most_meals(servings: Mapping[Roles, float]) -> float:
    """Give the most meals that servings make, by the parts that each serving can fill."""
    partly = {roles: many for roles, many in servings.items() if roles and roles != _ALL}
    of_part = [sum(many for roles, many in partly.items() if role in roles) for role in MealRole]
    return servings.get(_ALL, 0.0) + min(*of_part, sum(partly.values()) / 2)


def scarcest_part(servings: Mapping[Roles, float]) -> MealRole | None:
    """Give the part of which one more serving alone adds most meals; None: none adds any.

    Where parts would add the same, it is the one that fewest servings can fill.
    """
    now = most_meals(servings)
    gains: list[tuple[float, float, MealRole]] = []
    for role in MealRole:
        alone = frozenset({role})
        gain = most_meals({**servings, alone: servings.get(alone, 0.0) + 1.0}) - now
        fills = sum(many for roles, many in servings.items() if role in roles)
        gains.append((round(-gain, 9), fills, role))
    gain, _, scarcest = min(gains, key=lambda one: one[:2])
    return scarcest if gain < -_SOME else None


def _meals_of(
    one: EatingClass, *, numbers: NDArray[np.intp], servings: NDArray[np.float64]
) -> ClassMeals:
    suits = np.array(sorted(one.suits), dtype=np.intp)
    summed = np.bincount(numbers[suits], weights=servings[suits], minlength=len(_ROLE_SETS))
    of_roles = {roles: float(summed[number]) for number, roles in enumerate(_ROLE_SETS) if roles}
    return ClassMeals(one, most_meals(of_roles), scarcest_part(of_roles))


def _roles(food: Food) -> Roles:
    """Give the parts a food fills as it is, cold and dry."""
    if Preparation.NEEDED in (food.heating, food.added_water):
        return frozenset()
    return food.roles


def _servings(stack: Stack) -> float:
    food = stack.offer.food
    return stack.energy_kcal / food.energy_kcal_100g * 100 / serving_g(food)
