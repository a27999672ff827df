"""Give tests of the API a service of their own, and a client for each role."""

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from daysworth.wiring import build_service, shut_down
from tests.api.application import application
from tests.api.clients import Api, Clock


@pytest.fixture
def api(engine: Engine) -> Iterator[Api]:
    """Put a service around the small store; its clock stands still until it is moved."""
    clock = Clock()
    service = build_service(engine, clock=clock.now)
    app = application()
    app.state.service = service
    yield Api(app, engine=engine, clock=clock)
    shut_down(service, drop_waiting=False)
