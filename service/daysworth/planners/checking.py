"""Hold a plan of a program against the whole question, and say what it breaks of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from daysworth.planners.bounds import most_days_protein_aside
from daysworth.planners.dating import Dated, amounts_of, broken_days, mixed_alike, part_in_time
from daysworth.planners.fairness import SAME, SLACK
from daysworth.planners.program import Layout
from daysworth.planners.serving import served_by_room
from daysworth.planners.solver import Floats
from daysworth.planners.supply import Refinement, Supply

_ROOM: Final = 1e-8
_CRUMB_G: Final = 1e-6
"""Less protein than this, in grams in all, is rounding."""
_DROP_L: Final = 1e-6
"""Less water than this part of a litre is rounding."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A plan filled from stacks, and what it breaks of the whole question.

    `pooled` are the days broken by all together, `broken` those by class, `short` the density in
    grams to a mean person-day of the classes that lack protein. `part_in_time` is how much of
    every helping could be eaten by its date.
    """

    dated: Dated
    pooled: tuple[int, ...]
    broken: Mapping[int, tuple[int, ...]]
    short: Mapping[int, float]
    is_dry: bool
    part_in_time: float

    @property
    def is_sound(self) -> bool:
        """Tell whether the plan breaks nothing."""
        return not (self.broken or self.short or self.is_dry)

    def is_new_to(self, refinement: Refinement) -> bool:
        """Tell whether a refinement leaves out some of what is broken."""
        days = {(c, day) for c, some in self.broken.items() for day in some}
        return bool(
            days - refinement.class_days
            or self.short.keys() - refinement.dense
            or (self.is_dry and not refinement.is_wet)
        )


def checked_against(
    layout: Layout, values: Floats, *, days: Sequence[float], highest: bool
) -> Checked:
    """Hold a plan against the whole question, filled in one way or the other."""
    amounts = amounts_of(layout, values)
    alike = None
    if not amounts.is_parted:
        alike = _held_against(layout, mixed_alike(layout, amounts), days=days, highest=highest)
        if not alike.broken:
            return alike
    served = _held_against(layout, served_by_room(layout, amounts), days=days, highest=highest)
    if alike is None or served.is_sound:
        return served
    # Dates are held by serving; protein is missed only where a like mix misses it as well.
    short = {c: found for c, found in served.short.items() if c in alike.short}
    return replace(served, short=short) if served.broken or short else served


def _held_against(layout: Layout, dated: Dated, *, days: Sequence[float], highest: bool) -> Checked:
    supply = layout.supply
    return Checked(
        dated,
        broken_days(dated.by_day.sum(axis=0)[None, :], supply.needs.sum()[None]).get(0, ()),
        broken_days(dated.by_day, supply.needs),
        _short(supply, dated, highest=highest),
        _is_dry(supply, dated, days=days),
        part_in_time(dated.by_day, supply.needs),
    )


def _short(supply: Supply, dated: Dated, *, highest: bool) -> dict[int, float]:
    """Give the density of each class that lacks protein for its neediest, or on the mean."""
    short = {}
    most = most_days_protein_aside(supply)
    energy = dated.by_day.sum(axis=1)
    for c, one in enumerate(supply.classes):
        mean = one.protein_g / one.energy_kcal
        ratio = one.highest_ratio if highest else mean
        is_alike = ratio <= mean * (1 + SAME)
        if energy[c] > SLACK:
            density = float(dated.protein[c] / energy[c])
        elif not highest or most[c] <= SLACK:
            # Where nothing suits them, they are alike.
            continue
        else:
            # Some may be fed by what is too poor for others, so nothing eaten counts as no denser
            # than they need between them.
            density = mean * supply.mean_kcal
        least = ratio * supply.mean_kcal * (1 - (SAME if highest else _ROOM))
        is_crumb = is_alike and (least - density) * energy[c] <= _CRUMB_G
        if density < least and not is_crumb:
            short[c] = density
    return short


def _is_dry(supply: Supply, dated: Dated, *, days: Sequence[float]) -> bool:
    """Tell whether a plan takes more stored water than there is."""
    water = supply.question.water
    if water is None or not dated.water_l.any():
        return False
    drawn: dict[object, float] = {}
    for c, one in enumerate(supply.classes):
        keeper = one.keeper if one.keeper in water.kept_l else None
        litres = one.water_l * days[c] + float(dated.water_l[c])
        drawn[keeper] = drawn.get(keeper, 0.0) + litres
    shared = drawn.pop(None, 0.0)
    for keeper, kept_l in water.kept_l.items():
        shared += max(0.0, drawn.get(keeper, 0.0) - kept_l)
    return shared > water.shared_l + _DROP_L * max(1.0, water.shared_l)
