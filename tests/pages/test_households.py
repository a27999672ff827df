"""A coordinator sees what each household needs and what it must be warned of, on the record."""

from dataclasses import replace
from functools import partial

import pytest
from sqlalchemy import Engine, insert

from daysworth.db.acknowledgements import acknowledged
from daysworth.db.disclosures import Disclosure, list_disclosures
from daysworth.db.ledger.labels import record
from daysworth.db.tables import HOUSEHOLD
from daysworth.db.transactions import Reading
from daysworth.domain.identifiers import LotId
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from tests.grounds import (
    OTHER_HOME,
    PEANUT_HOME,
    STORE_ID,
    box,
    change,
    look,
    put_up,
    version_of,
)
from tests.pages.browsing import Element, Form, Page, Site
from tests.pages.coordinating import (
    DOUBTFUL_TEXT,
    PEANUT_TEXT,
    PLAIN_TEXT,
    STORE,
    add_somebody,
    put_up_read,
    read_as,
    signed_in,
)

HOMES = f"{STORE}/households"
WARNINGS = f"{HOMES}/{PEANUT_HOME}/warnings"


def readings_of_facts(engine: Engine) -> list[Disclosure]:
    return list(look(engine, lambda r: list_disclosures(r, after="", limit=100)).items)


def section(page: Page, name: str) -> Element:
    return page.root.the("section", **{"aria-labelledby": f"{name}-title"})


def note_form(page: Page, food: str) -> Form:
    """Give the form that takes note of the one warning of a food."""
    (found,) = (
        one
        for one in page.root.each("article")
        if one.the("h3").text == food and list(one.each("form"))
    )
    return page.form(found.the("form").marks["id"])


def test_the_list_has_each_household_with_its_parcel_and_its_needs(site: Site) -> None:
    page = signed_in(site).open(HOMES)
    rows = [
        [cell.text for cell in row.each("th", "td")] for row in page.root.the("tbody").each("tr")
    ]
    assert rows == [["1", "H-other", "nothing to leave out"], ["2", "H-peanut", "peanut allergy"]]
    assert page.link("H-peanut") == WARNINGS
    assert page.link("Households") == HOMES


def test_each_opening_is_on_record_before_it_is_shown(site: Site) -> None:
    browser = signed_in(site)
    assert readings_of_facts(site.engine) == []
    browser.open(HOMES)
    browser.open(WARNINGS)
    kept = {(one.by, one.what, one.household) for one in readings_of_facts(site.engine)}
    assert kept == {
        ("Ada Rowe", "households", None),
        ("Ada Rowe", "warnings", PEANUT_HOME),
    }


def test_what_was_asked_for_in_vain_is_on_record_too_and_told_in_words(quick_site: Site) -> None:
    page = signed_in(quick_site).open(f"{HOMES}/H-nobody/warnings")
    assert page.status == 404
    assert "There is no household" in page.text
    # It is logged before anything is looked up.
    assert [one.household for one in readings_of_facts(quick_site.engine)] == ["H-nobody"]


def test_a_hundred_households_stand_on_a_page_and_lead_to_the_next(quick_site: Site) -> None:
    rows = [
        {
            "store": STORE_ID,
            "id": f"H-{number}",
            "name": f"House {number}",
            "parcel_number": number,
            "pets": 0,
            "revision": 1,
        }
        for number in range(3, 104)
    ]
    change(quick_site.engine, lambda writing: writing.connection.execute(insert(HOUSEHOLD), rows))
    browser = signed_in(quick_site)
    page = browser.open(HOMES)
    assert len(list(page.root.the("tbody").each("tr"))) == 100
    rest = browser.open(page.link("Those after parcel 100"))
    assert [row.the("th").text for row in rest.root.the("tbody").each("tr")] == [
        "House 101",
        "House 102",
        "House 103",
    ]
    assert browser.open(f"{HOMES}?after=103").status == 200
    assert browser.open(f"{HOMES}?after=many").status == 200


def test_warnings_stand_worst_first_with_need_words_and_what_to_give_instead(site: Site) -> None:
    put_up_read(site, read_as(PEANUT_TEXT))
    put_up_read(site, read_as(DOUBTFUL_TEXT, regime=Regime.US_MEAT))
    put_up_read(site, read_as(PLAIN_TEXT))
    put_up(site.engine, box(food="honey"))
    page = signed_in(site).open(WARNINGS)
    headings = [one.text for one in page.root.each("h2")]
    assert headings == [
        "What must be minded here",
        "Not for this home, or for somebody in it (1)",
        "Not known: words in doubt (1)",
        "Not known: labels nobody read (1)",
        "What suits: 1 food",
        "Take care",
    ]
    assert "peanut allergy" in section(page, "needs").text
    worst = section(page, "not").text
    assert "peanut allergy: contains peanut (the whole home)" in worst
    assert "peanut oil" in [one.text for one in section(page, "not").each("q")]
    assert "Where it stands: Shelf (6)." in worst
    assert "Give instead: Pink salmon, tinned, in Shelf, good until September 30, 2028." in worst
    assert "hydrolyzed vegetable protein" in section(page, "doubt").text.casefold()
    assert "Honey (6)" in section(page, "unread").text
    assert "Pink salmon, tinned (6)" in section(page, "suits").text


