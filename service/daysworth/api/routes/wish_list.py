"""The wish list: what to bring, so that everyone can eat for so many days."""

from functools import partial

from fastapi import Response

from daysworth.answers.wish_list import WishListAnswer
from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, TAKES_TAG, AtEdge
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.scenario_asked import AsOf, ScenarioAsked, check_asked
from daysworth.api.wish_asked import WishAsked
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAllowed, StoreUnsound

router = store_router()

_PROBLEMS: dict[int | str, dict[str, object]] = {
    **problems(*PLANNED, StoreUnsound),
    304: {"description": "You have it"},
}


@router.get(
    "/wish-list",
    response_model=WishListAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def find_wish_list(
    edge: AtEdge, scenario: ScenarioAsked, *, wish: WishAsked, as_of: AsOf = None
) -> Response:
    """Find the least of candidate foods that feeds everyone, or a household, for a target of days.

    Whom no candidate can help is told to coordinators, and theirs to ask is one household's gap.
    """
    check_asked(as_of, scenario, reader=edge.reader.role)
    if wish.household is not None and edge.reader.role is not Role.COORDINATOR:
        raise NotAllowed("what one household lacks is for coordinators to ask")
    service = edge.service
    given = await edge.plan(
        partial(
            service.wishes.answer,
            edge.reader,
            scenario,
            wish=wish,
            as_of=as_of,
            at=service.clock(),
            has=edge.has,
        )
    )
    if wish.household is not None:
        await edge.disclose("wish list", household=wish.household)
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)
