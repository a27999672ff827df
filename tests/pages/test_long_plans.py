"""Claims about the pages when a plan takes too long, or too many are asked for."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread
from typing import Final

from daysworth.planners import stopping
from tests.api.slow_planning import LONG_S, SLOW, slow_service
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import signed_in

SUMMARY: Final = "/stores/fernhollow/summary"


@contextmanager
def slow_site(
    site: Site, *, first: Callable[[], object], limit_s: float = LONG_S
) -> Iterator[tuple[Site, Event]]:
    """Have a site plan slowly, one plan at a time and none waiting; tell when a plan has begun."""
    with slow_service(
        site.engine, clock=site.clock, first=first, threads=1, most_waiting=0, limit_s=limit_s
    ) as (service, office):
        site.app.state.service = service
        yield site, office.began
    site.app.state.service = site.service


def test_a_plan_that_took_too_long_is_told_with_what_was_proved(quick_site: Site) -> None:
    def proves_a_little() -> None:
        while not Event().wait(0.01):
            stopping.check(at_least=3.25)

    with slow_site(quick_site, first=proves_a_little, limit_s=0.3) as (site, _):
        page = signed_in(site).open(f"{SUMMARY}?{SLOW}")
    assert page.status == 503
    assert "This took too long to work out, and was stopped" in page.text
    assert "everyone can eat for at least 3.2 days." in page.text
    assert "retry-after" not in page.headers


def test_a_full_queue_is_told_with_when_to_come_back_and_kept_pages_are_shown(
    quick_site: Site,
) -> None:
    let_go = Event()
    with slow_site(quick_site, first=lambda: let_go.wait(LONG_S)) as (site, began):
        browser = signed_in(site)
        before = browser.open(SUMMARY)
        shown: list[Page] = []
        slow = Thread(target=lambda: shown.append(browser.open(f"{SUMMARY}?{SLOW}")))
        slow.start()
        assert began.wait(LONG_S)
        refused = browser.open(f"{SUMMARY}?horizon_days=9")
        again = browser.open(SUMMARY)
        let_go.set()
        slow.join(LONG_S)
    assert refused.status == 503
    assert 1 <= int(refused.headers["retry-after"]) <= LONG_S
    assert "Many questions about days are being worked out just now" in refused.text
    assert (before.status, again.status, shown[0].status) == (200, 200, 200)
