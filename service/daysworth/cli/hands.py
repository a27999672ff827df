"""Let people in: coordinators who sign in to the pages, and links by which volunteers log."""

import sys
from datetime import date, datetime
from io import StringIO
from pathlib import Path
from typing import Annotated, Final

import typer

from daysworth.cli.options import Database, StoreAsked, day_written

coordinator = typer.Typer(no_args_is_help=True, help="Say who signs in to the pages.")
link = typer.Typer(no_args_is_help=True, help="Make and withdraw links for logging.")

USUAL_SITE: Final = "http://127.0.0.1:8017"

Who = Annotated[str, typer.Argument(metavar="NAME", help="The name they sign in by.")]
PasswordFrom = Annotated[
    str | None,
    typer.Option(
        "--password-file", metavar="FILE|-", help="Its first line; asked for if not given."
    ),
]


@coordinator.command("create")
def create_coordinator(
    name: Who, *, store: StoreAsked, password_file: PasswordFrom = None, database: Database = None
) -> None:
    """Let somebody sign in to a store's pages."""
    from functools import partial

    from daysworth.cli.opened import now, opened
    from daysworth.db import transactions
    from daysworth.db.coordinators import add_coordinator
    from daysworth.domain.identifiers import StoreId

    id_, password = StoreId(store), _password(password_file)
    add = partial(add_coordinator, store=id_, name=name, password=password, at=now())
    transactions.write_beside(opened(database), add, store=id_)
    typer.echo(f"{name} can sign in to {store!r}, at /stores/{store}/sign-in.")


@coordinator.command("password")
def give_password(
    name: Who, *, store: StoreAsked, password_file: PasswordFrom = None, database: Database = None
) -> None:
    """Give somebody another password; wherever they are signed in, they are signed out."""
    from functools import partial

    from daysworth.cli.opened import now, opened
    from daysworth.db import transactions
    from daysworth.db.coordinators import change_password
    from daysworth.domain.identifiers import StoreId

    id_, password = StoreId(store), _password(password_file)
    change = partial(change_password, store=id_, name=name, password=password, at=now())
    transactions.write_beside(opened(database), change, store=id_)
    typer.echo(f"{name} has another password now.")


@coordinator.command("bar")
def bar(name: Who, *, store: StoreAsked, database: Database = None) -> None:
    """Let somebody sign in no more, from now on; another password lets them in again."""
    from functools import partial

    from daysworth.cli.opened import now, opened
    from daysworth.db import transactions
    from daysworth.db.coordinators import bar_coordinator
    from daysworth.domain.identifiers import StoreId

    id_ = StoreId(store)
    barred = partial(bar_coordinator, store=id_, name=name, at=now())
    transactions.write_beside(opened(database), barred, store=id_)
    typer.echo(f"{name} signs in no more.")


@coordinator.command("list")
def list_all_coordinators(*, store: StoreAsked, database: Database = None) -> None:
    """List who may sign in to a store."""
    from daysworth.cli.opened import opened
    from daysworth.db import transactions
    from daysworth.db.coordinators import list_coordinators
    from daysworth.db.stores import read_store
    from daysworth.domain.identifiers import StoreId

    engine, id_ = opened(database), StoreId(store)
    transactions.read(engine, read_store, store=id_)
    for one in transactions.read(engine, list_coordinators, store=id_):
        state = "barred" if one.barred_at else f"since {one.created_at[:10]}"
        typer.echo(f"{one.id}  {state:<18}{one.name}")


@link.command("create")
def create_link(
    *,
    store: StoreAsked,
    place: Annotated[str, typer.Option("--place", metavar="P", help="The id of the place.")],
    expires: Annotated[
        date,
        typer.Option(
            "--expires", parser=day_written, metavar="YYYY-MM-DD", help="Its last day there."
        ),
    ],
    label: Annotated[
        str, typer.Option("--label", metavar="WORDS", help="Who has it; stands in the ledger.")
    ] = "volunteers",
    site: Annotated[
        str,
        typer.Option(
            "--site", metavar="URL", envvar="DAYSWORTH_SITE", help="Where the pages are reached."
        ),
    ] = USUAL_SITE,
    database: Database = None,
) -> None:
    """Make a link for logging to one place and print its address, this once."""
    from functools import partial

    from daysworth.cli.opened import now, opened, operator
    from daysworth.db import transactions
    from daysworth.db.links import LinkAsked, make_link
    from daysworth.db.stores import read_store
    from daysworth.db.transactions import end_of_day
    from daysworth.domain.identifiers import PlaceId, StoreId

    id_, engine = StoreId(store), opened(database)
    kept = transactions.read(engine, read_store, store=id_)
    asked = LinkAsked(
        store=id_,
        place=PlaceId(place),
        label=label,
        expires_at=end_of_day(kept.settings, day=expires),
    )
    make = partial(make_link, asked=asked, by=operator(id_), at=now())
    secret = transactions.write_beside(engine, make, store=id_)
    typer.echo(f"{site.rstrip('/')}/log/{secret}")


@link.command("list")
def list_all_links(*, store: StoreAsked, database: Database = None) -> None:
    """List a store's links: id, place, last day, whether it was withdrawn, and who has it."""
    from daysworth.cli.opened import opened
    from daysworth.db import transactions
    from daysworth.db.links import list_links
    from daysworth.db.stores import read_store
    from daysworth.db.transactions import last_day
    from daysworth.domain.identifiers import StoreId

    engine, id_ = opened(database), StoreId(store)
    settings = transactions.read(engine, read_store, store=id_).settings
    for one in transactions.read(engine, list_links, store=id_):
        last = last_day(settings, ends_at=datetime.fromisoformat(one.expires_at))
        state = "withdrawn" if one.revoked_at else f"until {last}"
        typer.echo(f"{one.id}  {one.place:<12}{state:<18}{one.label}")


@link.command("withdraw")
def withdraw_link(
    link: Annotated[str, typer.Argument(metavar="ID", help="From `daysworth link list`.")],
    *,
    store: StoreAsked,
    database: Database = None,
) -> None:
    """Withdraw a link from now on; what it logged stays."""
    from functools import partial

    from daysworth.cli.opened import now, opened
    from daysworth.db import transactions
    from daysworth.db.links import revoke_link
    from daysworth.domain.entries import CredentialId
    from daysworth.domain.identifiers import StoreId

    id_ = StoreId(store)
    revoked = partial(revoke_link, link=CredentialId(link), store=id_, at=now())
    transactions.write_beside(opened(database), revoked, store=id_)
    typer.echo(f"{link} is withdrawn.")


def _password(file: str | None) -> str:
    if file is None:
        return str(typer.prompt("Password", hide_input=True, confirmation_prompt=True))
    try:
        if file == "-":
            line = sys.stdin.readline()
            line.encode("utf-8")
        else:
            line = StringIO(Path(file).read_text("utf-8")).readline()
        return line.rstrip("\r\n")
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "it is not text in UTF-8"
        raise typer.BadParameter(f"{file!r} cannot be read: {reason}") from fault
