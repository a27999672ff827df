"""A coordinator records what a label says, sees what it comes to, and settles what disagrees."""

from typing import Final

import pytest

from daysworth.db.readings_kept import readings_from, signed_readings
from daysworth.domain.labels import LONGEST_TEXT, LabelReading, Regime
from daysworth.domain.restrictions import Substance
from tests.grounds import box, lots_of, put_up
from tests.pages.browsing import Element, Page, Site
from tests.pages.coordinating import (
    PEANUT_TEXT,
    PLAIN_TEXT,
    open_lot,
    put_up_read,
    read_as,
    signed_in,
)

ABSENT: Final = "Not declared, though its law would have it declared"
NOT_LISTED: Final = "Not in its ingredient list; its law asks for no warning of it"


def label_part(page: Page) -> Element:
    return page.root.the("section", **{"aria-labelledby": "label-title"})


def kept(site: Site, lot: str) -> tuple[LabelReading, ...]:
    return readings_from(lots_of(site.engine)[lot].reading)


def under(page: Page, heading: str) -> list[str]:
    """Give what stands under one heading of what a label comes to."""
    found: list[str] = []
    is_under = False
    for one in page.root.the("dl").each("dt", "dd"):
        if one.tag == "dt":
            is_under = one.text == heading
        elif is_under:
            found.append(one.text)
    return found


def test_what_was_typed_and_ticked_is_kept_signed_and_shown(site: Site) -> None:
    (lot,) = put_up(site.engine)
    form = open_lot(signed_in(site), lot.id).form("label")
    page = form.filled(
        text=PLAIN_TEXT,
        whole=True,
        law="us_fda",
        language="en",
        packed="2026-03-04",
        contains_milk=True,
        may_contain_tree_nut=True,
    ).submit()
    assert page.status == 200
    assert "What its label says is recorded." in page.text
    held = lots_of(site.engine)[lot.id]
    (signed,) = signed_readings(held.reading, held.read_by)
    assert signed.by == "Ada Rowe"
    assert signed.reading.text == PLAIN_TEXT
    assert signed.reading.is_whole
    assert signed.reading.regime is Regime.US_FDA
    assert str(signed.reading.packed_on) == "2026-03-04"
    assert signed.reading.contains == {Substance.MILK}
    assert signed.reading.may_contain == {Substance.TREE_NUT}
    shown = label_part(page).text
    assert "Reading 1: Ada Rowe, September 1, 2026" in shown
    assert "US food label; all of it was copied; packed on March 4, 2026" in shown
    assert PLAIN_TEXT in shown


def test_a_form_sent_twice_is_one_reading(site: Site) -> None:
    (lot,) = put_up(site.engine)
    form = open_lot(signed_in(site), lot.id).form("label").filled(text=PLAIN_TEXT)
    assert [form.submit().status for _ in range(2)] == [200, 200]
    assert len(kept(site, lot.id)) == 1
    assert lots_of(site.engine)[lot.id].revision == 2


def test_a_lot_that_nobody_read_says_so(quick_site: Site) -> None:
    (lot,) = put_up(quick_site.engine)
    page = open_lot(signed_in(quick_site), lot.id)
    assert "Nobody has read its label yet." in label_part(page).text
    assert list(page.root.each("dl")) == []


def test_what_a_label_comes_to_stands_with_the_words_that_say_so(quick_site: Site) -> None:
    text = "Ingredients: salmon, spices, peanut oil. Contains: fish. May contain milk."
    lot = put_up_read(quick_site, read_as(text))
    page = open_lot(signed_in(quick_site), lot)
    contains = under(page, "It contains")
    assert any(one.startswith("peanut") for one in contains)
    (peanut,) = (one for one in page.root.the("dl").each("dd") if one.text.startswith("peanut"))
    assert "peanut oil" in [one.text for one in peanut.each("q")]
    assert any(
        "milk" in one and "in the label’s warning" in one for one in under(page, "It may contain")
    )
    assert any("spices" in one for one in under(page, "In doubt: a word on it may stand for"))
    (absent,) = under(page, ABSENT)
    assert "egg" in absent
    assert "peanut" not in absent


