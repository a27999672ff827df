"""A coordinator reads what can go to partners, and promises what is ticked: all of it or none."""

from dataclasses import replace
from datetime import timedelta

import pytest

from daysworth.answers.planning_pool import PlanningPool
from daysworth.db.partners import KeptPartner, list_partners
from daysworth.db.promises import list_promises
from daysworth.domain.promises import PromiseState
from tests.grounds import CELLAR, box, look, lots_of, promises_balance, put_up, version_of
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import STORE, signed_in
from tests.pages.giving import SOON, SURPLUS, VISIT, open_page, put_up_surplus, tick
from tests.partner_grounds import add_kitchen


def promised_units(site: Site) -> int:
    """Count the units that open promises hold; the books must agree."""
    assert promises_balance(site.engine)
    return sum(lot.units_promised for lot in lots_of(site.engine).values())


def rows(page: Page) -> list[str]:
    """Give the rows of the packing lists, the places among them."""
    return [one.text for table in page.root.each("table") for one in table.each("th", scope="row")]


def test_without_partners_the_page_leads_to_where_one_is_added(quick_site: Site) -> None:
    page = open_page(signed_in(quick_site), SURPLUS)
    assert "Nobody is entered yet who takes food." in page.text
    assert page.link("Add a partner") == f"{STORE}/partners"


def test_the_plan_stands_visit_by_visit_and_place_by_place(quick_site: Site) -> None:
    lot = put_up_surplus(quick_site)
    put_up(quick_site.engine, box(4, place=CELLAR, **SOON))
    page = open_page(signed_in(quick_site), SURPLUS)
    assert "10 packs, 2.1 kg and 2,263 kcal could go, in 1 visit." in page.text
    assert "Lantern Kitchen (invented)" in page.text
    assert "Tuesday 8 September 2026, 09:00 to 11:00" in page.text
    assert "It can be promised until September 8, 2026." in page.text
    places = [one.text for one in page.root.each("th", scope="rowgroup")]
    assert places == ["Cellar", "Shelf"]
    assert rows(page) == ["Pink salmon, tinned"] * 2
    assert page.link("Pink salmon") != f"{STORE}/lots/{lot.id}"


