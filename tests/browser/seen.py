"""Look at each page once, in every way that a test asks about."""

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from playwright.sync_api import Page, ViewportSize

from tests.browser import probes
from tests.browser.colours import Colour
from tests.browser.served import Site
from tests.browser.sights import Sight
from tests.browser.visiting import HEIGHT_PX, Noted, noting

PHONE_PX: Final = 360
DESK_PX: Final = 1280

Scheme = Literal["light", "dark"]


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What came of looking at one page."""

    noted: Noted
    status: int
    beyond_phone: list[str]
    beyond_desk: list[str]
    beyond_phone_in_large_text: list[str]
    """At twice the size of text; the size itself where it did not come to be."""
    unnamed: list[str]
    ill_tied: list[str]
    faults: int
    heads: list[str]
    title: str
    language: str | None
    colours: dict[Scheme, list[tuple[str, Colour, Colour]]]


@cache
def look(page: Page, site: Site, sight: Sight) -> Seen:
    """Open a page as somebody who was nowhere yet, and look at it; a second look is the same."""
    page.context.clear_cookies()
    page.goto("about:blank")
    with noting(page) as noted:
        sight.reach(page, site)
        page.wait_for_load_state()
        pages = [one for one in noted.answers if one.request.is_navigation_request()]
        return Seen(
            noted=noted,
            status=pages[-1].status,
            beyond_phone=probes.too_wide(page),
            beyond_desk=_at_a_desk(page),
            colours={"dark": _colours(page, "dark"), "light": _colours(page, "light")},
            unnamed=probes.unnamed(page),
            ill_tied=probes.ill_tied(page),
            faults=page.locator(".fault").count(),
            heads=page.locator("h1").all_inner_texts(),
            title=page.title(),
            language=page.locator("html").get_attribute("lang"),
            beyond_phone_in_large_text=_in_large_text(page),
        )


def _at_a_desk(page: Page) -> list[str]:
    page.set_viewport_size(ViewportSize(width=DESK_PX, height=HEIGHT_PX))
    return probes.too_wide(page)


def _colours(page: Page, scheme: Scheme) -> list[tuple[str, Colour, Colour]]:
    page.emulate_media(color_scheme=scheme)
    return probes.colours(page)


def _in_large_text(page: Page) -> list[str]:
    page.set_viewport_size(ViewportSize(width=PHONE_PX, height=HEIGHT_PX))
    _set_text(page, size_px=32)
    size: str = page.evaluate("getComputedStyle(document.documentElement).fontSize")
    beyond = probes.too_wide(page)
    _set_text(page, size_px=16)
    return beyond if size == "36px" else [f"text of {size}"]


def _set_text(page: Page, *, size_px: int) -> None:
    """Set the browser's own size of text: 16 px unless a person asks for another."""
    settings = page.context.new_cdp_session(page)
    settings.send("Page.setFontSizes", {"fontSizes": {"standard": size_px, "fixed": size_px}})
    settings.detach()
