"""Give tests a Chromium and one server, and each a browser of its own without a cookie."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.served import Site, served
from tests.browser.visiting import visit
from tests.chromium import NOT_RUN, find_chromium

_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
    "--disable-quic",
    "--disable-sync",
]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """Start the system's Chromium, once a file. Without one, every test that needs it fails.

    What drives it holds an event loop until it ends, and no test of another file could run one.
    """
    file = find_chromium()
    if file is None:
        pytest.fail(NOT_RUN, pytrace=False)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=file, args=_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def site() -> Iterator[Site]:
    """Serve the invented neighbourhood."""
    with served() as opened:
        yield opened


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """Open a page in a browser that has been nowhere yet, on a screen of a desk."""
    with visit(chromium, width_px=1280) as opened:
        yield opened
