"""Make snapshot files, show their schema, and carry snapshots out of a store and into one."""

import sys
from typing import Annotated, Final

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import Database, DateSpread, Day, Source, StoreAsked

MOST_HOUSEHOLDS: Final = 5_000
MOST_LOTS: Final = 200_000

snapshot = typer.Typer(
    no_args_is_help=True, help="Make snapshot files; export and import a store's."
)


@snapshot.command()
def schema() -> None:
    """Print the JSON Schema that a snapshot file follows."""
    import json

    from daysworth.answers.snapshot_file import snapshot_schema

    typer.echo(json.dumps(snapshot_schema(), indent=2))


@snapshot.command()
def generate(
    *,
    households: Annotated[int, typer.Option(min=1, max=MOST_HOUSEHOLDS, help="How many homes.")],
    lots: Annotated[int, typer.Option(min=0, max=MOST_LOTS, help="How many lots.")],
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same bytes.")],
    as_of: Day = None,
    dates: Annotated[DateSpread, typer.Option(help="How long food keeps.")] = DateSpread.SLACK,
    own_share: Annotated[
        float, typer.Option(min=0, max=1, help="The share of lots that homes keep to themselves.")
    ] = 0.0,
) -> None:
    """Print a believable synthetic store of any size, taken on 1 September 2026 or as asked."""
    from daysworth.answers.snapshot_file import write_snapshot
    from daysworth.demo.synthetic import DEFAULT_TAKEN_ON, Dates, StoreSize, synthetic_store

    size = StoreSize(
        households=households,
        lots=lots,
        seed=seed,
        taken_on=as_of or DEFAULT_TAKEN_ON,
        dates=Dates(dates),
        own_share=own_share,
    )
    typer.echo(write_snapshot(synthetic_store(size)), nl=False)


@snapshot.command("export")
def export_snapshot(store: StoreAsked, *, database: Database = None) -> None:
    """Print a store's current snapshot; it is logged as a reading of health facts."""
    from daysworth.answers.snapshot_file import write_snapshot
    from daysworth.cli.opened import now, opened, operator
    from daysworth.db import transactions
    from daysworth.db.disclosures import log_disclosure
    from daysworth.db.snapshots import load_snapshot
    from daysworth.domain.identifiers import StoreId

    engine, id_ = opened(database), StoreId(store)
    found = transactions.read(engine, lambda r: load_snapshot(r, at=now()), store=id_)
    by = operator(id_)
    transactions.write_beside(
        engine,
        lambda c: log_disclosure(c, by, what="snapshot", household=None, at=now()),
        store=id_,
    )
    sys.stdout.buffer.write(write_snapshot(found))


@snapshot.command("import")
def import_snapshot(
    source: Source,
    *,
    store: Annotated[
        str | None,
        typer.Option(
            "--store", metavar="STORE", help="Into which; the snapshot's own if not given."
        ),
    ] = None,
    database: Database = None,
) -> None:
    """Put a snapshot into a store that holds nothing yet; a store that is not there is made."""
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.cli.opened import opened
    from daysworth.cli.store_filling import fill_new_store
    from daysworth.domain.identifiers import StoreId

    found = read_snapshot(read_bytes(source))
    id_ = StoreId(store or found.store)
    fill_new_store(opened(database), found, store=id_)
    typer.echo(f"{len(found.lots)} lots and {len(found.households)} households are in {id_!r}.")
