"""State coverage as a linear program over eating classes and piles of food.

Sets: piles `g`, their buckets `k` by last good day (`supply`), eaters `n`: a class `c` by itself
or a pool of classes. Everything is counted in mean person-days of energy, `m` kcal, so that
figures are near 1.

Variables: `x_gn >= 0` of pile `g` eaten by `n`; `T_c <= U_c` days for which a class is fed. Where
dates are kept: `x_gkn` of a bucket, for a class whose own days are kept, `o_gk` of a bucket for
all others together; `Z_k` what all, and `z_ck` what one class, have eaten of food good only to day
`k` or before. `f_pcj` is what class `c` has of the food of its pool `p`, plain or extra, `j`.
`v_h >= 0` is shared water drawn by a household that keeps water of its own.

    sum_n x_gn                                  <= A_g           each pile without kept days
    o_gk + sum_n x_gkn                          <= A_gk          each bucket of the others
    sum_k o_gk                                   = sum_n x_gn    the others' part of the pile
    Z_k = Z_k-1 + sum_g (o_gk + sum_n x_gkn)    <= sum_c (E_c / m) k      each pooled day
    z_ck = z_c,k-1 + sum_g x_gkc                <= (E_c / m) k            each class's day
    sum_g x_gp                                   = sum_c f_pcj   each pool, plain and extra
    sum_g x_gc + sum_j f_pcj                     = (E_c / m) T_c          each class
    what of it is extra                         <= s (E_c / m) T_c        each class
    sum_g p_g x_gc                              >= P_c T_c       each dense class
    sum_gn w_g x_gn + sum_c D_c T_c             <= W             shared water, when none runs

`U_c` is proved from the class's own food, dates, extras and water alone. What is left out of a
program (days, protein, the water that food needs, who in a pool has what) makes it no smaller, so
its best is never below the best of the whole question; `proving` holds its plans against that.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import fsum, inf
from typing import Final, NamedTuple

from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.solver import ProgramBuilder
from daysworth.planners.supply import Pile, Refinement, Seating, Supply

PROTEIN_SCALE_G: Final = 50.0
"""Grams of protein to one unit of a protein row: about a person-day's, so that rows are near 1."""

Terms = list[tuple[int, float]]


class Eaten(NamedTuple):
    """A column of what an eater has of a pile; `bucket` None: of all of it, else of that one."""

    column: int
    pile: int
    eater: int
    bucket: int | None


class Link(NamedTuple):
    """A column of what a class has of its pool's food, plain or extra."""

    column: int
    eater: int
    pool: int
    is_extra: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """Where a program's columns and rows stand, for reading a solution back.

    `days` holds each class's `T_c`. `others` holds for each pile the columns `o_gk` of its
    buckets, empty where it has no kept days, `useful` how much of it can be eaten at all, and
    `stock_rows` the rows of what there is in each of its buckets. `rows` holds each class's rows of
    energy, extras and protein, `date_rows` are those of kept days, `drawing_rows` those of water
    that households keep, and `drink_row` that of the shared water.
    """

    supply: Supply
    refinement: Refinement
    seating: Seating
    piles: tuple[Pile, ...]
    days: tuple[int, ...]
    eaten: tuple[Eaten, ...]
    by_eater: tuple[tuple[Eaten, ...], ...]
    others: tuple[tuple[int, ...], ...]
    useful: tuple[float, ...]
    stock_rows: tuple[tuple[int, ...], ...]
    links: tuple[Link, ...]
    rows: tuple["ClassRows", ...]
    date_rows: tuple[int, ...]
    drawing_rows: tuple[int, ...]
    drink_row: int | None


@dataclass(frozen=True, slots=True)
class ClassRows:
    """The rows of one class; None: it has no such row."""

    fed: int
    extras: int | None
    dense: int | None


def lay_out(
    supply: Supply, refinement: Refinement, *, most: Sequence[float]
) -> tuple[ProgramBuilder, Layout]:
    """Build the program's columns and rows, `most` bounding the days; the caller sets the aim."""
    return _Sheet(supply, refinement, most=most).laid_out()


