"""Give the options that commands share, each read strictly."""

import re
from datetime import date
from enum import StrEnum
from typing import Annotated, Final

import typer

_ISO_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


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


def day_written(written: str) -> date:
    """Read a date from 2010 to 2090. Raises typer.BadParameter for anything else."""
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
    if not 0.001 <= part <= 1:
        raise typer.BadParameter(f"{written!r} is not a number from 0.001 to 1")
    return part


Day = Annotated[
    date | None,
    typer.Option(
        "--as-of", parser=day_written, metavar="YYYY-MM-DD", help="The date that is day 1."
    ),
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


Database = Annotated[
    str | None,
    typer.Option(
        "--database",
        metavar="URL",
        envvar="DAYSWORTH_DATABASE",
        help="SQLite or PostgreSQL; sqlite:///daysworth.db if not given.",
    ),
]
StoreAsked = Annotated[str, typer.Option("--store", metavar="STORE", help="Which store.")]
Port = Annotated[
    int | None,
    typer.Option(
        "--port", min=0, max=65_535, metavar="PORT", help="8017 if not given; 0: any that is free."
    ),
]
