"""Show the invented neighbourhood: its days, its kits, a round and its surplus, or serve it."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from daysworth.cli.options import AsJson, Day, Port

if TYPE_CHECKING:
    from collections.abc import Sequence

    from daysworth.cli.demo_agreement import Agreement
    from daysworth.domain.snapshot import Snapshot

_FAILED = 1

WithSurplus = Annotated[
    bool,
    typer.Option("--surplus", help="Plan what can be spared, promise it, hand some of it off."),
]
NotesFolder = Annotated[
    str | None,
    typer.Option(
        "--notes", metavar="FOLDER", help="With --surplus: the delivery notes, as PDF files."
    ),
]


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
    surplus: WithSurplus = False,
    notes: NotesFolder = None,
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
    if notes is not None and not surplus:
        raise typer.BadParameter("--notes goes with --surplus, which promises what they are for.")
    day = as_of or datetime.now(ZoneInfo(TIMEZONE)).date()
    store = neighbourhood(day)
    if serve:
        from daysworth.cli.demo_service import serve_demo

        serve_demo(store, port=port)
    elif with_round:
        _round(store, labels=labels, as_json=as_json)
    elif surplus:
        _surplus(store, notes=notes, as_json=as_json)
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
    _check(shown.answer.agreement)


def _surplus(store: "Snapshot", *, notes: str | None, as_json: bool) -> None:
    import json

    from daysworth.answers.written import written
    from daysworth.cli.demo_notes import made_folder, write_notes
    from daysworth.cli.demo_surplus import SurplusDemoAnswer, show_surplus
    from daysworth.cli.demo_surplus_text import surplus_demo_text
    from daysworth.demo.neighbourhood import with_shop_lots

    folder = None if notes is None else made_folder(notes)
    shown = show_surplus(with_shop_lots(store))
    if folder is not None:
        write_notes(shown.notes, folder=folder)
    text = written(shown.answer, of=SurplusDemoAnswer)
    typer.echo(text if as_json else surplus_demo_text(json.loads(text)).rstrip("\n"))
    if folder is not None and not as_json:
        typer.echo(f"\nThe {len(shown.notes)} delivery notes are in {notes}.")
    _check(shown.answer.agreement)


def _check(agreement: "Sequence[Agreement]") -> None:
    """Say on standard error that claims are not kept, and end with that."""
    broken = sum(not one.agrees for one in agreement)
    if broken:
        typer.echo(f"The books do not agree: {broken} claims are not kept.", err=True)
        raise typer.Exit(_FAILED)
