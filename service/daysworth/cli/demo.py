"""Show the invented neighbourhood: its days, its kits and a round, or a service that has it."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from daysworth.cli.options import AsJson, Day, Port

if TYPE_CHECKING:
    from daysworth.domain.snapshot import Snapshot

_FAILED = 1


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
    with_round: Annotated[
        bool,
        typer.Option("--round", help="Put up kits, work a round, and check that it all agrees."),
    ] = False,
    labels: Annotated[
        str | None,
        typer.Option("--labels", metavar="FILE", help="With --round: the kits' labels, as a PDF."),
    ] = None,
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

    if labels is not None and not with_round:
        raise typer.BadParameter("--labels goes with --round, which puts up the kits.")
    day = as_of or datetime.now(ZoneInfo(TIMEZONE)).date()
    store = neighbourhood(day)
    if serve:
        from daysworth.cli.demo_service import serve_demo

        serve_demo(store, port=port)
    elif with_round:
        _round(store, labels=labels, as_json=as_json)
    elif warnings:
        print_warnings(store, day, named=(PEANUT_HOME, COELIAC_HOME), as_json=as_json)
    else:
        print_coverage(store, day, scenario=Scenario(), as_json=as_json)


def _round(store: "Snapshot", *, labels: str | None, as_json: bool) -> None:
    import json

    from daysworth.answers.written import written
    from daysworth.cli.demo_round import RoundDemoAnswer, show_round
    from daysworth.cli.demo_round_text import round_demo_text
    from daysworth.cli.files import write_whole
    from daysworth.cli.hands import USUAL_SITE
    from daysworth.cli.kit_labels import USUAL_SHEET, labels_written, sheet_written

    shown = show_round(store)
    if labels is not None:
        sheet = sheet_written(USUAL_SHEET)
        write_whole(
            labels, labels_written(shown.bags, sheet=sheet, site=USUAL_SITE, locale=shown.locale)
        )
    text = written(shown.answer, of=RoundDemoAnswer)
    typer.echo(text if as_json else round_demo_text(json.loads(text)).rstrip("\n"))
    if labels is not None and not as_json:
        typer.echo(f"\nThe labels of the {len(shown.bags)} kits put up are in {labels}.")
    if not shown.answer.agrees:
        broken = sum(not one.agrees for one in shown.answer.agreement)
        typer.echo(f"The books do not agree: {broken} claims are not kept.", err=True)
        raise typer.Exit(_FAILED)
