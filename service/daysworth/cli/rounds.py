"""Plan the rotation round of a snapshot file."""

from datetime import date
from typing import Annotated

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import AsJson, Day, Source, day_written

RoundOn = Annotated[
    date | None,
    typer.Option(
        "--round-on",
        parser=day_written,
        metavar="YYYY-MM-DD",
        help="The day of the round; the latest there has been if not given.",
    ),
]


def plan_round(
    source: Source, *, round_on: RoundOn = None, as_of: Day = None, as_json: AsJson = False
) -> None:
    """List what is due at a round with one proposal each, place by place in walking order."""
    import json

    from daysworth.answers.round_plan import answer_round, parcel_numbers_of, round_json
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth_client.round_plan import round_plan_text

    store = read_snapshot(read_bytes(source))
    answer = answer_round(
        store,
        as_of or store.taken_on,
        round_on=round_on,
        parcel_numbers=parcel_numbers_of(one.id for one in store.households),
    )
    text = round_json(answer)
    typer.echo(text if as_json else round_plan_text(json.loads(text)).rstrip("\n"))
