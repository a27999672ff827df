"""Maximise classes' days over the stacks of a question by planning's rows, all written out.

It takes the planner's stacks and classes, and shares no code with how the planner solves: every
stack has a column for every class whom it suits, every day below the horizon on which something
ends has a row, and SciPy solves it.
"""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from daysworth.planners.classes import EatingClass
from daysworth.planners.question import Question
from daysworth.planners.shelf import Stack

HAIR: Final = 1e-9
_THOUSAND: Final = 1000.0
Row = NDArray[np.float64]


def densest(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    aims: Mapping[int, float],
    least: Sequence[float],
) -> tuple[float, tuple[float, ...]]:
    """Give the best sum of aims[c] x days, and each class's days."""
    return _Dense(question, classes).most(aims, least=least)


class _Dense:
    """The rows, one by one, in thousands of kcal."""

    def __init__(self, question: Question, classes: Sequence[EatingClass]) -> None:
        self._question, self._classes = question, classes
        self._pairs = [(s, c) for c, one in enumerate(classes) for s in sorted(one.suits)]
        self._keepers = sorted({one.keeper for one in classes if one.keeper is not None})
        self._first_day = len(self._pairs)
        self._first_drawn = self._first_day + len(classes)
        self._width = self._first_drawn + len(self._keepers)
        self._rows: list[Row] = []
        self._limits: list[float] = []
        self._equal: list[Row] = []
        for s, stack in enumerate(question.stacks):
            columns = [n for n, (other, _) in enumerate(self._pairs) if other == s]
            self._at_most(dict.fromkeys(columns, 1.0), stack.energy_kcal / _THOUSAND)
        for c in range(len(classes)):
            self._class_rows(c)
        self._water_rows()

    def most(
        self, aims: Mapping[int, float], *, least: Sequence[float]
    ) -> tuple[float, tuple[float, ...]]:
        """Maximise the aims, every class having its least days to within a hair."""
        cost = np.zeros(self._width)
        bounds: list[tuple[float, float | None]] = [(0.0, None)] * self._width
        for c, days in enumerate(least):
            cost[self._first_day + c] = -aims.get(c, 0.0)
            floor = max(0.0, days - HAIR * max(1.0, days))
            bounds[self._first_day + c] = (floor, float(self._question.horizon_days))
        found = linprog(
            cost,
            A_ub=np.array(self._rows),
            b_ub=np.array(self._limits),
            A_eq=np.array(self._equal),
            b_eq=np.zeros(len(self._equal)),
            bounds=bounds,
            method="highs",
        )
        assert found.status == 0, found.message
        assert found.fun is not None
        assert found.x is not None
        return -float(found.fun), tuple(map(float, found.x[self._first_day : self._first_drawn]))

    def _class_rows(self, c: int) -> None:
        one, days = self._classes[c], self._first_day + c
        eaten = self._eaten(c)
        need = one.energy_kcal / _THOUSAND
        self._equal.append(self._row({**dict.fromkeys(eaten, 1.0), days: -need}))
        for day in {stack.day for stack in eaten.values()} - {self._question.horizon_days}:
            due = [n for n, stack in eaten.items() if stack.day <= day]
            self._at_most(dict.fromkeys(due, 1.0), need * day)
        extras = [n for n, stack in eaten.items() if stack.offer.food.is_extra]
        share = self._question.extras_share
        self._at_most({**dict.fromkeys(extras, 1.0), days: -need * share}, 0.0)
        protein = {n: -a_thousand(one.protein_g, one.energy_kcal) for n, one in eaten.items()}
        self._at_most({**protein, days: one.protein_g}, 0.0)

    def _water_rows(self) -> None:
        water = self._question.water
        if water is None:
            return
        drawn: dict[str | None, dict[int, float]] = {None: {}, **{k: {} for k in self._keepers}}
        for c, one in enumerate(self._classes):
            drawn[one.keeper][self._first_day + c] = one.water_l
            for n, stack in self._eaten(c).items():
                drawn[one.keeper][n] = a_thousand(stack.water_l, stack.energy_kcal)
        for n, keeper in enumerate(self._keepers, start=self._first_drawn):
            self._at_most({**drawn[keeper], n: -1.0}, water.kept_l.get(keeper, 0.0))
            drawn[None][n] = 1.0
        self._at_most(drawn[None], water.shared_l)

    def _eaten(self, c: int) -> dict[int, Stack]:
        stacks = self._question.stacks
        return {n: stacks[s] for n, (s, eater) in enumerate(self._pairs) if eater == c}

    def _at_most(self, terms: Mapping[int, float], limit: float) -> None:
        self._rows.append(self._row(terms))
        self._limits.append(limit)

    def _row(self, terms: Mapping[int, float]) -> Row:
        row = np.zeros(self._width)
        row[list(terms)] = list(terms.values())
        return row


def a_thousand(amount: float, energy_kcal: float) -> float:
    """Give what comes with a thousand kcal."""
    return amount / energy_kcal * _THOUSAND
