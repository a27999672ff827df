"""Give tests of the API a service of their own, and a client for each role."""

from collections.abc import Iterator
from functools import cache

import pytest
from fastapi import FastAPI
from sqlalchemy import Engine

from daysworth.api.service import Service
from daysworth.wiring import build_app, build_service, shut_down
from tests.api.clients import Api, Clock


@cache
def _app() -> FastAPI:
    """Build the application once: its routes are the same around every service."""
    return build_app(_nothing())


def _nothing() -> Service:
    from daysworth.db.engine import open_engine

    return build_service(open_engine("sqlite:///never-opened.db"))


@pytest.fixture
def api(engine: Engine) -> Iterator[Api]:
    """Put a service around the small store; its clock stands still until it is moved."""
    clock = Clock()
    service = build_service(engine, clock=clock.now)
    app = _app()
    app.state.service = service
    yield Api(app, engine=engine, clock=clock)
    shut_down(service, drop_waiting=False)
