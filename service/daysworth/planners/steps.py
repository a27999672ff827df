"""Say where the days go: the energy that can be eaten, from all on the shelf to the fair plan.

Each step is the most energy that could be eaten within the horizon, in mean person-days, under one
more constraint than the step before. The classes are the fair plan's in every step. It is counted
in energy because that is conserved: no step can be more than the one before.

    on paper   all on the shelf, dates aside; what is damaged, quarantined or promised is not
    usable     of it, what is within the scenario's reach, ready in it, and of those present
    in date    of it, what is dated and eaten by its date
    balanced   with the extras' share, protein and water, as if everyone could eat everything
    suitable   with what suits whom, and each household's own food and water for itself alone
    fair       the fair plan's own total

Until the step `suitable` food and water that a household keeps for itself count for everybody, for
whose it is belongs with whom it suits. That everyone eats as one eater up to `in date` is exact:
one eater's plan can be shared out in proportion to need, and the classes' plans add up to his.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import fsum, inf
from typing import Final

from daysworth.domain.errors import SolverTrouble
from daysworth.planners.classes import EatingClass, eating_class, in_order, present_households
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays, Reach, highest
from daysworth.planners.question import Question, Water
from daysworth.planners.shelf import (
    DatedLot,
    Stack,
    energy_on_paper_kcal,
    is_in_scope,
    is_ready,
    kept_by,
)

ROUNDING: Final = 1e-7
"""How far, relative to it, rounding may lift a step above the one before; more is a fault."""
_SAME: Final = 1e-10


MOST_WORK: Final = 20_000
"""How many columns may be solved for in all to settle a step. It is counted and not timed, so that
the same question has the same answer on any machine."""


class Step(StrEnum):
    """How much of the shelf is still counted."""

    ON_PAPER = "on_paper"
    USABLE = "usable"
    IN_DATE = "in_date"
    BALANCED = "balanced"
    SUITABLE = "suitable"
    FAIR = "fair"


@dataclass(frozen=True, slots=True)
class StepDays:
    """What can be eaten at a step, in mean person-days.

    Where it is not `is_proved`, no plan was found to go with it within the work that this answer is
    worth, and it is what no plan can exceed.
    """

    step: Step
    person_days: float
    is_proved: bool = True


def where_days_go(
    grounds: Grounds, final: Sequence[ClassDays], *, most_work: int = MOST_WORK
) -> tuple[StepDays, ...]:
    """Give the six steps, which never increase; none where nobody has a need.

    Raises PlanningFailed where a step could not be proved.
    """
    if not final:
        return ()
    mean, present = grounds.mean_kcal, _present(grounds)
    most = fsum(item.members.energy_kcal for item in final) / mean * grounds.scenario.horizon_days
    usable = energy_on_paper_kcal(_usable(grounds, present))
    fair = fsum(item.members.energy_kcal * item.days for item in final) / mean
    in_date = _in_date_kcal(grounds, final=final, present=present) / mean
    balanced, suitable = _constrained(
        grounds, final, in_date=in_date, fair=fair, most_work=most_work
    )
    return _descending(
        {
            Step.ON_PAPER: _proved(min(energy_on_paper_kcal(grounds.dated) / mean, most)),
            Step.USABLE: _proved(min(usable / mean, most)),
            Step.IN_DATE: _proved(in_date),
            Step.BALANCED: balanced,
            Step.SUITABLE: suitable,
            Step.FAIR: _proved(fair),
        }
    )


def _proved(person_days: float) -> Reach:
    return Reach(person_days, is_proved=True)


def _descending(found: dict[Step, Reach]) -> tuple[StepDays, ...]:
    """Take off what rounding has lifted a step above the one before.

    Raises SolverTrouble for more than rounding.
    """
    steps: list[StepDays] = []
    for step, reach in found.items():
        days = reach.at_most
        before = steps[-1].person_days if steps else days
        if reach.is_proved and days > before + ROUNDING * max(1.0, before):
            raise SolverTrouble(f"the step {step} is {days}, above {before} at the step before")
        steps.append(StepDays(step, min(days, before), reach.is_proved))
    return tuple(steps)


# --- on the shelf ---


def _present(grounds: Grounds) -> frozenset[str | None]:
    """Name whom food may be kept by to be of use: somebody who is not away, or nobody."""
    homes = present_households(grounds.snapshot, grounds.scenario)
    return frozenset({None, *(home.id for home in homes)})


def _usable(grounds: Grounds, present: frozenset[str | None]) -> Iterable[DatedLot]:
    return (
        item
        for item in grounds.dated
        if is_in_scope(item.lot, grounds.scenario)
        and is_ready(item.food, grounds.scenario)
        and kept_by(item.lot) in present
    )


def _in_date_kcal(
    grounds: Grounds, *, final: Sequence[ClassDays], present: frozenset[str | None]
) -> float:
    """Give what everyone can eat in time as one eater: all but what is left at some day's end.

    By the end of day `k` a day's need `k` times is eaten at most, and later no more than what is
    good longer. What is least of these, over all `k`, can be eaten, the earliest date first.
    """
    need = fsum(item.members.energy_kcal for item in final)
    by_day: dict[int, list[float]] = {grounds.scenario.horizon_days: []}
    for stack in grounds.question.stacks:
        if stack.kept_by in present:
            by_day.setdefault(stack.day, []).append(stack.energy_kcal)
    least, after = float("inf"), 0.0
    for day in sorted(by_day, reverse=True):
        least = min(least, day * need + after)
        after += fsum(by_day[day])
    return min(least, after)


# --- by the program ---


def _constrained(
    grounds: Grounds,
    final: Sequence[ClassDays],
    *,
    in_date: float,
    fair: float,
    most_work: int,
) -> tuple[Reach, Reach]:
    """Give `balanced` and `suitable`, solving only where steps already known do not settle them."""
    if fair >= in_date:
        return _proved(in_date), _proved(in_date)
    balanced = _balanced(grounds, final, fair=fair, most_work=most_work)
    if fair >= balanced.at_most * (1 - _SAME):
        return balanced, _proved(min(fair, balanced.at_most))
    classes = [item.members for item in final]
    return balanced, _most(
        grounds.question, classes, known=fair, mean_kcal=grounds.mean_kcal, most_work=most_work
    )


def _balanced(
    grounds: Grounds, final: Sequence[ClassDays], *, fair: float, most_work: int
) -> Reach:
    """Let everyone eat all food and drink all water, as one eater where that is exact.

    One eater with everyone's needs, but as choosy for protein as the choosiest class, can share
    what it eats with everyone alike, day for day: no less can be eaten. One as modest for protein
    and water as the most modest can eat what all eat together: no more can be. Where the two eat
    the same, that is it. Else the classes are planned for one by one.
    """
    question, classes = _for_everybody(grounds, final)
    mean_kcal = grounds.mean_kcal
    everyone = eating_class(
        (mouth for one in classes for mouth in one.mouths), shared=classes[0].shared, keeper=None
    )
    proteins = [one.protein_g / one.energy_kcal for one in classes]
    litres = [one.water_l / one.energy_kcal for one in classes]
    need = everyone.energy_kcal
    choosy = replace(everyone, protein_g=need * max(proteins))
    modest = replace(everyone, protein_g=need * min(proteins), water_l=need * min(litres))
    fewest = max(fair, _most(question, [choosy], known=0.0, mean_kcal=mean_kcal).at_most)
    most = _most(question, [modest], known=fewest, mean_kcal=mean_kcal)
    if most.at_most <= fewest * (1 + _SAME):
        return _proved(fewest)
    return _most(question, classes, known=fewest, mean_kcal=mean_kcal, most_work=most_work)


def _most(
    question: Question,
    classes: Sequence[EatingClass],
    *,
    known: float,
    mean_kcal: float,
    most_work: float = inf,
) -> Reach:
    """Give the most energy that classes can eat between them, `known` being within reach.

    Both are in mean person-days.
    """
    return highest(
        question,
        classes,
        aims={c: one.energy_kcal / mean_kcal for c, one in enumerate(classes)},
        least=[0.0] * len(classes),
        known=known,
        mean_kcal=mean_kcal,
        most_work=most_work,
    )


def _for_everybody(
    grounds: Grounds, final: Sequence[ClassDays]
) -> tuple[Question, tuple[EatingClass, ...]]:
    """Let everyone eat all food and drink all water, pooling those who are then alike."""
    present = _present(grounds)
    question = grounds.question
    stacks = tuple(_shared(stack) for stack in question.stacks if stack.kept_by in present)
    water = question.water
    if water is not None:
        kept = fsum(litres for home, litres in water.kept_l.items() if home in present)
        water = Water(water.shared_l + kept)
    pools: dict[tuple[float, float], list[EatingClass]] = {}
    for item in final:
        # Sums of the same ratios differ in their last digits.
        protein = round(item.members.protein_g / item.members.energy_kcal, 12)
        litres = item.members.water_l / item.members.energy_kcal
        pools.setdefault((protein, 0.0 if water is None else round(litres, 12)), []).append(
            item.members
        )
    everything = frozenset(range(len(stacks)))
    classes = in_order(
        eating_class(
            (mouth for one in pool for mouth in one.mouths), shared=everything, keeper=None
        )
        for pool in pools.values()
    )
    return replace(question, stacks=stacks, water=water), classes


def _shared(stack: Stack) -> Stack:
    return stack if stack.kept_by is None else replace(stack, kept_by=None)
