"""Date a plan in full: say which of its food is eaten when, and which days it breaks.

A plan gives each class shares of piles; a pile merges stacks with several last good days. Here
each share is dated: what is left over is taken from the earliest dates, and of the rest each day's
food goes to the classes with the most room left for food that must be eaten by then. A class can
eat what it is given in time iff, for every day `k`, what it has of food good only to day `k` fits
into `k` days of eating (earliest deadline first).

The choice of whom to give the early food is a good one, not always the best. That costs rows and
never exactness: a day is only ever added to the program, which holds it for any plan.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.planners.program import Pile
from daysworth.planners.shelf import Stack

_ROOM: Final = 1e-7
_DAYS_AT_ONCE: Final = 4
"""How many of a class's broken days are kept at a time, the worst of each run first."""


@dataclass(frozen=True, slots=True)
class Share:
    """What one class eats of one pile, in mean person-days."""

    pile: Pile
    eater: int
    person_days: float


def mean_haste(pile: Pile, stacks: Sequence[Stack]) -> float:
    """Say how early a pile must be eaten: the mean of 1 / day over its energy, from 0 to 1."""
    energies = [stacks[s].energy_kcal for s in pile.stacks]
    return sum(e / stacks[s].day for e, s in zip(energies, pile.stacks, strict=True)) / sum(
        energies
    )


def broken_days(
    stacks: Sequence[Stack],
    shares: Iterable[Share],
    *,
    energies: Sequence[float],
    mean_kcal: float,
) -> frozenset[int]:
    """Date the shares, and give the days on which a class would eat what is past.

    `energies` is each class's need a day in mean person-days.
    """
    # No stack is in two piles, so a pile's first stack names it.
    piles: dict[int, Pile] = {}
    wanted: dict[int, dict[int, float]] = {}
    for share in shares:
        first = share.pile.stacks[0]
        piles[first] = share.pile
        wanted.setdefault(first, {})[share.eater] = share.person_days
    plates = _Plates(energies)
    for day, first, energy in _by_day(stacks, piles, wanted=wanted, mean_kcal=mean_kcal):
        plates.serve(energy, day=day, wanted=wanted[first])
    return frozenset[int]().union(
        *(
            _worst_days(eaten, energy=energy)
            for eaten, energy in zip(plates.eaten, energies, strict=True)
        )
    )


class _Plates:
    """Hold what each class has been given of food good only to each day, in mean person-days."""

    def __init__(self, energies: Sequence[float]) -> None:
        self.eaten: list[dict[int, float]] = [{} for _ in energies]
        self._energies = energies
        self._so_far = [0.0] * len(energies)

    def serve(self, energy: float, *, day: int, wanted: dict[int, float]) -> None:
        """Give energy good only to a day to those who want it, the emptiest first.

        Where nobody has room the largest takes it, and the day is broken.
        """
        left = energy
        for c in sorted(wanted, key=self._fullness):
            room = self._energies[c] * day - self._so_far[c]
            left -= self._give(min(left, max(room, 0.0)), c=c, day=day, wanted=wanted)
        for c in sorted(wanted, key=lambda c: -self._energies[c]):
            left -= self._give(left, c=c, day=day, wanted=wanted)

    def _fullness(self, c: int) -> float:
        return self._so_far[c] / self._energies[c]

    def _give(self, energy: float, *, c: int, day: int, wanted: dict[int, float]) -> float:
        given = min(energy, wanted[c])
        if given > 0:
            self.eaten[c][day] = self.eaten[c].get(day, 0.0) + given
            self._so_far[c] += given
            wanted[c] -= given
        return given


def _by_day(
    stacks: Sequence[Stack],
    piles: Mapping[int, Pile],
    *,
    wanted: Mapping[int, Mapping[int, float]],
    mean_kcal: float,
) -> list[tuple[int, int, float]]:
    """List what is eaten of each stack, earliest day first: leftovers are the earliest of each.

    Each entry is the day, the pile's first stack, and the energy in mean person-days.
    """
    used: list[tuple[int, int, float]] = []
    for first, pile in piles.items():
        left = sum(wanted[first].values())
        for s in sorted(pile.stacks, key=lambda s: -stacks[s].day):
            energy = min(left, stacks[s].energy_kcal / mean_kcal)
            if energy <= 0:
                break
            used.append((stacks[s].day, first, energy))
            left -= energy
    return sorted(used)


def _worst_days(by_day: dict[int, float], *, energy: float) -> frozenset[int]:
    """Give the worst day of each run of days by which more is eaten than the days hold."""
    worst: list[tuple[float, int]] = []
    eaten, in_run = 0.0, False
    for day in sorted(by_day):
        eaten += by_day[day]
        excess = eaten - energy * day
        if excess <= _ROOM * max(1.0, eaten):
            in_run = False
        elif not in_run:
            worst.append((excess, day))
            in_run = True
        else:
            worst[-1] = max(worst[-1], (excess, day))
    return frozenset(day for _, day in sorted(worst, reverse=True)[:_DAYS_AT_ONCE])
