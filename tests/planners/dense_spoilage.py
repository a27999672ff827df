"""Find the least that spoils with the whole program at once, every member by themselves.

It shares the reading of the store with the planners, and nothing of how they solve: one column for
each stack and member, every day held, solved by scipy.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import Mouth
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays

_HAIR = 1e-6


@dataclass(frozen=True)
class Least:
    """The least kcal that spoil, and the least of kcal x days left to the horizon among those."""

    energy_kcal: float
    energy_kcal_days: float


@dataclass(frozen=True)
class _Fed:
    mouth: Mouth
    days: float
    suits: frozenset[int]


class _Rows:
    def __init__(self) -> None:
        self.rows: list[NDArray[np.float64]] = []
        self.upper: list[float] = []

    def add(self, row: NDArray[np.float64], upper: float) -> None:
        scale = max(1.0, float(np.abs(row).max(initial=0.0)))
        self.rows.append(row / scale)
        self.upper.append(upper / scale)


def least_spoiled(grounds: Grounds, final: Sequence[ClassDays]) -> Least:
    """Solve twice: first for the least energy, then for the latest dates."""
    fed = [
        _Fed(mouth, item.days, item.members.suits)
        for item in final
        for mouth in item.members.mouths
    ]
    stacks, horizon = grounds.question.stacks, grounds.question.horizon_days
    spoils = np.array([stack.day < horizon for stack in stacks], dtype=float)
    energy = np.array([stack.energy_kcal for stack in stacks])
    early = spoils * (horizon - np.array([stack.day for stack in stacks]))
    if not fed or not len(stacks):
        return Least(float(spoils @ energy), float(early @ energy))
    rows = _whole_program(grounds, fed)
    shape = (len(fed), len(stacks))

    def most(worth: NDArray[np.float64]) -> float:
        cost = np.concatenate(
            (-np.tile(worth, len(fed)), np.zeros(rows.rows[0].size - np.prod(shape)))
        )
        bounds = [
            (0.0, None if s in one.suits else 0.0) for one in fed for s in range(len(stacks))
        ] + [(0.0, None)] * (rows.rows[0].size - int(np.prod(shape)))
        found = linprog(cost, A_ub=np.array(rows.rows), b_ub=rows.upper, bounds=bounds)
        assert found.status == 0, found.message
        assert found.fun is not None
        return -float(found.fun)

    eaten = most(spoils)
    row = np.zeros(rows.rows[0].size)
    row[: np.prod(shape)] = -np.tile(spoils, len(fed))
    rows.add(row, -eaten + _HAIR * max(1.0, eaten))
    return Least(float(spoils @ energy) - eaten, float(early @ energy) - most(early))


def _whole_program(grounds: Grounds, fed: Sequence[_Fed]) -> _Rows:
    """Hold everything: what there is, the days fed, dates, extras, protein and water."""
    question = grounds.question
    stacks, width = question.stacks, len(question.stacks)
    keepers = sorted(question.water.kept_l) if question.water is not None else []
    size = len(fed) * width + len(keepers)
    rows = _Rows()
    energy = np.array([stack.energy_kcal for stack in stacks])
    days = np.array([stack.day for stack in stacks])
    extra = np.array([stack.offer.food.is_extra for stack in stacks], dtype=float)
    protein = np.array([stack.protein_g for stack in stacks]) / energy
    water = np.array([stack.water_l for stack in stacks]) / energy

    def of(n: int, figures: NDArray[np.float64]) -> NDArray[np.float64]:
        row = np.zeros(size)
        row[n * width : (n + 1) * width] = figures
        return row

    for s in range(width):
        row = np.zeros(size)
        row[s : len(fed) * width : width] = 1.0
        rows.add(row, energy[s])
    for n, one in enumerate(fed):
        whole = one.mouth.energy_kcal * one.days
        rows.add(of(n, np.ones(width)), whole)
        rows.add(-of(n, np.ones(width)), -whole * (1 - _HAIR) + _HAIR)
        rows.add(of(n, extra), question.extras_share * whole + _HAIR)
        rows.add(-of(n, protein), -one.mouth.protein_g * one.days * (1 - _HAIR) + _HAIR)
        for k in sorted(set(days[days < question.horizon_days].tolist())):
            rows.add(of(n, (days <= k).astype(float)), one.mouth.energy_kcal * min(k, one.days))
    if question.water is not None:
        _add_water(rows, fed, water=water, keepers=keepers, grounds=grounds)
    return rows


def _add_water(
    rows: _Rows,
    fed: Sequence[_Fed],
    *,
    water: NDArray[np.float64],
    keepers: Sequence[HouseholdId],
    grounds: Grounds,
) -> None:
    stored = grounds.question.water
    assert stored is not None
    width = len(water)
    size = len(fed) * width + len(keepers)
    shared, drunk = np.zeros(size), 0.0
    kept = {keeper: (np.zeros(size), 0.0) for keeper in keepers}
    for n, one in enumerate(fed):
        litres = one.mouth.water_l * one.days
        if one.mouth.household in kept:
            row, so_far = kept[one.mouth.household]
            row[n * width : (n + 1) * width] = water
            kept[one.mouth.household] = row, so_far + litres
        else:
            shared[n * width : (n + 1) * width] = water
            drunk += litres
    for k, keeper in enumerate(keepers):
        row, litres = kept[keeper]
        row[len(fed) * width + k] = -1.0
        rows.add(row, stored.kept_l[keeper] - litres + _HAIR)
        shared[len(fed) * width + k] = 1.0
    rows.add(shared, stored.shared_l - drunk + _HAIR * max(1.0, stored.shared_l))
