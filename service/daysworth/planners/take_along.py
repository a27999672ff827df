"""Say which kits to take along in an evacuation, in order: what is carried must be worth it.

First come kits of which no tin needs an opener, then the most energy for their weight, then the
lightest. Within a limit each is taken in that order while it fits.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import isfinite
from typing import Final

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, judge
from daysworth.domain.verdicts import Verdict
from daysworth.domain.wares import WareKind
from daysworth.planners.household_fit import Table, table_of
from daysworth.planners.kit_contents import (
    ItemTrouble,
    KitFood,
    KitTotals,
    needs_opener,
    pull_by_day,
    totals_of,
)
from daysworth.planners.kit_suitability import worst_for
from daysworth.planners.kit_view import contents_of

_SOME_G: Final = 1e-6
"""Masses are sums: what is over the limit by no more than this is within it."""


class WhyLeftBehind(StrEnum):
    """Why a kit is not taken along, the gravest first."""

    NOT_SOUND = "not_sound"
    PAST = "past"
    UNDATED = "undated"
    FOR_ANOTHER_HOUSEHOLD = "for_another_household"
    UNSUITABLE = "unsuitable"
    UNKNOWN = "unknown"
    TOO_HEAVY = "too_heavy"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitToTake:
    """One kit, and what it comes to with all that are taken before it. Masses are net."""

    kit: MealKit
    totals: KitTotals
    pull_by_day: date | None
    needs_opener: bool
    has_opener: bool
    persons_so_far: int
    energy_kcal_so_far: float
    mass_g_so_far: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLeft:
    """One kit that is left behind, and why."""

    kit: MealKit
    why: WhyLeftBehind


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAlong:
    """The kits to take, in order, and those that are left."""

    taken: tuple[KitToTake, ...]
    left: tuple[KitLeft, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    kit: MealKit
    foods: tuple[KitFood, ...]
    totals: KitTotals

    @property
    def place_in_order(self) -> tuple[object, ...]:
        return (
            needs_opener(self.foods),
            -self.totals.kcal_per_g,
            self.totals.mass_g,
            self.kit.name,
            self.kit.id,
        )


def take_along(
    snapshot: Snapshot,
    as_of: date,
    *,
    household: HouseholdId | None = None,
    most_g: float | None = None,
    judged_by: Judge = judge,
) -> TakeAlong:
    """Choose the closed kits to take: good ones, that suit the household if one is named.

    `most_g` is the most that their food may weigh, net, in grams above 0; None: all that are good.
    Raises ScenarioRefused for another limit, and for a household that the store lacks.
    """
    if most_g is not None and not (isfinite(most_g) and most_g > 0):
        raise ScenarioRefused("what may be carried is a number of grams above 0")
    table = _table(snapshot, as_of, household=household)
    contents = contents_of(snapshot, as_of)
    seen = [_seen(kit, contents[kit.id]) for kit in snapshot.kits]
    why = {
        one.kit.id: _why_left(one, household=household, table=table, judged_by=judged_by)
        for one in seen
    }
    good = sorted(
        (one for one in seen if why[one.kit.id] is None), key=lambda one: one.place_in_order
    )
    taken = tuple(_taken(good, most_g=most_g))
    with_us = {one.kit.id for one in taken}
    left = (
        KitLeft(kit=one.kit, why=why[one.kit.id] or WhyLeftBehind.TOO_HEAVY)
        for one in seen
        if one.kit.id not in with_us
    )
    return TakeAlong(taken=taken, left=tuple(sorted(left, key=_left_in_order)))


def _table(snapshot: Snapshot, as_of: date, *, household: HouseholdId | None) -> Table | None:
    if household is None:
        return None
    for home in snapshot.households:
        if home.id == household:
            return table_of(home, as_of)
    raise ScenarioRefused(f"there is no household {household!r} in this store")


def _seen(kit: MealKit, foods: tuple[KitFood, ...]) -> _Seen:
    return _Seen(kit=kit, foods=foods, totals=totals_of(foods, persons=kit.persons))


_WHY: Final = {
    ItemTrouble.DAMAGED: WhyLeftBehind.NOT_SOUND,
    ItemTrouble.QUARANTINED: WhyLeftBehind.NOT_SOUND,
    ItemTrouble.KEPT_BY_ANOTHER: WhyLeftBehind.FOR_ANOTHER_HOUSEHOLD,
    ItemTrouble.PAST: WhyLeftBehind.PAST,
    ItemTrouble.UNDATED: WhyLeftBehind.UNDATED,
}


def _why_left(
    one: _Seen, *, household: HouseholdId | None, table: Table | None, judged_by: Judge
) -> WhyLeftBehind | None:
    """Give why a kit may not be taken; None: it may. What it weighs is seen to later."""
    why = {_WHY[food.trouble] for food in one.foods if food.trouble is not None}
    if table is not None:
        if one.kit.household not in (None, household):
            why.add(WhyLeftBehind.FOR_ANOTHER_HOUSEHOLD)
        verdict = worst_for(one.foods, table, judged_by=judged_by)
        if verdict is not Verdict.SUITABLE:
            why.add(WhyLeftBehind(verdict.value))
    return next((reason for reason in WhyLeftBehind if reason in why), None)


def _taken(good: Sequence[_Seen], *, most_g: float | None) -> Iterator[KitToTake]:
    persons, energy_kcal, mass_g = 0, 0.0, 0.0
    for one in good:
        if most_g is not None and mass_g + one.totals.mass_g > most_g + _SOME_G:
            continue
        persons += one.kit.persons
        energy_kcal += one.totals.energy_kcal
        mass_g += one.totals.mass_g
        yield KitToTake(
            kit=one.kit,
            totals=one.totals,
            pull_by_day=pull_by_day(one.foods),
            needs_opener=needs_opener(one.foods),
            has_opener=WareKind.OPENER in one.kit.wares,
            persons_so_far=persons,
            energy_kcal_so_far=energy_kcal,
            mass_g_so_far=mass_g,
        )


def _left_in_order(left: KitLeft) -> tuple[object, ...]:
    return tuple(WhyLeftBehind).index(left.why), left.kit.name, left.kit.id
