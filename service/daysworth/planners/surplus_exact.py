"""Find the best match of a small store: every aim solved in whole units, to a proven optimum.

An aim is held by the next but for a hair. Where the solver then finds nothing, or nothing as good
as what is known already, what is known stays, and is not said to be the best there is.
"""

from collections.abc import Mapping, Sequence
from typing import Final

from daysworth.planners.surplus_floor import Cut
from daysworth.planners.surplus_match import Match, Pair, Reached
from daysworth.planners.surplus_plan import SurplusAim, SurplusStage
from daysworth.planners.surplus_program import MatchProgram, Solved
from daysworth.planners.surplus_room import whole_units

_MORE: Final = 1e-5
"""A mean of days that is higher by this share is higher by more than rounding and hairs."""


def exactly(match: Match, cuts: Sequence[Cut]) -> Reached:
    """Solve the three aims in their order, each held by those before it."""
    most = MatchProgram(match, cuts, is_whole=True).most_energy()
    units, kcal = whole_units(most.units), match.energy_kcal(most.units)
    program = MatchProgram(match, cuts, is_whole=True, counts_visits=True)
    units, visits = _fewest(program.fewest_visits(energy_kcal=kcal), known=units)
    soonest = program.earliest(energy_kcal=kcal, most_visits=len(_made(units)))
    units, earliness = _soonest(match, soonest, known=units)
    kcal = match.energy_kcal(units)
    energy = SurplusStage(aim=SurplusAim.ENERGY, value=kcal, bound=max(kcal, most.bound))
    return Reached(units, (energy, visits, earliness))


def _fewest(
    found: Solved | None, *, known: dict[Pair, int]
) -> tuple[dict[Pair, int], SurplusStage]:
    units = known if found is None else whole_units(found.units)
    is_worse = len(_made(units)) > len(_made(known))
    if is_worse:
        units = known
    made = len(_made(units))
    is_proved = found is not None and not is_worse
    bound = min(made, round(found.bound)) if found is not None and is_proved else min(made, 1)
    return units, SurplusStage(aim=SurplusAim.VISITS, value=made, bound=bound)


def _soonest(
    match: Match, found: Solved | None, *, known: dict[Pair, int]
) -> tuple[dict[Pair, int], SurplusStage]:
    units = known if found is None else whole_units(found.units)
    if match.mean_days(units) > match.mean_days(known) * (1 + _MORE):
        found, units = None, known
    days = match.mean_days(units)
    least = found.bound / max(match.energy_kcal(units), 1.0) if found is not None else 0.0
    return units, SurplusStage(aim=SurplusAim.EARLINESS, value=days, bound=min(days, least))


def _made(units: Mapping[Pair, int]) -> set[int]:
    """Give the visits that are made."""
    return {w for _, w in units}
