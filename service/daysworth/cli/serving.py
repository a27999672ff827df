"""Serve stores over HTTP, and bring a database's tables to those of this release."""

from typing import Annotated

import typer

from daysworth.cli.options import Database, Port


def serve(
    *,
    database: Database = None,
    host: Annotated[
        str | None, typer.Option("--host", help="The address to listen on; this machine's alone.")
    ] = None,
    port: Port = None,
) -> None:
    """Serve the stores in a database until stopped. An SQLite file is made where there is none."""
    from daysworth.cli.http_server import listen, serve_app
    from daysworth.cli.opened import opened
    from daysworth.settings import Settings
    from daysworth.wiring import build_app, build_service

    settings = Settings()
    engine = opened(database)
    socket = listen(host or settings.host, settings.port if port is None else port)
    address, number = socket.getsockname()[:2]
    typer.echo(f"Serving {engine.url.render_as_string()} at http://{address}:{number}/v1/stores")
    typer.echo("Make a store with `daysworth store create`, a credential with `daysworth token`.")
    service = build_service(engine, site=settings.site, planning_s=settings.planning_seconds)
    serve_app(build_app(service), socket)


def migrate(
    *,
    database: Database = None,
    to: Annotated[
        str, typer.Option("--to", metavar="REVISION", help="The newest revision if not given.")
    ] = "head",
    down: Annotated[
        bool, typer.Option("--down", help="Go down: what later revisions hold is lost.")
    ] = False,
) -> None:
    """Bring a database's tables to those of this release."""
    from daysworth.cli.opened import database_url
    from daysworth.db import schema
    from daysworth.db.engine import open_engine

    engine = open_engine(database_url(database))
    (schema.downgrade if down else schema.upgrade)(engine, to)
    typer.echo(f"The tables of {engine.url.render_as_string()} are at {schema.current(engine)}.")


def describe() -> None:
    """Print the description of the API (OpenAPI 3.1), as `serve` gives it."""
    import json

    from daysworth.db.engine import open_engine
    from daysworth.settings import EMBEDDED
    from daysworth.wiring import build_app, build_service

    # Nothing is connected: the description depends on no database.
    app = build_app(build_service(open_engine(EMBEDDED)))
    typer.echo(json.dumps(app.openapi(), indent=1, ensure_ascii=False))
