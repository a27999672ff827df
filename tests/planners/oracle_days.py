"""Hold a plan's fair days against what they mean, in the whole program.

Fair days are proved and not found again: a plan gives every class its days, and no class can be
raised, whatever those above it lose, without lowering one that has as many days or fewer.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from daysworth.domain.demands import Eater
from daysworth.planners.coverage import Coverage, Days
from tests.planners.oracle_program import OracleClass, WholeProgram
from tests.planners.oracle_store import Diner, Ground

RELATIVE: Final = 1e-6
_SAME: Final = 1e-6
"""Days nearer to one another than this, relative to them, are one level."""

_Who = tuple[str, Eater, float, float]


def days_by_member(coverage: Coverage | Days) -> dict[_Who, float]:
    """Give the days of each kind of member of each household; all of one kind have the same."""
    found: dict[_Who, float] = {}
    for item in coverage.classes:
        for mouth in item.members.mouths:
            who = (
                str(mouth.household),
                mouth.eater,
                round(mouth.energy_kcal, 6),
                round(mouth.protein_g, 6),
            )
            assert found.setdefault(who, item.days) == item.days
    return found


def days_of(days: Mapping[_Who, float], diner: Diner, *, ground: Ground) -> float:
    """Find a diner's days."""
    return days[
        str(diner.household.id),
        ground.eater(diner),
        round(diner.energy_kcal, 6),
        round(diner.protein_g, 6),
    ]


def class_days(
    coverage: Coverage | Days, classes: Sequence[OracleClass], *, ground: Ground
) -> list[float]:
    """Give the planner's days of each class by definition, whose members must all have the same."""
    by_member = days_by_member(coverage)
    found = []
    for one in classes:
        days = [days_of(by_member, diner, ground=ground) for diner in one.diners]
        assert max(days) - min(days) <= _SAME * max(1.0, *days), days
        found.append(min(days))
    return found


def faults_of(program: WholeProgram, days: Sequence[float]) -> list[str]:
    """Say where days are not the fair days of a program; none: they are."""
    if program.highest({}, least=days) is None:
        return ["no plan gives these days"]
    return list(_raised(program, days))


def _raised(program: WholeProgram, days: Sequence[float]) -> Iterator[str]:
    for level in levels_of(days):
        at = [c for c, d in enumerate(days) if abs(d - level) <= _SAME * max(1.0, level)]
        floors = [d if d <= level * (1 + _SAME) + _SAME else 0.0 for d in days]
        found = program.highest(dict.fromkeys(at, 1.0), least=floors)
        standing = sum(days[c] for c in at)
        if found is None:
            yield f"no plan holds level {level}"
        elif found.aim > standing + RELATIVE * max(1.0, standing):
            yield f"level {level}: its classes have {standing} days and could have {found.aim}"


def levels_of(days: Sequence[float]) -> list[float]:
    """List the different days, ascending."""
    found: list[float] = []
    for d in sorted(days):
        if not found or d - found[-1] > _SAME * max(1.0, d):
            found.append(d)
    return found
