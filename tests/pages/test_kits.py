"""The list of the kits that are put up, those to take along, and their labels."""

import io
from datetime import timedelta
from typing import Final

import pytest
from pypdf import PdfReader
from sqlalchemy import func, select

from daysworth.db.kits import KeptKit
from daysworth.db.ledger.kits import eat_kit
from daysworth.db.tables import DISCLOSURE
from daysworth.domain.label_dates import LabelKind
from tests.db.kit_grounds import pack, stock_wares, to_pack, with_wares
from tests.grounds import PEANUT_HOME, SHELF, box, change, look, put_up
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import signed_in
from tests.pages.kit_pages import KITS, put_up_for_home, put_up_kit, read_another_label

LABELS: Final = f"{KITS}/labels?sheet=letter-4&first_position=1"


def names_of(page: Page) -> list[str]:
    return [one.text for one in page.root.each("h3")]


def text_of(page: Page) -> str:
    assert page.status == 200, page.text
    assert page.headers["Content-Type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(page.answer.content))
    return " ".join(" ".join(one.extract_text() for one in reader.pages).split())


def disclosures(site: Site) -> int:
    counted = select(func.count()).select_from(DISCLOSURE)
    return look(site.engine, lambda reading: int(reading.connection.execute(counted).scalar_one()))


def three_kits(site: Site) -> list[KeptKit]:
    """Put up three kits, the first of which is good longest."""
    late, soon, undated = put_up(
        site.engine,
        box(6),
        box(6, printed="2026-11-02"),
        box(6, label_kind=LabelKind.UNLABELLED, printed=None),
    )
    return pack(
        site.engine,
        to_pack((late, 2), name="Kept long"),
        to_pack((soon, 2), name="Kept short", persons=3),
        to_pack((undated, 2), name="Kept somehow"),
    )


def test_kits_stand_by_date_those_without_one_first_and_are_added_up(quick_site: Site) -> None:
    three_kits(quick_site)
    page = signed_in(quick_site).open(KITS)
    assert names_of(page) == ["Kept somehow", "Kept short", "Kept long"]
    assert "3 kits: a meal for 7 people, 1.3 kg in all." in page.text
    assert "Eat or renew by November 2, 2026" in page.text
    assert "Something in it has no date" in page.text


def test_what_is_due_before_the_next_round_is_marked(quick_site: Site) -> None:
    three_kits(quick_site)
    page = signed_in(quick_site).open(KITS)
    assert "2 are due before the next round, on March 1, 2027." in page.text
    marked = [one.text for one in page.root.each("li", **{"class": "kit"})]
    assert ["Due before the next round." in one for one in marked] == [False, True, False]
    quick_site.clock.move(timedelta(days=90))
    later = signed_in(quick_site).open(KITS)
    marked = [one.text for one in later.root.each("li", **{"class": "kit"})]
    assert ["Its date is past." in one for one in marked] == [False, True, False]


def test_a_kit_says_for_whom_it_is_where_it_stands_and_that_it_has_changed(
    quick_site: Site,
) -> None:
    kept = put_up_for_home(quick_site)
    browser = signed_in(quick_site)
    page = browser.open(KITS)
    assert "For 2 people, H-peanut, parcel 2." in page.text
    assert "In Cellar." in page.text
    assert "Changed since" not in page.text
    read_another_label(quick_site, kept)
    changed = browser.open(KITS)
    assert "1 has changed since it was put up" in changed.text
    assert "Changed since it was put up: look at it before anybody eats of it." in changed.text


def test_a_kit_that_was_eaten_stands_in_the_list_no_more(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    browser = signed_in(quick_site)
    assert browser.open(KITS).link("Fish for two") == f"{KITS}/{kept.id}"
    change(quick_site.engine, lambda writing: eat_kit(writing, kept.id))
    assert "No kit is put up now." in browser.open(KITS).text


def test_every_page_leads_to_the_kits_and_the_round(quick_site: Site) -> None:
    page = signed_in(quick_site).open(KITS)
    assert page.link("Kits") == KITS
    assert page.root.the("a", **{"aria-current": "page"}).text == "Kits"
    assert page.link("Round").endswith("/round")


def test_what_needs_no_opener_is_taken_along_first_and_the_weight_adds_up(
    quick_site: Site,
) -> None:
    stock_wares(quick_site.engine)
    tins, water = put_up(quick_site.engine, box(6), box(6, food="raisins"))
    pack(quick_site.engine, with_wares((tins, 2), name="Tins"), to_pack((water, 4), name="Bars"))
    page = signed_in(quick_site).open(f"{KITS}?order=take-along")
    assert names_of(page) == ["Bars", "Tins"]
    assert "Needs an opener: one is in the bag." in page.text
    assert "with all before it." in page.text


def test_what_does_not_suit_a_household_stays_behind_and_its_reading_is_logged(
    quick_site: Site,
) -> None:
    kept = put_up_kit(quick_site)
    read_another_label(quick_site, kept)
    browser = signed_in(quick_site)
    before = disclosures(quick_site)
    everyone = browser.open(f"{KITS}?order=take-along")
    assert names_of(everyone) == ["Fish for two"]
    assert disclosures(quick_site) == before
    page = everyone.form("ask").filled(household=PEANUT_HOME).submit()
    assert names_of(page) == []
    assert "something in it is not suitable for this household." in page.text
    assert disclosures(quick_site) == before + 1


def test_what_can_be_carried_is_a_limit(quick_site: Site) -> None:
    three_kits(quick_site)
    form = signed_in(quick_site).open(f"{KITS}?order=take-along").form("ask")
    page = form.filled(most_kg="0,5").submit()
    assert len(names_of(page)) == 1
    assert "it is too heavy to take as well." in page.text


@pytest.mark.parametrize("typed", ["heavy", "0", "-2", "nan", "1e9"])
def test_kilograms_that_are_none_are_said_so_and_stay(quick_site: Site, typed: str) -> None:
    put_up_kit(quick_site)
    form = signed_in(quick_site).open(f"{KITS}?order=take-along").form("ask")
    page = form.filled(most_kg=typed).submit()
    assert page.status == 422
    assert "Write how many kilograms" in page.by_id("most_kg-fault").text
    assert page.form("ask")["most_kg"] == typed


def test_a_household_that_is_not_there_is_said_so(quick_site: Site) -> None:
    page = signed_in(quick_site).open(f"{KITS}?order=take-along&household=H-none")
    assert page.status == 422
    assert "Choose a household of this store." in page.text


def test_a_kit_without_a_date_has_no_label_and_what_was_asked_stays(quick_site: Site) -> None:
    three_kits(quick_site)
    browser = signed_in(quick_site)
    undated = browser.open(LABELS)
    assert undated.status == 409
    assert "has no date" in undated.root.the("p", role="alert").text
    form = undated.form("labels").filled(sheet="a4-8", place=SHELF)
    nothing = form.submit()
    assert "There is no kit to print a label for." in nothing.text
    assert nothing.form("labels")["sheet"] == "a4-8"


def test_the_label_of_one_kit_names_it_and_its_date(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    page = signed_in(quick_site).open(f"{KITS}/{kept.id}")
    label = page.form("labels").filled(sheet="letter-1").submit()
    words = text_of(label)
    assert "Fish for two" in words
    assert "September 30, 2028" in words
    assert "NEEDS A CAN OPENER" in words
    assert label.headers["Cache-Control"] == "no-store"


def test_labels_of_the_kits_in_a_place_are_printed_without_the_others(quick_site: Site) -> None:
    one, other = put_up(quick_site.engine, box(6), box(6))
    pack(quick_site.engine, to_pack((one, 2), name="On the shelf"), place=SHELF)
    pack(quick_site.engine, to_pack((other, 2), name="Downstairs"))
    form = signed_in(quick_site).open(KITS).form("labels")
    words = text_of(form.filled(place=SHELF).submit())
    assert "On the shelf" in words
    assert "Downstairs" not in words
    words = text_of(form.submit())
    assert "On the shelf" in words
    assert "Downstairs" in words


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("first_position", "5", "a label that this sheet has"),
        ("first_position", "0", "a label that this sheet has"),
        ("first_position", "one", "a label that this sheet has"),
        ("sheet", "napkin", "Choose a paper."),
    ],
)
def test_a_label_that_no_sheet_has_is_said_beside_its_field(
    quick_site: Site, field: str, value: str, said: str
) -> None:
    kept = put_up_kit(quick_site)
    browser = signed_in(quick_site)
    for path in (KITS, f"{KITS}/{kept.id}"):
        form = browser.open(path).form("labels").filled(sheet="letter-4")
        page = form.forged(**{field: value}).submit()
        assert page.status == 422
        assert said in page.by_id(f"{field}-fault").text
        assert names_of(page)


@pytest.mark.parametrize(
    "asked", ["&kit=K-none", "&kit=" + "x" * 90, "&kit=%C2%AD", "&place=P-none"]
)
def test_a_label_of_nothing_that_is_there_is_a_page_in_words(quick_site: Site, asked: str) -> None:
    put_up_kit(quick_site)
    page = signed_in(quick_site).open(LABELS + asked)
    assert 400 <= page.status < 500
    assert "there is no" in page.text.lower()
