"""Count stored drinking water: litres inside their date, and the days they last.

Only water inside its date counts (self-filled: six months from filling, as the food's shelf life
says). Overdue and undated water is listed with the days it would add once made safe.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.classes import household_water_l, is_present, present_households
from daysworth.planners.question import Water
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import DatedLot, Standing, is_in_scope, kept_by


@dataclass(frozen=True, slots=True)
class WaterDays:
    """Litres and the days they last everyone present; None: nobody drinks.

    `days` is at the store's full litres for people and pets. `days_drinking_only` halves the
    litres for people, half of the usual gallon being for drinking, and not those for pets.
    `overdue_l` is past its date or undated, worth `overdue_days` more at full litres once safe.
    """

    stored_l: float
    litres_a_day: float
    days: float | None
    days_drinking_only: float | None
    overdue_l: float
    overdue_days: float | None


def stored_water(dated: Iterable[DatedLot], scenario: Scenario) -> Water:
    """Sum the litres inside their date, shared and kept by households, in a scenario's reach."""
    shared: list[float] = []
    kept: dict[HouseholdId, list[float]] = {}
    for item in dated:
        if not item.food.is_water:
            continue
        if item.standing is not Standing.GOOD or not is_in_scope(item.lot, scenario):
            continue
        litres = _litres(item)
        if litres > 0:
            keeper = kept_by(item.lot)
            (shared if keeper is None else kept.setdefault(keeper, [])).append(litres)
    return Water(fsum(shared), {keeper: fsum(litres) for keeper, litres in kept.items()})


def water_days(
    snapshot: Snapshot, *, dated: Iterable[DatedLot], scenario: Scenario, as_of: date
) -> WaterDays:
    """Count the days that stored water lasts, pooled among all who are present."""
    items = tuple(dated)
    households = present_households(snapshot, scenario)
    away = scenario.households_away
    water = stored_water(items, scenario)
    stored_l = fsum(
        [water.shared_l, *(litres for home, litres in water.kept_l.items() if home not in away)]
    )
    overdue_l = fsum(
        _litres(item)
        for item in items
        if item.food.is_water
        and item.standing in (Standing.PAST, Standing.UNDATED)
        and is_in_scope(item.lot, scenario)
    )
    daily_l = fsum(household_water_l(home, snapshot=snapshot, as_of=as_of) for home in households)
    people = sum(is_present(member, as_of) for home in households for member in home.members)
    half_l = daily_l - people * snapshot.settings.water_l_per_person_day / 2
    return WaterDays(
        stored_l,
        daily_l,
        _days(stored_l, daily_l),
        _days(stored_l, half_l),
        overdue_l,
        _days(overdue_l, daily_l),
    )


def _litres(item: DatedLot) -> float:
    return item.lot.units_to_eat * item.food.stored_water_l(item.lot.net_mass_g)


def _days(litres: float, litres_a_day: float) -> float | None:
    return litres / litres_a_day if litres_a_day > 0 else None
