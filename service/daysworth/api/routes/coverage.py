"""Coverage: for how many days all of us can eat; and the summary that coordinators pull."""

from fastapi import Response

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.store_coverage import Form
from daysworth.answers.store_summary import SummaryAnswer
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_TAG, AtEdge
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.scenario_asked import AsOf, ScenarioAsked, answer_scenario
from daysworth.domain.entries import Role
from daysworth.domain.errors import StoreUnsound

router = store_router()

_PROBLEMS: dict[int | str, dict[str, object]] = {
    **problems(*PLANNED, StoreUnsound),
    304: {"description": "You have it"},
}


@router.get(
    "/coverage",
    response_model=CoverageAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def coverage(edge: AtEdge, scenario: ScenarioAsked, *, as_of: AsOf = None) -> Response:
    """Count for how many days everyone can eat.

    Which needs hold the days down is told to coordinators; a household is shown its own days.
    """
    return await answer_scenario(edge, scenario, as_of=as_of, form=Form.COVERAGE)


@router.get(
    "/summary",
    response_model=SummaryAnswer,
    responses=_PROBLEMS,
    dependencies=[TAKES_TAG],
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def summary(edge: AtEdge, scenario: ScenarioAsked, *, as_of: AsOf = None) -> Response:
    """Tell how the store stands: its coverage, and the lots that wait for a name."""
    return await answer_scenario(edge, scenario, as_of=as_of, form=Form.SUMMARY)