@dataclass(slots=True)
class _Plate:
    """The columns that feed one eater, with the pile each is of; None: a link."""

    columns: list[tuple[int, Pile, int | None]] = field(default_factory=list)
    links: list[tuple[int, bool]] = field(default_factory=list)

    def energy(self) -> Terms:
        return [
            *((column, 1.0) for column, _, _ in self.columns),
            *((c, 1.0) for c, _ in self.links),
        ]

    def extras(self) -> Terms:
        direct = [(column, 1.0) for column, pile, _ in self.columns if pile.is_extra]
        return [*direct, *((column, 1.0) for column, is_extra in self.links if is_extra)]


class _Sheet:
    """One program while it is built."""

    def __init__(self, supply: Supply, refinement: Refinement, *, most: Sequence[float]) -> None:
        self._supply, self._refinement = supply, refinement
        self._seating = supply.seating(refinement)
        self._piles = supply.piles(refinement, self._seating)
        self._builder = ProgramBuilder()
        self._days = tuple(self._builder.column(upper=bound) for bound in most)
        self._useful = [need * days for need, days in zip(supply.needs, most, strict=True)]
        eaters = len(supply.classes) + len(self._seating.pools)
        self._plates = [_Plate() for _ in range(eaters)]
        self._own_days = {c: refinement.days_of(c) for c, _ in refinement.class_days}
        self._by_bucket: dict[float, Terms] = {}
        self._eaten: list[Eaten] = []
        self._links: list[Link] = []
        self._most_useful: list[float] = []
        self._stock_rows: list[tuple[int, ...]] = []
        self._date_rows: list[int] = []
        self._drawing_rows: list[int] = []

    def laid_out(self) -> tuple[ProgramBuilder, Layout]:
        others = tuple(self._pile(g, pile) for g, pile in enumerate(self._piles))
        self._pooled_days()
        for j in range(len(self._seating.pools)):
            self._pool(j)
        rows = tuple(self._class(c) for c in range(len(self._supply.classes)))
        drink_row = self._water()
        return self._builder, Layout(
            self._supply,
            self._refinement,
            self._seating,
            self._piles,
            self._days,
            tuple(self._eaten),
            self._by_eater(),
            others,
            tuple(self._most_useful),
            tuple(self._stock_rows),
            tuple(self._links),
            rows,
            tuple(self._date_rows),
            tuple(self._drawing_rows),
            drink_row,
        )

    def _by_eater(self) -> tuple[tuple[Eaten, ...], ...]:
        found: list[list[Eaten]] = [[] for _ in self._plates]
        for one in self._eaten:
            found[one.eater].append(one)
        return tuple(map(tuple, found))

    def _column(self, g: int, *, eater: int, bucket: int | None) -> int:
        column = self._builder.column()
        self._eaten.append(Eaten(column, g, eater, bucket))
        self._plates[eater].columns.append((column, self._piles[g], bucket))
        return column

    def _pile(self, g: int, pile: Pile) -> tuple[int, ...]:
        """Add a pile's columns and rows, and give the columns of the others by bucket."""
        # More than its eaters can eat is no use to a plan, and would only spoil the scale.
        useful = fsum(self._useful[c] for e in pile.eaters for c in self._seating.seated(e))
        self._most_useful.append(useful)
        if len(pile.buckets) == 1 and pile.buckets[0].day == inf:
            columns = [(self._column(g, eater=e, bucket=None), 1.0) for e in pile.eaters]
            row = self._builder.row(columns, upper=min(pile.person_days, useful))
            self._stock_rows.append((row,))
            return ()
        own = [e for e in pile.eaters if e in self._own_days]
        shared = [e for e in pile.eaters if e not in self._own_days]
        others = tuple(self._builder.column() for _ in pile.buckets) if shared else ()
        rows = []
        for k, bucket in enumerate(pile.buckets):
            terms = [(self._column(g, eater=e, bucket=k), 1.0) for e in own]
            if shared:
                terms.append((others[k], 1.0))
            rows.append(self._builder.row(terms, upper=min(bucket.person_days, useful)))
            self._by_bucket.setdefault(bucket.day, []).extend(terms)
        self._stock_rows.append(tuple(rows))
        if shared:
            columns = [(self._column(g, eater=e, bucket=None), -1.0) for e in shared]
            self._builder.row([*((o, 1.0) for o in others), *columns], lower=0.0, upper=0.0)
        return others

    def _pooled_days(self) -> None:
        kept = sorted(self._refinement.pooled_days)
        energy = fsum(self._supply.needs)
        self._chain(kept, due=self._by_bucket, energy=energy)

    def _chain(self, kept: Sequence[int], *, due: dict[float, Terms], energy: float) -> None:
        """Hold what is eaten of food good only to each kept day to the days there are till then."""
        passed = sorted(due)
        before: Terms = []
        at = 0
        for day in kept:
            eaten: Terms = []
            while at < len(passed) and passed[at] <= day:
                eaten.extend((column, -one) for column, one in due[passed[at]])
                at += 1
            until = self._builder.column(upper=energy * day)
            row = self._builder.row([(until, 1.0), *before, *eaten], lower=0.0, upper=0.0)
            self._date_rows.append(row)
            before = [(until, -1.0)]

    def _pool(self, j: int) -> None:
        """Part what a pool has of plain food and of extras among its classes."""
        eater = len(self._supply.classes) + j
        for is_extra in (False, True):
            had = [
                (column, 1.0)
                for column, pile, _ in self._plates[eater].columns
                if pile.is_extra is is_extra
            ]
            if not had:
                continue
            parts: Terms = []
            for c in self._seating.pools[j]:
                column = self._builder.column()
                self._links.append(Link(column, c, j, is_extra))
                self._plates[c].links.append((column, is_extra))
                parts.append((column, -1.0))
            self._builder.row([*had, *parts], lower=0.0, upper=0.0)

    def _class(self, c: int) -> ClassRows:
        plate, need = self._plates[c], float(self._supply.needs[c])
        energy = self._builder.row([*plate.energy(), (self._days[c], -need)], lower=0.0, upper=0.0)
        extras, protein = None, None
        if terms := plate.extras():
            share = self._supply.question.extras_share
            extras = self._builder.row([*terms, (self._days[c], -need * share)], upper=0.0)
        if c in self._refinement.dense:
            protein = self._protein(c)
        if c in self._own_days:
            due: dict[float, Terms] = {}
            for column, pile, bucket in plate.columns:
                if bucket is not None:
                    due.setdefault(pile.buckets[bucket].day, []).append((column, 1.0))
            self._chain(self._own_days[c], due=due, energy=need)
        return ClassRows(energy, extras, protein)

    def _protein(self, c: int) -> int:
        terms = [
            (column, pile.protein_g / PROTEIN_SCALE_G)
            for column, pile, _ in self._plates[c].columns
            if pile.protein_g > 0
        ]
        need = self._supply.classes[c].protein_g / PROTEIN_SCALE_G
        return self._builder.row([*terms, (self._days[c], -need)], lower=0.0)

    def _water(self) -> int | None:
        water = self._supply.question.water
        if water is None:
            return None
        drawn: dict[HouseholdId | None, Terms] = {None: []}
        for c, one in enumerate(self._supply.classes):
            keeper = one.keeper if one.keeper in water.kept_l else None
            terms = drawn.setdefault(keeper, [])
            terms.append((self._days[c], one.water_l))
            terms.extend(self._prepared(c))
        for j in range(len(self._seating.pools)):
            drawn[None].extend(self._prepared(len(self._supply.classes) + j))
        for keeper, terms in drawn.items():
            if keeper is not None:
                shared = self._builder.column()
                row = self._builder.row([*terms, (shared, -1.0)], upper=water.kept_l[keeper])
                self._drawing_rows.append(row)
                drawn[None].append((shared, 1.0))
        return self._builder.row(drawn[None], upper=water.shared_l)

    def _prepared(self, eater: int) -> Iterable[tuple[int, float]]:
        """Give the litres that an eater's food needs, where the refinement counts them."""
        if not self._refinement.is_wet:
            return ()
        return (
            (column, pile.water_l)
            for column, pile, _ in self._plates[eater].columns
            if pile.water_l > 0
        )
