"""Whatever is sent to the logging page, a page in words comes back and nothing unsound is kept."""

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine
from starlette.datastructures import FormData

from daysworth.db.links import follow_link
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.typed_dates import DateOrder
from daysworth.pages.doors import MOST_BYTES, MOST_FIELDS
from daysworth.pages.typed_box import Faults, TypedBox, read_box
from tests.databases import SQLITE, migrated
from tests.grounds import (
    NOON,
    begin_ground,
    books_balance,
    box,
    lots_of,
    put_up,
    small_store,
)
from tests.pages.browsing import URLENCODED, Element, Page, Site

FIELDS = (
    *("what", "chosen_food", "chosen_for", "units", "cases", "units_per_case", "kind", "date"),
    *("chosen_date", "date_chosen_for", "damaged", "home_canned", "unreadable", "giver"),
    *("key", "seen", "order"),
)
GOOD = {"what": "Pink salmon, tinned", "units": "12", "kind": "best_by", "date": "2029-04"}
STRANGE = "<b>&\"'"
MOST_PAGE_BYTES = 100_000


def sent(site: Site, link: str, *, content: bytes, kind: str = URLENCODED) -> Page:
    """Send a body to the page as it is; the answer must be a page in words, and no 5xx."""
    page = site.browser().send("POST", link, content=content, headers={"Content-Type": kind})
    assert page.status < 500, page.text
    assert page.headers["Content-Type"] == "text/html; charset=utf-8"
    assert page.root.the("h1").text
    return page


def good(**changed: str) -> bytes:
    """Write a form that would be saved, but for what is changed; values are percent-encoded."""
    fields = {name: quote(value) for name, value in GOOD.items()}
    return "&".join(f"{name}={value}" for name, value in {**fields, **changed}.items()).encode()


def beside(page: Page) -> dict[str, str]:
    """Give what is wrong, by field; each sentence must be told of by its field."""
    found = {}
    for fault in page.root.each("p", **{"class": "fault"}):
        name = fault.marks["id"].removesuffix("-fault")
        for field in page.root.each("input", name=name):
            assert fault.marks["id"] in field.marks["aria-describedby"].split()
            assert field.marks["aria-invalid"] == "true"
        found[name] = fault.text
    return found


def faults_of(**typed: str) -> Faults:
    """Read a good box but for what is told, and give what is wrong with it."""
    box = TypedBox.of(FormData({**GOOD, **typed}))
    return read_box(box, order=DateOrder.MONTH, read_in_year=2026)[1]


def test_a_good_box_has_no_fault() -> None:
    assert faults_of() == {}


@pytest.mark.parametrize(
    "units", ["0", "-1", "+1", "1.5", "1,000", "100001", "1" * 10, "twelve", "\u0661\u0662", "1e3"]
)
def test_units_are_a_whole_number_from_one_to_a_hundred_thousand(units: str) -> None:
    assert faults_of(units=units) == {"units": "fault-units"}


@pytest.mark.parametrize(
    ("typed", "faults"),
    [
        ({"units": ""}, {"units": "fault-units-missing"}),
        ({"units": "", "cases": "2"}, {"units_per_case": "fault-units"}),
        ({"units": "", "units_per_case": "2"}, {"cases": "fault-units"}),
        ({"units": "", "cases": "400", "units_per_case": "251"}, {"cases": "fault-units-many"}),
        ({"cases": "2", "units_per_case": "24"}, {"units": "fault-units-twice"}),
        ({"what": ""}, {"what": "fault-what-missing"}),
        ({"what": "a\x00b"}, {"what": "fault-words"}),
        ({"what": "a\u202eb"}, {"what": "fault-words"}),
        ({"what": "w" * 401}, {"what": "fault-words"}),
        ({"giver": "g" * 121}, {"giver": "fault-words"}),
        ({"giver": "g\nh"}, {"giver": "fault-words"}),
        ({"kind": "", "date": ""}, {"kind": "fault-kind"}),
        ({"kind": ""}, {"kind": "fault-kind-of-date"}),
        ({"kind": "eat_by", "date": ""}, {"kind": "fault-kind"}),
        ({"kind": "unlabelled"}, {"kind": "fault-kind-of-date"}),
        ({"date": ""}, {"date": "fault-date-missing"}),
    ],
)
def test_what_cannot_be_is_named_by_its_field(
    typed: dict[str, str], faults: dict[str, str]
) -> None:
    assert faults_of(**typed) == faults


