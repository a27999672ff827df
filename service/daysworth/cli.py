"""The command `daysworth`. Nothing heavy is imported before it is needed.

Exit codes: 0 done, 1 refused with a clear message, 2 wrong usage.
"""

import re
import sys
from collections.abc import Callable
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final
from zoneinfo import ZoneInfo

import typer

from daysworth.domain.errors import DaysworthError, Fault, SnapshotRefused

if TYPE_CHECKING:
    from daysworth.domain.snapshot import Snapshot
    from daysworth.planners.scenario import Scenario

SERVICE_EXTRA: Final = "daysworth[service]"
MOST_HOUSEHOLDS: Final = 5_000
MOST_LOTS: Final = 200_000
_REFUSED: Final = 1
_ISO_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Pooled emergency food for a neighbourhood or congregation, counted in days.",
)
plan = typer.Typer(no_args_is_help=True, help="Ask a question of a snapshot file.")
snapshot = typer.Typer(no_args_is_help=True, help="Make snapshot files, and show their schema.")
app.add_typer(plan, name="plan")
app.add_typer(snapshot, name="snapshot")


class Stock(StrEnum):
    """Whose stock is counted."""

    SHARED = "shared"
    ALL = "all"


class Basis(StrEnum):
    """How needs are reckoned: by published tables, or 2,100 kcal for everyone."""

    REFERENCE = "reference"
    FLAT = "flat"


class DateSpread(StrEnum):
    """How hard the dates of a synthetic store are."""

    SLACK = "slack"
    TIGHT = "tight"


def _day(written: str) -> date:
    try:
        day = date.fromisoformat(written if _ISO_DAY.fullmatch(written) else "")
    except ValueError:
        raise typer.BadParameter(f"{written!r} is not a date written YYYY-MM-DD") from None
    if not 2010 <= day.year <= 2090:
        raise typer.BadParameter(f"{written} is not between 2010 and 2090")
    return day


def _part(written: str) -> float:
    try:
        part = float(written)
    except ValueError:
        part = 0.0
    if not 0 < part <= 1:
        raise typer.BadParameter(f"{written!r} is not a number above 0 and up to 1")
    return part


Day = Annotated[
    date | None,
    typer.Option("--as-of", parser=_day, metavar="YYYY-MM-DD", help="The date that is day 1."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON and nothing else.")]
Source = Annotated[
    str,
    typer.Argument(metavar="SNAPSHOT|-", help="A snapshot file; - reads it from standard input."),
]
Heating = Annotated[bool, typer.Option("--heating", help="There is a way to heat food.")]
Running = Annotated[bool, typer.Option("--running-water", help="Water runs from the tap.")]
StockAsked = Annotated[Stock, typer.Option("--stock", help="Whose stock is counted.")]
WithoutPlace = Annotated[
    list[str] | None,
    typer.Option("--without-place", metavar="P", help="A place that is lost; may be repeated."),
]
Away = Annotated[
    list[str] | None,
    typer.Option("--away", metavar="H", help="A household that is away; may be repeated."),
]
BasisAsked = Annotated[
    Basis | None, typer.Option("--basis", help="How needs are reckoned, if not the store's way.")
]
Ration = Annotated[
    float,
    typer.Option("--ration", parser=_part, metavar="R", help="The part of needs to be met."),
]
Horizon = Annotated[
    int, typer.Option("--horizon", min=1, max=730, metavar="DAYS", help="Count no further.")
]


@app.command()
def demo(*, as_of: Day = None, as_json: AsJson = False) -> None:
    """Count the days of an invented neighbourhood, its dates relative to the as-of date."""
    from daysworth.demo.neighbourhood import TIMEZONE, neighbourhood
    from daysworth.planners.scenario import Scenario

    day = as_of or datetime.now(ZoneInfo(TIMEZONE)).date()
    _print_coverage(neighbourhood(day), day, scenario=Scenario(), as_json=as_json)


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
    store = read_snapshot(_read(source))
    _print_coverage(store, as_of or store.taken_on, scenario=scenario, as_json=as_json)


@snapshot.command()
def schema() -> None:
    """Print the JSON Schema that a snapshot file follows."""
    import json

    from daysworth.answers.snapshot_file import snapshot_schema

    typer.echo(json.dumps(snapshot_schema(), indent=2))


@snapshot.command()
def generate(
    *,
    households: Annotated[int, typer.Option(min=1, max=MOST_HOUSEHOLDS, help="How many homes.")],
    lots: Annotated[int, typer.Option(min=0, max=MOST_LOTS, help="How many lots.")],
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same bytes.")],
    as_of: Day = None,
    dates: Annotated[DateSpread, typer.Option(help="How long food keeps.")] = DateSpread.SLACK,
    own_share: Annotated[
        float, typer.Option(min=0, max=1, help="The share of lots that homes keep to themselves.")
    ] = 0.0,
) -> None:
    """Print a believable synthetic store of any size, taken on 1 September 2026 or as asked."""
    from daysworth.answers.snapshot_file import write_snapshot
    from daysworth.demo.synthetic import DEFAULT_TAKEN_ON, Dates, StoreSize, synthetic_store

    size = StoreSize(
        households=households,
        lots=lots,
        seed=seed,
        taken_on=as_of or DEFAULT_TAKEN_ON,
        dates=Dates(dates),
        own_share=own_share,
    )
    typer.echo(write_snapshot(synthetic_store(size)), nl=False)


def _print_coverage(store: "Snapshot", as_of: date, *, scenario: "Scenario", as_json: bool) -> None:
    import json

    from daysworth.answers.coverage import answer_coverage, to_json
    from daysworth_client.summary import coverage_summary

    answer = to_json(answer_coverage(store, as_of, scenario=scenario))
    typer.echo(answer if as_json else coverage_summary(json.loads(answer)).rstrip("\n"))


def _read(source: str) -> bytes:
    """Read a file, or standard input for "-", no further than a snapshot may be long."""
    from daysworth.answers.snapshot_file import MOST_BYTES

    if source == "-":
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    try:
        with Path(source).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise SnapshotRefused((Fault(repr(source), f"cannot be read: {reason}"),)) from fault


@app.callback(invoke_without_command=True)
def _root(
    *,
    version: Annotated[bool, typer.Option("--version", help="Print the release and stop.")] = False,
) -> None:
    if version:
        from importlib.metadata import version as release

        typer.echo(f"daysworth {release('daysworth')}")
        raise typer.Exit


def main() -> None:
    """Run the command, turning what was refused into words on standard error and exit code 1."""
    _refusing(app)


def _refusing(run: Callable[[], object]) -> None:
    try:
        run()
    except SnapshotRefused as refused:
        typer.echo("This snapshot cannot be used; nothing was changed:", err=True)
        for fault in refused.faults:
            typer.echo(f"  {fault}", err=True)
    except DaysworthError as refused:
        typer.echo(f"Refused: {refused}.", err=True)
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("daysworth"):
            raise
        typer.echo(
            f"This command needs the extra {SERVICE_EXTRA} (it lacks {missing.name}).", err=True
        )
    sys.exit(_REFUSED)
