"""Whoever has a link records the label of a box they just logged, and of no other."""

import re
from datetime import timedelta
from functools import partial

import pytest

from daysworth.db.ledger.handling import move
from daysworth.db.readings_kept import readings_from
from daysworth.domain.identifiers import LotId
from daysworth.domain.labels import LONGEST_TEXT, LabelReading
from tests.grounds import CELLAR, change, lots_of, put_up
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import PLAIN_TEXT


def kept(site: Site, lot: str) -> tuple[LabelReading, ...]:
    return readings_from(lots_of(site.engine)[lot].reading)


def logged(site: Site, link: str) -> tuple[Page, str]:
    """Log a box, and give the page that says so, and the box's lot."""
    before = set(lots_of(site.engine))
    page = site.log(link)
    (lot,) = set(lots_of(site.engine)) - before
    return page, lot


def open_form(site: Site, link: str, lot: str) -> Page:
    return site.browser().open(f"{link}/labels/{lot}")


def test_a_saved_box_leads_to_its_label_and_so_does_its_line_in_the_list(site: Site) -> None:
    link = site.new_link()
    page, lot = logged(site, link)
    links = [one.marks["href"] for one in page.root.each("a") if "Record its label" in one.text]
    assert links == [f"{link}/labels/{lot}"] * 2


def test_what_was_read_is_kept_once_and_signed_by_the_link(site: Site) -> None:
    link = site.new_link(label="Wednesday table")
    _, lot = logged(site, link)
    form = open_form(site, link, lot).form("label")
    form = form.filled(text=PLAIN_TEXT, whole=True, law="us_fda", may_contain_egg=True)
    first, second = form.submit(), form.submit()
    for page in (first, second):
        assert page.status == 200
        assert "Recorded: what the label of Pink salmon, tinned says." in page.text
    (reading,) = kept(site, lot)
    assert (reading.text, reading.is_whole) == (PLAIN_TEXT, True)
    assert "Wednesday table" in (lots_of(site.engine)[lot].read_by or "")
    assert "Read its label again" in first.text


def test_the_next_box_keeps_what_stays_and_the_order_of_dates(quick_site: Site) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    form = quick_site.browser().open(f"{link}/labels/{lot}?order=yes").form("label")
    page = form.filled(contains_milk=True).submit()
    assert page.form("box")["order"] == "yes"
    assert page.form("box")["kind"] == "best_by"


def test_a_box_of_another_link_or_of_nobody_here_cannot_be_reached(site: Site) -> None:
    mine, other = site.new_link(), site.new_link(label="Friday table")
    _, lot = logged(site, mine)
    (of_desk,) = put_up(site.engine)
    form = open_form(site, mine, lot).form("label").filled(text="salt")
    for of_whom in (lot, of_desk.id, "L-nowhere"):
        page = open_form(site, other, of_whom)
        assert "cannot be recorded here" in page.root.the("p", role="alert").text
    page = site.browser().send(
        "POST",
        f"{other}/labels/{lot}",
        content=b"text=salt&key=k",
        headers={"Content-Type": "application/x-www-form-urlencoded"},
    )
    assert "cannot be recorded here" in page.text
    assert kept(site, lot) == ()
    form.submit()
    assert len(kept(site, lot)) == 1


def test_after_a_day_or_taken_back_a_box_cannot_be_reached_any_more(quick_site: Site) -> None:
    link = quick_site.new_link()
    page, lot = logged(quick_site, link)
    form = open_form(quick_site, link, lot).form("label").filled(text="salt")
    page.form("take-back").submit()
    assert "cannot be recorded here" in form.submit().text
    _, later = logged(quick_site, link)
    quick_site.clock.move(timedelta(hours=25))
    assert "cannot be recorded here" in open_form(quick_site, link, later).text
    assert kept(quick_site, lot) == kept(quick_site, later) == ()


def test_a_box_that_was_moved_since_can_still_be_read(quick_site: Site) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    change(quick_site.engine, partial(move, lot=LotId(lot), place=CELLAR, units=12, why="dry"))
    page = open_form(quick_site, link, lot).form("label").filled(text="salt").submit()
    assert "Recorded" in page.text


@pytest.mark.parametrize("text", ["", "é" * (LONGEST_TEXT + 5)])
def test_what_is_wrong_stands_at_its_field_and_what_was_typed_stays(
    quick_site: Site, text: str
) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    page = open_form(quick_site, link, lot).form("label").filled(text=text, whole=True).submit()
    assert page.status == 422
    assert "What you typed is still here" in page.root.the("p", role="alert").text
    assert "autofocus" in page.by_id("label-text").marks
    assert page.form("label")["text"] == text[:LONGEST_TEXT]
    assert kept(quick_site, lot) == ()


def test_a_key_that_was_used_for_another_reading_is_said_so(quick_site: Site) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    form = open_form(quick_site, link, lot).form("label")
    form.filled(text="salt, water").submit()
    page = form.filled(text="salt, milk").submit()
    assert page.status == 409
    assert "sent before" in page.root.the("p", role="alert").text
    assert page.form("label")["text"] == "salt, milk"
    assert [one.text for one in kept(quick_site, lot)] == ["salt, water"]


def test_the_page_is_small_enough_for_one_bar_of_signal(quick_site: Site) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    page = open_form(quick_site, link, lot)
    assert len(page.html.encode()) < 20_000
    assert re.search("<script|<img|@import", page.html) is None


def test_a_label_that_was_read_before_is_said_so(quick_site: Site) -> None:
    link = quick_site.new_link()
    _, lot = logged(quick_site, link)
    open_form(quick_site, link, lot).form("label").filled(text="salt").submit()
    assert "It was read once already" in open_form(quick_site, link, lot).text
