"""Surplus: what can go to partners before it spoils, and how much more with another floor."""

from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Depends, Query, Response

from daysworth.answers.surplus import SurplusAnswer
from daysworth.answers.surplus_floors import MOST_FLOORS, FloorsAnswer
from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, TAKES_TAG, AtEdge
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.plain import Day
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, StoreUnsound
from daysworth.domain.identifiers import PartnerId
from daysworth.planners.surplus_plan import SurplusAsked

router = store_router(under="/surplus")

READERS = (Role.COORDINATOR, Role.VOLUNTEER, Role.SCRIPT)

MOST_FLOOR_DAYS = 730
MOST_PARTNERS = 100

FloorDays = Annotated[int, Query(ge=0, le=MOST_FLOOR_DAYS)]


# Asynchronous, as every dependency here: the framework would run another in a thread.
async def _surplus(
    *,
    until_on: Annotated[
        Day | None,
        Query(description="Food that passes its date before; the round after next if not given."),
    ] = None,
    partner: Annotated[
        list[Annotated[str, Query(max_length=64)]],
        Query(max_length=MOST_PARTNERS, description="To this partner alone; repeatable."),
    ] = (),  # type: ignore[assignment]
) -> SurplusAsked:
    return SurplusAsked(
        until_on=_within(until_on),
        partners=frozenset(PartnerId(one) for one in partner) if partner else None,
    )


AskedSurplus = Annotated[SurplusAsked, Depends(_surplus)]


@router.get(
    "",
    response_model=SurplusAnswer,
    responses={**problems(*PLANNED, StoreUnsound), 304: {"description": "You have it"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*READERS),
)
async def plan_surplus(
    edge: AtEdge,
    surplus: AskedSurplus,
    *,
    floor_days: Annotated[
        int | None,
        Query(
            ge=0,
            le=MOST_FLOOR_DAYS,
            description="Days that everyone must stay fed for; the store's own if not given.",
        ),
    ] = None,
) -> Response:
    """Plan what can go to whom before it spoils, visit by visit, and say why the rest stays.

    Everyone stays fed for the floor. Nothing is promised yet.
    """
    service = edge.service
    asked = SurplusAsked(
        floor_days=floor_days, until_on=surplus.until_on, partners=surplus.partners
    )
    given = await edge.plan(
        partial(service.surplus.answer, edge.store, asked, at=service.clock(), has=edge.has)
    )
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)


@router.get(
    "/floors",
    response_model=FloorsAnswer,
    responses=problems(*PLANNED, StoreUnsound),
    openapi_extra=roles(*READERS),
)
async def compare_floors(
    edge: AtEdge,
    surplus: AskedSurplus,
    *,
    floor_days: Annotated[
        list[FloorDays],
        Query(
            min_length=1,
            max_length=MOST_FLOORS,
            description="Days that everyone must stay fed for; repeatable.",
        ),
    ],
) -> Response:
    """Say how much more could go if the floor were other days, beside the store's own floor."""
    service = edge.service
    ask = partial(
        service.surplus.floors,
        edge.store,
        surplus,
        floors_days=floor_days,
        at=service.clock(),
    )
    return Response(await edge.plan(ask), media_type=JSON, headers={"Cache-Control": PRIVATE})


def _within(until_on: date | None) -> date | None:
    if until_on is not None and not 2010 <= until_on.year <= 2090:
        raise FieldsRefused((Fault("until_on", "must be a day from 2010 to 2090"),))
    return until_on
