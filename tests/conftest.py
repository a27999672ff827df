"""Give tests a small store in each kind of database."""

import os
from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from tests.databases import BOTH, UNSYNCED, migrated
from tests.grounds import begin_ground, small_store

os.environ[UNSYNCED] = "1"


@pytest.fixture(params=BOTH)
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """Open a database with the invented store in it; each test runs on both kinds."""
    opened = migrated(request.param)
    begin_ground(opened, small_store())
    yield opened
    opened.dispose()
