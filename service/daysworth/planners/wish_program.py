"""State a wish list as a program in whole units.

Everybody's days are given: class `c` is to be fed for `L_c` days. Everything is counted in mean
person-days of energy, `m` kcal. Variables: `x_gc >= 0` of pile `g` on the shelf eaten by class
`c`; `y_fc >= 0` of candidate `f` eaten by it; `n_f` whole units of candidate `f`, food or water,
that are brought; `v_h >= 0` shared water drawn by a household that keeps water of its own.

    minimise sum_f weight_f n_f
    sum_c x_gc                                       <= A_g              each pile
    sum_c y_fc                                       <= (e_f / m) n_f    each candidate that is food
    sum_g x_gc + sum_f y_fc                           = (E_c / m) L_c    each class
    what class c eats of food good only to day k     <= (E_c / m) k      each day kept, k < L_c
    what class c eats of extras                      <= s (E_c / m) L_c  each class
    its protein                                      >= P_c L_c          each class
    water for food, and sum_c D_c L_c                <= W + sum_f l_f n_f      when none runs

The energy is equal and not at least: who could be fed for longer could eat that much less of all.
Dates are held on the days kept alone, which are those that some plan broke; and a class that pools
members with different ratios of protein to energy needs the protein of all of them together. So
what this program finds least is never more than the true least, and where a plan with what it
brings is proved, it is the true least.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum, inf
from typing import Final

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.classes import EatingClass
from daysworth.planners.question import Question
from daysworth.planners.shelf import Stack
from daysworth.planners.solver import Outcome, Program, ProgramBuilder
from daysworth.planners.wish_candidates import Candidate

_PROTEIN_SCALE_G: Final = 50.0
_WATER_SCALE_L: Final = 4.0
"""About a person-day's, so that rows are near 1."""
_WHOLE: Final = 1e-6
"""Units this near to a whole number are that number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is on the shelf, who is to be fed for how many days, and what could be brought.

    Positions in a class's `suits` are of the question's stacks, then of `foods`, in their order.
    `waters` are candidates that are drinking water. What is brought is kept for `household`, or
    shared where it is None.
    """

    question: Question
    classes: tuple[EatingClass, ...]
    days: tuple[float, ...]
    foods: tuple[Candidate, ...]
    waters: tuple[Candidate, ...]
    household: HouseholdId | None
    mean_kcal: float


@dataclass(frozen=True, slots=True)
class Portion:
    """What the classes eat of a few stacks that a program does not tell apart, in person-days.

    `stacks` are last good days with their energy, `eaten` positions of classes with what they eat.
    `protein_g` is to a person-day.
    """

    stacks: tuple[tuple[int, float], ...]
    eaten: tuple[tuple[int, float], ...]
    protein_g: float


@dataclass(frozen=True, slots=True)
class Brought:
    """Units of each food and then of each water, what is least of them, and the plan.

    `bound` is proved: no list weighs less.
    """

    units: tuple[float, ...]
    amount: float
    bound: float
    portions: tuple[Portion, ...]

    def rounded_up(self) -> tuple[int, ...]:
        """Give whole units, at least as many of each."""
        return tuple(ceil(units - _WHOLE) for units in self.units)


_Key = tuple[float, bool, float, float, tuple[int, ...]]
_Terms = list[tuple[int, float]]


@dataclass(frozen=True, slots=True)
class _Pile:
    """Food that the program does not tell apart; figures to a mean person-day.

    `supply` is its energy, or for a candidate its energy in a unit, which `column` counts.
    """

    supply: float
    protein_g: float
    water_l: float
    is_extra: bool
    day: float
    eaters: tuple[int, ...]
    stacks: tuple[tuple[int, float], ...]
    column: int | None = None


