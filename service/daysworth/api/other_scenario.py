"""Read from an address a second scenario, beside the first: what is not said is as in the first.

A list that is given empty (`other_away=`) names nobody, so that a household that is away in the
first need not be in the second.
"""

from dataclasses import replace
from typing import Annotated

from fastapi import Depends, Query

from daysworth.api.scenario_asked import ScenarioAsked
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.domain.needs import NeedsBasis
from daysworth.planners.scenario import LEAST_RATION, LONGEST_HORIZON_DAYS, Scenario, StockScope

OtherIds = Annotated[list[Annotated[str, Query(max_length=64)]] | None, Query(max_length=200)]


async def _other_scenario(
    first: ScenarioAsked,
    *,
    other_heating: Annotated[bool | None, Query(description="As heating.")] = None,
    other_running_water: Annotated[bool | None, Query(description="As running_water.")] = None,
    other_stock: Annotated[StockScope | None, Query(description="As stock.")] = None,
    other_without_place: Annotated[OtherIds, Query(description="As without_place.")] = None,
    other_away: Annotated[OtherIds, Query(description="As away.")] = None,
    other_basis: Annotated[NeedsBasis | None, Query(description="As basis.")] = None,
    other_ration: Annotated[
        float | None, Query(ge=LEAST_RATION, le=1, description="As ration.")
    ] = None,
    other_horizon_days: Annotated[
        int | None, Query(ge=1, le=LONGEST_HORIZON_DAYS, description="As horizon_days.")
    ] = None,
) -> Scenario:
    said: dict[str, object] = {
        "heating": other_heating,
        "running_water": other_running_water,
        "stock": other_stock,
        "places_lost": _named(other_without_place, PlaceId),
        "households_away": _named(other_away, HouseholdId),
        "basis": other_basis,
        "ration": other_ration,
        "horizon_days": other_horizon_days,
    }
    given = {name: value for name, value in said.items() if value is not None}
    return replace(first, **given)  # type: ignore[arg-type]


def _named(ids: list[str] | None, of: type[PlaceId] | type[HouseholdId]) -> frozenset[str] | None:
    return None if ids is None else frozenset(of(id_) for id_ in ids if id_)


OtherScenarioAsked = Annotated[Scenario, Depends(_other_scenario)]
