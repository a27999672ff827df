"""Give tests of the pages a service of their own, on both databases or on SQLite alone."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

import pytest
from sqlalchemy import Engine

from daysworth.wiring import build_service, shut_down
from tests.api.application import application
from tests.api.clients import Clock
from tests.databases import SQLITE
from tests.fresh import small_store_in
from tests.pages.browsing import Site


@contextmanager
def _open_site(engine: Engine) -> Iterator[Site]:
    clock = Clock()
    service = build_service(engine, clock=clock.now)
    app = application()
    app.state.service = service
    yield Site(app=app, service=service, engine=engine, clock=clock)
    shut_down(service, drop_waiting=False)


@pytest.fixture(scope="session")
def opens_site() -> Callable[[Engine], AbstractContextManager[Site]]:
    """Give the way to a service around a database, for a module that shares one.

    Only one service answers at a time, the last that was opened.
    """
    return _open_site


@pytest.fixture
def site(engine: Engine) -> Iterator[Site]:
    """Put a service around the small store; each test runs on both databases."""
    with _open_site(engine) as opened:
        yield opened


@pytest.fixture
def quick_site(request: pytest.FixtureRequest) -> Iterator[Site]:
    """Put a service around the small store in SQLite alone, where the database does not matter.

    Parametrized indirectly with a locale (a BCP 47 tag), the store has that one; else en-US.
    """
    locale = getattr(request, "param", "en-US")
    with small_store_in(SQLITE, locale=locale) as engine, _open_site(engine) as opened:
        yield opened
