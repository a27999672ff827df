"""Date what a wish list's plan eats, and say which days it breaks.

What is left over of a portion is taken from its earliest dates. Of the rest each day's food goes to
the classes that have most room left for food to be eaten by then. Whom the early food is given to
is a good choice and not always the best: that costs rows of a program and never exactness, since a
day is only ever added to what a program holds.
"""

from collections.abc import Sequence
from typing import Final

from daysworth.planners.wish_program import Portion

_ROOM: Final = 1e-7
_DAYS_AT_ONCE: Final = 4
"""How many of a class's broken days are kept at a time, the worst of each run first."""


def broken_days(
    portions: Sequence[Portion], *, needs: Sequence[float], days: Sequence[float]
) -> frozenset[int]:
    """Give the days on which a class would have to eat what is past.

    `needs` is what each class eats in a day, in person-days, and `days` for how many it is fed.
    """
    plates = _Plates(needs)
    wanted = [dict(portion.eaten) for portion in portions]
    for day, position, energy in _by_day(portions):
        plates.serve(energy, day=day, wanted=wanted[position])
    return frozenset[int]().union(
        *(_worst(plates.eaten[c], need=need, days=days[c]) for c, need in enumerate(needs))
    )


class _Plates:
    """Hold what each class has been given of food good only to each day, in person-days."""

    def __init__(self, needs: Sequence[float]) -> None:
        self.eaten: list[dict[int, float]] = [{} for _ in needs]
        self._needs = needs
        self._filled = [0.0] * len(needs)

    def serve(self, energy: float, *, day: int, wanted: dict[int, float]) -> None:
        """Give energy good only to a day to who wants it: the emptiest first, then the largest."""
        left, needs = energy, self._needs
        for c in sorted(wanted, key=lambda c: (self._filled[c] / needs[c], c)):
            room = needs[c] * day - self._filled[c]
            left -= self._give(min(left, room), c=c, day=day, wanted=wanted)
        for c in sorted(wanted, key=lambda c: (-needs[c], c)):
            left -= self._give(left, c=c, day=day, wanted=wanted)

    def _give(self, energy: float, *, c: int, day: int, wanted: dict[int, float]) -> float:
        given = max(0.0, min(energy, wanted[c]))
        self.eaten[c][day] = self.eaten[c].get(day, 0.0) + given
        self._filled[c] += given
        wanted[c] -= given
        return given


def _by_day(portions: Sequence[Portion]) -> list[tuple[int, int, float]]:
    """List what is eaten of each portion, the earliest day first: day, portion, energy."""
    used: list[tuple[int, int, float]] = []
    for position, portion in enumerate(portions):
        left = sum(energy for _, energy in portion.eaten)
        for day, energy in reversed(portion.stacks):
            if left <= 0:
                break
            used.append((day, position, min(left, energy)))
            left -= energy
    return sorted(used)


def _worst(by_day: dict[int, float], *, need: float, days: float) -> frozenset[int]:
    """Give the worst day of each run of days by which more is eaten than the days hold."""
    worst: list[tuple[float, int]] = []
    eaten, is_in_run = 0.0, False
    for day in sorted(day for day in by_day if day < days):
        eaten += by_day[day]
        excess = eaten - need * day
        if excess <= _ROOM * max(1.0, eaten):
            is_in_run = False
        elif not is_in_run:
            worst.append((excess, day))
            is_in_run = True
        else:
            worst[-1] = max(worst[-1], (excess, day))
    return frozenset(day for _, day in sorted(worst, reverse=True)[:_DAYS_AT_ONCE])
