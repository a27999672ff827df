"""Claims about the summary page: the figures of the API, for a person, and the scenario asked."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Final

import pytest
from sqlalchemy import Connection, update

from daysworth.db.stores import change_store
from daysworth.db.tables import HOUSEHOLD, PLACE
from daysworth.db.transactions import write_beside
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.intake import IntakeLine
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.printing.bars import MOST_BARS
from daysworth.printing.figures import tenths, whole
from tests.api.clients import Json
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    STORE_ID,
    begin_ground,
    box,
    change,
    put_up,
    small_store,
    someone,
    token_for,
)
from tests.pages.browsing import Browser, Element, Page, Site
from tests.pages.coordinating import NO_PEANUT, signed_in

SUMMARY: Final = "/stores/fernhollow/summary"
BARS: Final = f"{SUMMARY}/days.svg"
TAPS: Final = "?running_water=true"
"""Without water nobody is fed for a day: most of these stores have it from the tap."""
UNDATED: Final[dict[str, object]] = {"label_kind": LabelKind.UNLABELLED, "printed": None}


def told(site: Site, query: str = "") -> dict[str, Json]:
    """Give the API's answer to the same question."""
    bearer = {"Authorization": f"Bearer {token_for(site.engine, Role.COORDINATOR)}"}
    answer = site.browser().open(f"/v1{SUMMARY}{query}", headers=bearer).answer
    assert answer.status_code == 200, answer.text
    read = answer.json()
    assert isinstance(read, dict)
    return read


def coverage(site: Site, query: str = "") -> dict[str, Json]:
    """Give the coverage in the API's answer."""
    found = told(site, query)["coverage"]
    assert isinstance(found, dict)
    return found


def number(answer: dict[str, Json], name: str) -> float:
    found = answer[name]
    assert isinstance(found, int | float)
    return float(found)


def heads(page: Page) -> list[str]:
    """Give the figures that stand large at the top."""
    return [one.text for one in page.root.each("p", **{"class": "big"})]


def rows_under(page: Page, id_: str) -> list[list[str]]:
    """Give the cells of the table in the section that a heading names."""
    section = page.root.the("section", **{"aria-labelledby": id_})
    return [[cell.text for cell in row.each("th", "td")] for row in _body(section)]


def _body(section: Element) -> Iterator[Element]:
    for body in section.each("tbody"):
        yield from body.each("tr")


def query_of(page: Page) -> str:
    return "?" + page.address.partition("?")[2]


def fed(days: float) -> str:
    return f"{tenths(days):.1f} days"


def another_store(site: Site, snapshot: Snapshot) -> Page:
    """Keep a second store, and open its summary."""
    begin_ground(site.engine, replace(snapshot, store=OTHER_STORE))
    return signed_in(site, OTHER_STORE).open("/stores/stonebrook/summary")


def test_the_figures_are_those_of_the_api(site: Site) -> None:
    put_up(site.engine, box(60, reading=NO_PEANUT), box(13, place=CELLAR))
    page, answer = signed_in(site).open(SUMMARY + TAPS), coverage(site, TAPS)
    days, person_days = number(answer, "everyone_fed_days"), number(answer, "person_days")
    assert heads(page) == [fed(days), f"{whole(person_days)} person-days", "0.0 days"]
    assert "As of September 1, 2026. 2 people in 2 households; 73 units on hand." in page.text
    assert f"version {answer['version']} of the store" in page.text
    homes = answer["households"]
    assert isinstance(homes, list)
    shown = [(row[0], row[3]) for row in rows_under(page, "homes-title")]
    assert shown == [
        (home["household"], f"{tenths(number(home, 'days')):.1f}")
        for home in homes
        if isinstance(home, dict)
    ]
    assert tenths(days) < days


