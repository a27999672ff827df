"""Claims about the page of the week's notice."""

from datetime import timedelta
from functools import partial
from typing import Final

from sqlalchemy import func, select

from daysworth.db.places import change_place
from daysworth.db.stores import change_store
from daysworth.db.tables import NOTICE
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings
from daysworth.printing.notice import notice_subject
from tests.grounds import OTHER_STORE, SHELF, STORE_ID, begin_ground, box, change, look, put_up
from tests.grounds import small_store as store_without_stock
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import signed_in

PAGE: Final = "/stores/fernhollow/notice"


def text_of(page: Page) -> str:
    """Give what the notice itself says, without the frame around it."""
    return page.root.the(**{"class": "letter"}).text


def notices_kept(site: Site) -> int:
    counted = select(func.count()).select_from(NOTICE)
    return look(site.engine, lambda one: int(one.connection.execute(counted).scalar_one()))


def keep(site: Site, store: StoreId = STORE_ID) -> str:
    """Keep this week's notice, as its first posting does, and give its subject."""
    return notice_subject(site.service.notices.keep(store, "current", at=site.clock.now()))


def test_it_shows_the_notice_as_it_would_be_posted_now_and_keeps_none(site: Site) -> None:
    browser = signed_in(site)
    before = text_of(browser.open(PAGE))
    put_up(site.engine, box(6, printed="2026-09-03"))
    page = browser.open(PAGE)
    assert "Pink salmon, tinned" not in before
    assert "Pink salmon, tinned" in text_of(page)
    assert "not been posted yet" in page.text
    assert "2026-W36" in page.text
    assert notices_kept(site) == 0


def test_it_says_the_subject_under_which_the_notice_is_posted(quick_site: Site) -> None:
    put_up(quick_site.engine, box(6, printed="2026-09-03"))
    shown = text_of(signed_in(quick_site).open(PAGE))
    assert shown.startswith(keep(quick_site))


def test_once_posted_it_shows_the_notice_as_it_was_until_the_week_is_over(site: Site) -> None:
    put_up(site.engine, box(6, printed="2026-09-03"))
    keep(site)
    browser = signed_in(site)
    posted = text_of(browser.open(PAGE))
    put_up(site.engine, box(9, printed="2026-09-04"))
    again = browser.open(PAGE)
    assert text_of(again) == posted
    assert "as it was first posted" in again.text
    site.clock.move(timedelta(days=7))
    later = signed_in(site).open(PAGE)
    assert "2026-W37" in later.text
    assert text_of(later) != posted


def test_the_week_is_over_at_midnight_where_the_store_is(quick_site: Site) -> None:
    west = StoreSettings(timezone="America/Chicago")
    moved = partial(change_store, name="Fernhollow (invented)", settings=west, if_revision=2)
    change(quick_site.engine, moved)
    # To one minute before five on Monday morning in UTC: Sunday's last in Chicago.
    quick_site.clock.move(timedelta(days=5, hours=16, minutes=59))
    assert "2026-W36" in signed_in(quick_site).open(PAGE).text
    quick_site.clock.move(timedelta(minutes=1))
    assert "2026-W37" in signed_in(quick_site).open(PAGE).text


def test_names_are_shown_as_they_are_and_run_nothing(quick_site: Site) -> None:
    name = "<b>Hall & <script>"
    rename = partial(change_place, place=SHELF, name=name, if_revision=1)
    change(quick_site.engine, rename)
    put_up(quick_site.engine, box(6, printed="2026-09-03"))
    page = signed_in(quick_site).open(PAGE)
    assert name in text_of(page)
    assert list(page.root.each("b", "script")) == []


def test_each_store_is_shown_its_own(quick_site: Site) -> None:
    begin_ground(quick_site.engine, store_without_stock(OTHER_STORE))
    put_up(quick_site.engine, box(6, printed="2026-09-03"))
    theirs = signed_in(quick_site, OTHER_STORE).open("/stores/stonebrook/notice")
    assert theirs.status == 200
    assert "Pink salmon" not in theirs.text
