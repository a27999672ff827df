"""Make stores and credentials: what whoever runs the machine does, and no request can."""

from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from typing import Annotated

import typer

from daysworth.cli.options import Database, StoreAsked, day_written

store = typer.Typer(no_args_is_help=True, help="Make stores.")
token = typer.Typer(no_args_is_help=True, help="Make, list and revoke credentials.")


class RoleAsked(StrEnum):
    """What a credential is for."""

    COORDINATOR = "coordinator"
    VOLUNTEER = "volunteer"
    HOUSEHOLD = "household"
    SCRIPT = "script"


@store.command("create")
def create_store(
    store: Annotated[str, typer.Argument(metavar="STORE", help="Its id, as in addresses.")],
    *,
    name: Annotated[str, typer.Option("--name", metavar="WORDS", help="What people call it.")],
    timezone: Annotated[
        str,
        typer.Option("--timezone", metavar="ZONE", help="An IANA name, such as America/Chicago."),
    ] = "UTC",
    database: Database = None,
) -> None:
    """Make a store that holds nothing yet."""
    from daysworth.cli.opened import opened
    from daysworth.cli.store_filling import make_store
    from daysworth.domain.errors import InputRefused
    from daysworth.domain.identifiers import StoreId, is_addressable
    from daysworth.domain.settings import StoreSettings

    if not (1 <= len(store) <= 64 and 1 <= len(name) <= 120) or not (store + name).isprintable():
        raise InputRefused("an id has 1 to 64 characters and a name 1 to 120, on one line")
    if not is_addressable(store):
        raise InputRefused("an id stands in addresses: it has no slash, and is not dots alone")
    try:
        settings = StoreSettings(timezone=timezone)
    except ValueError as fault:
        raise InputRefused(str(fault)) from fault
    make_store(opened(database), StoreId(store), name=name, settings=settings)
    typer.echo(f"Store {store!r} is made.")


@token.command("create")
def create_token(
    *,
    role: Annotated[
        RoleAsked,
        typer.Option("--role", metavar="ROLE", help="coordinator, volunteer, household or script."),
    ],
    store: StoreAsked,
    expires: Annotated[
        date,
        typer.Option(
            "--expires", parser=day_written, metavar="YYYY-MM-DD", help="Its last day, in UTC."
        ),
    ],
    label: Annotated[
        str | None,
        typer.Option("--label", metavar="WORDS", help="Whose it is; stands in the ledger."),
    ] = None,
    household: Annotated[
        str | None, typer.Option("--household", metavar="H", help="Which, for role household.")
    ] = None,
    database: Database = None,
) -> None:
    """Make a credential and print its token, this once: only a hash of it is kept."""
    from functools import partial

    from daysworth.cli.opened import opened
    from daysworth.db import transactions
    from daysworth.db.credentials import CredentialAsked, make_credential
    from daysworth.domain.entries import Role
    from daysworth.domain.identifiers import HouseholdId, StoreId

    asked = CredentialAsked(
        store=StoreId(store),
        role=Role(role),
        label=label or str(role),
        expires_at=datetime.combine(expires, time(), UTC) + timedelta(days=1),
        household=None if household is None else HouseholdId(household),
    )
    made = partial(make_credential, asked=asked, at=datetime.now(UTC))
    typer.echo(transactions.write_beside(opened(database), made, store=asked.store))


@token.command("list")
def list_tokens(*, store: StoreAsked, database: Database = None) -> None:
    """List a store's credentials: id, role, label, last instant, and whether it was revoked."""
    from daysworth.cli.opened import opened
    from daysworth.db import transactions
    from daysworth.db.credentials import list_credentials
    from daysworth.domain.identifiers import StoreId

    kept = transactions.read(opened(database), list_credentials, store=StoreId(store))
    for one in kept:
        state = "revoked" if one.revoked_at else f"until {one.expires_at[:10]}"
        typer.echo(
            f"{one.credential.id}  {one.credential.role:<12}{state:<18}{one.credential.label}"
        )


@token.command("revoke")
def revoke_token(
    credential: Annotated[str, typer.Argument(metavar="ID", help="From `daysworth token list`.")],
    *,
    store: StoreAsked,
    database: Database = None,
) -> None:
    """Revoke a credential from now on."""
    from functools import partial

    from daysworth.cli.opened import opened
    from daysworth.db import transactions
    from daysworth.db.credentials import revoke_credential
    from daysworth.domain.entries import CredentialId
    from daysworth.domain.identifiers import StoreId

    id_ = StoreId(store)
    revoked = partial(
        revoke_credential, credential=CredentialId(credential), store=id_, at=datetime.now(UTC)
    )
    transactions.write_beside(opened(database), revoked, store=id_)
    typer.echo(f"{credential} is revoked.")