SWITCHES: Final[dict[str, dict[str, str | bool]]] = {
    "heating": {"heating": True},
    "half rations with running water": {"running_water": True, "ration": "0.5"},
    "own stock": {"stock": True},
    "flat needs": {"basis": "flat"},
    "half rations": {"ration": "0.5"},
    "the cellar lost": {"without_place": "cellar"},
    "a household away": {"away": "H-peanut"},
    "all at once": {
        "heating": True,
        "running_water": True,
        "ration": "0.75",
        "without_place": "cellar",
        "away": "H-other",
    },
}


def stocked(site: Site) -> Browser:
    """Fill the store so that every switch makes a difference to a figure."""
    put_up(
        site.engine,
        box(60, reading=NO_PEANUT),
        box(13, reading=NO_PEANUT, place=CELLAR),
        box(9, reading=NO_PEANUT, owner=OTHER_HOME, is_shared=False),
        box(20, reading=NO_PEANUT, food="white_rice_dry", place=CELLAR),
        box(60, food="water_bottled"),
    )
    return signed_in(site)


def figures(page: Page) -> tuple[list[str], list[list[str]]]:
    return heads(page), rows_under(page, "homes-title")


def test_each_switch_asks_what_the_api_is_asked_and_stays_set(quick_site: Site) -> None:
    browser = stocked(quick_site)
    first = browser.open(SUMMARY)
    plain = figures(first)
    for name, chosen in SWITCHES.items():
        page = first.form("/summary").filled(**chosen).submit()
        answer = coverage(quick_site, query_of(page))
        assert heads(page)[0] == fed(number(answer, "everyone_fed_days")), name
        assert figures(page) != plain, name
        again = page.form("/summary")
        assert again.fields != first.form("/summary").fields, name
        assert query_of(again.submit()) == query_of(page), name


def test_half_rations_last_twice_as_long(quick_site: Site) -> None:
    stocked(quick_site)
    full, half = coverage(quick_site, TAPS), coverage(quick_site, f"{TAPS}&ration=0.5")
    page = signed_in(quick_site).open(f"{SUMMARY}{TAPS}&ration=0.5")
    twice = 2 * number(full, "everyone_fed_days")
    assert number(half, "everyone_fed_days") == pytest.approx(twice, abs=1e-5)
    assert heads(page)[0] == fed(number(half, "everyone_fed_days"))


def test_several_places_and_households_may_be_left_out_at_once(quick_site: Site) -> None:
    browser = stocked(quick_site)
    query = "?without_place=cellar&without_place=shelf&away=H-other&heating=true"
    page = browser.open(SUMMARY + query)
    ticked = {
        (one.marks["name"], one.marks["value"])
        for one in page.form("/summary").element.each("input", type="checkbox")
        if "checked" in one.marks
    }
    assert ticked == {
        ("without_place", "cellar"),
        ("without_place", "shelf"),
        ("away", "H-other"),
        ("heating", "true"),
    }
    assert heads(page)[0] == "0.0 days"
    assert [row[0] for row in rows_under(page, "homes-title")] == ["H-peanut"]


def test_the_household_that_runs_out_first_stands_first_and_below_the_floor_in_bold(
    quick_site: Site,
) -> None:
    # What is on the label of the salmon is not known, so it is for one of the two alone.
    put_up(quick_site.engine, box(6, reading=NO_PEANUT), box(240))
    page = signed_in(quick_site).open(SUMMARY + TAPS)
    rows = rows_under(page, "homes-title")
    days = [float(row[3]) for row in rows]
    assert [row[0] for row in rows] == [PEANUT_HOME, OTHER_HOME]
    assert days == sorted(days)
    section = page.root.the("section", **{"aria-labelledby": "homes-title"})
    below = [row.marks.get("class") == "below" for row in _body(section)]
    assert below == [value < 14 for value in days] == [True, False]


def test_whoever_runs_out_first_is_told_by_need_and_not_by_name(quick_site: Site) -> None:
    put_up(quick_site.engine, box(6, reading=NO_PEANUT), box(240))
    page = signed_in(quick_site).open(SUMMARY + TAPS)
    held = page.root.the("section", **{"aria-labelledby": "held-title"}).text
    assert "1 person: " in held
    assert "peanut" in held
    assert "H-peanut" not in held


