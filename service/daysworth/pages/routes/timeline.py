"""Show how the store stands as the dates go by, and when a household eats what."""

from functools import partial
from typing import Annotated, Final

from fastapi import Query, Request, Response
from pydantic import TypeAdapter

from daysworth.answers.timeline import TimelineAnswer
from daysworth.api.scenario_asked import ScenarioAsked
from daysworth.api.service import plan
from daysworth.db.households import household_names
from daysworth.domain.identifiers import HouseholdId
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.summary_page import scene
from daysworth.pages.timeline_page import points_shown, spells_shown
from daysworth.planners.cliff import DEFAULT_MONTHS
from daysworth.planners.scenario import Scenario

router = pages_router(under="/stores/{store}/timeline")

FLAT_KCAL: Final = 2_100.0
"""What passes its date is told in person-days of this energy (Sphere Handbook), so that it is one
measure on all days, whoever lives here then."""

Whose = Annotated[str, Query(max_length=64)]

_ANSWER: Final = TypeAdapter(TimelineAnswer)


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def timeline_page(
    request: Request, *, scenario: ScenarioAsked, household: Whose = ""
) -> Response:
    """Show later days, and the food of a household where one is chosen."""
    desk = await desk_for(request)
    whose = HouseholdId(household) if household else None
    if whose is not None:
        # What somebody eats tells what they must not.
        await desk.disclose("timeline", household=whose)
    answer = await _timeline(desk, scenario, household=whose)
    return desk.show(
        "timeline.html",
        answer=answer,
        points=points_shown(answer.cliff, mean_kcal=FLAT_KCAL),
        scene=list(scene(answer.scenario)),
        spells=[] if answer.household is None else list(spells_shown(answer.household)),
        names=await desk.read(household_names),
        chosen=whose,
    )


async def _timeline(
    desk: Desk, scenario: Scenario, *, household: HouseholdId | None
) -> TimelineAnswer:
    ask = partial(
        desk.service.timelines.answer,
        desk.reader,
        scenario,
        months=DEFAULT_MONTHS,
        household=household,
        as_of=None,
        at=desk.at,
        has=_has_none,
    )
    given = await plan(desk.request, ask)
    return _ANSWER.validate_json(given.json or "")


def _has_none(_tag: str) -> bool:
    """Say that a browser has no answer yet: pages are not kept."""
    return False
