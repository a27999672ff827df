"""Give tests of the API a service of their own, and a client for each role."""

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from daysworth.wiring import build_app, build_service
from tests.api.clients import Api, Clock


@pytest.fixture
def api(engine: Engine) -> Iterator[Api]:
    """Build a service around the small store; its clock stands still until it is moved."""
    clock = Clock()
    service = build_service(engine, clock=clock.now)
    yield Api(build_app(service), engine=engine, clock=clock)
    for executor in (service.planners, service.readers, service.writers):
        executor.shutdown(wait=True)
