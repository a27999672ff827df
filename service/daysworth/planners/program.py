"""State coverage as a linear program over eating classes and piles of food.

Sets: piles `g` (stacks merged where they are the same to every class), classes `c`, and for each
class the days `k` on which a date may bind it. Everything is counted in mean person-days of
energy, `m` kcal, so that figures are near 1.

Variables: `x_gc >= 0` of pile `g` eaten by class `c`; `z_ck` what class `c` has eaten of food good
only to day `k` or before; `0 <= T_c <= U_c` days for which the class is fed; `v_h >= 0` shared
water drawn by a household that keeps water of its own.

    sum_c x_gc                                <= A_g             each pile
    sum_g x_gc                                 = (E_c / m) T_c   each class
    z_ck = z_c,k-1 + sum_{g: k-1 < d_g <= k} x_gc                each class, each day kept
    z_ck                                      <= (E_c / m) k
    sum_{g extra} x_gc                        <= s (E_c / m) T_c each class
    sum_g (p_g / e_g) m x_gc                  >= P_c T_c         each class
    sum_gc (w_g / e_g) m x_gc + sum_c D_c T_c <= W               shared water, when none runs

`U_c` is proved from the class's own food, dates, extras and water alone. The days `k` at which
dates are held are the caller's: few of them bind, so `coverage` starts with none, and adds those
that a plan breaks until it breaks none. Stacks that no kept day tells apart are one pile.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import fsum, inf
from typing import Final

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import EatingClass
from daysworth.planners.shelf import Stack
from daysworth.planners.solver import ProgramBuilder

PROTEIN_SCALE_G: Final = 50.0
"""Grams of protein to one unit of a protein row: about a person-day's, so that rows are near 1."""


