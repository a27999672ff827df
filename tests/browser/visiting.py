"""Open pages as one person does, on a telephone or at a desk, and note what the browser minds."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from playwright.sync_api import (
    Browser,
    ConsoleMessage,
    Error,
    Page,
    Request,
    Response,
    ViewportSize,
)

from daysworth.pages.doors import SESSION_COOKIE
from tests.browser.served import Site

HEIGHT_PX = 740


@contextmanager
def visit(browser: Browser, *, width_px: int, with_scripts: bool = True) -> Iterator[Page]:
    """Open a page in a browser that has been nowhere yet, until the block ends."""
    size = ViewportSize(width=width_px, height=HEIGHT_PX)
    context = browser.new_context(
        viewport=size, java_script_enabled=with_scripts, locale="en-US", timezone_id="UTC"
    )
    # A page that does not come is a mistake here: a plan for it on a busy machine is the slowest.
    context.set_default_timeout(60_000)
    yield context.new_page()
    context.close()


def focused_id(page: Page) -> str:
    """Give the id of what a page that has just come puts the focus on."""
    wait_until_drawn(page)
    found: str = page.evaluate("document.activeElement.id")
    return found


def wait_until_drawn(page: Page) -> None:
    """Wait until a page was drawn: a field that is to have the focus first gets it as it is."""
    page.evaluate(
        "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
    )


def sign_in_quietly(page: Page, site: Site) -> None:
    """Give a browser the cookie of somebody who signed in before."""
    page.context.add_cookies(
        [{"name": SESSION_COOKIE, "value": site.signed_in, "url": site.address}]
    )


@dataclass
class Noted:
    """What a browser minded and asked for while pages were opened."""

    complaints: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    hosts: set[str] = field(default_factory=set)
    answers: list[Response] = field(default_factory=list)

    def said(self, message: ConsoleMessage) -> None:
        """Note what stands in the console."""
        self.complaints.append(f"{message.type}: {message.text}")

    def broke(self, error: Error) -> None:
        """Note an error of a script."""
        self.complaints.append(f"error: {error}")

    def asked(self, request: Request) -> None:
        """Note where something was asked for."""
        address = urlsplit(request.url)
        if address.scheme != "data":
            self.hosts.add(f"{address.scheme}://{address.netloc}")

    def missed(self, request: Request) -> None:
        """Note what did not come."""
        self.failed.append(request.url)

    def answered(self, answer: Response) -> None:
        """Note what came."""
        self.answers.append(answer)


@contextmanager
def noting(page: Page) -> Iterator[Noted]:
    """Note what happens on a page until the block ends."""
    noted = Noted()
    page.on("console", noted.said)
    page.on("pageerror", noted.broke)
    page.on("request", noted.asked)
    page.on("requestfailed", noted.missed)
    page.on("response", noted.answered)
    yield noted
    page.remove_listener("console", noted.said)
    page.remove_listener("pageerror", noted.broke)
    page.remove_listener("request", noted.asked)
    page.remove_listener("requestfailed", noted.missed)
    page.remove_listener("response", noted.answered)