def test_a_day_that_was_chosen_counts_for_the_date_it_was_chosen_for_alone() -> None:
    good = TypedBox(what="beans", units="12", kind="best_by", date="2029-04")
    chosen = replace(good, chosen_date="2029-03-04", date_chosen_for="2029-04")
    read, _ = read_box(chosen, order=DateOrder.MONTH, read_in_year=2026)
    assert read.date is not None
    assert read.date.printed == "2029-03-04"
    assert replace(chosen, date="2029-05").date_choice == ""


@pytest.mark.parametrize("chosen", ["9999-01-01", "2029-02-30", "soon", "\ud800"])
def test_a_day_that_cannot_be_is_refused_even_when_it_was_chosen(chosen: str) -> None:
    assert set(faults_of(chosen_date=chosen, date_chosen_for="2029-04")) == {"date"}


def test_a_fault_stands_beside_its_field_and_what_was_typed_stands_in_it(quick_site: Site) -> None:
    typed = {"what": "w\x07", "units": STRANGE, "date": STRANGE, "giver": f"{STRANGE}\x07"}
    page = quick_site.log(quick_site.new_link(), **typed)
    assert page.status == 422
    assert set(beside(page)) == {"what", "units", "date", "giver"}
    assert beside(page)["units"] == "Write a whole number, from 1 to 100,000."
    assert beside(page)["date"].startswith(f"“{STRANGE}” cannot be read as a date")
    form = page.form("box")
    assert {name: form[name] for name in typed} == typed
    assert lots_of(quick_site.engine) == {}


def test_a_fault_loses_neither_the_food_that_was_chosen_nor_the_day(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), what="salmon", date="03/04/28")
    chosen = page.form("box").filled(
        chosen_food="salmon_pink_tinned", chosen_date="2028-04-03", units=""
    )
    fault = chosen.submit()
    assert set(beside(fault)) == {"units"}
    saved = fault.form("box").filled(units="3").submit()
    assert "Saved: 3 packs of Pink salmon, tinned, best by April 3, 2028." in saved.text


def test_words_of_any_letters_are_kept_and_shown_as_they_are(quick_site: Site) -> None:
    for words in (
        STRANGE,
        "Crème brûlée",
        "\u05d2\u05d1\u05d9\u05e0\u05d4",
        "\u8c46\u8150",
        "{{ 7 * 7 }} { $name }",
    ):
        page = quick_site.log(quick_site.new_link(), what=words, giver=words)
        saved = page.form("box").submit()
        assert f"12 packs of {words}, best by April 2029, from {words}" in saved.text


BAD_FORMS = [
    b"",
    b"&&&==&",
    b"%",
    b"what",
    good(what="%00"),
    good(what="a%00b"),
    good(what="a%07b"),
    good(what="a%E2%80%AEb"),
    good(what="a%E2%81%A7b"),
    good(what="%FF"),
    good(what="%ED%A0%80"),
    good(what="w" * 50_000),
    good(giver="a%0D%0Ab"),
    good(giver="a%C2%85b"),
    good(giver="g" * 10_000),
    good(units="9" * 10_000),
    good(units="-1"),
    good(units="1e9"),
    good(units="%D9%A1"),
    good(date="%00"),
    good(date="2029-04%E2%80%AE"),
    good(date="9" * 10_000),
    good(kind="%00"),
    good(kind="k" * 10_000),
    good(cases="9" * 9, units_per_case="9" * 9, units=""),
    good(chosen_food="%00", chosen_for=quote(GOOD["what"])),
    good(chosen_food="nothing", chosen_for=quote(GOOD["what"])),
    good(chosen_date="%00", date_chosen_for="2029-04"),
    b"&".join(name.encode() + b"=" + b"x" * 3_500 for name in FIELDS),
    b"&".join(name.encode() + b"=%00" for name in FIELDS),
    b"a=1&" * (MOST_FIELDS + 1) + good(),
    b"w" * (MOST_BYTES + 1),
    good(giver="g" * 100_000),
]


