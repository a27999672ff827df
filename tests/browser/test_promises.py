"""Hand-offs are told with the keyboard alone, and what goes is put to paper, black on white."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import probes
from tests.browser.colours import read_colour
from tests.browser.keyboard import Keyboard
from tests.browser.promising import open_partner, open_promise, open_surplus
from tests.browser.served import Site
from tests.browser.sights import WORDS
from tests.browser.visiting import visit

BLACK, WHITE = read_colour("#000"), read_colour("#fff")


@pytest.fixture(scope="module")
def opened(chromium: Browser) -> Iterator[Page]:
    """Open a page in which all of these are looked at."""
    with visit(chromium, width_px=1280) as page:
        yield page


@pytest.fixture(autouse=True)
def on_screen(opened: Page) -> Iterator[None]:
    """Begin and end each test on a screen."""
    opened.emulate_media(media="screen", color_scheme="light")
    yield
    opened.emulate_media(media="screen", color_scheme="light")


def on_paper(page: Page) -> str:
    """Put a page to paper, and give what it says there."""
    page.emulate_media(media="print", color_scheme="dark")
    return page.inner_text("main")


@pytest.mark.parametrize("opens", [open_surplus, open_promise, open_partner])
def test_every_text_is_black_on_white_on_paper(opened: Page, site: Site, opens: object) -> None:
    assert callable(opens)
    opens(opened, site)
    on_paper(opened)
    shown = probes.colours(opened)
    assert len(shown) > 10
    assert {(ink, paper) for _, ink, paper in shown} == {(BLACK, WHITE)}


def test_what_goes_is_put_to_paper_with_a_box_to_tick_for_each(opened: Page, site: Site) -> None:
    open_promise(opened, site)
    lines = opened.locator("#hand-off .due").count()
    assert lines > 3
    said = on_paper(opened)
    boxes = opened.locator("#hand-off .tick")
    assert [one.is_visible() for one in boxes.all()] == [True] * lines
    for left_out in ("button", "nav", "input", "label"):
        assert not [one for one in opened.locator(left_out).all() if one.is_visible()], left_out
    assert "Meeting hall, closet" in said
    assert WORDS.say("promise-lapse") not in said


def test_a_plan_is_put_to_paper_without_its_questions(opened: Page, site: Site) -> None:
    open_surplus(opened, site)
    said = on_paper(opened)
    assert opened.locator(".packing .tick").first.is_visible()
    assert WORDS.say("surplus-ask-title") not in said
    assert WORDS.say("surplus-promise") not in said
    assert WORDS.say("surplus-stays") in said


def test_a_hand_off_is_told_with_the_keyboard_alone(opened: Page, site: Site) -> None:
    open_promise(opened, site)
    keys = Keyboard(opened)
    keys.tabs_to("went-1")
    keys.types("9")
    # What is wrong first has the focus when the page comes back.
    assert keys.sends() == "went-1"
    assert opened.locator("#went-1-fault").inner_text() == WORDS.say("fault-promise-units")
    assert opened.locator("#went-1").input_value().endswith("9")
