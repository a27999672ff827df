"""Ask a store that is served somewhere about its kits and its rounds. Needs no extra."""

from datetime import date
from typing import Annotated

import typer

from daysworth.cli.asking import Address, TokenFile, connected, in_json
from daysworth.cli.options import AsJson, day_written

DueBefore = Annotated[
    date | None,
    typer.Option(
        "--due-before",
        parser=day_written,
        metavar="YYYY-MM-DD",
        help="Only those of which something is not good by this day.",
    ),
]


def rounds(*, address: Address, token_file: TokenFile = None, as_json: AsJson = False) -> None:
    """Ask a store for the record of its rounds: what was eaten, given and thrown away."""
    from daysworth_client.round_records import rounds_text

    with connected(address, token_file) as connection:
        answer = connection.rounds()
    typer.echo(in_json(answer) if as_json else rounds_text(answer).rstrip("\n"))


def kits(
    *,
    due_before: DueBefore = None,
    address: Address,
    token_file: TokenFile = None,
    as_json: AsJson = False,
) -> None:
    """Ask a store for its closed kits: until when each is good, for how many, and where."""
    from daysworth_client.kits_list import kits_text

    with connected(address, token_file) as connection:
        answer = connection.kits(due_before=due_before)
    typer.echo(in_json(answer) if as_json else kits_text(answer).rstrip("\n"))
