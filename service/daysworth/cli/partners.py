"""Ask a store that is served somewhere about its partners. Needs no extra."""

import typer

from daysworth.cli.asking import Address, TokenFile, connected, in_json
from daysworth.cli.options import AsJson


def partners(*, address: Address, token_file: TokenFile = None, as_json: AsJson = False) -> None:
    """Ask a store for its partners: when each receives in words, and what it takes."""
    from daysworth_client.partners_list import partners_text

    with connected(address, token_file) as connection:
        answer = connection.partners()
    typer.echo(in_json(answer) if as_json else partners_text(answer).rstrip("\n"))
