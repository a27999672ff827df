"""Find everyone-fed days by maximum flow, where nothing but energy, dates and suitability counts.

Energy flows from the lots to members and days: lot l into member m's day d_l, there down to any
day before, and from each day t what m needs on it to the end, the last day a part. Everyone can be
fed for T days iff all that they need flows. Where it does not, the smallest cut says what is short:
what is left of it is a line in T within a day, and where it meets the need is the next T to try.
Nothing here solves a program.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import floor
from typing import Final

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order, maximum_flow

from tests.planners.oracle_store import Ground

Arcs = Mapping[tuple[int, int], float]
SideOfSource = Callable[[int, Arcs], frozenset[int]]
"""Takes the number of nodes and the arcs' capacities (source 0, end 1); gives a smallest cut."""

SOURCE: Final = 0
END: Final = 1
_WHOLE: Final = 1_500_000_000
"""What the largest capacity counts as: the flow is found in whole numbers of 32 bits."""
_NEARLY: Final = 1e-9


@dataclass(frozen=True)
class _Line:
    """A capacity as it changes with T within one day: `base + slope x (T - whole days)`."""

    base: float
    slope: float = 0.0

    def at(self, part: float) -> float:
        return self.base + self.slope * part


class FlowDays:
    """The network of one store: who can eat what by when."""

    def __init__(self, ground: Ground, *, cut: SideOfSource | None = None) -> None:
        self._diners = ground.diners
        self._horizon = ground.scenario.horizon_days
        self._cut = cut or smallest_cut
        self._lots = [
            (one.total_kcal, min(one.day or 0, self._horizon), _suits(ground, n))
            for n, one in enumerate(ground.usable)
            if one.units > 0
        ]
        self._need = sum(diner.energy_kcal for diner in self._diners)

    def everyone(self) -> float:
        """Give the days for which everyone is fed at most: T*."""
        low, high = 0, self._horizon
        while low < high:
            middle = (low + high + 1) // 2
            if self._short_of(float(middle)) is None:
                low = middle
            else:
                high = middle - 1
        return float(low) if low == self._horizon else self._within(low)

    def _within(self, whole: int) -> float:
        """Go down from the end of a day that is not held, cut by cut, to where all need flows."""
        days = whole + 1.0
        while True:
            line = self._short_of(days, whole=whole)
            if line is None:
                return days
            # base + slope p = need (whole + p)
            part = (line.base - self._need * whole) / (self._need - line.slope)
            assert part < days - whole
            days = whole + max(0.0, part)
            if part <= 0:
                return days

    def _short_of(self, days: float, *, whole: int | None = None) -> _Line | None:
        """Give the smallest cut as a line in T where less flows than is needed; None: all flows."""
        first = min(floor(days), self._horizon - 1) if whole is None else whole
        arcs, nodes = self._network(first)
        part = days - first
        side = self._cut(nodes, {arc: line.at(part) for arc, line in arcs.items()})
        crossing = [arcs[a, b] for a, b in arcs if a in side and b not in side]
        line = _Line(sum(one.base for one in crossing), sum(one.slope for one in crossing))
        need = self._need * days
        return line if line.at(part) < need * (1 - _NEARLY) - _NEARLY else None

    def _network(self, whole: int) -> tuple[dict[tuple[int, int], _Line], int]:
        days, count = whole + 1, len(self._diners)
        first_day = 2 + len(self._lots)

        def node(m: int, day: int) -> int:
            return first_day + m * days + min(day, days) - 1

        arcs: dict[tuple[int, int], _Line] = {}
        plenty = _Line(sum(energy for energy, *_ in self._lots) + 1.0)
        for n, (energy, day, eaters) in enumerate(self._lots):
            arcs[SOURCE, 2 + n] = _Line(energy)
            arcs.update({(2 + n, node(m, day)): plenty for m in eaters})
        for m, diner in enumerate(self._diners):
            for day in range(1, days):
                arcs[node(m, day), END] = _Line(diner.energy_kcal)
                arcs[node(m, day + 1), node(m, day)] = plenty
            arcs[node(m, days), END] = _Line(0.0, diner.energy_kcal)
        return arcs, first_day + count * days


def _suits(ground: Ground, n: int) -> tuple[int, ...]:
    return tuple(
        m for m, diner in enumerate(ground.diners) if ground.may_eat(ground.usable[n], diner)
    )


def smallest_cut(nodes: int, arcs: Arcs) -> frozenset[int]:
    """Find a smallest cut as the nodes that more could still flow to."""
    scale = _WHOLE / max(sum(c for (a, _), c in arcs.items() if a == SOURCE) + 1.0, 1.0)
    starts, ends = np.array(list(arcs)).T
    whole = np.minimum(np.round(np.array(list(arcs.values())) * scale), _WHOLE).astype(np.int32)
    capacity = csr_array((whole, (starts, ends)), shape=(nodes, nodes))
    flow = maximum_flow(capacity, SOURCE, END).flow
    left = (capacity - flow).tocsr()
    left.data[left.data < 0] = 0
    left.eliminate_zeros()
    reached = breadth_first_order(left, SOURCE, return_predecessors=False)
    return frozenset(int(node) for node in reached)
