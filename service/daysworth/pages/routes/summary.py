"""Show a coordinator how the store stands: days, who holds them down, and what needs a hand."""

from dataclasses import dataclass
from functools import partial
from typing import Final
from urllib.parse import urlencode

from fastapi import Request, Response

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.store_summary import SummaryAnswer
from daysworth.api.scenario_asked import ScenarioAsked
from daysworth.api.service import plan, run
from daysworth.db.households import household_names
from daysworth.db.places import KeptPlace, every_place
from daysworth.db.transactions import Reading
from daysworth.domain.identifiers import HouseholdId
from daysworth.pages.coverage_shown import (
    MOST_GROUPS,
    groups_left_out,
    groups_shown,
    is_cut_at_horizon,
    meals_shown,
    mix_notes,
    mix_shown,
    spoiling_shown,
    steps_shown,
    units_shown,
)
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, pages_router, store_address
from daysworth.pages.frame import HEADERS, go_to
from daysworth.pages.summary_page import (
    Home,
    days_short,
    fed_through,
    homes_shown,
    if_all_read,
    if_enough_water,
    lists_shown,
    next_out,
    scene,
)
from daysworth.planners.scenario import Scenario
from daysworth.printing.bars import bars_left_out, days_bars
from daysworth.printing.figures import tenths, whole

router = pages_router(under="/stores/{store}")

FIRST_ROWS: Final = 10
"""How many lots or households a list shows at once; those after them are unfolded."""

MOST_ROWS: Final = 200
"""How many lots a list shows before the rest are only counted: a page is to be read."""

Names = dict[HouseholdId, tuple[int, str]]


@dataclass(frozen=True, slots=True)
class _Around:
    places: list[KeptPlace]
    names: Names


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def store_page(store: str) -> Response:
    """Lead to the summary."""
    return go_to(store_address(store, "summary"))


@router.get("/summary", openapi_extra=behind(Door.COORDINATOR))
async def summary_page(request: Request, scenario: ScenarioAsked) -> Response:
    """Show the summary for a scenario."""
    desk = await desk_for(request)
    answer = await _summary(desk, scenario)
    around = await desk.read(_around)
    floor_days = desk.store.settings.floor_days
    homes = homes_shown(answer.coverage, around.names, floor_days=floor_days)
    query = urlencode(list(request.query_params.multi_items()))
    return desk.show(
        "summary.html",
        why=_why(answer.coverage),
        answer=answer.coverage,
        waiting=answer.waiting,
        scenario=answer.coverage.scenario,
        places=around.places,
        homes=homes,
        names=around.names,
        lists=lists_shown(answer.coverage),
        scene=list(scene(answer.coverage.scenario)),
        fed_through=fed_through(answer.coverage),
        days_short=days_short(answer.coverage, floor_days=floor_days),
        tenths=tenths,
        whole=whole,
        floor_days=floor_days,
        first_rows=FIRST_ROWS,
        most_rows=MOST_ROWS,
        rations=_rations(answer.coverage.scenario.ration),
        usual_horizon_days=Scenario().horizon_days,
        bars=store_address(desk.store.id, "summary", "days.svg") + (f"?{query}" if query else ""),
        bars_left_out=bars_left_out(_bars(homes)),
    )


def _why(answer: CoverageAnswer) -> dict[str, object]:
    """Give what the page says on why the days are what they are."""
    return {
        "groups": groups_shown(answer),
        "groups_left_out": groups_left_out(answer),
        "held_by_water": if_enough_water(answer),
        "next_out": next_out(answer),
        "if_all_read": if_all_read(answer),
        "steps": steps_shown(answer),
        "is_cut_at_horizon": is_cut_at_horizon(answer),
        "spoils": spoiling_shown(answer),
        "units": units_shown,
        "meals": meals_shown(answer),
        "most_groups": MOST_GROUPS,
        "mix": mix_shown(answer),
        "mix_notes": list(mix_notes(answer.diet_mix)),
    }


@router.get("/summary/days.svg", openapi_extra=behind(Door.COORDINATOR))
async def summary_bars(request: Request, scenario: ScenarioAsked) -> Response:
    """Draw the days by household of a scenario."""
    desk = await desk_for(request)
    answer = await _summary(desk, scenario)
    around = await desk.read(_around)
    floor_days = desk.store.settings.floor_days
    draw = partial(
        days_bars,
        _bars(homes_shown(answer.coverage, around.names, floor_days=floor_days)),
        horizon_days=answer.coverage.scenario.horizon_days,
        floor_days=floor_days,
        words=desk.words,
    )
    picture = await run(desk.service.reckoners, draw)
    # A picture carries its own style; it is shown as a picture alone, and runs nothing.
    policy = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    headers = {**HEADERS, "Content-Security-Policy": policy}
    return Response(picture, media_type="image/svg+xml", headers=headers)


async def _summary(desk: Desk, scenario: Scenario) -> SummaryAnswer:
    ask = partial(desk.service.coverage.summary, desk.reader, scenario, as_of=None, at=desk.at)
    return await plan(desk.request, ask)


def _around(reading: Reading) -> _Around:
    return _Around(every_place(reading), household_names(reading))


def _rations(asked: float) -> list[tuple[float, int]]:
    """Give the parts of needs to choose from, the one that was asked among them."""
    parts = sorted({1.0, 0.75, 0.5, asked}, reverse=True)
    return [(part, round(part * 100)) for part in parts]


def _bars(homes: list[Home]) -> list[tuple[str, float | None, bool]]:
    return [(home.name, home.days, home.at_least) for home in homes]
