"""A coordinator puts a lot right on its page: its name, its date, what is thrown out, set aside."""

from dataclasses import replace
from functools import partial
from typing import Final

import pytest

from daysworth.db.ledger.custody import quarantine
from daysworth.domain.identifiers import LotId
from daysworth.domain.intake import IntakeLine
from tests.grounds import SHELF, STORE_ID, books_balance, box, change, lots_of, put_up
from tests.pages import coordinating
from tests.pages.browsing import Browser, Page, Site

LOTS: Final = f"/stores/{STORE_ID}/lots"


@pytest.fixture
def signed_in(quick_site: Site) -> Browser:
    return coordinating.signed_in(quick_site)


def open_lot(browser: Browser, lot: str) -> Page:
    page = browser.open(f"{LOTS}/{lot}")
    assert page.status == 200, page.text
    assert "Read every label every time" in page.text
    return page


def words_lot(site: Site) -> str:
    (lot,) = put_up(site.engine, IntakeLine(place=SHELF, words="red jars", units=3))
    return lot.id


def test_a_lot_without_a_name_gets_one_from_the_list(quick_site: Site, signed_in: Browser) -> None:
    lot = words_lot(quick_site)
    page = open_lot(signed_in, lot).form("name").filled(what="salm").submit()
    assert "Which of these" in page.text
    chosen = page.form("name").filled(chosen_food="salmon_pink_tinned").submit()
    assert "It has a name now." in chosen.text
    assert lots_of(quick_site.engine)[lot].food == "salmon_pink_tinned"
    assert "said what it is" in chosen.text
    assert not [form for form in chosen.forms if form.address.endswith("/name")]


def test_a_name_that_is_in_no_list_is_said_so_and_kept(
    quick_site: Site, signed_in: Browser
) -> None:
    lot = words_lot(quick_site)
    page = open_lot(signed_in, lot).form("name").filled(what="zzz unheard of").submit()
    assert page.status == 422
    assert "Nothing in the list is called so" in page.text
    assert page.form("name")["what"] == "zzz unheard of"
    assert lots_of(quick_site.engine)[lot].food is None


def test_an_undated_lot_is_dated_and_a_date_that_reads_two_ways_is_asked_about(
    quick_site: Site, signed_in: Browser
) -> None:
    (lot,) = put_up(quick_site.engine, IntakeLine(place=SHELF, food=box().food, units=4))
    form = open_lot(signed_in, lot.id).form("date")
    asked = form.filled(kind="best_by", date="03/04/28").submit()
    assert "Which day is 03/04/28?" in asked.text
    assert lots_of(quick_site.engine)[lot.id].printed is None
    done = asked.form("date").filled(chosen_date="2028-04-03").submit()
    assert "Its last good day is April 3, 2028." in done.text
    assert lots_of(quick_site.engine)[lot.id].printed == "2028-04-03"


def test_a_date_that_cannot_be_stands_beside_its_field(
    quick_site: Site, signed_in: Browser
) -> None:
    (lot,) = put_up(quick_site.engine)
    page = open_lot(signed_in, lot.id).form("date").filled(date="31/02/28").submit()
    assert page.status == 422
    assert page.by_id("date").marks["aria-describedby"].split()[0] == "date-fault"
    assert page.form("date")["date"] == "31/02/28"
    assert lots_of(quick_site.engine)[lot.id] == lot


def test_units_are_thrown_out_with_a_reason_once(quick_site: Site, signed_in: Browser) -> None:
    (lot,) = put_up(quick_site.engine, box(6))
    form = open_lot(signed_in, lot.id).form("throw-out").filled(units="2", why="dented")
    first, second = form.submit(), form.submit()
    assert "They are thrown out." in first.text
    assert second.status == 200
    assert lots_of(quick_site.engine)[lot.id].units == 4
    assert "dented" in first.text
    assert books_balance(quick_site.engine)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"units": "2", "why": ""}, "Say why"),
        ({"units": "0", "why": "x"}, "Write a whole number"),
        ({"units": "two", "why": "x"}, "Write a whole number"),
        ({"units": "99", "why": "x"}, "99 asked for"),
    ],
)
def test_what_cannot_be_thrown_out_is_said_in_words(
    quick_site: Site, signed_in: Browser, typed: dict[str, str], said: str
) -> None:
    (lot,) = put_up(quick_site.engine, box(6))
    page = open_lot(signed_in, lot.id).form("throw-out").filled(**typed).submit()
    assert page.status in (409, 422)
    assert said in page.text
    assert lots_of(quick_site.engine)[lot.id] == lot


def test_a_lot_set_aside_counts_again_once_somebody_says_why(
    quick_site: Site, signed_in: Browser
) -> None:
    (lot,) = put_up(quick_site.engine)
    change(quick_site.engine, partial(quarantine, lot=LotId(lot.id), why="a recall"))
    page = open_lot(signed_in, lot.id).form("release").filled(why="another code").submit()
    assert "It counts again." in page.text
    assert lots_of(quick_site.engine)[lot.id] == replace(lot, revision=3)


def test_who_comes_second_is_told_that_it_was_changed(quick_site: Site, signed_in: Browser) -> None:
    (lot,) = put_up(quick_site.engine)
    first, second = (open_lot(signed_in, lot.id).form("date") for _ in range(2))
    first.filled(kind="use_by", date="2028-05").submit()
    late = second.filled(kind="use_by", date="2028-06").submit()
    assert late.status == 412
    assert "Somebody changed it" in late.text
    assert lots_of(quick_site.engine)[lot.id].printed == "2028-05"


def test_a_lot_that_is_not_there_is_a_page_in_words(signed_in: Browser) -> None:
    page = signed_in.open(f"{LOTS}/L-nowhere")
    assert page.status == 404
    assert "There is no lot" in page.text


def test_the_summary_leads_to_what_is_to_be_put_right(quick_site: Site, signed_in: Browser) -> None:
    lot = words_lot(quick_site)
    summary = signed_in.open(f"/stores/{STORE_ID}/summary")
    assert summary.link("red jars") == f"{LOTS}/{lot}"
