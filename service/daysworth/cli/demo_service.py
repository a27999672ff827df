"""Serve the invented neighbourhood from a database that is thrown away afterwards."""

from datetime import timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import typer

from daysworth.cli.http_server import listen, serve_app
from daysworth.cli.opened import now, opened
from daysworth.cli.store_filling import fill_new_store
from daysworth.db import transactions
from daysworth.db.credentials import CredentialAsked, make_credential
from daysworth.domain.entries import Role
from daysworth.domain.snapshot import Snapshot
from daysworth.settings import Settings
from daysworth.wiring import build_app, build_service

_DAYS = 7


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
        typer.echo(f"{store.store_name} is served until you stop it; nothing of it is kept.")
        typer.echo("For the requests in the README:")
        typer.echo(f"export STORE=http://{host}:{number}/v1/stores/{store.store}")
        typer.echo(f"export TOKEN={token}")
        serve_app(build_app(build_service(engine)), listener)
