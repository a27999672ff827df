"""Compare the store as it is with itself: in another scenario, or in a week that was kept."""

from functools import partial
from typing import Annotated, Final

from fastapi import Path, Request, Response

from daysworth.answers.comparison import ComparisonAnswer
from daysworth.answers.store_comparison import SideAsked
from daysworth.api.other_scenario import OtherScenarioAsked
from daysworth.api.scenario_asked import ScenarioAsked
from daysworth.api.service import plan
from daysworth.db.households import household_names
from daysworth.db.kept_exports import KeptWeek, list_kept_weeks
from daysworth.db.places import KeptPlace, every_place
from daysworth.db.transactions import Reading
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.iso_weeks import Week
from daysworth.pages.comparison_page import (
    figures_compared,
    food_change,
    headline,
    homes_compared,
)
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.summary_page import scene
from daysworth.planners.scenario import Scenario

router = pages_router(under="/stores/{store}/compare")

FIRST_ROWS: Final = 10
MOST_ROWS: Final = 200
MOST_WEEKS: Final = 110
_RATIONS: Final = (100, 75, 50, 25)
_OTHER: Final = "other_"
_SIDES: Final = {
    "compare.html": ("versus-side-first", "versus-side-other"),
    "kept_week.html": ("versus-side-then", "versus-side-today"),
}

WeekPath = Annotated[str, Path(max_length=8)]
Names = dict[HouseholdId, tuple[int, str]]


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def compare_page(
    request: Request, *, scenario: ScenarioAsked, other: OtherScenarioAsked
) -> Response:
    """Ask for two scenarios and show them side by side; list the weeks to compare with."""
    desk = await desk_for(request)
    is_asked = any(name.startswith(_OTHER) for name in request.query_params)
    if not is_asked:
        return await _page(desk, "compare.html", first=scenario, other=other, answer=None)
    answer = await _compared(desk, None, before=scenario, after=other)
    return await _page(desk, "compare.html", first=scenario, other=other, answer=answer)


@router.get("/{week}", openapi_extra=behind(Door.COORDINATOR))
async def kept_week_page(week: WeekPath, request: Request, *, scenario: ScenarioAsked) -> Response:
    """Show a week that was kept beside the store as it is now."""
    desk = await desk_for(request)
    answer = await _compared(desk, Week.read(week), before=scenario, after=scenario)
    return await _page(desk, "kept_week.html", first=scenario, other=scenario, answer=answer)


async def _compared(
    desk: Desk, week: Week | None, *, before: Scenario, after: Scenario
) -> ComparisonAnswer:
    await desk.disclose("comparison")
    ask = partial(
        desk.service.comparisons.comparison,
        desk.store.id,
        week,
        before=SideAsked(scenario=before),
        after=SideAsked(scenario=after),
        at=desk.at,
    )
    return await plan(desk.request, ask)


async def _page(
    desk: Desk,
    template: str,
    *,
    first: Scenario,
    other: Scenario,
    answer: ComparisonAnswer | None,
) -> Response:
    places, names, weeks = await desk.read(_around)
    shown: dict[str, object] = {}
    if answer is not None:
        shown = {
            "headline": headline(answer),
            "figures": list(figures_compared(answer)),
            "homes": homes_compared(answer, names),
            "scenes": [list(scene(side.scenario)) for side in (answer.before, answer.after)],
        }
    return desk.show(
        template,
        answer=answer,
        shown=shown,
        side_names=_SIDES[template],
        sides=(("", first), (_OTHER, other)),
        places=places,
        names=names,
        weeks=weeks,
        rations=_RATIONS,
        food_change=food_change,
        first_rows=FIRST_ROWS,
        most_rows=MOST_ROWS,
    )


def _around(reading: Reading) -> tuple[list[KeptPlace], Names, tuple[KeptWeek, ...]]:
    weeks = list_kept_weeks(reading, after="", limit=MOST_WEEKS)
    return every_place(reading), household_names(reading), tuple(weeks.items)