def test_days_beyond_the_horizon_are_at_least_so_many(quick_site: Site) -> None:
    put_up(quick_site.engine, box(600, reading=NO_PEANUT))
    page = signed_in(quick_site).open(f"{SUMMARY}{TAPS}&horizon_days=7")
    assert heads(page)[0] == "at least 7 days"
    assert [row[3] for row in rows_under(page, "homes-title")] == ["7+", "7+"]


def set_aside() -> list[IntakeLine]:
    return [
        box(1, printed="2026-08-31"),
        box(2, **UNDATED),
        box(3, condition=Condition.DAMAGED),
        box(4, is_home_canned=True),
        box(5, food=None, words="a jar <b>of & something"),
        box(6, printed="2026-09-20"),
    ]


def test_every_list_of_lots_that_need_a_hand_is_shown_with_its_lots(site: Site) -> None:
    put_up(site.engine, *set_aside())
    page = signed_in(site).open(SUMMARY)
    salmon = "Pink salmon, tinned"
    assert rows_under(page, "past-title") == [["Aug 31, 2026", "1", salmon, "Shelf"]]
    assert rows_under(page, "undated-title") == [["no date", "2", salmon, "Shelf"]]
    assert rows_under(page, "damaged-title")[0][1:] == ["3", salmon, "Shelf"]
    assert rows_under(page, "quarantined-title")[0][1:] == ["4", salmon, "Shelf"]
    assert rows_under(page, "waiting-title") == [["5", "a jar <b>of & something", "Shelf"]]
    assert ["Sep 20, 2026", "6", salmon, "Shelf"] in rows_under(page, "round-title")
    targets = [one.marks["href"] for one in page.root.each("a") if "-title" in one.marks["href"]]
    assert {target.removeprefix("#") for target in targets} == {
        "past-title",
        "undated-title",
        "damaged-title",
        "quarantined-title",
        "waiting-title",
        "switches-title",
        "steps-title",
    }
    assert {page.by_id(target.removeprefix("#")).tag for target in targets} == {"h2"}


def test_the_cautions_are_those_of_the_api(quick_site: Site) -> None:
    put_up(quick_site.engine, box(6))
    for query in ("", "?without_place=cellar"):
        rows = coverage(quick_site, query)["cautions"]
        assert isinstance(rows, list)
        page = signed_in(quick_site).open(SUMMARY + query)
        (section,) = page.root.each("section", **{"class": "cautions"})
        shown = [one.text for one in section.each("li")]
        assert shown == [
            " ".join(str(row["text"]).split()) for row in rows if isinstance(row, dict)
        ]
        assert len(shown) > 2


REFUSED: Final = {
    "heating=banana": "must be true or false.",
    "ration=0": "must be 0.001 or more.",
    "ration=nan": "must be 1 or less.",
    "stock=mine": "must be 'shared' or 'all'.",
    "horizon_days=0": "must be 1 or more.",
    "without_place=nowhere": "There is no place 'nowhere' in this store",
    "away=H-none": "There is no household 'H-none' in this store",
    "away=" + "x" * 65: "has room for at most 64 characters.",
    "&".join(["away=H-other"] * 201): "has room for at most 200.",
    "without_place=%00": "An address has no NUL in it.",
}


