"""Hold what the programs count of each stack as rows of figures, in the stacks' order."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.shelf import Stack


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """Kcal of each stack, its day, and grams of protein and litres of needed water to a kcal.

    Stacks of one offer that the same household keeps, or nobody, are of one kind, for they suit
    alike: `kind` numbers them, and `first` gives a stack of each kind.
    """

    energy_kcal: NDArray[np.float64]
    day: NDArray[np.int64]
    is_extra: NDArray[np.bool_]
    protein_g_kcal: NDArray[np.float64]
    water_l_kcal: NDArray[np.float64]
    kind: NDArray[np.int64]
    first: tuple[int, ...]

    def and_one(self, stack: Stack) -> "Figures":
        """Give the figures with those of one more stack, as a kind of its own."""
        one = figures_of((stack,))
        return Figures(
            np.append(self.energy_kcal, one.energy_kcal),
            np.append(self.day, one.day),
            np.append(self.is_extra, one.is_extra),
            np.append(self.protein_g_kcal, one.protein_g_kcal),
            np.append(self.water_l_kcal, one.water_l_kcal),
            np.append(self.kind, len(self.first)),
            (*self.first, len(self.kind)),
        )


def figures_of(stacks: Sequence[Stack]) -> Figures:
    """Read the figures of stacks."""
    foods: dict[int, tuple[bool, float, float]] = {}
    kinds: dict[tuple[int, HouseholdId | None], int] = {}
    first: list[int] = []
    kind = []
    food_of = []
    for s, stack in enumerate(stacks):
        key = id(stack.offer), stack.kept_by
        number = kinds.get(key)
        if number is None:
            number = kinds[key] = len(first)
            first.append(s)
        kind.append(number)
        food = stack.offer.food
        found = foods.get(id(food))
        if found is None:
            kcal = food.energy_kcal(100)
            found = food.is_extra, food.protein_g(100) / kcal, food.needed_water_l(100) / kcal
            foods[id(food)] = found
        food_of.append(found)
    return Figures(
        np.array([stack.energy_kcal for stack in stacks], dtype=np.float64),
        np.array([stack.day for stack in stacks], dtype=np.int64),
        np.array([is_extra for is_extra, _, _ in food_of], dtype=np.bool_),
        np.array([protein for _, protein, _ in food_of], dtype=np.float64),
        np.array([water for _, _, water in food_of], dtype=np.float64),
        np.array(kind, dtype=np.int64),
        tuple(first),
    )
