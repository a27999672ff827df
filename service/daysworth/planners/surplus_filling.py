"""Put whole units to visits by hand: fill room, choose a visit's units again, move them forward."""

from collections.abc import Mapping, Sequence
from math import inf
from typing import Final

from daysworth.planners.solver import ProgramBuilder
from daysworth.planners.stopping import check
from daysworth.planners.surplus_floor import Cut
from daysworth.planners.surplus_match import Match, Pair
from daysworth.planners.surplus_room import RoomLeft

_CHOSEN_AMONG: Final = 24
"""How many of the units on a visit, the least dense, and how many of those left over, the densest,
are chosen among again."""

WholeUnits = dict[Pair, int]


def filled(match: Match, left: RoomLeft, *, pairs: Sequence[Pair]) -> WholeUnits:
    """Fill what room there is, the densest food first, and give what went."""
    more: WholeUnits = {}
    for pair in sorted(pairs, key=lambda one: (-_density(match, one[0]), one)):
        if left.free(pair[0]) and (units := left.fits(pair)):
            left.take(pair, units)
            more[pair] = units
    return more


def earliest_first(match: Match, cuts: Sequence[Cut]) -> WholeUnits:
    """Send on each visit in turn what passes its date first, as long as there is room."""
    left = RoomLeft(match, cuts, units={})
    found: WholeUnits = {}
    for pair in sorted(match.pairs, key=lambda one: (one[1], one[0])):
        if units := left.fits(pair):
            left.take(pair, units)
            found[pair] = units
    return found


def joined(one: Mapping[Pair, int], other: Mapping[Pair, int]) -> WholeUnits:
    """Add units up."""
    found = dict(one)
    for pair, units in other.items():
        found[pair] = found.get(pair, 0) + units
    return {pair: units for pair, units in found.items() if units}


def repacked(
    match: Match, left: RoomLeft, *, units: Mapping[Pair, int], pairs: Sequence[Pair]
) -> WholeUnits:
    """Choose again, visit by visit, among its least dense units and the densest left over."""
    found = dict(units)
    by_visit: dict[int, list[int]] = {}
    for c, w in pairs:
        by_visit.setdefault(w, []).append(c)
    for w in sorted(by_visit):
        check()
        for pair, n in _chosen(match, left, w=w, found=found, takes=by_visit[w]).items():
            left.take(pair, n - found.get(pair, 0))
            found[pair] = n
    return {pair: n for pair, n in found.items() if n}


def _chosen(
    match: Match, left: RoomLeft, *, w: int, found: Mapping[Pair, int], takes: Sequence[int]
) -> WholeUnits:
    ordered = sorted(takes, key=lambda c: (_density(match, c), c))
    going = [c for c in ordered if found.get((c, w))][:_CHOSEN_AMONG]
    free = [c for c in reversed(ordered) if left.free(c) and c not in going][:_CHOSEN_AMONG]
    if not free:
        return {}
    for c in going:
        left.take((c, w), -found[c, w])
    builder = ProgramBuilder()
    columns = {
        c: builder.column(
            upper=float(left.fits((c, w))),
            cost=match.candidates[c].energy_kcal / 1000,
            is_whole=True,
        )
        for c in sorted({*going, *free})
    }
    for terms, most in left.rows(w, candidates=list(columns)):
        if most < inf:
            builder.row([(columns[c], amount) for c, amount in terms.items()], upper=most)
    values = builder.build(maximise=True).solve().proven().values
    for c in going:
        left.take((c, w), found[c, w])
    return {(c, w): round(float(values[column])) for c, column in columns.items()}


def moved_forward(match: Match, cuts: Sequence[Cut], *, units: Mapping[Pair, int]) -> WholeUnits:
    """Move units to earlier visits that are made anyway, the latest first."""
    left = RoomLeft(match, cuts, units=units)
    found = dict(units)
    made = {w for _, w in units}
    for c, w in sorted(units, key=lambda one: (-one[1], one[0])):
        for earlier in match.candidates[c].visits:
            if earlier >= w or not found[c, w]:
                break
            if earlier not in made:
                continue
            going = found[c, w]
            left.take((c, w), -going)
            moved = min(going, left.fits((c, earlier)))
            left.take((c, earlier), moved)
            left.take((c, w), going - moved)
            found[c, w] = going - moved
            found[c, earlier] = found.get((c, earlier), 0) + moved
    return {pair: n for pair, n in found.items() if n}


def _density(match: Match, c: int) -> float:
    one = match.candidates[c]
    return one.energy_kcal / one.mass_g
