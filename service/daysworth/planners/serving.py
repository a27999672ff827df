"""Serve a plan's food day by day to those with the most room for it, the earliest dates first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from daysworth.planners.dating import Amounts, Dated, Helpings, taken
from daysworth.planners.program import Layout
from daysworth.planners.solver import Floats
from daysworth.planners.supply import Supply

_LEAST = 1e-12

Given = tuple[int, int, float]
"""A stack, an eater, and mean person-days."""


def served_by_room(layout: Layout, amounts: Amounts) -> Dated:
    """Give each day's food to the emptiest of its eaters, in pools to the emptiest class."""
    supply, seating = layout.supply, layout.seating
    needs = [
        *supply.needs.tolist(),
        *(sum(supply.needs[c] for c in pool) for pool in seating.pools),
    ]
    given = _served(layout, amounts, needs=needs)
    direct = [one for one in given if one[1] < seating.classes]
    for j, pool in enumerate(seating.pools):
        eater = seating.classes + j
        direct.extend(
            _parted(
                supply,
                [one for one in given if one[1] == eater],
                own=[one for one in direct if one[1] in pool],
                wanted=amounts.links[j],
            )
        )
    return _dated(supply, direct)


class _Plates:
    """Hold what each eater has been given so far, in mean person-days."""

    def __init__(self, needs: Mapping[int, float]) -> None:
        self._needs = needs
        self._so_far = dict.fromkeys(needs, 0.0)

    def add(self, eater: int, energy: float) -> None:
        """Count what an eater has besides."""
        self._so_far[eater] += energy

    def serve(
        self, energy: float, *, day: int, wanted: Sequence[dict[int, float]]
    ) -> list[tuple[int, float]]:
        """Give energy good only to a day to those who want it, the emptiest first.

        Where nobody has room the largest take it, and the day is broken. `wanted` are what is
        still wanted by eater; it is drawn down.
        """
        found: dict[int, float] = {}
        left = energy
        eaters = [
            (self._so_far[e] / self._needs[e], e, n) for n, want in enumerate(wanted) for e in want
        ]
        eaters.sort()
        for _, e, n in eaters:
            room = self._needs[e] * day - self._so_far[e]
            left -= self._give(min(left, room), e, want=wanted[n], found=found)
            if left <= 0:
                return list(found.items())
        if left > _LEAST:
            for _, e, n in sorted(eaters, key=lambda one: (-self._needs[one[1]], one[1])):
                left -= self._give(left, e, want=wanted[n], found=found)
                if left <= 0:
                    break
        return list(found.items())

    def _give(
        self, energy: float, eater: int, *, want: dict[int, float], found: dict[int, float]
    ) -> float:
        given = min(energy, want[eater])
        if given <= 0:
            return 0.0
        found[eater] = found.get(eater, 0.0) + given
        self._so_far[eater] += given
        want[eater] -= given
        return given


@dataclass(frozen=True, slots=True)
class _Event:
    """What is eaten of one stack, the wants of its bucket and of its whole pile."""

    day: int
    stack: int
    person_days: float
    parted: dict[int, float]
    whole: dict[int, float]


def _served(layout: Layout, amounts: Amounts, *, needs: Sequence[float]) -> list[Given]:
    plates = _Plates(dict(enumerate(needs)))
    given: list[Given] = []
    for event in _events(layout, amounts):
        wanted = [event.parted, event.whole] if event.parted else [event.whole]
        served = plates.serve(event.person_days, day=event.day, wanted=wanted)
        given.extend((event.stack, eater, energy) for eater, energy in served)
    return given


def _events(layout: Layout, amounts: Amounts) -> list[_Event]:
    """List what is eaten of each stack, earliest day first.

    A bucket's food is parted beforehand into what is for the classes whose own days are kept and
    what is for the others, each in the order of the dates, so that neither takes the other's.
    """
    supply = layout.supply
    events = []
    for g, pile in enumerate(layout.piles):
        whole = dict(amounts.whole[g])
        for k, bucket in enumerate(pile.buckets):
            parted = dict(amounts.parted[g][k])
            used = amounts.used[g][k]
            if used <= _LEAST:
                continue
            energy = taken(supply, bucket.stacks, amount=used)
            own = sum(parted.values())
            for stack, amount in zip(bucket.stacks.tolist(), energy.tolist(), strict=True):
                if amount <= 0:
                    continue
                day = int(supply.day[stack])
                if own > 0:
                    events.append(_Event(day, stack, amount * own / used, parted, {}))
                if used > own:
                    rest = amount * (used - own) / used
                    events.append(_Event(day, stack, rest, {}, whole))
    return sorted(events, key=lambda one: (one.day, one.stack))


def _parted(
    supply: Supply,
    drawn: Sequence[Given],
    *,
    own: Sequence[Given],
    wanted: tuple[Mapping[int, float], Mapping[int, float]],
) -> list[Given]:
    """Part a pool's food among its classes, who eat what is their own as well."""
    wants = dict(wanted[False]), dict(wanted[True])
    eaters = {*wants[0], *wants[1]}
    plates = _Plates({c: float(supply.needs[c]) for c in sorted(eaters)})
    found: list[Given] = []
    is_own = [(one, True) for one in own if one[1] in eaters] + [(one, False) for one in drawn]
    for (stack, eater, energy), own_already in sorted(
        is_own, key=lambda one: (supply.day[one[0][0]], not one[1], one[0])
    ):
        if own_already:
            plates.add(eater, energy)
            continue
        want = wants[supply.is_extra[stack]]
        served = plates.serve(energy, day=int(supply.day[stack]), wanted=[want])
        found.extend((stack, c, amount) for c, amount in served)
    return found


def _dated(supply: Supply, given: Sequence[Given]) -> Dated:
    classes, length = len(supply.classes), supply.question.horizon_days + 1
    stacks = np.array([one[0] for one in given], dtype=np.intp)
    eaters = np.array([one[1] for one in given], dtype=np.intp)
    energy: Floats = np.array([one[2] for one in given], dtype=np.float64)

    def summed(weights: Floats) -> Floats:
        return np.bincount(eaters, weights=weights, minlength=classes).astype(np.float64)

    by_day = np.zeros((classes, length))
    np.add.at(by_day, (eaters, supply.day[stacks]), energy)
    return Dated(
        by_day,
        summed(energy * supply.protein[stacks]),
        summed(energy * supply.water_l[stacks]),
        lambda: Helpings(stacks, eaters, energy),
    )