def test_a_bad_form_is_answered_in_words_and_saves_nothing(quick_site: Site) -> None:
    link = quick_site.new_link()
    for content in BAD_FORMS:
        page = sent(quick_site, link, content=content)
        assert page.status >= 400 or "It is not saved yet." in page.text, content[-40:]
        assert lots_of(quick_site.engine) == {}, content[-40:]


def _every_kind_of_page(site: Site) -> list[Page]:
    """Open the page in each of its states: new, refused, in question, saved, taken back, shut."""
    link = site.new_link()
    saved = site.log(link, giver=STRANGE)
    named = site.log(link, what=STRANGE)
    return [
        site.browser().open(link),
        site.log(link, units="", date="", kind="unlabelled", cases="x", giver="g\x07"),
        site.log(link, what=STRANGE, units=STRANGE, date=STRANGE, giver=STRANGE),
        site.log(link, kind="unlabelled", date="2029"),
        site.log(link, what="sal", date="03/04/28"),
        site.log(link, date="2026-01", damaged=True, home_canned=True, unreadable=True),
        named,
        named.form("box").submit(),
        saved,
        saved.browser.open(saved.link("Same again")),
        next(form for form in saved.forms if form.address.endswith("/take-back")).submit(),
        site.browser().open("/log/dw_nobody"),
        site.browser().open("/log/"),
    ]


@pytest.fixture(scope="module")
def pages(opens_site: Callable[[Engine], AbstractContextManager[Site]]) -> list[Page]:
    """Open every kind of page once for all the claims about what pages are like."""
    engine = migrated(SQLITE)
    begin_ground(engine, small_store())
    with opens_site(engine) as site:
        return _every_kind_of_page(site)


def test_no_page_has_a_script_a_style_of_its_own_or_anything_from_elsewhere(
    pages: list[Page],
) -> None:
    for page in pages:
        for element in page.root.each():
            assert element.tag not in ("script", "style", "b", "iframe", "object"), page.html
            assert not {name for name in element.marks if name.startswith("on") or name == "style"}
            for name in ("href", "src", "action"):
                assert element.marks.get(name, "/").startswith(("/", "#", "data:,")), element.marks


def test_every_page_says_what_a_reader_of_screens_needs(pages: list[Page]) -> None:
    for page in pages:
        ids = [element.marks["id"] for element in page.root.each() if "id" in element.marks]
        assert len(ids) == len(set(ids)), ids
        assert page.root.the("html").marks["lang"] == "en"
        assert page.root.the("title").text
        assert len(list(page.root.each("h1"))) == 1
        assert sum("autofocus" in element.marks for element in page.root.each()) <= 1
        for element in page.root.each():
            for name in ("aria-describedby", "aria-labelledby", "for"):
                assert set(element.marks.get(name, "").split()) <= set(ids), element.marks


def test_every_field_has_a_label(pages: list[Page]) -> None:
    for page in pages:
        labelled = {label.marks.get("for") for label in page.root.each("label")}
        wrapped = [id(one) for label in page.root.each("label") for one in label.each("input")]
        for field in page.root.each("input", "select", "textarea"):
            is_hidden = field.marks.get("type") == "hidden"
            is_labelled = field.marks.get("id", "none") in labelled or id(field) in wrapped
            assert is_hidden or is_labelled, field.marks
        assert all(button.text for button in page.root.each("button"))


