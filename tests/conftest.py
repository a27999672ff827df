"""Give tests a small store in each kind of database, and leave out those that need a browser.

The tests in a browser come last: they are the slowest, and the last to look at when others fail.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from sqlalchemy import Engine

from tests.chromium import (
    NOT_RUN,
    Course,
    course,
    find_chromium,
    includes_browser,
    needs_browser,
    said_first,
)
from tests.databases import BOTH, UNSYNCED, clear_away
from tests.fresh import let_go, small_store_in

os.environ[UNSYNCED] = "1"

_COURSE: Final = pytest.StashKey[Course]()


@pytest.fixture(params=BOTH)
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """Open a database with the invented store in it; each test runs on both kinds."""
    with small_store_in(request.param) as opened:
        yield opened


def pytest_configure(config: pytest.Config) -> None:
    """Decide what becomes of the tests in a browser, before anything is collected."""
    try:
        config.stash[_COURSE] = course(find_chromium(), os.environ)
    except ValueError as unclear:
        raise pytest.UsageError(str(unclear)) from unclear


def pytest_report_header(config: pytest.Config) -> str:
    """Say whether there is a browser."""
    return said_first(find_chromium(), config.stash[_COURSE])


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave out the tests in a browser where there is none."""
    is_left_out = config.stash[_COURSE] is Course.LEFT_OUT and needs_browser(collection_path)
    return True if is_left_out else None


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the tests in a browser last, everything else in the order that it has."""
    items.sort(key=lambda test: needs_browser(test.path))


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish() -> None:
    """Take the databases away while there is time for it, when nothing uses them any more."""
    let_go()
    clear_away()


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> Iterator[None]:
    """Say below everything else that tests were left out, and how to run them."""
    yield
    if config.stash[_COURSE] is Course.LEFT_OUT and includes_browser(_asked(config)):
        terminalreporter.section("browser", yellow=True)
        terminalreporter.write_line(NOT_RUN, yellow=True)


def _asked(config: pytest.Config) -> Iterator[Path]:
    for argument in config.args:
        yield config.invocation_params.dir / argument.partition("::")[0]