def test_where_nothing_suits_instead_it_is_said(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    page = signed_in(quick_site).open(WARNINGS)
    assert "Nothing of its kind here suits instead." in section(page, "not").text
    assert "Nothing in stock is known to suit everybody here." in section(page, "suits").text


def test_a_household_that_avoids_nothing_is_warned_of_nothing(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    page = signed_in(quick_site).open(f"{HOMES}/{OTHER_HOME}/warnings")
    assert "Nobody here has said that they must avoid anything." in page.text
    assert "There are no open warnings." in page.text
    assert list(page.root.each("article")) == []


def test_a_warning_that_was_seen_stands_with_who_when_and_why_for_good(site: Site) -> None:
    put_up_read(site, read_as(PEANUT_TEXT))
    browser = signed_in(site)
    form = note_form(browser.open(WARNINGS), "Pink salmon, tinned")
    first, second = (form.filled(why="it goes to the other shelf").submit() for _ in range(2))
    assert second.status == 200
    assert "The warning stands." in first.text
    shown = section(first, "not").text
    assert "contains peanut" in shown
    assert "Seen by Ada Rowe on September 1, 2026: it goes to the other shelf" in shown
    assert "There are no open warnings. 1 more was seen and answered for" in first.text
    assert list(section(first, "not").each("form")) == []
    (kept,) = look(site.engine, lambda r: acknowledged(r, PEANUT_HOME)).values()
    assert (kept.by, kept.why) == ("Ada Rowe", "it goes to the other shelf")


@pytest.mark.parametrize("why", ["", "  ", "w" * 401, "two\nlines"])
def test_without_a_reason_nothing_is_kept_and_the_fault_stands_at_its_field(
    quick_site: Site, why: str
) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    before = version_of(quick_site.engine)
    form = note_form(signed_in(quick_site).open(WARNINGS), "Pink salmon, tinned")
    page = form.filled(why=why).submit()
    assert page.status == 422
    (fault,) = (one for one in page.root.each("p") if one.marks.get("class") == "fault")
    field = page.by_id(fault.marks["id"].removesuffix("-fault"))
    assert field.marks["aria-invalid"] == "true"
    assert field.marks["value"] == why
    assert version_of(quick_site.engine) == before


def test_a_label_that_nobody_read_can_be_answered_for_by_name(quick_site: Site) -> None:
    put_up(quick_site.engine, box(food="honey"))
    put_up(quick_site.engine, box())
    form = signed_in(quick_site).open(WARNINGS).form("note-unread")
    page = form.filled(why="").submit()
    assert page.by_id("why-unread-fault").text.startswith("Say why")
    chosen = page.form("note-unread")
    assert chosen["warning"] == form["warning"]
    done = chosen.filled(why="asked the maker").submit()
    assert "Seen by Ada Rowe" in section(done, "unread").text
    options = list(done.form("note-unread").element.each("option"))
    assert len(options) == 1


def test_an_edit_of_the_label_opens_the_warning_again(quick_site: Site) -> None:
    lot = put_up_read(quick_site, read_as(PEANUT_TEXT))
    browser = signed_in(quick_site)
    form = note_form(browser.open(WARNINGS), "Pink salmon, tinned")
    form.filled(why="it stays here").submit()
    stale = form.filled(why="once more").forged(key="another-key")
    milk = LabelReading(contains=frozenset({Substance.MILK}))
    change(quick_site.engine, partial(record, lot=LotId(lot), reading=milk))
    page = browser.open(WARNINGS)
    assert "1 warning is open." in page.text
    assert "Seen by" not in section(page, "not").text
    gone = stale.submit()
    assert gone.status == 409
    assert "There is no such warning now" in gone.root.the("p", role="alert").text


def test_a_key_used_for_something_else_is_said_so(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    put_up_read(quick_site, read_as(DOUBTFUL_TEXT, regime=Regime.US_MEAT))
    page = signed_in(quick_site).open(WARNINGS)
    first, second = (one for one in page.forms if one.address.endswith("/warnings"))
    first.filled(why="this one").submit()
    clash = replace(second.filled(why="that one")).forged(key=first["key"]).submit()
    assert clash.status == 409
    assert "sent before" in clash.root.the("p", role="alert").text


def test_words_of_a_label_do_no_harm_in_a_warning(quick_site: Site) -> None:
    text = "Ingredients: salmon, \u202epeanut\u202c oil <i>, salt."
    put_up_read(quick_site, read_as(text))
    page = signed_in(quick_site).open(WARNINGS)
    assert page.status == 200
    assert not {"\u202e", "\u202c"} & set(page.html)
    assert list(page.root.each("i")) == []


def test_reading_warnings_of_a_store_changes_none_of_it(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    before = version_of(quick_site.engine)

    def kept(reading: Reading) -> int:
        return len(acknowledged(reading, PEANUT_HOME))

    signed_in(quick_site).open(WARNINGS)
    assert version_of(quick_site.engine) == before
    assert look(quick_site.engine, kept) == 0


@pytest.mark.parametrize(
    ("name", "said"), [("Wren", "(for Wren)"), (None, "(for one person there)")]
)
def test_what_binds_one_person_alone_is_told_as_theirs(
    quick_site: Site, name: str | None, said: str
) -> None:
    fish = Restriction(allergy=Substance.FISH, reach=Reach.PERSON)
    add_somebody(quick_site, fish, name=name)
    put_up_read(quick_site, read_as(PLAIN_TEXT))
    worst = section(signed_in(quick_site).open(WARNINGS), "not").text
    assert f"fish allergy: contains fish {said}" in worst
    assert "whole home" not in worst


def test_a_medical_diet_is_noted_and_never_cleared(quick_site: Site) -> None:
    add_somebody(quick_site, Restriction(diet=Diet.RENAL))
    page = signed_in(quick_site).open(WARNINGS)
    assert "renal: nothing is cleared here; ask your care team" in section(page, "needs").text
