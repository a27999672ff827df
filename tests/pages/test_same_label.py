"""A box of a food whose labels were read is compared with them, quickly, and saved either way."""

import pytest

from daysworth.db.readings_kept import readings_from
from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import Substance
from tests.grounds import box, lots_of
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import PEANUT_TEXT, PLAIN_TEXT, put_up_read, read_as


def kept(site: Site, lot: str) -> tuple[LabelReading, ...]:
    return readings_from(lots_of(site.engine)[lot].reading)


def asked(page: Page) -> list[str]:
    """Give the answers that the question about the label offers, in their order."""
    return [one.marks["value"] for one in page.root.each("input", name="same_label", type="radio")]


def saved_lot(site: Site, before: set[str]) -> str:
    (lot,) = set(lots_of(site.engine)) - before
    return lot


def test_a_food_that_nobody_read_is_not_asked_about(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link())
    assert "Saved:" in page.text
    assert asked(page) == []


def test_a_yes_takes_over_the_readings_of_the_label_that_is_the_same(site: Site) -> None:
    read = put_up_read(site, read_as(PLAIN_TEXT))
    before = set(lots_of(site.engine))
    page = site.log(site.new_link())
    assert asked(page) == [read, "no", "none"]
    assert PLAIN_TEXT in page.by_id("box").text
    done = page.form("box").filled(same_label=read).submit()
    assert "Saved:" in done.text
    lot = saved_lot(site, before)
    assert kept(site, lot) == kept(site, read)
    assert lots_of(site.engine)[lot].revision == 1


@pytest.mark.parametrize("answer", ["no", "none"])
def test_another_label_or_none_compared_is_saved_without_a_reading(site: Site, answer: str) -> None:
    put_up_read(site, read_as(PLAIN_TEXT))
    before = set(lots_of(site.engine))
    done = site.log(site.new_link()).form("box").filled(same_label=answer).submit()
    assert "Saved:" in done.text
    assert kept(site, saved_lot(site, before)) == ()
    assert "Its label was not compared" in done.text


def test_pressing_save_without_looking_compares_nothing_and_saves(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    before = set(lots_of(quick_site.engine))
    page = quick_site.log(quick_site.new_link())
    assert page.form("box")["same_label"] == "none"
    assert "Saved:" in page.form("box").submit().text
    assert kept(quick_site, saved_lot(quick_site, before)) == ()


def test_without_any_answer_it_is_saved_as_not_compared(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    page = quick_site.log(quick_site.new_link())
    assert "Saved:" in page.form("box").forged(same_label=None).submit().text


def test_the_three_newest_different_labels_are_offered_the_newest_first(quick_site: Site) -> None:
    every = [
        put_up_read(quick_site, read_as(f"Ingredients: salmon, salt, herb {number}."))
        for number in range(5)
    ]
    offered = asked(quick_site.log(quick_site.new_link()))
    assert offered[3:] == ["no", "none"]
    assert len(offered) == 5
    assert set(offered[:3]) <= set(every)


def test_the_same_label_on_two_lots_is_offered_once(quick_site: Site) -> None:
    for _ in range(2):
        put_up_read(quick_site, read_as(PLAIN_TEXT))
    assert len(asked(quick_site.log(quick_site.new_link()))) == 3


def test_ticks_without_words_are_shown_as_ticks(quick_site: Site) -> None:
    put_up_read(quick_site, LabelReading(contains=frozenset({Substance.MILK})))
    page = quick_site.log(quick_site.new_link())
    assert "The label says it contains: milk" in page.by_id("box").text


def test_a_label_too_long_to_compare_is_not_offered_for_a_yes(quick_site: Site) -> None:
    read = put_up_read(quick_site, read_as("Ingredients: salt, " + "water, " * 1_000))
    page = quick_site.log(quick_site.new_link())
    assert read not in asked(page)
    assert "too long to compare" in page.text
    assert len(page.html.encode()) < 60_000


def test_a_label_that_cannot_be_read_is_not_compared(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    page = quick_site.log(quick_site.new_link(), unreadable=True)
    assert asked(page) == []


def test_the_answer_stays_while_something_else_is_looked_at(quick_site: Site) -> None:
    read = put_up_read(quick_site, read_as(PLAIN_TEXT))
    before = set(lots_of(quick_site.engine))
    page = quick_site.log(quick_site.new_link())
    again = page.form("box").filled(same_label=read, damaged=True).submit()
    assert "It is damaged" in again.text
    assert asked(again) == []
    assert "Saved:" in again.form("box").submit().text
    assert kept(quick_site, saved_lot(quick_site, before)) == kept(quick_site, read)


def test_another_food_is_asked_about_anew(quick_site: Site) -> None:
    read = put_up_read(quick_site, read_as(PLAIN_TEXT))
    honey = put_up_read(quick_site, read_as("Ingredients: honey."), line=box(food="honey"))
    page = quick_site.log(quick_site.new_link())
    page = page.form("box").filled(same_label=read, what="Honey").submit()
    assert asked(page) == [honey, "no", "none"]


def test_a_lot_of_another_food_or_none_is_never_taken_for_the_same(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    honey = put_up_read(quick_site, read_as(PEANUT_TEXT), line=box(food="honey"))
    page = quick_site.log(quick_site.new_link())
    for lot in (honey, "L-nowhere"):
        answer = page.form("box").forged(same_label=lot).submit()
        assert "Saved:" not in answer.text
        assert len(asked(answer)) == 3


def test_the_page_does_not_ask_while_the_food_is_still_open(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    page = quick_site.log(quick_site.new_link(), what="salm")
    assert asked(page) == []
    page = page.form("box").filled(chosen_food="salmon_pink_tinned").submit()
    assert len(asked(page)) == 3
