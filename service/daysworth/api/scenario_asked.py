"""Read a scenario from an address, and answer about it."""

from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Depends, Query, Response

from daysworth.answers.store_coverage import Form
from daysworth.api.edge import JSON, PRIVATE, Edge
from daysworth.api.schemas.plain import Day
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, NotAllowed
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.domain.needs import NeedsBasis
from daysworth.planners.scenario import LEAST_RATION, LONGEST_HORIZON_DAYS, Scenario, StockScope

Ids = Annotated[list[Annotated[str, Query(max_length=64)]], Query(max_length=200)]


async def _scenario(
    *,
    heating: Annotated[bool, Query(description="There is a way to heat food.")] = False,
    running_water: Annotated[bool, Query(description="Water runs from the tap.")] = False,
    stock: Annotated[StockScope, Query(description="Whose stock counts.")] = StockScope.SHARED,
    without_place: Annotated[Ids, Query(description="A place that is lost.")] = (),  # type: ignore[assignment]
    away: Annotated[Ids, Query(description="A household that is away.")] = (),  # type: ignore[assignment]
    basis: Annotated[NeedsBasis | None, Query(description="How needs are reckoned.")] = None,
    ration: Annotated[
        float, Query(ge=LEAST_RATION, le=1, description="The part of needs met.")
    ] = 1.0,
    horizon_days: Annotated[
        int, Query(ge=1, le=LONGEST_HORIZON_DAYS, description="Count no further.")
    ] = 180,
) -> Scenario:
    return Scenario(
        heating=heating,
        running_water=running_water,
        stock=stock,
        places_lost=frozenset(PlaceId(place) for place in without_place),
        households_away=frozenset(HouseholdId(home) for home in away),
        basis=basis,
        ration=ration,
        horizon_days=horizon_days,
    )


ScenarioAsked = Annotated[Scenario, Depends(_scenario)]
AsOf = Annotated[Day | None, Query(description="Day 1; today in the store if not given.")]


async def answer_scenario(
    edge: Edge, scenario: Scenario, *, as_of: date | None, form: Form
) -> Response:
    """Answer about a scenario, or with 304 where the asker has the answer."""
    check_asked(as_of, scenario, reader=edge.reader.role)
    service = edge.service
    given = await edge.plan(
        partial(
            service.coverage.answer,
            edge.reader,
            scenario,
            as_of=as_of,
            at=service.clock(),
            has=edge.has,
            form=form,
        )
    )
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)


def check_asked(as_of: date | None, scenario: Scenario, *, reader: Role) -> None:
    """Raise FieldsRefused for a day out of reach, NotAllowed for what a reader may not ask."""
    if as_of is not None and not 2010 <= as_of.year <= 2090:
        raise FieldsRefused((Fault("as_of", "must be a day from 2010 to 2090"),))
    if scenario.households_away and reader is not Role.COORDINATOR:
        # The days without a household would tell what it cannot eat.
        raise NotAllowed("who is away is for coordinators to ask")
