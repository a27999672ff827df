"""Ask a store that is served somewhere about its promises. Needs no extra."""

from enum import StrEnum
from typing import Annotated

import typer

from daysworth.cli.asking import Address, TokenFile, connected, in_json
from daysworth.cli.options import AsJson


class StateAsked(StrEnum):
    """What became of a promise."""

    OPEN = "open"
    KEPT = "kept"
    KEPT_IN_PART = "kept_in_part"
    REFUSED = "refused"
    LAPSED = "lapsed"


def promises(
    *,
    state: Annotated[
        StateAsked | None,
        typer.Option(
            "--state",
            metavar="STATE",
            help="open, kept, kept_in_part, refused or lapsed; all if not given.",
        ),
    ] = None,
    address: Address,
    token_file: TokenFile = None,
    as_json: AsJson = False,
) -> None:
    """Ask a store for its promises by the time of their visits, and what became of each."""
    from daysworth_client.promises_list import promises_text

    with connected(address, token_file) as connection:
        answer = connection.promises(state=state)
    typer.echo(in_json(answer) if as_json else promises_text(answer).rstrip("\n"))
