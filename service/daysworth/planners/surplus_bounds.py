"""Bound from below how many visits so much energy takes, and how early it can go."""

from math import fsum, inf
from typing import Final

from daysworth.planners.surplus_match import Match

_SAME: Final = 1e-6


def least_visits(match: Match, *, energy_kcal: float) -> int:
    """Count the visits without which so much energy cannot go, had each all food to itself."""
    if energy_kcal <= 0:
        return 0
    takes: dict[int, list[int]] = {}
    for c, w in match.pairs:
        takes.setdefault(w, []).append(c)
    carried = sorted((_most_kcal(match, w, takes=some) for w, some in takes.items()), reverse=True)
    left_kcal = energy_kcal * (1 - _SAME)
    for number, kcal in enumerate(carried, start=1):
        left_kcal -= kcal
        if left_kcal <= 0:
            return number
    return len(carried)


def _most_kcal(match: Match, w: int, *, takes: list[int]) -> float:
    """Give the kcal that a visit cannot exceed: its room filled with the densest food there is."""
    room, found, most_g = match.rooms[w], 0.0, match.rooms[w].mass_g
    ordered = sorted(takes, key=lambda c: -_density(match, c))
    for c in ordered:
        one = match.candidates[c]
        mass_g = min(most_g, one.units * one.mass_g)
        found += mass_g * _density(match, c)
        most_g -= mass_g
    if room.units < inf:
        by_unit = sorted(ordered, key=lambda c: -match.candidates[c].energy_kcal)
        return min(found, _of_units(match, by_unit, most=room.units))
    return found


def _of_units(match: Match, ordered: list[int], *, most: float) -> float:
    found = 0.0
    for c in ordered:
        units = min(most, match.candidates[c].units)
        found += units * match.candidates[c].energy_kcal
        most -= units
    return found


def least_mean_days(match: Match, *, energy_kcal: float) -> float:
    """Give the energy-weighted days ahead that no plan of so much energy goes below.

    Each candidate is taken to go on the first visit that takes it, the soonest first.
    """
    first: dict[int, int] = {}
    for c, w in match.pairs:
        first[c] = min(first.get(c, match.days_ahead[w]), match.days_ahead[w])
    left_kcal, weighted = energy_kcal * (1 - _SAME), []
    for c, days in sorted(first.items(), key=lambda one: (one[1], one[0])):
        kcal = min(left_kcal, match.candidates[c].units * match.candidates[c].energy_kcal)
        weighted.append(kcal * days)
        left_kcal -= kcal
    return fsum(weighted) / energy_kcal if energy_kcal > 0 else 0.0


def _density(match: Match, c: int) -> float:
    return match.candidates[c].energy_kcal / match.candidates[c].mass_g