def test_a_question_that_cannot_be_asked_is_refused_with_a_page_in_words(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for query, words in REFUSED.items():
        for path in (SUMMARY, BARS):
            page = browser.open(f"{path}?{query}")
            assert (page.status, words in page.text) == (422, True), query


def test_the_bars_are_a_picture_of_the_same_question_that_runs_nothing(quick_site: Site) -> None:
    put_up(quick_site.engine, box(60), box(13, place=CELLAR))
    browser = signed_in(quick_site)
    page = browser.open(f"{SUMMARY}?ration=0.5&away=H-other")
    (source,) = [one.marks["src"] for one in page.root.each("img", **{"class": "bars"})]
    assert source == f"{BARS}?ration=0.5&away=H-other"
    answer = browser.open(source).answer
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.headers["cache-control"] == "no-store"
    policy = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    assert answer.headers["content-security-policy"] == policy
    assert re.search('<script|<foreignObject|<a |href="(?!#)| on[a-z]+=', answer.text) is None
    shown = rows_under(page, "homes-title")
    assert [row[0] for row in shown] == [PEANUT_HOME]
    assert f">{shown[0][3]}<" in answer.text
    assert "H-other" not in answer.text


def test_the_picture_of_the_bars_needs_a_session(quick_site: Site) -> None:
    answer = quick_site.browser().send("GET", BARS, is_followed=False)
    assert (answer.status, "svg" in answer.headers["location"]) == (303, True)
    assert "<svg" not in answer.html


def test_a_store_without_stock_feeds_nobody_for_a_day(quick_site: Site) -> None:
    page = signed_in(quick_site).open(SUMMARY)
    assert heads(page) == ["0.0 days", "0 person-days", "0.0 days"]
    assert [row[3] for row in rows_under(page, "homes-title")] == ["0.0", "0.0"]
    assert "0 units on hand" in page.text


def test_a_store_with_nobody_in_it_says_so(quick_site: Site) -> None:
    page = another_store(quick_site, replace(small_store(), households=()))
    assert (page.status, heads(page)) == (200, [])
    assert "Nobody here has a need to meet" in page.text
    assert "There are no households yet." in page.text
    assert list(page.root.each("img")) == []
    bars = page.browser.open("/stores/stonebrook/summary/days.svg")
    assert (bars.status, "No household to show." in bars.html) == (200, True)


def test_a_store_with_nothing_at_all_has_a_page(quick_site: Site) -> None:
    page = another_store(quick_site, replace(small_store(), households=(), places=()))
    assert page.status == 200
    names = {control for control, _ in page.form("/summary").fields}
    assert names == {"ration", "basis"}


def test_beyond_forty_households_the_picture_says_how_many_more_stand_in_the_table(
    quick_site: Site,
) -> None:
    home = small_store().households[0]
    homes = [
        replace(
            home,
            id=HouseholdId(f"H-{number:02}"),
            members=tuple(replace(one, id=MemberId(f"M-{number}")) for one in home.members),
        )
        for number in range(MOST_BARS + 2)
    ]
    page = another_store(quick_site, replace(small_store(), households=tuple(homes)))
    assert "2 more households stand in the table below." in page.text
    assert len(rows_under(page, "homes-title")) == MOST_BARS + 2


def name_everything(site: Site, name: str) -> None:
    """Give the store, its places and its households one name."""
    change(
        site.engine,
        partial(change_store, name=name, settings=StoreSettings(), if_revision=2),
        by=someone(),
    )
    for table in (HOUSEHOLD, PLACE):
        named = update(table).where(table.c.store == STORE_ID).values(name=name)
        write_beside(site.engine, partial(Connection.execute, statement=named), store=STORE_ID)


def test_names_are_shown_as_they_are_and_run_nothing(quick_site: Site) -> None:
    name = "<b>&amp;\"'</b><script>"
    name_everything(quick_site, name)
    put_up(quick_site.engine, *set_aside())
    browser = signed_in(quick_site)
    page = browser.open(SUMMARY)
    assert page.root.the("header").text.startswith(name)
    assert [row[0] for row in rows_under(page, "homes-title")] == [name, name]
    assert rows_under(page, "past-title")[0][3] == name
    assert list(page.root.each("b", "script")) == []
    assert "<script" not in browser.open(BARS).html


def test_dates_are_written_the_way_of_the_store(quick_site: Site) -> None:
    british = StoreSettings(locale="en-GB")
    change(
        quick_site.engine,
        partial(change_store, name="Fernhollow", settings=british, if_revision=2),
    )
    put_up(quick_site.engine, box(1, printed="2026-08-31"))
    page = signed_in(quick_site).open(SUMMARY)
    assert "As of 1 September 2026." in page.text
    assert rows_under(page, "past-title")[0][0] == "31 Aug 2026"
