"""The timeline: what is eaten when, and for how many days all could eat as the dates go by."""

from functools import partial
from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.timeline import TimelineAnswer
from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, TAKES_TAG, AtEdge
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.scenario_asked import AsOf, ScenarioAsked, check_asked
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAllowed, StoreUnsound
from daysworth.domain.identifiers import HouseholdId
from daysworth.planners.cliff import DEFAULT_MONTHS, MOST_MONTHS

router = store_router()

_PROBLEMS: dict[int | str, dict[str, object]] = {
    **problems(*PLANNED, StoreUnsound),
    304: {"description": "You have it"},
}

Months = Annotated[int, Query(ge=1, le=MOST_MONTHS, description="How many months ahead to look.")]
Whose = Annotated[
    str | None,
    Query(max_length=64, description="The household whose line is wanted, not the classes'."),
]


@router.get(
    "/timeline",
    response_model=TimelineAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def timeline(
    edge: AtEdge,
    scenario: ScenarioAsked,
    *,
    months: Months = DEFAULT_MONTHS,
    household: Whose = None,
    as_of: AsOf = None,
) -> Response:
    """Tell for how many days everyone could eat as the dates go by, and what is eaten when.

    Who eats what is told to coordinators; a household is shown its own line.
    """
    reader = edge.reader
    check_asked(as_of, scenario, reader=reader.role)
    whose = None if household is None else HouseholdId(household)
    if whose not in (None, reader.household) and reader.role is not Role.COORDINATOR:
        raise NotAllowed("what another household eats is for coordinators to ask")
    service = edge.service
    given = await edge.plan(
        partial(
            service.timelines.answer,
            reader,
            scenario,
            months=months,
            household=whose,
            as_of=as_of,
            at=service.clock(),
            has=edge.has,
        )
    )
    if whose is not None and reader.role is Role.COORDINATOR:
        await edge.disclose("timeline", household=whose)
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)
