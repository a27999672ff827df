"""Show the invented neighbourhood: its days, or a service that has it."""

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from daysworth.cli.options import AsJson, Day, Port


def demo(
    *,
    as_of: Day = None,
    as_json: AsJson = False,
    serve: Annotated[
        bool, typer.Option("--serve", help="Serve it, from a database that is thrown away.")
    ] = False,
    warnings: Annotated[
        bool,
        typer.Option("--warnings", help="Print what two of its homes must not have, and why."),
    ] = False,
    port: Port = None,
) -> None:
    """Count the days of an invented neighbourhood, its dates relative to the as-of date."""
    from daysworth.cli.planning import print_coverage, print_warnings
    from daysworth.demo.neighbourhood import (
        COELIAC_HOME,
        PEANUT_HOME,
        TIMEZONE,
        neighbourhood,
    )
    from daysworth.planners.scenario import Scenario

    day = as_of or datetime.now(ZoneInfo(TIMEZONE)).date()
    store = neighbourhood(day)
    if serve:
        from daysworth.cli.demo_service import serve_demo

        serve_demo(store, port=port)
    elif warnings:
        print_warnings(store, day, named=(PEANUT_HOME, COELIAC_HOME), as_json=as_json)
    else:
        print_coverage(store, day, scenario=Scenario(), as_json=as_json)
