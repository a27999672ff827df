"""Mount the commands, and turn what they refuse into words and an exit code."""

import sys
from collections.abc import Callable
from typing import Annotated, Final

import typer

from daysworth.cli import (
    asking,
    asking_kits,
    comparing,
    demo,
    hands,
    keeping,
    kit_labels,
    kits,
    packing,
    partners,
    promises,
    rounds,
    serving,
    surplus,
    timing,
    wishing,
)
from daysworth.cli.memory import collect_rarely
from daysworth.cli.planning import plan
from daysworth.cli.snapshots import snapshot
from daysworth.domain.errors import DaysworthError, FieldsRefused, SnapshotRefused

SERVICE_EXTRA: Final = "daysworth[service]"
_REFUSED: Final = 1

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Pooled emergency food for a neighbourhood or congregation, counted in days.",
)
app.command()(demo.demo)
app.command()(asking.summary)
app.command()(asking.compare)
app.command()(asking.warnings)
app.command()(asking_kits.rounds)
app.command()(asking_kits.kits)
app.command()(partners.partners)
app.command()(promises.promises)
app.command("kit-labels")(kit_labels.kit_labels)
app.command()(serving.serve)
app.command()(serving.migrate)
app.command()(serving.describe)
plan.command()(comparing.compare)
plan.command()(timing.timeline)
plan.command("wish-list")(wishing.wish_list)
plan.command("round")(rounds.plan_round)
plan.command("surplus")(surplus.plan_surplus)
plan.command("patterns")(packing.patterns)
plan.command("kits")(packing.plan_kits)
plan.command("check-kit")(kits.check_kit)
plan.command("take-along")(kits.take_along)
app.add_typer(plan, name="plan")
app.add_typer(asking.notices, name="notices")
app.add_typer(snapshot, name="snapshot")
app.add_typer(keeping.store, name="store")
app.add_typer(keeping.token, name="token")
app.add_typer(hands.coordinator, name="coordinator")
app.add_typer(hands.link, name="link")


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
    collect_rarely()
    _refusing(app)


def _refusing(run: Callable[[], object]) -> None:
    try:
        run()
    except SnapshotRefused as refused:
        typer.echo("This snapshot cannot be used; nothing was changed:", err=True)
        for fault in refused.faults:
            typer.echo(f"  {fault}", err=True)
    except FieldsRefused as refused:
        typer.echo("Refused; nothing was changed:", err=True)
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