def test_what_is_ticked_is_promised_once(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    form = open_page(signed_in(quick_site), SURPLUS).form("promise")
    first, second = form.submit(), form.submit()
    assert "It is promised, and reserved for its visit." in first.text
    assert "Lantern Kitchen (invented)" in first.text
    assert (second.status, second.address) == (200, f"{STORE}/promises?done=promise")
    assert promised_units(quick_site) == 6
    page = open_page(signed_in(quick_site), SURPLUS)
    assert "Nothing can go on the " in page.text


def test_two_presses_at_the_same_moment_are_one_promise(site: Site) -> None:
    put_up_surplus(site)
    browser = signed_in(site)
    form = open_page(browser, SURPLUS).form("promise")
    pages = browser.submit_together([form, form])
    assert [page.status for page in pages] == [200, 200]
    assert promised_units(site) == 6
    kept = look(site.engine, lambda reading: list_promises(reading, state=PromiseState.OPEN))
    assert len(kept.items) == 1


def test_nothing_ticked_promises_nothing_and_says_so(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    before = version_of(quick_site.engine)
    form = open_page(signed_in(quick_site), SURPLUS).form("promise")
    page = tick(form, VISIT, is_ticked=False).submit()
    assert page.status == 422
    assert "No visit of this plan is ticked." in page.text
    assert VISIT not in dict(page.form("promise").fields)
    assert version_of(quick_site.engine) == before


def test_a_plan_that_is_no_longer_the_same_is_shown_again(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    form = open_page(signed_in(quick_site), SURPLUS).form("promise")
    put_up(quick_site.engine, box(2, **SOON))
    page = form.submit()
    assert page.status == 412
    assert "The plan is not as it was when you opened this page" in page.text
    assert "Nothing was changed." in page.text
    assert promised_units(quick_site) == 0
    assert page.form("promise").submit().status == 200
    assert promised_units(quick_site) == 8


def test_a_key_is_not_used_for_another_promise(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    form = open_page(signed_in(quick_site), SURPLUS).form("promise")
    assert form.submit().status == 200
    page = form.forged(version="999").submit()
    assert page.status == 409
    assert "This form was sent before, with something else in it." in page.text
    assert promised_units(quick_site) == 6


def test_a_visit_of_today_is_in_no_plan_once_it_has_closed(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    # The visit closes at 11:00 in Berlin; the clock says noon in UTC on that Tuesday.
    quick_site.clock.move(timedelta(days=7))
    late = open_page(signed_in(quick_site), SURPLUS)
    assert VISIT not in late.text
    assert "8 September 2026, 09:00" not in late.text


def test_what_is_ticked_for_a_visit_that_closed_meanwhile_is_refused_in_words(
    quick_site: Site,
) -> None:
    put_up_surplus(quick_site)
    quick_site.clock.move(timedelta(days=6, hours=20))
    form = open_page(signed_in(quick_site), SURPLUS).form("promise")
    assert VISIT in dict(form.fields)
    quick_site.clock.move(timedelta(hours=4))
    page = form.submit()
    assert page.status == 412
    assert "somebody changed the store, or a visit is over" in page.text
    assert promised_units(quick_site) == 0


def test_what_stays_is_told_with_its_reason_in_words(quick_site: Site) -> None:
    add_kitchen(quick_site.engine)
    put_up(quick_site.engine, box(5, printed="2026-09-04"), box(3, is_home_canned=True, **SOON))
    page = open_page(signed_in(quick_site), SURPLUS)
    assert "No visit comes in time: 5 packs" in page.text
    assert "No visit that can still be promised is before its date, 4 September 2026." in page.text
    assert "5 × Pink salmon, tinned, Shelf, good until Sep 4, 2026." in page.text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("floor_days=many", "Write whole days, from 0 to 730, or nothing."),
        ("floor_days=731", "Write whole days, from 0 to 730, or nothing."),
        ("until=2026-13-01", "Choose a day from 2010 to 2090, or none."),
        ("until=1999-01-01", "Choose a day from 2010 to 2090, or none."),
    ],
)
def test_a_question_that_cannot_be_understood_is_asked_again(
    quick_site: Site, asked: str, said: str
) -> None:
    put_up_surplus(quick_site)
    page = signed_in(quick_site).open(f"{SURPLUS}?{asked}")
    assert page.status == 422
    assert said in page.text
    name, _, typed = asked.partition("=")
    assert page.form("ask")[name] == typed


def test_a_partner_that_is_not_there_is_told_in_words(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    page = signed_in(quick_site).open(f"{SURPLUS}?partner=nobody")
    assert page.status == 422
    assert "nobody" in page.text


def test_a_plan_asked_another_way_is_promised_as_it_was_asked(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    add_kitchen(quick_site.engine, id="hill-table", name="Hill Table (invented)")
    kept: list[KeptPartner] = look(quick_site.engine, list_partners)
    assert len(kept) == 2
    page = open_page(signed_in(quick_site), f"{SURPLUS}?partner=hill-table&floor_days=0")
    assert "Nothing is held back for everyone to stay fed." in page.text
    done = page.form("promise").submit()
    assert done.status == 200
    assert "Hill Table (invented)" in done.text
    assert "Lantern Kitchen" not in done.text
    assert promised_units(quick_site) == 6


def test_other_floors_stand_beside_the_stores_own(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    form = open_page(signed_in(quick_site), SURPLUS).form("try")
    assert form["floors"] == "0, 7, 28"
    page = form.filled(floors="0, 3").submit()
    assert page.status == 200
    floors = [one.text for one in page.root.each("th", scope="row")]
    assert [one.partition(" From ")[0] for one in floors] == [
        "no floor",
        "3 days",
        "14 days the store’s own",
    ]
    assert "6 packs, 1 visit" in page.text


@pytest.mark.parametrize("floors", ["", "a few", "1,2,3,4,5,6,7", "7, 7.5", "7, 731", "-1"])
def test_floors_that_cannot_be_tried_are_asked_for_again(quick_site: Site, floors: str) -> None:
    put_up_surplus(quick_site)
    form = open_page(signed_in(quick_site), SURPLUS).form("try")
    page = form.filled(floors=floors).submit()
    assert page.status == 422
    assert "Write up to six different numbers of days" in page.text
    assert page.form("try")["floors"] == floors


def test_a_plan_that_takes_too_long_leaves_the_way_to_a_smaller_question(quick_site: Site) -> None:
    put_up_surplus(quick_site)
    hasty = PlanningPool(threads=1, most_waiting=4, limit_s=0.0)
    quick_site.app.state.service = replace(quick_site.service, planners=hasty)
    page = signed_in(quick_site).open(f"{SURPLUS}?floor_days=3")
    hasty.shut_down(drop_waiting=True)
    assert page.status == 503
    assert "This took too long to work out, and was stopped." in page.text
    assert page.form("ask")["floor_days"] == "3"
    assert page.link("Partners") == f"{STORE}/partners"
