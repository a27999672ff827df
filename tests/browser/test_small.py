"""The forms for logging come quickly over a bad connection: small, with all that they load."""

from playwright.sync_api import Page

from tests.browser.served import Site
from tests.browser.sights import open_label
from tests.browser.visiting import noting

MOST_BYTES = 100_000
MOST_BYTES_OF_A_LABEL = 40_000

LEAST_PX = 44
"""WCAG 2.2, success criterion 2.5.5: the least height and width of what is pressed."""


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


def test_the_form_for_a_label_and_all_that_it_loads_are_smaller_still(
    page: Page, site: Site
) -> None:
    open_label(page, site)
    with noting(page) as noted:
        page.reload()
        sizes = {answer.url: len(answer.body()) for answer in noted.answers}
    assert all(size > 1_000 for size in sizes.values())
    assert sum(sizes.values()) < MOST_BYTES_OF_A_LABEL


def test_whatever_is_to_be_pressed_is_large_enough_for_a_thumb(page: Page, site: Site) -> None:
    open_label(page, site)
    for one in page.locator("#label .pick, #label button, #label select, #label textarea").all():
        box = one.bounding_box()
        assert box is not None
        assert box["height"] >= LEAST_PX, one.inner_text()