class WishProgram:
    """One program, with dates held on the days kept; in whole units, or with parts of units."""

    def __init__(self, wanted: Wanted, *, kept: frozenset[int], is_whole: bool) -> None:
        self._wanted, self._kept = wanted, sorted(kept)
        self._builder = ProgramBuilder()
        self._needs = [
            one.energy_kcal / wanted.mean_kcal * days
            for one, days in zip(wanted.classes, wanted.days, strict=True)
        ]
        self._columns = [
            *(
                self._units(one, most=self._most_food(p), is_whole=is_whole)
                for p, one in enumerate(wanted.foods)
            ),
            *(
                self._units(one, most=self._most_water(one), is_whole=is_whole)
                for one in wanted.waters
            ),
        ]
        self._eaten: list[list[tuple[int, _Pile]]] = [[] for _ in wanted.classes]
        self._shares = [self._share(pile) for pile in self._piles()]
        for c, days in enumerate(wanted.days):
            if days > 0:
                self._class_rows(c)
        if wanted.question.water is not None:
            self._water_rows()
        self._program: Program = self._builder.build(maximise=False)

    def solve(self) -> Brought | None:
        """Find the least that is to be brought; None: nothing that is brought would be enough."""
        if not any(self._wanted.days):
            # Nobody is to be fed, and a program of nothing has no solution.
            return Brought(tuple(0.0 for _ in self._columns), 0.0, 0.0, ())
        solution = self._program.solve()
        if solution.outcome is Outcome.INFEASIBLE:
            return None
        values = solution.proven().values
        portions = [
            Portion(
                pile.stacks,
                tuple((c, float(values[at])) for at, c in columns if values[at] > 0),
                pile.protein_g,
            )
            for pile, columns in self._shares
        ]
        return Brought(
            tuple(float(values[column]) for column in self._columns),
            solution.objective,
            solution.bound,
            tuple(portion for portion in portions if portion.eaten),
        )

    def _units(self, one: Candidate, *, most: int, is_whole: bool) -> int:
        return self._builder.column(upper=most, cost=one.amount, is_whole=is_whole)

    def _eaters(self) -> list[list[int]]:
        wanted = self._wanted
        eaters: list[list[int]] = [[] for _ in (*wanted.question.stacks, *wanted.foods)]
        for c, one in enumerate(wanted.classes):
            for s in one.suits if wanted.days[c] > 0 else ():
                eaters[s].append(c)
        return eaters

    def _most_food(self, position: int) -> int:
        """Bound units by all that could be eaten of them."""
        at = len(self._wanted.question.stacks) + position
        eaten = fsum(
            need
            for one, need in zip(self._wanted.classes, self._needs, strict=True)
            if at in one.suits
        )
        unit = self._wanted.foods[position].food.energy_kcal() / self._wanted.mean_kcal
        return ceil(eaten / unit)

    def _most_water(self, one: Candidate) -> int:
        wanted = self._wanted
        stacks = wanted.question.stacks
        foods = [stack.offer.food for stack in stacks] + [food.food for food in wanted.foods]
        wettest = max((food.needed_water_l() / food.energy_kcal() for food in foods), default=0.0)
        drunk = fsum(
            days * (one.water_l + wettest * one.energy_kcal)
            for one, days in zip(wanted.classes, wanted.days, strict=True)
        )
        return ceil(drunk / one.stored_water_l)

    def _piles(self) -> list[_Pile]:
        """Merge the stacks on the shelf that the program need not tell apart; then candidates."""
        wanted = self._wanted
        eaters = self._eaters()
        merged: dict[_Key, list[Stack]] = {}
        for stack, group in zip(wanted.question.stacks, eaters, strict=False):
            if group:
                merged.setdefault(self._key(stack, group), []).append(stack)
        piles = [self._pile(key, merged[key]) for key in sorted(merged)]
        for position, one in enumerate(wanted.foods):
            group = eaters[len(wanted.question.stacks) + position]
            if group:
                stack = one.stack(units=1.0, kept_by=wanted.household)
                key = self._key(stack, group)
                piles.append(self._pile(key, [stack], column=self._columns[position]))
        return piles

    def _key(self, stack: Stack, group: Sequence[int]) -> _Key:
        food, per = stack.offer.food, self._wanted.mean_kcal / stack.offer.food.energy_kcal(100)
        at = bisect_left(self._kept, stack.day)
        day = self._kept[at] if at < len(self._kept) else inf
        protein, water = food.protein_g(100) * per, food.needed_water_l(100) * per
        return day, food.is_extra, protein, water, tuple(group)

    def _pile(self, key: _Key, stacks: Sequence[Stack], *, column: int | None = None) -> _Pile:
        day, is_extra, protein, water, group = key
        mean = self._wanted.mean_kcal
        dated: dict[int, list[float]] = {}
        for stack in stacks:
            dated.setdefault(stack.day, []).append(stack.energy_kcal / mean)
        by_day = tuple((day, fsum(energies)) for day, energies in sorted(dated.items()))
        supply = fsum(energy for _, energy in by_day)
        if column is not None:
            # However many units there come to be, they all keep to the same day.
            by_day = ((by_day[0][0], inf),)
        return _Pile(supply, protein, water, is_extra, day, group, by_day, column)

    def _share(self, pile: _Pile) -> tuple[_Pile, list[tuple[int, int]]]:
        columns = [(self._builder.column(), c) for c in pile.eaters]
        terms = [(column, 1.0) for column, _ in columns]
        if pile.column is None:
            useful = fsum(self._needs[c] for c in pile.eaters)
            self._builder.row(terms, upper=min(pile.supply, useful))
        else:
            self._builder.row([*terms, (pile.column, -pile.supply)], upper=0.0)
        for column, c in columns:
            self._eaten[c].append((column, pile))
        return pile, columns

    def _class_rows(self, c: int) -> None:
        wanted, builder = self._wanted, self._builder
        one, days, need, here = wanted.classes[c], wanted.days[c], self._needs[c], self._eaten[c]
        builder.row([(column, 1.0) for column, _ in here], lower=need, upper=need)
        extras = [(column, 1.0) for column, pile in here if pile.is_extra]
        if extras:
            builder.row(extras, upper=need * wanted.question.extras_share)
        protein = [(column, pile.protein_g / _PROTEIN_SCALE_G) for column, pile in here]
        builder.row(protein, lower=one.protein_g * days / _PROTEIN_SCALE_G)
        before: _Terms = []
        for day in (day for day in self._kept if day < days):
            until = builder.column(upper=need * day / days)
            due = [(column, -1.0) for column, pile in here if pile.day == day]
            builder.row([(until, 1.0), *before, *due], lower=0.0, upper=0.0)
            before = [(until, -1.0)]

    def _water_rows(self) -> None:
        """Hold what is drunk and what food draws to what is stored, each keeper's own first."""
        wanted, water = self._wanted, self._wanted.question.water
        assert water is not None
        stored = dict(water.kept_l)
        if wanted.household is not None:
            stored.setdefault(wanted.household, 0.0)
        drawn: dict[HouseholdId | None, _Terms] = {None: [], **{home: [] for home in stored}}
        drunk_l: dict[HouseholdId | None, list[float]] = {home: [] for home in drawn}
        for c, one in enumerate(wanted.classes):
            keeper = one.keeper if one.keeper in stored else None
            drunk_l[keeper].append(one.water_l * wanted.days[c])
            drawn[keeper] += [
                (column, pile.water_l / _WATER_SCALE_L)
                for column, pile in self._eaten[c]
                if pile.water_l > 0
            ]
        for column, bottled in zip(self._columns[len(wanted.foods) :], wanted.waters, strict=True):
            drawn[wanted.household].append((column, -bottled.stored_water_l / _WATER_SCALE_L))
        for home, own_l in stored.items():
            shared = self._builder.column()
            left = (own_l - fsum(drunk_l[home])) / _WATER_SCALE_L
            self._builder.row([*drawn[home], (shared, -1.0)], upper=left)
            drawn[None].append((shared, 1.0))
        left = (water.shared_l - fsum(drunk_l[None])) / _WATER_SCALE_L
        self._builder.row(drawn[None], upper=left)
