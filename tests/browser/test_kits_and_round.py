"""Kits and the round are worked with the keyboard alone, and go to paper in black on white."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import probes
from tests.browser.colours import read_colour
from tests.browser.keyboard import Keyboard
from tests.browser.kitting import open_kit_changed, open_kit_of_a_home, open_kits, open_round
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


def test_a_round_goes_to_paper_as_a_worklist_with_empty_boxes(opened: Page, site: Site) -> None:
    open_round(opened, site)
    assert opened.locator("#accept input:checked").count() > 5
    said = on_paper(opened)
    boxes = opened.locator("#accept [type=checkbox]")
    assert boxes.count() > 20
    looks = boxes.evaluate_all(
        "all => all.map(one => [getComputedStyle(one).appearance, one.offsetWidth > 8])"
    )
    assert looks == [["none", True]] * boxes.count()
    for left_out in ("button", "nav", "input:not([type=checkbox]):not([type=hidden])"):
        assert not [one for one in opened.locator(left_out).all() if one.is_visible()], left_out
    places = opened.locator("#accept h2").all_inner_texts()
    assert places[0] == "Meeting hall, closet"
    assert WORDS.say("round-records") not in said


def test_a_worklist_names_parcels_and_no_household(opened: Page, site: Site) -> None:
    open_round(opened, site)
    assert "H07, parcel 7" in opened.inner_text("main")
    said = on_paper(opened)
    assert "for parcel 7" in said
    assert "H07" not in said


@pytest.mark.parametrize("opens", [open_kits, open_kit_of_a_home, open_round])
def test_every_text_is_black_on_white_on_paper(opened: Page, site: Site, opens: object) -> None:
    assert callable(opens)
    opens(opened, site)
    on_paper(opened)
    shown = probes.colours(opened)
    assert len(shown) > 20
    assert {(ink, paper) for _, ink, paper in shown} == {(BLACK, WHITE)}


def test_what_a_household_must_not_eat_stays_off_the_paper_of_its_kit(
    opened: Page, site: Site
) -> None:
    open_kit_of_a_home(opened, site)
    assert "peanut allergy" in opened.inner_text("main")
    said = on_paper(opened)
    assert "peanut allergy" not in said
    assert "those it is for" not in said
    assert "H05" not in said
    assert WORDS.say("kit-steps") in said
    assert WORDS.say("kit-mind") in said


def test_a_kit_is_answered_for_with_the_keyboard_alone(opened: Page, site: Site) -> None:
    open_kit_changed(opened, site)
    keys = Keyboard(opened)
    keys.tabs_to("confirm-why")
    keys.types("\u202e")
    assert keys.sends() == "confirm-why"
    assert opened.locator("#confirm-why-fault").inner_text() == WORDS.say("fault-words")
    assert opened.locator("#confirm-why").input_value() == "\u202e"


def test_a_tick_is_taken_out_with_the_space_bar(opened: Page, site: Site) -> None:
    open_round(opened, site)
    ticked = opened.locator("#accept input:checked")
    before = ticked.count()
    ticked.first.focus()
    opened.keyboard.press("Space")
    assert ticked.count() == before - 1
