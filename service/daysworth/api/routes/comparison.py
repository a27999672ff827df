"""Comparisons: two scenarios of a store, and a week that was kept beside the store as it is now."""

from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Path, Query, Response

from daysworth.answers.comparison import ComparisonAnswer
from daysworth.answers.store_comparison import SideAsked
from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, TAKES_TAG, AtEdge, Edge
from daysworth.api.other_scenario import OtherScenarioAsked
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.scenario_asked import AsOf, ScenarioAsked
from daysworth.api.schemas.kept_weeks import KeptWeekOut, kept_week_out
from daysworth.api.schemas.plain import Day
from daysworth.db.kept_exports import list_kept_weeks
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, StoreUnsound
from daysworth.domain.iso_weeks import Week

router = store_router()

_PROBLEMS: dict[int | str, dict[str, object]] = {
    **problems(*PLANNED, StoreUnsound),
    304: {"description": "You have it"},
}

KeptWeekPath = Annotated[
    str, Path(max_length=8, examples=["2026-W48"], description="An ISO 8601 week that was kept.")
]


@router.get(
    "/comparison",
    response_model=ComparisonAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(Role.COORDINATOR),
)
async def compare_scenarios(
    edge: AtEdge,
    scenario: ScenarioAsked,
    *,
    other: OtherScenarioAsked,
    as_of: AsOf = None,
    other_as_of: Annotated[Day | None, Query(description="As as_of.")] = None,
) -> Response:
    """Compare the store as it is in a scenario, `before`, with another, `after`.

    What is not said of the other scenario is as in the first.
    """
    _check({"as_of": as_of, "other_as_of": other_as_of})
    return await _compare(
        edge,
        before=SideAsked(scenario=scenario, as_of=as_of),
        after=SideAsked(scenario=other, as_of=other_as_of or as_of),
    )


@router.get(
    "/kept-weeks",
    response_model=ListOut[KeptWeekOut],
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR),
)
async def list_all_kept_weeks(edge: AtEdge, page: PageAsked) -> Response:
    """List the weeks that were kept, the newest first: two years of them at most."""
    found = await edge.read(
        lambda reading: list_kept_weeks(reading, after=page.after, limit=page.limit)
    )
    return await edge.show_page(found, told=kept_week_out, paging=page)


@router.get(
    "/kept-weeks/{week}/comparison",
    response_model=ComparisonAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(Role.COORDINATOR),
)
async def compare_with_week(
    week: KeptWeekPath,
    edge: AtEdge,
    *,
    scenario: ScenarioAsked,
    as_of: AsOf = None,
    kept_as_of: Annotated[
        Day | None, Query(description="Day 1 of the kept week; its own day if not given.")
    ] = None,
) -> Response:
    """Compare a week that was kept, `before`, with the store as it is now, `after`.

    Both in one scenario. A household that was erased since is in neither.
    """
    _check({"as_of": as_of, "kept_as_of": kept_as_of})
    return await _compare(
        edge,
        Week.read(week),
        before=SideAsked(scenario=scenario, as_of=kept_as_of),
        after=SideAsked(scenario=scenario, as_of=as_of),
    )


async def _compare(
    edge: Edge, week: Week | None = None, *, before: SideAsked, after: SideAsked
) -> Response:
    await edge.disclose("comparison")
    service = edge.service
    given = await edge.plan(
        partial(
            service.comparisons.compare,
            edge.store,
            week,
            before=before,
            after=after,
            at=service.clock(),
            has=edge.has,
        )
    )
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)


def _check(days: dict[str, date | None]) -> None:
    """Raise FieldsRefused for a day that no other question may be asked about either."""
    for name, day in days.items():
        if day is not None and not 2010 <= day.year <= 2090:
            raise FieldsRefused((Fault(name, "must be a day from 2010 to 2090"),))
