"""On paper pages are black on white, with what is to be read, and without what is to be pressed."""

import re
import zlib
from collections.abc import Iterator
from typing import Final

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import probes
from tests.browser.bringing import open_bring_list, open_wish_list_found
from tests.browser.colours import read_colour
from tests.browser.served import Site
from tests.browser.sights import WORDS, open_parcels, open_warnings
from tests.browser.visiting import sign_in_quietly, visit

BLACK, WHITE = read_colour("#000"), read_colour("#fff")

_STREAM: Final = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_PAINT: Final = re.compile(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b")
"""PDF 32000-1, 8.6.8: a colour is set by three numbers, red, green and blue, and rg or RG."""
_SHEET: Final = re.compile(rb"/Type\s*/Page\b")
"""PDF 32000-1, 7.7.3.3: each page is a dictionary of this type."""


@pytest.fixture(scope="module")
def opened(chromium: Browser, site: Site) -> Iterator[Page]:
    """Open the summary, once."""
    with visit(chromium, width_px=1280) as page:
        sign_in_quietly(page, site)
        page.goto(site.page_of(site.neighbourhood, "summary"))
        yield page


@pytest.fixture
def summary(opened: Page) -> Page:
    """Give the summary as it goes to paper."""
    opened.emulate_media(media="print", color_scheme="dark")
    return opened


def test_what_is_for_the_screen_alone_is_left_out(summary: Page) -> None:
    for left_out in ("nav", ".switches", "button", ".skip", "form", "input"):
        found = summary.locator(left_out).all()
        assert found, left_out
        assert not [one for one in found if one.is_visible()], left_out


def test_headlines_tables_and_bars_are_there(summary: Page) -> None:
    for kept in (
        "h1",
        ".figure .big",
        "section > .wide th",
        ".bar",
        ".bars",
        ".cautions li",
        ".top .name",
    ):
        found = summary.locator(kept).all()
        assert found, kept
        assert not [one for one in found if not one.is_visible()], kept
    assert WORDS.say("summary-question") in summary.inner_text("main")


def test_every_text_is_black_on_white_even_where_the_screen_is_dark(summary: Page) -> None:
    shown = probes.colours(summary)
    assert len(shown) > 100
    assert {(ink, paper) for _, ink, paper in shown} == {(BLACK, WHITE)}


def test_what_people_must_not_eat_stays_off_the_paper(summary: Page) -> None:
    held = summary.locator("section[aria-labelledby=held-title]")
    assert "peanut" not in held.inner_text()
    assert "peanut" in held.locator("h3").first.inner_html()
    meals = summary.locator("section[aria-labelledby=meals-title]")
    assert "peanut" not in meals.inner_text()
    assert "peanut" in meals.inner_html()


def test_the_document_paints_nothing_in_colour(summary: Page) -> None:
    on_paper = _painted(summary)
    assert (0.0, 0.0, 0.0) in on_paper
    assert _coloured(on_paper) == []
    # The same page as a screen has it is in colour, and that is seen.
    summary.emulate_media(media="screen")
    assert len(_coloured(_painted(summary))) > 3


@pytest.fixture
def warnings(opened: Page, site: Site) -> Iterator[Page]:
    """Give a household's warnings as they go to paper, and then the summary again."""
    open_warnings(opened, site)
    opened.emulate_media(media="print", color_scheme="dark")
    yield opened
    opened.goto(site.page_of(site.neighbourhood, "summary"))


def test_warnings_go_to_paper_without_anything_to_press_and_end_with_the_cautions(
    warnings: Page,
) -> None:
    for left_out in ("nav", "details", "summary", "form", "input", "button", "select"):
        found = warnings.locator(left_out).all()
        assert found, left_out
        assert not [one for one in found if one.is_visible()], left_out
    for kept in ("h1", ".needs li", ".warning h3", ".warning q", ".columns li", ".cautions li"):
        assert all(one.is_visible() for one in warnings.locator(kept).all()), kept
    assert warnings.locator(".warning q").count() > 10
    said = warnings.inner_text("main").rstrip()
    assert said.endswith(warnings.locator(".cautions li").last.inner_text().strip())


def test_warnings_are_black_on_white_on_paper(warnings: Page) -> None:
    shown = probes.colours(warnings)
    assert len(shown) > 100
    assert {(ink, paper) for _, ink, paper in shown} == {(BLACK, WHITE)}
    assert _coloured(_painted(warnings)) == []


def test_parcels_go_to_paper_a_line_each_without_the_question(opened: Page, site: Site) -> None:
    open_parcels(opened, site)
    opened.emulate_media(media="print")
    assert not opened.locator("#ask").is_visible()
    rows = opened.locator("table.parcels tbody tr").all()
    heights = {row.evaluate("row => Math.round(row.offsetHeight)") for row in rows}
    assert len(rows) > 20
    assert max(heights) < 2 * min(heights)
    opened.goto(site.page_of(site.neighbourhood, "summary"))


def test_a_wish_list_goes_to_paper_without_what_people_must_not_eat(
    opened: Page, site: Site
) -> None:
    opened.emulate_media(media="screen")
    open_wish_list_found(opened, site)
    assert "peanut" in opened.inner_text("main").lower()
    opened.emulate_media(media="print")
    assert opened.locator("tbody th").first.is_visible()
    assert "peanut" not in opened.inner_text("main").lower()
    opened.goto(site.page_of(site.neighbourhood, "summary"))


def test_what_to_bring_goes_to_paper_on_one_sheet(opened: Page, site: Site) -> None:
    open_bring_list(opened, site)
    opened.emulate_media(media="print")
    assert len(_SHEET.findall(opened.pdf(format="Letter"))) == 1
    opened.goto(site.page_of(site.neighbourhood, "summary"))


def _painted(page: Page) -> set[tuple[float, ...]]:
    document = page.pdf(format="Letter")
    assert document.startswith(b"%PDF-")
    return {
        tuple(float(part) for part in colour.groups())
        for stream in _STREAM.findall(document)
        for colour in _PAINT.finditer(_unpacked(stream))
    }


def _coloured(painted: set[tuple[float, ...]]) -> list[tuple[float, ...]]:
    return [colour for colour in painted if len(set(colour)) > 1]


def _unpacked(stream: bytes) -> bytes:
    try:
        return zlib.decompress(stream)
    except zlib.error:
        # A font or a picture, packed otherwise; it sets no colour.
        return b""
