"""Who packs a parcel sees its number and what must not go in, and asks of one thing at a time."""

from urllib.parse import urlencode

import pytest

from daysworth.db.disclosures import list_disclosures
from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import Reach, Restriction, Substance
from tests.grounds import look, put_up, version_of
from tests.pages.browsing import Element, Page, Site
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

PARCELS = f"{STORE}/parcels"
OF_PEANUT_HOME = "2"


def ask(site: Site, **asked: str) -> Page:
    return signed_in(site).open(f"{PARCELS}?{urlencode(asked)}")


def answer(page: Page) -> Element:
    return page.root.the("section", role="status")


def test_parcels_stand_by_number_with_what_they_must_not_contain_and_no_name(site: Site) -> None:
    page = signed_in(site).open(PARCELS)
    rows = [
        [cell.text for cell in row.each("th", "td")] for row in page.root.the("tbody").each("tr")
    ]
    assert rows == [["1", "nothing to leave out"], ["2", "peanut"]]
    assert "H-peanut" not in page.html
    assert "H-other" not in page.html
    assert page.link("Parcels") == PARCELS


@pytest.mark.parametrize(
    ("text", "said", "kind"),
    [
        (PEANUT_TEXT, "No, it must not go in", "no"),
        (PLAIN_TEXT, "Not known: leave it out", "not_known"),
        (DOUBTFUL_TEXT, "Not known: leave it out", "not_known"),
        (None, "Not known: leave it out", "not_known"),
    ],
)
def test_what_may_go_in_is_answered_in_words_a_sign_a_title_and_why(
    site: Site, text: str | None, said: str, kind: str
) -> None:
    if text is None:
        put_up(site.engine)
    else:
        put_up_read(site, read_as(text, regime=Regime.US_MEAT))
    page = ask(site, number=OF_PEANUT_HOME, what="pink salmon")
    shown = answer(page)
    assert shown.the("h2").text.endswith(said)
    assert shown.the("h2").text[0] in "✓✕?"
    assert kind in shown.marks["class"].split()
    assert page.root.the("title").text == f"{said}: “pink salmon”, in parcel 2"
    assert "autofocus" in shown.the("h2").marks
    assert [one.text for one in shown.each("li")] != []
    assert "Must not go into parcel 2: peanut" in shown.text


def test_words_lead_on_to_the_lot_and_of_it_the_answer_may_be_yes(site: Site) -> None:
    put_up_read(site, read_as(PLAIN_TEXT))
    page = ask(site, number=OF_PEANUT_HOME, what="pink salmon")
    assert "words are not enough" in answer(page).text
    of_lot = page.browser.open(page.link("Shelf (6)"))
    assert "yes" in answer(of_lot).marks["class"].split()
    assert "“Pink salmon, tinned”, in parcel 2." in answer(of_lot).text
    assert of_lot.root.the("title").text.startswith("Yes, it may go in: “Pink salmon, tinned”")


def test_another_parcel_has_another_answer(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    assert "Yes, it may go in" in answer(ask(quick_site, number="1", what="pink salmon")).text


def test_what_is_called_by_what_must_not_go_in_is_refused_even_unstocked(quick_site: Site) -> None:
    page = ask(quick_site, number=OF_PEANUT_HOME, what="peanut brittle from a friend")
    assert "No, it must not go in" in answer(page).text


def test_what_nothing_is_called_is_not_known(quick_site: Site) -> None:
    page = ask(quick_site, number=OF_PEANUT_HOME, what="gwyrdd <b>")
    assert "Not known: leave it out" in answer(page).text
    assert "“gwyrdd <b>”, in parcel 2." in page.text


def test_the_words_of_the_label_stand_with_each_thing_that_may_be_meant(quick_site: Site) -> None:
    put_up_read(quick_site, read_as(PEANUT_TEXT))
    page = ask(quick_site, number=OF_PEANUT_HOME, what="salmon pink")
    found = page.root.the("section", **{"aria-labelledby": "candidates-title"})
    assert "peanut oil" in [one.text for one in found.each("q")]
    assert "Shelf (6)" in found.text


def test_asking_changes_nothing_and_is_on_record(site: Site) -> None:
    put_up_read(site, read_as(PEANUT_TEXT))
    before = version_of(site.engine)
    page = ask(site, number=OF_PEANUT_HOME, what="salmon")
    kept = look(site.engine, lambda r: list_disclosures(r, after="", limit=9)).items
    assert {one.what for one in kept} == {"parcel 2", "parcels"}
    assert version_of(site.engine) == before
    assert [form.method for form in page.forms if form.address.endswith("/parcels")] == ["GET"]


def test_the_form_keeps_what_was_asked_for_the_next_thing(quick_site: Site) -> None:
    form = signed_in(quick_site).open(PARCELS).form("ask")
    page = form.filled(number="2", what="salmon").submit()
    assert page.form("ask").fields == [("number", "2"), ("what", "salmon")]


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ({"number": "", "what": "salmon"}, "number", "Write the number"),
        ({"number": "two", "what": "salmon"}, "number", "Write the number"),
        ({"number": "0", "what": "salmon"}, "number", "Write the number"),
        ({"number": "99", "what": "salmon"}, "number", "There is no parcel"),
        ({"number": "2", "lot": "L-nowhere"}, "number", "There is no lot"),
        ({"number": "2", "lot": "L" * 65}, "what", "in a few plain words"),
        ({"number": "2", "what": ""}, "what", "in a few plain words"),
        ({"number": "2", "what": "?!"}, "what", "in a few plain words"),
        ({"number": "2", "what": "w" * 121}, "what", "in a few plain words"),
        ({"number": "2", "what": "sal\u202emon"}, "what", "in a few plain words"),
        ({"number": "2", "what": "12345678901234567890"}, "what", ""),
        ({"number": "2", "what": "4006381333932"}, "what", ""),
    ],
)
def test_what_cannot_be_asked_is_said_beside_its_field(
    quick_site: Site, asked: dict[str, str], field: str, said: str
) -> None:
    page = ask(quick_site, **asked)
    assert page.status == 422
    assert said in page.by_id(f"{field}-fault").text
    assert page.by_id(f"{field}-fault").text.endswith(".")
    assert page.by_id(field).marks["aria-describedby"].split()[0] == f"{field}-fault"
    assert list(page.root.each("section", role="status")) == []


def test_a_barcode_of_nothing_here_is_not_known(quick_site: Site) -> None:
    page = ask(quick_site, number=OF_PEANUT_HOME, what="4006 3813-33931")
    assert "Not known: leave it out" in answer(page).text


def test_a_yes_says_for_whom_in_the_home_it_is_not(quick_site: Site) -> None:
    add_somebody(quick_site, Restriction(allergy=Substance.FISH, reach=Reach.PERSON))
    lot = put_up_read(quick_site, read_as(PLAIN_TEXT))
    shown = answer(ask(quick_site, number=OF_PEANUT_HOME, lot=lot))
    assert "Yes, it may go in" in shown.text
    assert "But not for everybody there: fish allergy: contains fish" in shown.text
