"""Every page fits its screen, can be read by anyone, and makes the browser mind nothing."""

import re
from collections.abc import Iterator
from typing import Final

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.colours import LEAST_FOR_TEXT, contrast
from tests.browser.seen import PHONE_PX, Scheme, Seen, look
from tests.browser.served import Site
from tests.browser.sights import SIGHTS, Sight
from tests.browser.visiting import visit

_BROWSERS_OWN: Final = re.compile(
    r"error: Failed to load resource: the server responded with a status of (\d+) \(.*\)"
)
"""What a browser writes of any page that is answered with an error, as some are on purpose."""


@pytest.fixture(params=SIGHTS, ids=lambda sight: sight.name)
def sight(request: pytest.FixtureRequest) -> Sight:
    """Give each page in turn."""
    asked = request.param
    assert isinstance(asked, Sight)
    return asked


@pytest.fixture(scope="module")
def onlooker(chromium: Browser) -> Iterator[Page]:
    """Open a page in which all others are looked at, one after the other."""
    with visit(chromium, width_px=PHONE_PX) as opened:
        yield opened


@pytest.fixture
def seen(onlooker: Page, site: Site, sight: Sight) -> Seen:
    """Look at a page; it is looked at once for all tests."""
    return look(onlooker, site, sight)


def test_it_is_answered_as_it_should_be(seen: Seen, sight: Sight) -> None:
    assert seen.status == sight.status


def test_nothing_reaches_beyond_a_phone_or_a_desk(seen: Seen) -> None:
    assert seen.beyond_phone == []
    assert seen.beyond_desk == []


def test_with_text_twice_as_large_nothing_reaches_beyond_a_phone(seen: Seen) -> None:
    assert seen.beyond_phone_in_large_text == []


def test_the_browser_minds_nothing_and_asks_no_other_machine(
    seen: Seen, sight: Sight, site: Site
) -> None:
    said = seen.noted.complaints
    refused = [match[1] for one in said if (match := _BROWSERS_OWN.fullmatch(one))]
    assert len(refused) == len(said), said
    assert refused == ([str(sight.status)] if sight.status >= 400 else [])
    assert seen.noted.failed == []
    assert seen.noted.hosts == {site.address}


def test_it_has_one_heading_of_the_first_order_a_title_and_a_language(seen: Seen) -> None:
    assert len(seen.heads) == 1
    assert seen.heads[0].strip()
    assert seen.title.strip()
    assert seen.language == "en"


def test_whatever_can_be_used_has_a_name(seen: Seen) -> None:
    assert seen.unnamed == []


def test_faults_are_told_with_their_fields_and_links_lead_somewhere(
    seen: Seen, sight: Sight
) -> None:
    assert seen.ill_tied == []
    assert (seen.faults > 0) == sight.name.endswith("with faults")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_out_from_what_is_behind_it(seen: Seen, scheme: Scheme) -> None:
    shown = seen.colours[scheme]
    assert len(shown) >= 2
    faint = [(text, *pair) for text, *pair in shown if contrast(*pair) < LEAST_FOR_TEXT]
    assert faint == []


def test_the_two_schemes_are_not_the_same(seen: Seen) -> None:
    papers = [{behind for _, _, behind in seen.colours[scheme]} for scheme in ("light", "dark")]
    assert papers[0].isdisjoint(papers[1])
