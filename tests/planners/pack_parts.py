"""What the trying of kits is made of: parts, kits, and what they are worth."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from daysworth.domain.foods import Food
from daysworth.domain.meal_patterns import Served, Slot, Wanted
from daysworth.domain.servings import servings
from daysworth.domain.wares import WareKind

Worth = tuple[int, int, int, int, int, int]
"""Kits, disliked fills, days until the pull-by dates, hundredths of servings over (each fill's
counted up), days between dates, places of choices; what is to be least stands as its negative."""
Cell = tuple[str, float, frozenset[int], date]
"""Packs that nothing tells apart: food, net mass, kinds that may use them, last good day."""
Good = tuple[Food, float, frozenset[int]]
"""Packs that are alike but for their dates: food, net mass, kinds that may use them."""
NOTHING: Worth = (0, 0, 0, 0, 0, 0)


@dataclass(frozen=True)
class Kit:
    """What one kit takes of each cell and ware, and what it is worth."""

    packs: tuple[tuple[Cell, int], ...]
    wares: tuple[tuple[WareKind, int], ...]
    worth: Worth


@dataclass(frozen=True)
class Part:
    """Slots that are filled by one food, with the packs asked for and the place of its choice."""

    food: Food
    net_mass_g: float
    takers: frozenset[int]
    units: int
    over: float
    rank: int
    served: Served


def one_more(
    plans: Mapping[tuple[int, ...], Worth],
    kits: Sequence[tuple[tuple[tuple[int, int], ...], Worth]],
) -> dict[tuple[int, ...], Worth]:
    """Add one kit to every plan in every way that what is left allows."""
    found: dict[tuple[int, ...], Worth] = {}
    for state, worth in plans.items():
        for taken, more in kits:
            after = list(state)
            for n, units in taken:
                after[n] -= units
            if min(after) >= 0:
                key = tuple(after)
                total: Worth = tuple(a + b for a, b in zip(worth, more, strict=True))  # type: ignore[assignment]
                if key not in found or found[key] < total:
                    found[key] = total
    return found


def subsets(slots: tuple[int, ...], size: int) -> Iterator[tuple[int, ...]]:
    """List the ways to choose so many of some slots."""
    if size == 0:
        yield ()
        return
    for n, first in enumerate(slots):
        yield from ((first, *rest) for rest in subsets(slots[n + 1 :], size - 1))


def takes(slot: Slot, wanted: Wanted, *, food: Food) -> bool:
    """Tell whether a slot takes a food by what a choice of it names."""
    if food.group.value in ("water", "infant_formula", "baby_food"):
        return False
    if slot.kind.value != "extra" and slot.kind.value not in {role.value for role in food.roles}:
        return False
    return wanted.food == food.id or wanted.group is food.group


def part_of(good: Good, needed: float, *, rank: int, served: Served) -> Part:
    """Give a part that is filled by so many packs of a good, counted up."""
    food, mass_g, takers = good
    units = max(1, ceil(needed - 1e-9))
    over = max(0.0, units - needed) * servings(food, mass_g)
    return Part(food, mass_g, takers, units, over, rank, served)
