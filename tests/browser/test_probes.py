"""What the tests of every page ask of a browser would be found, if it were there."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import probes
from tests.browser.colours import read_colour
from tests.browser.keyboard import Keyboard
from tests.browser.visiting import noting, visit


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    """Open an empty page, to be written by each test."""
    with visit(chromium, width_px=1280) as opened:
        yield opened


def test_what_reaches_beyond_the_page_is_found_and_a_table_in_its_frame_is_not(page: Page) -> None:
    wide = '<p style="width: 2000px">Wide</p>'
    page.set_content(f'<div class="wide" style="overflow-x: auto">{wide}</div>')
    assert probes.too_wide(page) == []
    page.set_content(f"<!doctype html><body style='margin: 0'>{wide}</body>")
    assert probes.too_wide(page) == ["the page: 2000 px", "P"]


def test_what_has_no_name_is_found_even_where_it_has_to_be_opened_first(page: Page) -> None:
    page.set_content(
        "<label>Name <input></label><input placeholder=' '><button> </button><img src='data:,'>"
        "<details><summary>More</summary><select></select></details>"
    )
    assert sorted(probes.unnamed(page)) == [
        "a button without a name",
        "a combobox without a name",
        "a image without a name",
        "a textbox without a name",
    ]


def test_what_is_not_tied_to_its_field_is_found(page: Page) -> None:
    page.set_content(
        "<p class=fault id=one>One.</p><p class=fault id=two>Two.</p>"
        "<input name=a aria-describedby=two><input name=b aria-invalid=true aria-describedby=gone>"
        "<fieldset></fieldset><a href='#away'>Away</a><i id=one></i>"
    )
    assert set(probes.ill_tied(page)) == {
        "nothing is called gone",
        "of no field: One.",
        "not invalid: a",
        "no fault is told of b",
        "no legend",
        "leads nowhere: #away",
        "twice: one",
    }


def test_a_text_is_given_with_its_colour_and_the_nearest_one_behind_it(page: Page) -> None:
    page.set_content(
        "<body style='background: #123456; color: #fff'><p>One <b style='color: #777'>two</b></p>"
        "<p hidden>three</p><p style='background: #000'><input value=four style='color: #111;"
        "background: #eee'></p></body>"
    )
    assert [(text, *pair) for text, *pair in probes.colours(page)] == [
        ("One", read_colour("#fff"), read_colour("#123456")),
        ("two", read_colour("#777"), read_colour("#123456")),
        ("four", read_colour("#111"), read_colour("#eee")),
    ]


@pytest.mark.parametrize(
    ("style", "missing"),
    [
        ("outline: none", "without an outline"),
        ("outline: 1px solid; ", "without an outline"),
        ("outline: 3px solid; position: absolute; left: 0; top: -50px", "out of sight"),
    ],
)
def test_a_focus_that_cannot_be_seen_is_found(page: Page, style: str, missing: str) -> None:
    page.set_content(f"<button style='{style}'>Save</button>")
    with pytest.raises(AssertionError, match=missing):
        Keyboard(page).presses("Tab")


def test_what_a_page_may_not_do_is_noted(page: Page) -> None:
    with noting(page) as noted:
        page.set_content(
            "<img src='http://127.0.0.1:9/picture.png'><script>console.warn('a warning');"
            "throw new Error('a slip')</script>"
        )
    assert noted.hosts == {"http://127.0.0.1:9"}
    assert noted.failed == ["http://127.0.0.1:9/picture.png"]
    assert "warning: a warning" in noted.complaints
    assert "error: a slip" in noted.complaints