@dataclass(frozen=True, slots=True)
class Water:
    """Litres of stored water inside its date: shared, and what households keep for themselves."""

    shared_l: float
    kept_l: Mapping[HouseholdId, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Question:
    """All that the program is built from. `water` None: water runs, and none is counted."""

    stacks: tuple[Stack, ...]
    water: Water | None
    extras_share: float
    horizon_days: int


@dataclass(frozen=True, slots=True)
class Pile:
    """Food the same to every class: energy in mean person-days, figures per kcal.

    `day` is the kept day its dates fall under; infinite: none binds it. `eaters` are positions of
    classes, `stacks` of the stacks it merges.
    """

    person_days: float
    protein_g_kcal: float
    water_l_kcal: float
    is_extra: bool
    day: float
    eaters: tuple[int, ...]
    stacks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Where a program's columns stand, for reading a solution back.

    `days` holds each class's `T_c`, `needs` its need a day in mean person-days, `eaten` its
    `x_gc`, each with its pile; `drink_row` is the row of the shared water, if any is counted.
    """

    days: tuple[int, ...]
    needs: tuple[float, ...]
    eaten: tuple[tuple[tuple[int, Pile], ...], ...]
    drink_row: int | None


def most_days(question: Question, classes: Sequence[EatingClass]) -> tuple[float, ...]:
    """Bound each class's days from above by its own food, dates, extras and water."""
    return tuple(_most_days(question, one) for one in classes)


def _most_days(question: Question, one: EatingClass) -> float:
    by_day = _energy_by_day(question, one)
    plain = fsum(
        question.stacks[s].energy_kcal
        for s in one.suits
        if not question.stacks[s].offer.food.is_extra
    )
    bounds = [float(question.horizon_days), fsum(by_day.values()) / one.energy_kcal]
    if question.extras_share < 1:
        bounds.append(plain / (1 - question.extras_share) / one.energy_kcal)
    after = 0.0
    for day in sorted(by_day, reverse=True):
        bounds.append(day + after / one.energy_kcal)
        after += by_day[day]
    return min(*bounds, most_days_of_water(question, one))


def most_days_of_water(question: Question, one: EatingClass) -> float:
    """Bound a class's days by the stored water it could have to itself; infinite: none counts."""
    if question.water is None:
        return inf
    kept_l = question.water.kept_l.get(one.keeper, 0.0) if one.keeper is not None else 0.0
    return (question.water.shared_l + kept_l) / one.water_l


def _energy_by_day(question: Question, one: EatingClass) -> dict[int, float]:
    by_day: dict[int, list[float]] = {}
    for s in one.suits:
        stack = question.stacks[s]
        by_day.setdefault(stack.day, []).append(stack.energy_kcal)
    return {day: fsum(energies) for day, energies in by_day.items()}


def piles_of(
    question: Question, classes: Sequence[EatingClass], *, kept: frozenset[int], mean_kcal: float
) -> tuple[Pile, ...]:
    """Merge stacks that no class and no kept day tells apart, ordered by content."""
    eaters: list[list[int]] = [[] for _ in question.stacks]
    for c, one in enumerate(classes):
        for s in one.suits:
            eaters[s].append(c)
    days = sorted(kept)
    merged: dict[_PileKey, list[int]] = {}
    for s, group in enumerate(eaters):
        if group:
            key = _pile_key(question.stacks[s], group=tuple(group), days=days)
            merged.setdefault(key, []).append(s)
    return tuple(
        _pile(key, question=question, stacks=merged[key], mean_kcal=mean_kcal)
        for key in sorted(merged)
    )


_PileKey = tuple[float, bool, float, float, tuple[int, ...]]


def _pile_key(stack: Stack, *, group: tuple[int, ...], days: Sequence[int]) -> _PileKey:
    food = stack.offer.food
    return (
        _next_of(days, stack.day),
        food.is_extra,
        food.protein_g(100) / food.energy_kcal(100),
        food.needed_water_l(100) / food.energy_kcal(100),
        group,
    )


def _pile(key: _PileKey, *, question: Question, stacks: Sequence[int], mean_kcal: float) -> Pile:
    day, is_extra, protein, water, group = key
    energy = fsum(question.stacks[s].energy_kcal / mean_kcal for s in stacks)
    return Pile(energy, protein, water, is_extra, day, group, tuple(stacks))


def _next_of(days: Sequence[int], day: float) -> float:
    at = bisect_left(days, day)
    return days[at] if at < len(days) else inf


def lay_out(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    most: Sequence[float],
    kept: frozenset[int],
    mean_kcal: float,
) -> tuple[ProgramBuilder, Layout]:
    """Build the program's columns and rows, `most` bounding the days; the caller sets the aim."""
    builder = ProgramBuilder()
    days = tuple(builder.column(upper=bound) for bound in most)
    energies = tuple(one.energy_kcal / mean_kcal for one in classes)
    eaten: list[list[tuple[int, Pile]]] = [[] for _ in classes]
    for pile in piles_of(question, classes, kept=kept, mean_kcal=mean_kcal):
        columns = [(c, builder.column()) for c in pile.eaters]
        # More than its eaters can eat is no use to a plan, and would only spoil the scale.
        useful = fsum(most[c] * energies[c] for c in pile.eaters)
        builder.row([(column, 1.0) for _, column in columns], upper=min(pile.person_days, useful))
        for c, column in columns:
            eaten[c].append((column, pile))
    for c, one in enumerate(classes):
        here, energy = eaten[c], energies[c]
        _energy_row(builder, here, days=days[c], energy=energy)
        _date_rows(builder, here, kept=sorted(kept), energy=energy)
        _extras_row(builder, here, days=days[c], energy=energy * question.extras_share)
        _protein_row(builder, here, days=days[c], need_g=one.protein_g, mean_kcal=mean_kcal)
    drink_row = None
    if question.water is not None:
        drink_row = _water_rows(
            builder, eaten, classes=classes, days=days, water=question.water, mean_kcal=mean_kcal
        )
    return builder, Layout(days, energies, tuple(tuple(here) for here in eaten), drink_row)


Eaten = Sequence[tuple[int, Pile]]


def _energy_row(builder: ProgramBuilder, eaten: Eaten, *, days: int, energy: float) -> None:
    terms = [(column, 1.0) for column, _ in eaten]
    builder.row([*terms, (days, -energy)], lower=0.0, upper=0.0)


def _date_rows(
    builder: ProgramBuilder, eaten: Eaten, *, kept: Sequence[int], energy: float
) -> None:
    due: dict[float, list[tuple[int, float]]] = {}
    for column, pile in eaten:
        due.setdefault(pile.day, []).append((column, -1.0))
    before: list[tuple[int, float]] = []
    for day in kept:
        until = builder.column(upper=energy * day)
        builder.row([(until, 1.0), *before, *due.get(day, [])], lower=0.0, upper=0.0)
        before = [(until, -1.0)]


def _extras_row(builder: ProgramBuilder, eaten: Eaten, *, days: int, energy: float) -> None:
    extras = [(column, 1.0) for column, pile in eaten if pile.is_extra]
    if extras:
        builder.row([*extras, (days, -energy)], upper=0.0)


def _protein_row(
    builder: ProgramBuilder, eaten: Eaten, *, days: int, need_g: float, mean_kcal: float
) -> None:
    terms = [
        (column, pile.protein_g_kcal * mean_kcal / PROTEIN_SCALE_G)
        for column, pile in eaten
        if pile.protein_g_kcal > 0
    ]
    builder.row([*terms, (days, -need_g / PROTEIN_SCALE_G)], lower=0.0)


def _water_rows(
    builder: ProgramBuilder,
    eaten: Sequence[Eaten],
    *,
    classes: Sequence[EatingClass],
    days: Sequence[int],
    water: Water,
    mean_kcal: float,
) -> int:
    drawn: dict[HouseholdId | None, list[tuple[int, float]]] = {None: []}
    for c, one in enumerate(classes):
        keeper = one.keeper if one.keeper in water.kept_l else None
        terms = drawn.setdefault(keeper, [])
        terms.append((days[c], one.water_l))
        terms.extend(
            (column, pile.water_l_kcal * mean_kcal)
            for column, pile in eaten[c]
            if pile.water_l_kcal > 0
        )
    for keeper, terms in drawn.items():
        if keeper is not None:
            shared = builder.column()
            builder.row([*terms, (shared, -1.0)], upper=water.kept_l[keeper])
            drawn[None].append((shared, 1.0))
    return builder.row(drawn[None], upper=water.shared_l)
