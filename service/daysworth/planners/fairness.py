"""Find the fair days of every class: the lexicographic max-min of their days.

First the smallest is raised as far as it goes: maximise `t` with `T_c >= t` for every class not
yet fixed. A class is fixed at `t` where its row has a dual (then no optimum can raise it) or where
it stands at its own proved bound, never because it is merely equal in one solution. The rest are
raised next. Each round fixes at least one class, so it ends.

Dates are held only where they bind: when all classes are fixed, the plan is dated in full, and the
days that it breaks are kept and the question put again. A plan that breaks none is a plan of the
whole program, and no plan of the whole program is better than the best with fewer rows.

At the end, where a class pools members with different ratios of protein to energy and the plan is
too poor for one of them, or where it breaks a day, another plan with the same days is settled on:
as dense in protein as the fair days allow, and late in its dates.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.classes import EatingClass
from daysworth.planners.dating import Share, broken_days, mean_haste
from daysworth.planners.program import (
    PROTEIN_SCALE_G,
    Layout,
    Question,
    lay_out,
    most_days,
    most_days_of_water,
)
from daysworth.planners.solver import INFINITE, Floats, ProgramBuilder

_DUAL: Final = 1e-7
_SLACK: Final = 1e-9
_LACKING_WEIGHT: Final = 1e3
SAME: Final = 1e-7
"""Days nearer to one another than this, relative to their size, are one level."""


@dataclass(frozen=True, slots=True)
class FairDays:
    """Days for each class in the classes' order, and which classes were fixed at the smallest.

    `short` holds the classes whose plan is not dense enough in protein for their neediest member,
    each with its density in grams per kcal; `broken` holds the
    days that the plan breaks, to be kept next time. With neither, the days are proved. Where
    `water_binds` is false, no amount of shared water would raise the smallest.
    """

    days: tuple[float, ...]
    held: frozenset[int]
    short: Mapping[int, float]
    broken: frozenset[int]
    water_binds: bool


class FairPlanner:
    """Raise the classes of one program, level by level."""

    def __init__(
        self,
        question: Question,
        classes: Sequence[EatingClass],
        *,
        kept: frozenset[int],
        mean_kcal: float,
    ) -> None:
        self._question, self._classes = question, classes
        self._mean_kcal = mean_kcal
        self._most = most_days(question, classes)
        builder, self._layout = lay_out(
            question, classes, most=self._most, kept=kept, mean_kcal=mean_kcal
        )
        self._lacking = {
            c: _lacking_row(
                builder, self._layout, c=c, mean_kcal=mean_kcal, highest=one.highest_ratio
            )
            for c, one in enumerate(classes)
            if one.is_mixed
        }
        self._level = builder.column(upper=max(self._most), cost=1.0)
        self._rows = [
            builder.row([(column, 1.0), (self._level, -1.0)], lower=0.0)
            for column in self._layout.days
        ]
        self._program = builder.build(maximise=True)
        self._water_binds: bool | None = None

    def everyone(self) -> FairDays:
        """Raise the smallest alone, so that every class gets the same days, `T*`."""
        everyone = range(len(self._classes))
        level, held, values = self._raise(everyone)
        self._fix(everyone, days=level)
        return self._read((level,) * len(everyone), held=held, values=values)

    def fair(self) -> FairDays:
        """Raise the smallest, then the next, and so on to the last."""
        active = set(range(len(self._classes)))
        days: dict[int, float] = {}
        held: frozenset[int] = frozenset()
        least = None
        while active:
            level, fixed, values = self._raise(sorted(active))
            least = level if least is None else least
            if level - least <= SAME * max(1.0, least):
                held |= fixed
            self._fix(fixed, days=level)
            days.update({c: min(level, self._most[c]) for c in fixed})
            active -= fixed
        return self._read(tuple(days[c] for c in sorted(days)), held=held, values=values)

    def _raise(self, active: Sequence[int]) -> tuple[float, frozenset[int], Floats]:
        solution = self._program.solve().proven()
        level = max(0.0, float(solution.values[self._level]))
        if self._water_binds is None:
            self._water_binds = self._is_priced(solution.row_duals, level=level)
        fixed = frozenset(
            c
            for c in active
            if abs(solution.row_duals[self._rows[c]]) > _DUAL
            or self._most[c] <= level + _SLACK * max(1.0, level)
        )
        if not fixed:
            raise SolverTrouble("no class could be shown to stand still at its level")
        return level, fixed, solution.values

    def _is_priced(self, duals: Floats, *, level: float) -> bool:
        """Tell whether more shared water might raise the level: it is scarce in row or bound."""
        row = self._layout.drink_row
        if row is None:
            return False
        thirst = min(most_days_of_water(self._question, one) for one in self._classes)
        return bool(duals[row] != 0) or thirst <= level + SAME * max(1.0, level)

    def _fix(self, classes: Iterable[int], *, days: float) -> None:
        for c in classes:
            # A hair below, so that rounding cannot make the next round infeasible.
            self._program.bound_column(
                self._layout.days[c], lower=max(0.0, days - _SLACK * max(1.0, days)), upper=days
            )
            self._program.bound_row(self._rows[c])

    def _read(self, days: tuple[float, ...], *, held: frozenset[int], values: Floats) -> FairDays:
        """Read the plan back; where it falls short or breaks a day, settle on a better one."""
        found = self._held_against(values, days=days, held=held)
        if found.short or found.broken:
            found = self._held_against(self._settled(), days=days, held=held)
        return found

    def _settled(self) -> Floats:
        """Solve again with every class fixed, for a plan dense in protein and late in its dates.

        What a class lacks of protein weighs most. Food that must be eaten early weighs the more,
        the smaller the class that eats it: the large have room for it. This chooses among plans
        with the same days; it changes none.
        """
        self._program.price_column(self._level, cost=0.0)
        for lacking, row in self._lacking.values():
            self._program.bound_row(row, lower=0.0)
            self._program.price_column(lacking, cost=-_LACKING_WEIGHT)
        haste: dict[int, float] = {}
        for c, eaten in enumerate(self._layout.eaten):
            for column, pile in eaten:
                first = pile.stacks[0]
                if first not in haste:
                    haste[first] = mean_haste(pile, self._question.stacks)
                weight = haste[first] / self._layout.needs[c]
                self._program.price_column(column, cost=-weight)
        return self._program.solve().proven().values

    def _held_against(
        self, values: Floats, *, days: tuple[float, ...], held: frozenset[int]
    ) -> FairDays:
        shares = [
            Share(pile, c, float(values[column]))
            for c, eaten in enumerate(self._layout.eaten)
            for column, pile in eaten
            if values[column] > 0
        ]
        broken = broken_days(
            self._question.stacks,
            shares,
            energies=self._layout.needs,
            mean_kcal=self._mean_kcal,
        )
        return FairDays(days, held, self._below(values), broken, bool(self._water_binds))

    def _below(self, values: Floats) -> dict[int, float]:
        densities = {c: self._density(values, c) for c in self._lacking}
        return {
            c: density
            for c, density in densities.items()
            if density < self._classes[c].highest_ratio * (1 - SAME)
        }

    def _density(self, values: Floats, c: int) -> float:
        eaten = self._layout.eaten[c]
        energy = sum(values[column] for column, _ in eaten)
        protein = sum(values[column] * pile.protein_g_kcal for column, pile in eaten)
        if energy > _SLACK:
            return float(protein / energy)
        # Where nothing suits them, they are alike. Else some may be fed by what is too poor for
        # others, so nothing eaten counts as no denser than they need between them.
        one = self._classes[c]
        return INFINITE if self._most[c] <= _SLACK else one.protein_g / one.energy_kcal


def _lacking_row(
    builder: ProgramBuilder, layout: Layout, *, c: int, mean_kcal: float, highest: float
) -> tuple[int, int]:
    """Add, at first free, what class `c` lacks of the protein its highest ratio asks for."""
    lacking = builder.column()
    scale = mean_kcal / PROTEIN_SCALE_G
    terms = [(column, pile.protein_g_kcal * scale) for column, pile in layout.eaten[c]]
    need = highest * layout.needs[c] * scale
    row = builder.row([*terms, (lacking, 1.0), (layout.days[c], -need)])
    return lacking, row
