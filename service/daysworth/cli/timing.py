"""Show the timeline of a snapshot file."""

from typing import Annotated

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import (
    AsJson,
    Away,
    Day,
    Heating,
    Horizon,
    Ration,
    Running,
    Source,
    Stock,
    StockAsked,
    WithoutPlace,
)

Months = Annotated[
    int, typer.Option("--months", min=1, max=24, metavar="N", help="How many months to look ahead.")
]
Whose = Annotated[
    str | None,
    typer.Option("--household", metavar="H", help="Show what this household eats, not all."),
]


def timeline(
    source: Source,
    *,
    household: Whose = None,
    months: Months = 12,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    without_place: WithoutPlace = None,
    away: Away = None,
    ration: Ration = 1.0,
    horizon: Horizon = 180,
    as_json: AsJson = False,
) -> None:
    """Show how the store stands as the dates go by if nobody eats, and what is eaten when.

    Day 1 is the day the snapshot was taken, unless another is given.
    """
    import json

    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.answers.timeline import planned_timeline, timeline_answer, timeline_json
    from daysworth.domain.identifiers import HouseholdId, PlaceId
    from daysworth.planners.scenario import Scenario, StockScope
    from daysworth.planners.timeline import plan_timeline
    from daysworth_client.timeline import timeline_text

    scenario = Scenario(
        heating=heating,
        running_water=running_water,
        stock=StockScope(stock),
        places_lost=frozenset(PlaceId(place) for place in without_place or ()),
        households_away=frozenset(HouseholdId(one) for one in away or ()),
        ration=ration,
        horizon_days=horizon,
    )
    store = read_snapshot(read_bytes(source))
    planned = plan_timeline(store, as_of or store.taken_on, scenario=scenario, months=months)
    whose = None if household is None else HouseholdId(household)
    written = timeline_json(timeline_answer(planned_timeline(planned, store), household=whose))
    typer.echo(written if as_json else timeline_text(json.loads(written)).rstrip("\n"))
