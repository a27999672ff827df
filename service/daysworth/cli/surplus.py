"""Plan what a snapshot's store can spare before it spoils."""

from datetime import date
from typing import TYPE_CHECKING, Annotated, Final

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import AsJson, Day, Source, day_written

if TYPE_CHECKING:
    from daysworth.answers.surplus import SurplusAnswer

MOST_FLOOR_DAYS: Final = 730

FloorDays = Annotated[
    int | None,
    typer.Option(
        "--floor-days",
        min=0,
        max=MOST_FLOOR_DAYS,
        metavar="DAYS",
        help="Everyone stays fed for so many days; the store's own if not given, 0: no floor.",
    ),
]
Until = Annotated[
    date | None,
    typer.Option(
        "--until",
        parser=day_written,
        metavar="YYYY-MM-DD",
        help="Spare what is good until before this day; the round after next if not given.",
    ),
]
ToPartner = Annotated[
    list[str] | None,
    typer.Option("--partner", metavar="P", help="Only to this partner; repeatable."),
]
WhatIf = Annotated[
    list[int] | None,
    typer.Option(
        "--what-if",
        min=0,
        max=MOST_FLOOR_DAYS,
        metavar="DAYS",
        help="How much could go with this floor, beside the store's own; repeatable.",
    ),
]


def plan_surplus(
    source: Source,
    *,
    floor_days: FloorDays = None,
    until: Until = None,
    partner: ToPartner = None,
    what_if: WhatIf = None,
    as_of: Day = None,
    as_json: AsJson = False,
) -> None:
    """Plan what goes to which partner when before it spoils, and say why the rest stays.

    Nothing goes that would leave anyone here fed for fewer days than the floor.
    """
    import json

    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.answers.surplus import answer_surplus, surplus_json
    from daysworth.answers.surplus_floors import MOST_FLOORS, floors_answer, floors_json
    from daysworth.domain.identifiers import PartnerId
    from daysworth.planners.surplus_plan import SurplusAsked
    from daysworth_client.surplus_plan import floors_text, surplus_text

    if what_if and floor_days is not None:
        raise typer.BadParameter("give --floor-days or --what-if, one of them.")
    if len(set(what_if or ())) > MOST_FLOORS:
        raise typer.BadParameter(f"--what-if tries {MOST_FLOORS} floors at most.")
    store = read_snapshot(read_bytes(source))
    to = frozenset(PartnerId(one) for one in partner) if partner else None

    def answered(days: int | None) -> "SurplusAnswer":
        asked = SurplusAsked(floor_days=days, until_on=until, partners=to)
        return answer_surplus(store, as_of or store.taken_on, asked=asked)

    if what_if:
        others = [answered(days) for days in sorted(set(what_if))]
        text = floors_json(floors_answer(answered(None), others))
        told = floors_text(json.loads(text))
    else:
        text = surplus_json(answered(floor_days))
        told = surplus_text(json.loads(text))
    typer.echo(text if as_json else told.rstrip("\n"))