def test_what_the_law_need_not_name_is_not_told_as_what_it_would_have_declared(
    quick_site: Site,
) -> None:
    lot = put_up_read(quick_site, read_as(PLAIN_TEXT))
    page = open_lot(signed_in(quick_site), lot)
    (absent,) = under(page, ABSENT)
    (not_listed,) = under(page, NOT_LISTED)
    assert ("peanut" in absent, "peanut" in not_listed) == (True, False)
    assert ("mustard" in absent, "mustard" in not_listed) == (False, True)


def test_silence_under_no_law_is_not_known(quick_site: Site) -> None:
    lot = put_up_read(quick_site, read_as(PLAIN_TEXT, regime=Regime.OTHER))
    page = open_lot(signed_in(quick_site), lot)
    assert under(page, ABSENT) == []
    (unknown,) = under(page, "Not known")
    assert "peanut" in unknown


def test_readings_that_disagree_are_said_so_and_the_stricter_holds(quick_site: Site) -> None:
    lot = put_up_read(quick_site, read_as(PLAIN_TEXT), read_as(PEANUT_TEXT))
    page = open_lot(signed_in(quick_site), lot)
    (told,) = (one for one in label_part(page).each("p") if "do not agree" in one.text)
    assert told.the("strong").text == "peanut"
    assert "the stricter one holds" in told.text
    assert any(one.startswith("peanut") for one in under(page, "It contains"))


def test_a_coordinator_settles_which_reading_holds_and_says_why(site: Site) -> None:
    lot = put_up_read(site, read_as(PEANUT_TEXT), read_as(PLAIN_TEXT))
    browser = signed_in(site)
    form = open_lot(browser, lot).form("settle")
    page = form.filled(keep_2=True, why="the first was of another tin").submit()
    assert "It is settled which readings hold." in page.text
    assert [one.text for one in kept(site, lot)] == [PLAIN_TEXT]
    assert "the first was of another tin" in page.text
    assert [one for one in page.forms if one.address.endswith("/settle")] == []


def test_settling_without_a_choice_or_a_reason_changes_nothing_and_keeps_what_was_chosen(
    quick_site: Site,
) -> None:
    lot = put_up_read(quick_site, read_as(PEANUT_TEXT), read_as(PLAIN_TEXT))
    before = lots_of(quick_site.engine)[lot]
    form = open_lot(signed_in(quick_site), lot).form("settle")
    page = form.filled(keep_2=True, why=" ").submit()
    assert (page.status, page.by_id("settle-fault").text[:7]) == (422, "Say why")
    assert page.form("settle")["keep_2"] == "yes"
    page = form.filled(why="because").submit()
    assert "at least one" in page.by_id("keep-fault").text
    assert page.form("settle")["why"] == "because"
    assert lots_of(quick_site.engine)[lot] == before


def test_who_settles_after_another_reading_came_is_told(quick_site: Site) -> None:
    lot = put_up_read(quick_site, read_as(PEANUT_TEXT), read_as(PLAIN_TEXT))
    browser = signed_in(quick_site)
    form = open_lot(browser, lot).form("settle").filled(keep_2=True, why="it is so")
    open_lot(browser, lot).form("label").filled(contains_egg=True).submit()
    late = form.submit()
    assert late.status == 412
    assert "Somebody changed it" in late.text
    assert len(kept(quick_site, lot)) == 3


def test_a_text_that_is_too_long_comes_back_cut_and_no_longer_as_the_whole(
    quick_site: Site,
) -> None:
    (lot,) = put_up(quick_site.engine)
    form = open_lot(signed_in(quick_site), lot.id).form("label")
    page = form.filled(text="é" * (LONGEST_TEXT + 1), whole=True, contains_milk=True).submit()
    assert page.status == 422
    assert "longer than 20,000" in page.by_id("label-text-fault").text
    again = page.form("label")
    assert again["text"] == "é" * LONGEST_TEXT
    assert again["contains_milk"] == "yes"
    with pytest.raises(KeyError):
        again["whole"]
    assert kept(quick_site, lot.id) == ()


