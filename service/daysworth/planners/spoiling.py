"""Say what will spoil uneaten, however well it is shared out.

Among the fair plans, those in which every class is fed for its fair days, it is the plan that lets
the least energy spoil before the horizon. Among those it is the one that lets it spoil latest: the
sum, over dates, of the energy that spoils times the days from that date to the horizon is least. So
food is eaten by its date, the earliest first, unless that let more spoil later. A lot spoils before
the horizon when its last good day falls before the horizon's last day; what keeps to the horizon
or beyond does not, and what suits nobody does.

What spoils is found for food of one date that the same people may eat, and shared to its lots by
the energy of their units to eat.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

import numpy as np

from daysworth.domain.errors import SolverTrouble
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.offers import packed_since_on
from daysworth.planners.classes import EatingClass, in_order, split_by_ratio
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays
from daysworth.planners.shelf import DatedLot, Stack, is_counted, kept_by
from daysworth.planners.solver import Floats
from daysworth.planners.spoilage_dating import Broken, broken_by
from daysworth.planners.spoilage_piles import Finer, Table
from daysworth.planners.spoilage_program import SpoilageProgram
from daysworth.planners.stopping import check
from daysworth.planners.supply import Supply

_NOTHING: Final = 1e-9
"""Spoiling less than this part of a stack is the solver's rounding."""
_MOST_COLUMNS: Final = 30_000
"""About how many columns are added at a time, for classes whose food is told apart by date."""
MOST_WORK: Final = 40_000
"""How many columns may be solved for in all: a store of 20,000 lots with tight dates takes 30,000.

It is counted and not timed, so that the same question has the same answer on any machine.
"""
_SPLIT: Final = 5e-8


@dataclass(frozen=True, slots=True)
class SpoiledLot:
    """What spoils of one lot: units, in parts too, and kcal."""

    item: DatedLot
    units: float
    energy_kcal: float


@dataclass(frozen=True, slots=True)
class Spoiling:
    """The energy that spoils uneaten before the horizon, and its lots, earliest date first.

    Where it is not `is_proved`, no plan was found to go with it within the work that this answer is
    worth: the energy is the least that spoils in any plan, and no lots are told.
    """

    energy_kcal: float
    lots: tuple[SpoiledLot, ...]
    is_proved: bool = True


def will_spoil(
    grounds: Grounds, final: Sequence[ClassDays], *, most_work: int = MOST_WORK
) -> Spoiling:
    """Find what spoils in the fair plan that lets the least spoil, earliest dates eaten first.

    `final` are the classes of the fair plan with their days. Raises PlanningFailed where no
    answer could be proved.
    """
    try:
        spoils = spoiled_parts(grounds, final, most_work=most_work)
    except _Unproved as unproved:
        return Spoiling(unproved.at_least * grounds.mean_kcal, (), is_proved=False)
    lots = _lots(grounds, spoils)
    return Spoiling(fsum(one.energy_kcal for one in lots), lots)


class _Unproved(Exception):
    """Say that a plan was not found, and what spoils at least, in mean person-days."""

    def __init__(self, *, at_least: float) -> None:
        super().__init__()
        self.at_least = at_least


def spoiled_parts(
    grounds: Grounds, final: Sequence[ClassDays], *, most_work: int = MOST_WORK
) -> Floats:
    """Give the part of each stack that spoils, from 0 to 1."""
    stacks = grounds.question.stacks
    parts: Floats = np.array(
        [float(stack.day < grounds.question.horizon_days) for stack in stacks], dtype=np.float64
    )
    if not final or not parts.any():
        return parts
    table, left = _proved(grounds, final, most_work=most_work)
    for pile, left_by_day in zip(table.piles, left, strict=True):
        for place, energy in enumerate(left_by_day.tolist()):
            part = energy / pile.person_days[place]
            parts[pile.stacks[place]] = 0.0 if part <= _NOTHING else min(1.0, part)
    return parts


