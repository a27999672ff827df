"""Give tests a small store in each kind of database."""

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from tests.databases import BOTH, migrated
from tests.grounds import begin_ground, small_store


@pytest.fixture(params=BOTH)
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """Open a database with the invented store in it; each test runs on both kinds."""
    opened = migrated(request.param)
    begin_ground(opened, small_store())
    yield opened
    opened.dispose()