def test_the_longest_text_of_the_widest_letters_is_kept(site: Site) -> None:
    (lot,) = put_up(site.engine)
    text = "\U0001f95c" * LONGEST_TEXT
    page = open_lot(signed_in(site), lot.id).form("label").filled(text=text).submit()
    assert page.status == 200
    assert kept(site, lot.id)[0].text == text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"text": " \n "}, "label-text"),
        ({"text": "", "whole": True, "contains_milk": True}, "label-whole"),
        ({"text": "salt", "packed": "2026-09-02"}, "label-packed"),
        ({"text": "salt", "packed": "1999-12-31"}, "label-packed"),
        ({"text": "salt", "packed": "yesterday"}, "label-packed"),
    ],
)
def test_a_fault_stands_beside_its_field_and_nothing_is_kept(
    quick_site: Site, typed: dict[str, str | bool], field: str
) -> None:
    (lot,) = put_up(quick_site.engine)
    page = open_lot(signed_in(quick_site), lot.id).form("label").filled(**typed).submit()
    assert page.status == 422
    assert page.by_id(field).marks["aria-describedby"].split()[0] == f"{field}-fault"
    assert page.by_id(f"{field}-fault").text
    assert page.form("label")["packed"] == typed.get("packed", "")
    assert lots_of(quick_site.engine)[lot.id] == lot


def test_a_law_that_there_is_not_is_refused(quick_site: Site) -> None:
    (lot,) = put_up(quick_site.engine)
    form = open_lot(signed_in(quick_site), lot.id).form("label").filled(text="salt")
    page = form.forged(law="the_sea").submit()
    assert (page.status, "label-law-fault" in page.html) == (422, True)
    assert kept(quick_site, lot.id) == ()


def test_without_a_law_chosen_the_reading_names_none(quick_site: Site) -> None:
    (lot,) = put_up(quick_site.engine)
    open_lot(signed_in(quick_site), lot.id).form("label").filled(text="salt").submit()
    assert kept(quick_site, lot.id)[0].regime is None


def test_a_ninth_reading_is_refused_in_words_and_what_was_typed_stays(quick_site: Site) -> None:
    readings = [read_as(f"Ingredients: salmon, salt, herb {number}.") for number in range(8)]
    lot = put_up_read(quick_site, *readings)
    form = open_lot(signed_in(quick_site), lot).form("label")
    page = form.filled(text="Ingredients: salmon, dill.").submit()
    assert page.status == 409
    assert "settle" in page.root.the("p", role="alert").text
    assert page.form("label")["text"] == "Ingredients: salmon, dill."
    assert len(kept(quick_site, lot)) == 8


def test_unseen_signs_of_a_text_are_shown_as_signs_and_its_tags_as_text(site: Site) -> None:
    (lot,) = put_up(site.engine)
    text = "Salt \x07\u202eklim\u202c <b>milk</b>\u200f\x00."
    page = open_lot(signed_in(site), lot.id).form("label").filled(text=text).submit()
    assert page.status == 200
    shown = page.root.the("blockquote")
    assert shown.text == "Salt ��klim� <b>milk</b>��."
    assert list(shown.each("b")) == []
    assert not {"\u202e", "\u200f", "\x07"} & set(page.html)


def test_a_text_ticked_as_whole_that_breaks_off_is_said_not_to_be(quick_site: Site) -> None:
    lot = put_up_read(quick_site, read_as("Ingredients: salmon, salt ("))
    part = label_part(open_lot(signed_in(quick_site), lot)).text
    assert "A bracket in it does not close, so it is not taken for the whole label." in part


def test_a_lot_in_words_keeps_its_reading_and_says_what_is_missing(quick_site: Site) -> None:
    line = box(3, food=None, words="red jars")
    lot = put_up_read(quick_site, read_as(PEANUT_TEXT), line=line)
    part = label_part(open_lot(signed_in(quick_site), lot)).text
    assert "Say what it is first" in part
    assert PEANUT_TEXT in part