def test_every_radio_button_and_every_box_to_tick_stands_under_a_legend(pages: list[Page]) -> None:
    def under_legends(root: Element) -> set[int]:
        return {
            id(one)
            for group in root.each("fieldset")
            if group.the("legend").text
            for one in group.each("input")
        }

    for page in pages:
        under = under_legends(page.root)
        for field in page.root.each("input"):
            if field.marks.get("type") in ("radio", "checkbox"):
                assert id(field) in under, field.marks


def test_every_page_is_guarded_by_its_headers(pages: list[Page]) -> None:
    for page in pages:
        headers = page.headers
        policy = dict(
            part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";")
        )
        assert policy["default-src"] == "'none'"
        assert policy["style-src"] == "'self'"
        assert policy["form-action"] == "'self'"
        assert policy["frame-ancestors"] == "'none'"
        assert policy["base-uri"] == "'none'"
        assert "script-src" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["X-Frame-Options"] == "DENY"
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["Cache-Control"] in ("no-store", "private, no-cache")
        assert headers["Content-Type"] == "text/html; charset=utf-8"


def test_a_page_and_its_style_are_light_enough_for_a_slow_phone(quick_site: Site) -> None:
    link = quick_site.new_link()
    by = follow_link(quick_site.engine, link.rpartition("/")[2], at=NOON)
    put_up(quick_site.engine, *(box(giver="G" * 120) for _ in range(41)), by=by)
    page = quick_site.browser().open(link)
    assert len(list(page.by_id("just-logged").each("li"))) == 40
    style = page.browser.open(page.root.the("link", rel="stylesheet").marks["href"])
    assert style.status == 200
    assert len(page.answer.content) + len(style.answer.content) < MOST_PAGE_BYTES


def test_a_body_of_64_kilobytes_is_read_and_one_byte_more_is_not(quick_site: Site) -> None:
    link = quick_site.new_link()
    fits = b"what=" + b"w" * (MOST_BYTES - len(b"what="))
    assert sent(quick_site, link, content=fits).status == 422
    refused = sent(quick_site, link, content=fits + b"w")
    assert refused.status == 413
    assert "At most 64 kB fit here" in refused.text


@pytest.mark.parametrize(
    "kind",
    [
        "application/json",
        "multipart/form-data; boundary=x",
        "text/plain",
        "",
        "application/x-www-form-urlencodedly",
    ],
)
def test_what_is_no_form_of_ours_is_refused_in_words(quick_site: Site, kind: str) -> None:
    assert sent(quick_site, quick_site.new_link(), content=good(), kind=kind).status == 422
    assert lots_of(quick_site.engine) == {}


def test_a_field_that_the_form_does_not_have_changes_nothing(quick_site: Site) -> None:
    page = sent(
        quick_site, quick_site.new_link(), content=good(condition="damaged", place="cellar")
    )
    assert "Saved:" in page.text or page.status == 303
    (lot,) = lots_of(quick_site.engine).values()
    assert (lot.place, lot.condition, lot.owner) == ("shelf", "sound", None)


TEXTS = st.text(st.characters(exclude_categories=()), max_size=60)
"""Any text at all, lone halves of a character among it."""


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    typed=st.fixed_dictionaries(
        {},
        optional={
            name: TEXTS | st.sampled_from([*map(str, LabelKind), "yes", "none", "1", "24"])
            for name in FIELDS
        },
    )
)
def test_whatever_is_typed_a_page_in_words_comes_back_and_the_books_balance(
    quick_site: Site, typed: dict[str, str]
) -> None:
    link = quick_site.new_link()
    values = {**GOOD, **typed}
    content = "&".join(
        f"{name}={quote(value, errors='surrogatepass')}" for name, value in values.items()
    )
    page = sent(quick_site, link, content=content.encode())
    if page.status == 200 and page.answer.request.method == "POST":
        assert page.form("box")["units"] == values["units"].strip()
    for lot in lots_of(quick_site.engine).values():
        assert lot.food is not None or lot.words
        assert re.search("[\x00-\x1f\u202a-\u202e]", lot.words or "") is None
    assert books_balance(quick_site.engine)
