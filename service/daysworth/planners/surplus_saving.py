"""Count the fewest visits with which so much energy can go, on merged mass.

A visit is needed where its price proves it: with no room on it, the energy is no more than before
less the price of its rows times the room. Of the others, as few as may be are chosen by a program
that merges what the same visits take and is about as dense, taken to be as dense as the densest of
it; so it asks for no more visits than whole units do.

    sum_w y_kw <= A_k        sum_k y_kw <= room of w z_w        sum_kw e_k y_kw >= energy
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from math import floor, fsum, log
from typing import Final

from daysworth.planners.solver import Floats, Outcome, Program, ProgramBuilder
from daysworth.planners.surplus_match import Match

_STEP: Final = log(1.05)
"""Food within five hundredths of one another's kcal to the gram is merged."""
_SAME: Final = 1e-7
_HALF: Final = 0.5

Terms = list[tuple[int, float]]


class VisitSaver:
    """Choose visits, the fewest first, for as long as those chosen do not serve."""

    def __init__(self, match: Match, *, energy_kcal: float, needed: Collection[int]) -> None:
        self._energy_kcal = energy_kcal
        self._masses = _merged(match)
        self._rooms, self._days = [room.mass_g for room in match.rooms], match.days_ahead
        self._made: dict[int, int] = {}
        self._needed = frozenset(needed)

    @property
    def size(self) -> int:
        """Count the columns of its program."""
        return sum(len(visits) for visits, _ in self._masses)

    def choices(self) -> Iterator[frozenset[int]]:
        """Give sets of visits in turn, none of them of more visits than the one after it."""
        tried: list[frozenset[int]] = []
        while (chosen := self._fewest(tried)) is not None:
            tried.append(chosen)
            yield chosen

    def _fewest(self, tried: Collection[frozenset[int]]) -> frozenset[int] | None:
        """Choose as few visits as may be, and of those the soonest; None: none serve."""
        fewest = self._program(tried).solve()
        if fewest.outcome is Outcome.INFEASIBLE:
            return None
        chosen = self._read(fewest.proven().values)
        soonest = self._program(tried, most=len(chosen)).solve()
        return self._read(soonest.proven().values)

    def _read(self, values: Floats) -> frozenset[int]:
        return frozenset(w for w, column in self._made.items() if values[column] > _HALF)

    def _program(self, tried: Collection[frozenset[int]], *, most: int | None = None) -> Program:
        """State the program: to make as few visits as may be, or at `most` so many, the soonest."""
        builder = ProgramBuilder()
        by_visit: dict[int, Terms] = defaultdict(list)
        energy: Terms = []
        total_g = fsum(mass_g for mass_g, _ in self._masses.values())
        for (visits, _), (mass_g, density) in sorted(self._masses.items()):
            part = mass_g / total_g
            columns = [
                builder.column(upper=part, cost=0.0 if most is None else self._days[w] * density)
                for w in visits
            ]
            builder.row([(column, 1.0) for column in columns], upper=part)
            for w, column in zip(visits, columns, strict=True):
                by_visit[w].append((column, 1.0))
                energy.append((column, density))
        self._made = {}
        for w, terms in sorted(by_visit.items()):
            lower = 1.0 if w in self._needed else 0.0
            self._made[w] = builder.column(
                lower=lower, upper=1.0, cost=1.0 if most is None else 0.0, is_whole=True
            )
            room = min(1.0, self._rooms[w] / total_g)
            builder.row([*terms, (self._made[w], -room)], upper=0.0)
        least = self._energy_kcal / total_g
        builder.row(energy, lower=least * (1 - _SAME))
        made = list(self._made.items())
        for one in tried:
            builder.row([(column, 1.0) for w, column in made if w not in one], lower=1.0)
        if most is not None:
            builder.row([(column, 1.0) for _, column in made], upper=float(most))
        return builder.build(maximise=False)


def _merged(match: Match) -> Mapping[tuple[tuple[int, ...], int], tuple[float, float]]:
    """Sum up the grams of what the same visits take, with the kcal to a gram of the densest."""
    masses: dict[tuple[tuple[int, ...], int], list[float]] = defaultdict(list)
    densest: dict[tuple[tuple[int, ...], int], float] = {}
    for one in match.candidates:
        if one.energy_kcal <= 0 or not one.visits:
            continue
        density = one.energy_kcal / one.mass_g
        key = one.visits, floor(log(density) / _STEP)
        masses[key].append(one.units * one.mass_g)
        densest[key] = max(densest.get(key, 0.0), density)
    return {key: (fsum(each), densest[key]) for key, each in masses.items()}
