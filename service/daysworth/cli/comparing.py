"""Compare two snapshot files, or one file in two scenarios."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

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
    day_written,
)

if TYPE_CHECKING:
    from daysworth.answers.comparison import Side
    from daysworth.domain.snapshot import Snapshot

OtherSource = Annotated[
    str | None,
    typer.Argument(metavar="OTHER", help="A later snapshot file; the same one if not given."),
]
OtherDay = Annotated[
    date | None,
    typer.Option(
        "--other-as-of", parser=day_written, metavar="YYYY-MM-DD", help="Day 1 of the other."
    ),
]
OtherHeating = Annotated[
    bool, typer.Option("--other-heating", help="In the other there is a way to heat food.")
]
OtherRunning = Annotated[
    bool, typer.Option("--other-running-water", help="In the other, water runs from the tap.")
]
OtherStock = Annotated[
    Stock | None, typer.Option("--other-stock", help="Whose stock is counted in the other.")
]
OtherWithoutPlace = Annotated[
    list[str] | None,
    typer.Option(
        "--other-without-place", metavar="P", help="A place lost in the other too; repeatable."
    ),
]
OtherAway = Annotated[
    list[str] | None,
    typer.Option(
        "--other-away", metavar="H", help="A household away in the other too; repeatable."
    ),
]


def compare(
    source: Source,
    other: OtherSource = None,
    *,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    without_place: WithoutPlace = None,
    away: Away = None,
    ration: Ration = 1.0,
    horizon: Horizon = 180,
    other_as_of: OtherDay = None,
    other_heating: OtherHeating = False,
    other_running_water: OtherRunning = False,
    other_stock: OtherStock = None,
    other_without_place: OtherWithoutPlace = None,
    other_away: OtherAway = None,
    as_json: AsJson = False,
) -> None:
    """Compare two snapshots of a store, or one in two scenarios: what changed.

    What is said without other- holds for both. Day 1 of each is the day it was taken, unless
    another is given.
    """
    from daysworth.answers.comparison import Side
    from daysworth.domain.identifiers import HouseholdId, PlaceId
    from daysworth.planners.scenario import Scenario, StockScope

    first = Scenario(
        heating=heating,
        running_water=running_water,
        stock=StockScope(stock),
        places_lost=frozenset(PlaceId(place) for place in without_place or ()),
        households_away=frozenset(HouseholdId(household) for household in away or ()),
        ration=ration,
        horizon_days=horizon,
    )
    second = Scenario(
        heating=heating or other_heating,
        running_water=running_water or other_running_water,
        stock=StockScope(other_stock or stock),
        places_lost=first.places_lost | {PlaceId(place) for place in other_without_place or ()},
        households_away=first.households_away | {HouseholdId(one) for one in other_away or ()},
        ration=ration,
        horizon_days=horizon,
    )
    before, after = _snapshots(source, other)
    _print(
        Side(snapshot=before, as_of=as_of or before.taken_on, scenario=first),
        Side(snapshot=after, as_of=other_as_of or as_of or after.taken_on, scenario=second),
        as_json=as_json,
    )


def _snapshots(source: str, other: str | None) -> "tuple[Snapshot, Snapshot]":
    from daysworth.answers.snapshot_file import read_snapshot

    if source == other == "-":
        raise typer.BadParameter("only one of the two can be standard input.")
    before = read_snapshot(read_bytes(source))
    return before, before if other is None else read_snapshot(read_bytes(other))


def _print(before: "Side", after: "Side", *, as_json: bool) -> None:
    import json

    from daysworth.answers.comparison import answer_comparison, comparison_json
    from daysworth_client.comparison import comparison_summary

    answer = comparison_json(answer_comparison(before, after))
    typer.echo(answer if as_json else comparison_summary(json.loads(answer)).rstrip("\n"))
