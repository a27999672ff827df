"""Search for the best match that holds the floor: solve, look at every day, add what broke."""

from typing import Final

from daysworth.planners.stopping import check
from daysworth.planners.surplus_exact import exactly
from daysworth.planners.surplus_floor import Cut, Floor
from daysworth.planners.surplus_match import Match, Pair, Reached
from daysworth.planners.surplus_near import nearly
from daysworth.planners.surplus_plan import SurplusAim, SurplusStage
from daysworth.planners.surplus_room import RoomLeft

MOST_EXACT: Final = 400
"""With more pairs than this, whole units are found from a program of parts of units."""


def best_match(match: Match, floor: Floor | None) -> tuple[Reached, list[Cut]]:
    """Find the best match, and the cuts of the floor that it was held by."""
    cuts = [] if floor is None or not match.pairs else floor.watch(match.could_go_by())
    if not match.pairs:
        return Reached(_for_nothing(match, {}, cuts=cuts), _NOTHING), cuts
    if len(match.pairs) > MOST_EXACT:
        reached = nearly(match, floor, cuts=cuts)
    else:
        reached = _exactly(match, floor, cuts=cuts)
    return Reached(_for_nothing(match, dict(reached.units), cuts=cuts), reached.stages), cuts


_NOTHING: Final = tuple(SurplusStage(aim=aim, value=0.0, bound=0.0) for aim in SurplusAim)


def _exactly(match: Match, floor: Floor | None, *, cuts: list[Cut]) -> Reached:
    while True:
        check()
        reached = exactly(match, cuts)
        broken = [] if floor is None else floor.broken(match.gone_by(reached.units))
        if not broken:
            return reached
        cuts.extend(broken)


def _for_nothing(match: Match, units: dict[Pair, int], *, cuts: list[Cut]) -> dict[Pair, int]:
    """Have food without energy, such as salt, go along on visits that are made anyway."""
    left = RoomLeft(match, cuts, units=units)
    made = {w for _, w in units}
    for c, one in enumerate(match.candidates):
        if one.energy_kcal > 0:
            continue
        for w in one.visits:
            more = left.fits((c, w)) if w in made else 0
            if more:
                units[c, w] = more
                left.take((c, w), more)
    return units