def _proved(
    grounds: Grounds, final: Sequence[ClassDays], *, most_work: int
) -> tuple[Table, tuple[Floats, ...]]:
    """Solve, date the plan, and make the program finer until the plan breaks nothing.

    With fewer rows the least is never more than the whole question's; so a plan that breaks nothing
    of the whole question and reaches it is the least.
    """
    classes = tuple(final)
    finer = Finer()
    supply = _supply(grounds, classes)
    work, at_least = 0, 0.0
    while True:
        check()
        table = Table(supply, [one.days for one in classes], finer=finer)
        if not table.piles:
            return table, ()
        program = SpoilageProgram(table)
        if work and work + program.columns > most_work:
            raise _Unproved(at_least=at_least)
        work += program.columns
        eaten = program.least()
        at_least = max(at_least, program.spoiled)
        broken = broken_by(table, eaten)
        another = program.settled() if broken.short else None
        if another is not None:
            eaten, broken = another, broken_by(table, another)
        if broken.is_sound:
            return table, eaten.left
        again = _finer(finer, broken, table=table)
        if again != finer:
            finer = again
        elif any(classes[c].members.is_mixed for c in broken.short):
            classes = _split(classes, broken.short, mean_kcal=grounds.mean_kcal)
            supply, finer = _supply(grounds, classes), Finer(is_wet=finer.is_wet)
        else:
            raise SolverTrouble("the plan breaks what the program holds")


def _supply(grounds: Grounds, classes: Sequence[ClassDays]) -> Supply:
    members = [one.members for one in classes]
    return Supply(grounds.question, members, mean_kcal=grounds.mean_kcal)


def _finer(finer: Finer, broken: Broken, *, table: Table) -> Finer:
    """Add what a plan breaks: of the classes that eat too late, those with the least food first."""
    coarse = (broken.late | broken.short.keys()) - finer.dated
    late = sorted((table.dates_of(c), c) for c in coarse)
    dated, columns = set(finer.dated), 0
    for size, c in late:
        if columns and columns + size > _MOST_COLUMNS:
            break
        columns += size
        dated.add(c)
    return Finer(
        frozenset(dated),
        finer.is_dense or not finer.dated.isdisjoint(broken.short),
        finer.is_wet or broken.is_dry,
    )


def _split(
    classes: Sequence[ClassDays], short: Mapping[int, float], *, mean_kcal: float
) -> tuple[ClassDays, ...]:
    """Split the classes that fell short of protein at the density they reached."""
    mixed = {c for c in short if classes[c].members.is_mixed}
    parted: dict[int, float] = {}
    members: list[EatingClass] = []
    for c, one in enumerate(classes):
        # A hair above, so that rounding leaves neither part empty.
        density = short.get(c, 0.0) / mean_kcal * (1 + _SPLIT)
        parts = split_by_ratio(one.members, density) if c in mixed else (one.members,)
        parted.update((id(part), one.days) for part in parts)
        members.extend(parts)
    return tuple(ClassDays(part, parted[id(part)]) for part in in_order(members))


_Key = tuple[FoodId, HouseholdId | None, int]


def _lots(grounds: Grounds, spoils: Floats) -> tuple[SpoiledLot, ...]:
    """Share what spoils of each stack to its lots, earliest date first."""
    stacks = grounds.question.stacks
    by_key: dict[_Key, list[int]] = {}
    for s, stack in enumerate(stacks):
        if stack.day < grounds.question.horizon_days:
            key = (stack.offer.food.id, stack.kept_by, stack.day)
            by_key.setdefault(key, []).append(s)
    spoiling = {key: alike for key, alike in by_key.items() if spoils[alike].any()}
    found = []
    for item in grounds.dated:
        if item.last_good_day is None:
            continue
        day = (item.last_good_day - grounds.as_of).days + 1
        alike = spoiling.get((item.lot.food, kept_by(item.lot), day), [])
        if not alike or not is_counted(item, grounds.scenario):
            continue
        part = float(spoils[_stack_of(item, alike, stacks=stacks)])
        if part > 0:
            units = item.lot.units_to_eat * part
            kcal = units * item.food.energy_kcal(item.lot.net_mass_g)
            found.append(SpoiledLot(item, units, kcal))
    return tuple(sorted(found, key=_by_day))


def _stack_of(item: DatedLot, alike: Sequence[int], *, stacks: Sequence[Stack]) -> int:
    """Find a lot's stack among those of its food, keeper and date."""
    if len(alike) == 1:
        return alike[0]
    since = packed_since_on(item.lot)
    for s in alike:
        offer = stacks[s].offer
        if (
            offer.is_handled_here == item.lot.is_handled_here
            and offer.packed_since_on == since
            and offer.readings == item.lot.readings
        ):
            return s
    raise SolverTrouble("a lot that counts is in no stack")


def _by_day(one: SpoiledLot) -> tuple[date, str, str]:
    return (one.item.last_good_day or date.max, one.item.food.name, one.item.lot.id)
