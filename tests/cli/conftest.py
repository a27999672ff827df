"""Let the process that forks for the runs of the command end with the tests."""

from collections.abc import Iterator

import pytest

from tests.cli.process import stop_forks


@pytest.fixture(scope="session", autouse=True)
def _forks_end() -> Iterator[None]:
    yield
    stop_forks()
