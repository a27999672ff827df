"""Ask which food a fair plan eats up, as a linear program over piles and who eats them.

The days `T_c` of the classes are fixed. Food is counted in mean person-days. A **pile** `p` is
food that the program need not tell apart but by its dates; a **seat** `e` is a class, or several
that may have the same shared food. Food with a last good day `d` before the horizon `H` can spoil.

Variables: `w_pd >= 0` of pile `p` with last good day `d < H` that is never eaten; `x_pe >= 0` of a
pile eaten at a seat, and for the seats of classes that are dated `y_pcd`, the same by its date.

    sum_e x_pe + sum_cd y_pcd + sum_d w_pd  = A_p                    (>= where food keeps to `H`)
    sum_c y_pcd + w_pd                     <= A_pd                   each date of a dated pile
    sum_p x_pe                              = sum_c E_c T_c          each seat
    sum_{p extra} x_pe                     <= s sum_c E_c T_c        each seat
    sum_p sum_{d <= k} (A_pd - w_pd)       <= sum_c E_c min(k, T_c)  all classes, each day
    the same of what is one class's alone  <= E_c min(k, T_c)        classes with food of their own
    sum_p sum_{d <= k} y_pcd               <= E_c min(k, T_c)        dated classes, each day
    sum_p protein_p x_pe                   >= sum_c P_c T_c          each seat, if any is dense
    sum_pe water_p x_pe + sum_c D_c T_c    <= W                      if it is wet

Least is first the sum of `w_pd`, then the sum of `w_pd (H - d)`. With all classes dated and dense,
and the program wet, it is the whole question; with fewer it is one with fewer rows.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from daysworth.domain.errors import SolverTrouble
from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.program import PROTEIN_SCALE_G
from daysworth.planners.solver import Floats, Outcome, Program, ProgramBuilder
from daysworth.planners.spoilage_piles import Pile, Table

_HAIRS: Final = (3e-8, 3e-7, 3e-6)
"""How much less than their days classes may eat: those were proved to a hair themselves."""
_TIE: Final = 1e-8
"""How much more may spoil, relative to its size, where dates are put in order."""
_PLENTY: Final = 1.005
"""How much more protein than the neediest ask for a plan is settled on where it can be had."""
Terms = list[tuple[int, float]]
Most = Callable[[int], float]


@dataclass(frozen=True, slots=True)
class Eaten:
    """What a solution eats and leaves, by pile, in mean person-days.

    `left` is what is never eaten, by the place of the date in the pile; `at_seat` what is eaten at
    each undated seat; `dated` what each dated class eats, by the number of the pile's bucket.
    """

    left: tuple[Floats, ...]
    at_seat: tuple[Mapping[int, float], ...]
    dated: tuple[Mapping[tuple[int, int], float], ...]


@dataclass(frozen=True, slots=True)
class _Taken:
    """A column of what is eaten of a pile, with its grams of protein to a mean person-day."""

    column: int
    pile: Pile
    protein_g: float


class SpoilageProgram:
    """One program over a table of piles and seats."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._builder = ProgramBuilder()
        self._left: list[list[int]] = []
        self._at_seat: list[dict[int, int]] = []
        self._dated: list[dict[tuple[int, int], int]] = []
        self._terms: list[list[_Taken]] = [[] for _ in table.seats]
        self._lacking: list[int] = []
        for pile in table.piles:
            self._add_pile(pile)
        self._seat_rows = [self._add_seat(e) for e in range(len(table.seats))]
        self._add_pooled_days()
        for c in table.lone_owners:
            self._add_own_days(c)
        for c in sorted(table.finer.dated):
            self._add_class_days(c)
        self._protein_rows = [self._add_protein(e) for e in range(len(table.seats))]
        if table.finer.is_wet:
            self._add_water()
        every = [(w, day) for p, here in enumerate(self._left) for w, day in self._days(p, here)]
        self._spoiling = every
        horizon = table.horizon_days
        self._spoiled_row = self._builder.row([(w, 1.0) for w, _ in every])
        self._late_row = self._builder.row([(w, (horizon - day) / horizon) for w, day in every])
        self._early, self._found = 0.0, np.zeros(0)
        self.spoiled = 0.0
        """What spoils at least of what the table holds, in mean person-days, once it was asked."""
        self._program: Program = self._builder.build(maximise=False)

    @property
    def columns(self) -> int:
        """Count the program's columns, by which the work it makes is reckoned."""
        return self._builder.columns

    def least(self) -> Eaten:
        """Let the least spoil, and of that the least early.

        Raises PlanningFailed where the classes cannot have their days.
        """
        horizon = self._table.horizon_days
        self._price(self._spoiling, [1.0] * len(self._spoiling))
        spoiled = self.spoiled = self._first()
        self._program.bound_row(self._spoiled_row, upper=spoiled + _TIE * max(1.0, spoiled))
        self._price(self._spoiling, [(horizon - day) / horizon for _, day in self._spoiling])
        found = self._program.solve().proven()
        self._early, self._found = found.objective, found.values
        return self._read(found.values)

    def settled(self) -> Eaten | None:
        """Give another plan that lets no more spoil, with the most protein for the neediest.

        It chooses among plans and changes no answer; None where it is the same plan. Ask it after
        `least`.
        """
        self._program.bound_row(self._late_row, upper=self._early + _TIE * max(1.0, self._early))
        self._price(self._spoiling, [0.0] * len(self._spoiling))
        for column in self._lacking:
            self._program.price_column(column, cost=1.0)
        values = self._program.solve().proven().values
        return None if np.array_equal(values, self._found) else self._read(values)

    def _price(self, columns: Sequence[tuple[int, int]], costs: Sequence[float]) -> None:
        for (column, _), cost in zip(columns, costs, strict=True):
            self._program.price_column(column, cost=cost)

    def _first(self) -> float:
        for hair in _HAIRS:
            for e, row in enumerate(self._seat_rows):
                energy = self._table.energy_at(e)
                self._program.bound_row(row, lower=energy * (1 - hair), upper=energy)
            for e, row in enumerate(self._protein_rows if self._table.finer.is_dense else ()):
                needed = self._table.protein_at(e) / PROTEIN_SCALE_G
                self._program.bound_row(row, lower=needed * (1 - hair))
            found = self._program.solve()
            if found.outcome is not Outcome.INFEASIBLE:
                return max(0.0, found.proven().objective)
        raise SolverTrouble("not every class can have the days that it is to keep")

    def _read(self, values: Floats) -> Eaten:
        positive = values.clip(min=0.0)
        return Eaten(
            tuple(positive[here] for here in self._left),
            tuple({e: float(positive[x]) for e, x in here.items()} for here in self._at_seat),
            tuple({key: float(positive[y]) for key, y in here.items()} for here in self._dated),
        )

    def _days(self, p: int, columns: Sequence[int]) -> list[tuple[int, int]]:
        return list(zip(columns, self._table.piles[p].days, strict=False))

    def _add_pile(self, pile: Pile) -> None:
        table, builder = self._table, self._builder
        dated = [e for e in pile.seats if table.is_dated(e)]
        left = [builder.column(upper=pile.person_days[i]) for i in range(pile.can_spoil)]
        at_seat = {e: builder.column() for e in pile.seats if e not in dated}
        used = {
            (table.seats[e][0], b): builder.column()
            for e in dated
            for b in range(pile.bucket_count)
        }
        for e, x in at_seat.items():
            self._terms[e].append(_Taken(x, pile, pile.protein_g))
        seat_of = {table.seats[e][0]: e for e in dated}
        for (c, b), y in used.items():
            self._terms[seat_of[c]].append(_Taken(y, pile, pile.protein_in(b)))
        every = [*left, *at_seat.values(), *used.values()]
        whole = sum(pile.person_days)
        keeps = sum(pile.person_days[pile.can_spoil :])
        builder.row([(column, 1.0) for column in every], lower=whole - keeps, upper=whole)
        if dated:
            lasting = {y for (_, b), y in used.items() if b == pile.bucket_count - 1}
            rest = [(column, 1.0) for column in every if column not in lasting]
            builder.row(rest, lower=whole - keeps)
            due: list[Terms] = [[] for _ in range(pile.bucket_count)]
            for i, w in enumerate(left):
                due[pile.bucket_of(i)].append((w, 1.0))
            for (_, b), y in used.items():
                due[b].append((y, 1.0))
            for b, terms in enumerate(due):
                builder.row(terms, upper=pile.in_bucket(b))
        self._left.append(left)
        self._at_seat.append(at_seat)
        self._dated.append(used)

    def _add_seat(self, e: int) -> int:
        energy = self._table.energy_at(e)
        extras = [(one.column, 1.0) for one in self._terms[e] if one.pile.is_extra]
        if extras:
            self._builder.row(extras, upper=energy * self._table.extras_share)
        return self._builder.row([(one.column, 1.0) for one in self._terms[e]], upper=energy)

    def _add_pooled_days(self) -> None:
        due: dict[int, Terms] = {}
        stock: dict[int, float] = {}
        for p, pile in enumerate(self._table.piles):
            for w, day in self._days(p, self._left[p]):
                due.setdefault(day, []).append((w, 1.0))
            for i in range(pile.can_spoil):
                day = pile.days[i]
                stock[day] = stock.get(day, 0.0) + pile.person_days[i]
        self._add_chain(due, stock, most=self._table.most_by)

    def _add_own_days(self, c: int) -> None:
        due: dict[int, Terms] = {}
        stock: dict[int, float] = {}
        for p in self._table.lone_owners[c]:
            pile = self._table.piles[p]
            for i, (w, day) in enumerate(self._days(p, self._left[p])):
                due.setdefault(day, []).append((w, 1.0))
                stock[day] = stock.get(day, 0.0) + pile.person_days[i]
        self._add_chain(due, stock, most=lambda day: self._table.most_of(c, day))

    def _add_class_days(self, c: int) -> None:
        due: dict[int, Terms] = {}
        for p, used in enumerate(self._dated):
            pile = self._table.piles[p]
            for b in range(pile.told_apart):
                if (c, b) in used:
                    due.setdefault(pile.days[b], []).append((used[c, b], -1.0))
        due = {day: terms for day, terms in due.items() if day < self._table.days_of(c)}
        self._add_chain(due, dict.fromkeys(due, 0.0), most=lambda day: self._table.most_of(c, day))

    def _add_chain(
        self, due: Mapping[int, Terms], stock: Mapping[int, float], *, most: Most
    ) -> None:
        """Hold the running sum of what is eaten by each day: `stock` less the terms `due`."""
        before: Terms = []
        for day in sorted(due):
            until = self._builder.column(upper=most(day))
            terms = [(until, 1.0), *before, *due[day]]
            self._builder.row(terms, lower=stock[day], upper=stock[day])
            before = [(until, -1.0)]

    def _add_protein(self, e: int) -> int:
        """Count the protein at a seat, and what lacks of the most that its neediest ask for."""
        terms = [
            (one.column, one.protein_g / PROTEIN_SCALE_G)
            for one in self._terms[e]
            if one.protein_g > 0
        ]
        lacking = self._builder.column()
        highest = self._table.highest_protein_at(e) * _PLENTY / PROTEIN_SCALE_G
        self._builder.row([*terms, (lacking, 1.0)], lower=highest)
        self._lacking.append(lacking)
        return self._builder.row(terms)

    def _add_water(self) -> None:
        water = self._table.water
        assert water is not None
        drawn: dict[HouseholdId | None, Terms] = {None: []}
        due: dict[HouseholdId | None, float] = {None: 0.0}
        for e, seat in enumerate(self._table.seats):
            keeper = self._table.classes[seat[0]].keeper
            keeper = keeper if keeper in water.kept_l else None
            drawn.setdefault(keeper, []).extend(
                (one.column, one.pile.water_l) for one in self._terms[e] if one.pile.water_l > 0
            )
            litres = sum(self._table.litres_of(c) for c in seat)
            due[keeper] = due.get(keeper, 0.0) + litres
        for keeper, terms in drawn.items():
            if keeper is not None:
                shared = self._builder.column()
                room = water.kept_l[keeper] - due[keeper]
                self._builder.row([*terms, (shared, -1.0)], upper=room)
                drawn[None].append((shared, 1.0))
        room = water.shared_l - due[None]
        hair = _HAIRS[0] * max(1.0, water.shared_l)
        self._builder.row(drawn[None], upper=max(room, 0.0) + hair)
