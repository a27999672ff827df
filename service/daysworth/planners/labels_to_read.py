"""Find the labels whose reading would add most days for everyone, were they to prove suitable.

A label is worth reading where those who run out first may not have the food only because it is not
known whether it suits them. The labels with most energy behind them are tried, each by planning
again as if it alone suited; the gain is exact. What a plan has room for only a small share of (oil,
sugar) is tried after all other food. Two groups that run out on the same day can need two labels
read: then no single one gains a day, and the energy that it opens up orders them.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Final

from daysworth.domain.identifiers import FoodId
from daysworth.domain.offers import Offer, offer_of
from daysworth.planners.classes import EatingClass, Suits, Supposing
from daysworth.planners.shelf import DatedLot, Stack

MOST_TRIED: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelToRead:
    """A label of which it is not known whether it suits those who run out first.

    `lots` have it, and `energy_kcal` is all there is of it within its dates. `everyone_fed_days`
    is for how many days everyone would be fed if it proved suitable.
    """

    offer: Offer
    lots: tuple[DatedLot, ...]
    energy_kcal: float
    everyone_fed_days: float


def labels_to_read(
    held: Iterable[EatingClass],
    *,
    stacks: Sequence[Stack],
    counted: Callable[[FoodId], Sequence[DatedLot]],
    suits: Suits,
    days_if: Callable[[Supposing], float | None],
) -> tuple[LabelToRead, ...]:
    """Try the labels with most behind them, and order them by what they would add.

    `counted` gives the lots of a food that count.
    """
    tried = _most_energy_first(_unknown_to(held, stacks=stacks, suits=suits))[:MOST_TRIED]
    found = []
    for offer, energy_kcal in tried:
        days = days_if(_only(offer))
        if days is not None:
            found.append(
                LabelToRead(
                    offer=offer,
                    lots=_with_label(offer, counted(offer.food.id)),
                    energy_kcal=energy_kcal,
                    everyone_fed_days=days,
                )
            )
    return tuple(sorted(found, key=lambda one: (-one.everyone_fed_days, -one.energy_kcal)))


def _with_label(offer: Offer, counted: Iterable[DatedLot]) -> tuple[DatedLot, ...]:
    return tuple(item for item in counted if offer_of(item.lot, item.food) == offer)


def _only(chosen: Offer) -> Supposing:
    return lambda offer: offer == chosen


def _unknown_to(
    held: Iterable[EatingClass], *, stacks: Sequence[Stack], suits: Suits
) -> dict[Offer, list[float]]:
    """Gather the kcal of every stack that is unknown to somebody who runs out first, by offer."""
    eaters = {(mouth.eater, one.keeper) for one in held for mouth in one.mouths}
    unknown = frozenset[int]().union(*(suits.unknown(*who) for who in eaters))
    found: dict[Offer, list[float]] = {}
    for position in sorted(unknown):
        stack = stacks[position]
        found.setdefault(stack.offer, []).append(stack.energy_kcal)
    return found


def _most_energy_first(found: dict[Offer, list[float]]) -> list[tuple[Offer, float]]:
    # The stacks come in the order of their content, which breaks ties alike whatever the ids.
    summed = [(offer, fsum(energies)) for offer, energies in found.items()]
    return sorted(summed, key=lambda one: (one[0].food.is_extra, -one[1]))
