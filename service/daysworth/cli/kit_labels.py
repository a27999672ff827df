"""Print the labels of the kits of a snapshot file."""

from typing import TYPE_CHECKING, Annotated

import typer

from daysworth.cli.files import read_bytes, write_whole
from daysworth.cli.hands import USUAL_SITE
from daysworth.cli.options import Day

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from daysworth.answers.kit import KitAnswer
    from daysworth.domain.meal_kits import MealKit
    from daysworth.domain.snapshot import Snapshot
    from daysworth.printing.label_sheets import LabelSheet

USUAL_SHEET = "letter-4"

SheetAsked = Annotated[
    str,
    typer.Option("--sheet", metavar="SHEET", help="The paper and its labels, as --sheets lists."),
]
Site = Annotated[
    str,
    typer.Option(
        "--site", metavar="URL", envvar="DAYSWORTH_SITE", help="Where kits' pages are reached."
    ),
]


def kit_labels(
    source: Annotated[
        str | None,
        typer.Argument(
            metavar="SNAPSHOT|-", help="A snapshot file; - reads it from standard input."
        ),
    ] = None,
    *,
    out: Annotated[
        str | None, typer.Option("--out", metavar="FILE", help="The PDF file to write.")
    ] = None,
    sheet: SheetAsked = USUAL_SHEET,
    sheets: Annotated[bool, typer.Option("--sheets", help="List the sheets, and stop.")] = False,
    kit: Annotated[
        list[str] | None,
        typer.Option("--kit", metavar="K", help="Only this kit; repeatable. All if not given."),
    ] = None,
    first_position: Annotated[
        int,
        typer.Option(
            "--first-position",
            min=1,
            max=100,
            metavar="N",
            help="The first label of the sheet that is free.",
        ),
    ] = 1,
    site: Site = USUAL_SITE,
    as_of: Day = None,
) -> None:
    """Print the labels of a snapshot's closed kits into a PDF file."""
    from daysworth.answers.snapshot_file import read_snapshot

    if sheets:
        _list_sheets()
        return
    if source is None or out is None:
        raise typer.BadParameter("name a snapshot file, and the PDF to write: --out labels.pdf.")
    asked = sheet_written(sheet)
    store = read_snapshot(read_bytes(source))
    bags = bags_of(store, as_of or store.taken_on, kits=_chosen(store, kit or ()))
    written = labels_written(
        bags, sheet=asked, site=site, locale=store.settings.locale, first_position=first_position
    )
    write_whole(out, written)
    typer.echo(f"{len(bags)} {'label is' if len(bags) == 1 else 'labels are'} in {out}.")


def sheet_written(written: str) -> "LabelSheet":
    """Read the name of a sheet. Raises typer.BadParameter."""
    from daysworth.printing.label_sheets import LabelSheet

    try:
        return LabelSheet(written)
    except ValueError:
        names = ", ".join(LabelSheet)
        raise typer.BadParameter(f"{written!r} is not a sheet: there are {names}.") from None


def labels_written(
    bags: "Sequence[KitAnswer]",
    *,
    sheet: "LabelSheet",
    site: str,
    locale: str,
    first_position: int = 1,
) -> bytes:
    """Print the labels of kits as a PDF. Raises InputRefused, StockRefused."""
    from daysworth.printing.kit_label_facts import label_of
    from daysworth.printing.kit_labels import kit_labels_pdf

    labels = [label_of(one, site=site.rstrip("/")) for one in bags]
    return kit_labels_pdf(labels, sheet=sheet, locale=locale, first_position=first_position)


def bags_of(store: "Snapshot", as_of: "date", *, kits: "Sequence[MealKit]") -> "list[KitAnswer]":
    """Tell what is in kits of a snapshot, as they stand in a store that was filled from it."""
    from daysworth.answers.kit import answer_ended_kit
    from daysworth.answers.round_plan import parcel_numbers_of
    from daysworth.db.kits import NEVER_LOOKED_AT, KeptKit
    from daysworth.domain.entries import KitState
    from daysworth.planners.kit_view import contents_of

    contents = contents_of(store, as_of)
    numbers = parcel_numbers_of(one.id for one in store.households)
    return [
        answer_ended_kit(
            store,
            as_of,
            kept=KeptKit(
                kit=one, state=KitState.CLOSED, revision=1, packed_by="", facts=NEVER_LOOKED_AT
            ),
            foods=contents[one.id],
            parcel_numbers=numbers,
        )
        for one in kits
    ]


def _chosen(store: "Snapshot", named: "Sequence[str]") -> "list[MealKit]":
    from daysworth.domain.errors import InputRefused

    there = {str(one.id): one for one in store.kits}
    for id_ in named:
        if id_ not in there:
            raise InputRefused(f"there is no closed kit {id_!r} in this store")
    return [there[id_] for id_ in dict.fromkeys(named)] if named else list(there.values())


def _list_sheets() -> None:
    from daysworth.domain.settings import StoreSettings
    from daysworth.printing.label_sheets import LabelSheet, sheet_in_words
    from daysworth.wording.catalogue import catalogue

    words = catalogue(StoreSettings().locale)
    for sheet in LabelSheet:
        typer.echo(f"{sheet:<10}{sheet_in_words(sheet, words=words)}")
