"""Ask a question of a snapshot file."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import (
    AsJson,
    Away,
    BasisAsked,
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

if TYPE_CHECKING:
    from daysworth.domain.snapshot import Snapshot
    from daysworth.planners.scenario import Scenario

plan = typer.Typer(no_args_is_help=True, help="Ask a question of a snapshot file.")


@plan.command()
def coverage(
    source: Source,
    *,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    without_place: WithoutPlace = None,
    away: Away = None,
    basis: BasisAsked = None,
    ration: Ration = 1.0,
    horizon: Horizon = 180,
    as_json: AsJson = False,
) -> None:
    """Count for how many days everyone in a snapshot can eat.

    Day 1 is the day the snapshot was taken, unless another is given.
    """
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.domain.identifiers import HouseholdId, PlaceId
    from daysworth.domain.needs import NeedsBasis
    from daysworth.planners.scenario import Scenario, StockScope

    scenario = Scenario(
        heating=heating,
        running_water=running_water,
        stock=StockScope(stock),
        places_lost=frozenset(PlaceId(place) for place in without_place or ()),
        households_away=frozenset(HouseholdId(household) for household in away or ()),
        basis=None if basis is None else NeedsBasis(basis),
        ration=ration,
        horizon_days=horizon,
    )
    store = read_snapshot(read_bytes(source))
    print_coverage(store, as_of or store.taken_on, scenario=scenario, as_json=as_json)


@plan.command()
def warnings(
    source: Source,
    *,
    household: Annotated[
        list[str] | None,
        typer.Option("--household", metavar="H", help="For this household; may be repeated."),
    ] = None,
    as_of: Day = None,
    as_json: AsJson = False,
) -> None:
    """List what each household of a snapshot must not have, and what nobody knows of yet.

    All households that must avoid something, unless some are named.
    """
    from daysworth.answers.snapshot_file import read_snapshot

    store = read_snapshot(read_bytes(source))
    print_warnings(store, as_of or store.taken_on, named=household or (), as_json=as_json)


def print_warnings(store: "Snapshot", as_of: date, *, named: Iterable[str], as_json: bool) -> None:
    """Print households' warnings one after another, as a list in JSON or as text."""
    import json

    from daysworth.answers.warnings import answer_warnings, warnings_json
    from daysworth.domain.identifiers import HouseholdId
    from daysworth.planners.warnings import with_needs
    from daysworth_client.warnings import household_warnings

    homes = [HouseholdId(one) for one in named] or with_needs(store, as_of)
    answers = [
        json.loads(warnings_json(answer_warnings(store, as_of, household=home))) for home in homes
    ]
    if as_json:
        typer.echo(json.dumps(answers, indent=2, ensure_ascii=False))
    elif not answers:
        typer.echo("No household of this store must avoid anything.")
    else:
        typer.echo("\n\n".join(household_warnings(answer).rstrip("\n") for answer in answers))


def print_coverage(store: "Snapshot", as_of: date, *, scenario: "Scenario", as_json: bool) -> None:
    """Print the answer on coverage, as JSON or as text."""
    import json

    from daysworth.answers.coverage import answer_coverage, to_json
    from daysworth_client.summary import coverage_summary

    answer = to_json(answer_coverage(store, as_of, scenario=scenario))
    typer.echo(answer if as_json else coverage_summary(json.loads(answer)).rstrip("\n"))
