"""The form for logging comes quickly over a bad connection: it is small, with all that it loads."""

from playwright.sync_api import Page

from tests.browser.served import Site
from tests.browser.visiting import noting

MOST_BYTES = 100_000


def test_the_form_and_all_that_it_loads_are_under_a_hundred_kilobytes(
    page: Page, site: Site
) -> None:
    with noting(page) as noted:
        page.goto(site.new_link(site.neighbourhood, place=site.place))
        sizes = {answer.url: len(answer.body()) for answer in noted.answers}
    assert len(sizes) == 2
    assert any(address.endswith("/static/daysworth.css") for address in sizes)
    assert all(size > 1_000 for size in sizes.values())
    assert sum(sizes.values()) < MOST_BYTES
