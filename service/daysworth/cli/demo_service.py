"""Serve the invented neighbourhood from a database that is thrown away afterwards."""

import secrets
from datetime import timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import typer
from sqlalchemy import Engine

from daysworth.cli.http_server import listen, serve_app
from daysworth.cli.opened import now, opened, operator
from daysworth.cli.store_filling import fill_new_store
from daysworth.db import transactions
from daysworth.db.coordinators import add_coordinator
from daysworth.db.credentials import CredentialAsked, make_credential
from daysworth.db.links import LinkAsked, make_link
from daysworth.domain.entries import Role
from daysworth.domain.snapshot import Snapshot
from daysworth.settings import Settings
from daysworth.wiring import build_app, build_service

_DAYS = 7
COORDINATOR = "coordinator"


def serve_demo(store: Snapshot, *, port: int | None) -> None:
    """Load the scenario through the ledger, print where it is and a token, and serve it."""
    settings = Settings()
    listener = listen(settings.host, settings.port if port is None else port)
    with TemporaryDirectory(prefix="daysworth-demo-") as folder:
        engine = opened(f"sqlite:///{Path(folder) / 'demo.db'}")
        fill_new_store(engine, store, store=store.store)
        asked = CredentialAsked(
            store=store.store,
            role=Role.COORDINATOR,
            label="demo coordinator",
            expires_at=now() + timedelta(days=_DAYS),
        )
        token = transactions.write_beside(
            engine, partial(make_credential, asked=asked, at=now()), store=store.store
        )
        host, number = listener.getsockname()[:2]
        site = f"http://{host}:{number}"
        password = _people(engine, store)
        link = _link(engine, store)
        typer.echo(f"{store.store_name} is served until you stop it; nothing of it is kept.")
        typer.echo(f"How it stands: {site}/stores/{store.store}/summary")
        typer.echo(f"  sign in as {COORDINATOR} with the password {password}")
        typer.echo(f"To log a box, as a volunteer does: {site}/log/{link}")
        typer.echo("For the requests in the README:")
        typer.echo(f"export STORE={site}/v1/stores/{store.store}")
        typer.echo(f"export TOKEN={token}")
        service = build_service(engine, planning_s=settings.planning_seconds)
        serve_app(build_app(service), listener)


def _people(engine: Engine, store: Snapshot) -> str:
    """Let a coordinator sign in, and give the password, which is another each time."""
    password = secrets.token_urlsafe(9)
    add = partial(add_coordinator, store=store.store, name=COORDINATOR, password=password, at=now())
    transactions.write_beside(engine, add, store=store.store)
    return password


def _link(engine: Engine, store: Snapshot) -> str:
    asked = LinkAsked(
        store=store.store,
        place=store.places[0].id,
        label="demo volunteers",
        expires_at=now() + timedelta(days=_DAYS),
    )
    make = partial(make_link, asked=asked, by=operator(store.store), at=now())
    return transactions.write_beside(engine, make, store=store.store)
