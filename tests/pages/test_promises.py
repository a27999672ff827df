"""A coordinator reads promises, says what really went, and lets those lapse that nobody kept."""

from datetime import timedelta
from functools import partial

import pytest

from daysworth.db.ledger.labels import record
from daysworth.db.promises import KeptPromise, read_promise
from daysworth.domain.identifiers import LotId
from daysworth.domain.promises import PromiseState
from tests.grounds import CELLAR, box, change, look, lots_of, promises_balance, put_up
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import NO_PEANUT, STORE, signed_in
from tests.pages.giving import PROMISES, open_page, promised
from tests.partner_grounds import add_kitchen, promise_to_kitchen


def kept(site: Site, promise: KeptPromise) -> KeptPromise:
    """Read a promise as it is now; the books must agree."""
    assert promises_balance(site.engine)
    return look(site.engine, partial(read_promise, promise=promise.id))


def open_promise(site: Site, promise: KeptPromise) -> Page:
    """Open the page of a promise."""
    return open_page(signed_in(site), f"{PROMISES}/{promise.id}")


def test_without_promises_the_list_leads_to_what_can_go(quick_site: Site) -> None:
    page = open_page(signed_in(quick_site), PROMISES)
    assert "There is none." in page.text
    assert page.link("See what can go") == f"{STORE}/surplus"


def test_promises_are_listed_by_what_became_of_them(quick_site: Site) -> None:
    made, _ = promised(quick_site, 2)
    page = open_page(signed_in(quick_site), PROMISES)
    assert page.link("Lantern Kitchen") == f"{PROMISES}/{made.id}"
    assert "Promised: 2 packs, 0.4 kg." in page.text
    lapsed = open_page(signed_in(quick_site), f"{PROMISES}?state=lapsed")
    assert "Lantern Kitchen" not in lapsed.text


def test_what_is_promised_stands_in_walking_order(quick_site: Site) -> None:
    add_kitchen(quick_site.engine)
    shelf, cellar = put_up(quick_site.engine, box(6), box(6, place=CELLAR))
    made = promise_to_kitchen(quick_site.engine, (shelf, 1), (cellar, 2))
    page = open_promise(quick_site, made)
    heads = [one.text for one in page.form("hand-off").element.each("h2")]
    assert heads == ["Cellar", "Shelf", "Record the hand-off"]
    assert "Appointment: Ref. 8812" in page.text
    assert "Contact: Side door, 4 Mill Row" in page.text


def test_all_of_it_went_with_one_press_however_often_it_is_pressed(quick_site: Site) -> None:
    made, (lot,) = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("hand-off")
    first, second = form.submit(), form.submit()
    assert "The hand-off is recorded." in first.text
    assert "All of it went on September 1, 2026." in second.text
    assert kept(quick_site, made).state is PromiseState.KEPT
    assert lots_of(quick_site.engine)[lot.id].units == 2


def test_two_presses_at_the_same_moment_are_one_hand_off(site: Site) -> None:
    made, (lot,) = promised(site, 4)
    browser = signed_in(site)
    form = open_page(browser, f"{PROMISES}/{made.id}").form("hand-off")
    pages = browser.submit_together([form, form])
    assert [page.status for page in pages] == [200, 200]
    assert kept(site, made).state is PromiseState.KEPT
    assert lots_of(site.engine)[lot.id].units == 2


def test_what_was_not_taken_is_free_again_with_its_reason(quick_site: Site) -> None:
    made, (some, none) = promised(quick_site, 4, 3)
    form = open_promise(quick_site, made).form("hand-off")
    typed = {f"went-{some.id}": "1", f"why-{some.id}": "Dented on the way", f"went-{none.id}": "0"}
    page = form.filled(**typed, why="Their shelf was full").submit()
    assert page.status == 200
    assert "Some of it went on September 1, 2026; the rest is free again." in page.text
    assert "Their shelf was full. Recorded by Ada Rowe." in page.text
    ended = kept(quick_site, made)
    assert [(one.went, one.why) for one in ended.lines] == [
        (1, "Dented on the way"),
        (0, "Their shelf was full"),
    ]
    lots = lots_of(quick_site.engine)
    assert [(lots[one.id].units, lots[one.id].units_promised) for one in (some, none)] == [
        (5, 0),
        (6, 0),
    ]


def test_nothing_taken_is_told_as_it_was(quick_site: Site) -> None:
    made, (lot,) = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("hand-off")
    page = form.filled(**{f"went-{lot.id}": "0"}, why="They were shut.").submit()
    assert "the partner took nothing; all of it is free again. They were shut. " in page.text
    assert "Delivery note" not in page.text


@pytest.mark.parametrize("went", ["5", "-1", "all", "", "2.5"])
def test_more_than_was_promised_or_no_number_is_told_beside_its_field(
    quick_site: Site, went: str
) -> None:
    made, (lot,) = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("hand-off")
    page = form.filled(**{f"went-{lot.id}": went}).submit()
    assert page.status == 422
    assert page.by_id("went-1-fault").text == "Write a whole number, from 0 to what was promised."
    assert page.form("hand-off")[f"went-{lot.id}"] == went
    assert kept(quick_site, made).state is PromiseState.OPEN


def test_fewer_without_a_reason_is_asked_why(quick_site: Site) -> None:
    made, (lot,) = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("hand-off")
    page = form.filled(**{f"went-{lot.id}": "3"}).submit()
    assert page.status == 422
    assert page.by_id("why-1-fault").text.startswith("Say why the rest did not go")
    assert kept(quick_site, made).state is PromiseState.OPEN


@pytest.mark.parametrize("day", ["", "yesterday", "2026-02-30", "2026-08-31", "2026-09-02"])
def test_a_day_on_which_it_cannot_have_gone_records_nothing(quick_site: Site, day: str) -> None:
    made, _ = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("hand-off")
    page = form.filled(day=day).submit()
    assert page.status in (409, 422)
    assert page.form("hand-off")["day"] == day
    assert kept(quick_site, made).state is PromiseState.OPEN


def test_what_may_not_go_any_more_is_named_with_what_to_do(quick_site: Site) -> None:
    add_kitchen(quick_site.engine, asks_read_label=True)
    (lot,) = put_up(quick_site.engine, box(6))
    change(quick_site.engine, partial(record, lot=LotId(lot.id), reading=NO_PEANUT))
    made = promise_to_kitchen(quick_site.engine, (lot, 2))
    quick_site.clock.move(timedelta(days=900))
    page = open_promise(quick_site, made)
    assert "Its day is past: say what went." in page.text
    page = page.form("hand-off").submit()
    assert page.status == 409
    assert f"Lot '{lot.id}' (Pink salmon, tinned)" in page.text
    assert "give 0 of it, with the reason" in page.text
    assert kept(quick_site, made).state is PromiseState.OPEN


def test_a_promise_that_was_ended_meanwhile_is_told_so(quick_site: Site) -> None:
    made, _ = promised(quick_site, 4)
    page = open_promise(quick_site, made)
    assert page.form("lapse").filled(why="The road is closed").submit().status == 200
    late = page.form("hand-off").submit()
    assert late.status == 409
    assert "already" in late.text
    assert "Nothing was brought; all of it is free again since September 1, 2026." in late.text


def test_a_lapse_asks_for_a_reason_and_frees_all_of_it(quick_site: Site) -> None:
    made, (lot,) = promised(quick_site, 4)
    form = open_promise(quick_site, made).form("lapse")
    page = form.filled(why=" ").submit()
    assert page.status == 422
    assert page.by_id("lapse-why-fault").text == "Say why, in plain words on one line."
    done = page.form("lapse").filled(why="Nobody could drive").submit()
    assert "The promise has lapsed: all of it is free again." in done.text
    assert "Nobody could drive. Recorded by Ada Rowe." in done.text
    assert lots_of(quick_site.engine)[lot.id].units_promised == 0
    assert kept(quick_site, made).state is PromiseState.LAPSED


def test_promises_for_visits_long_over_are_freed_at_once(quick_site: Site) -> None:
    made, (lot,) = promised(quick_site, 4)
    waiting = open_page(signed_in(quick_site), PROMISES)
    assert not any("lapse" in one.address for one in waiting.forms)
    quick_site.clock.move(timedelta(days=10))
    page = open_page(signed_in(quick_site), PROMISES).form("lapse-overdue").submit()
    assert "What was promised for visits long over is free again." in page.text
    assert kept(quick_site, made).state is PromiseState.LAPSED
    assert lots_of(quick_site.engine)[lot.id].units_promised == 0


@pytest.mark.parametrize(
    ("quick_site", "box_of_page"),
    [("en-US", b"612"), ("en-GB", b"595.")],
    indirect=["quick_site"],
)
def test_a_delivery_note_is_printed_on_the_paper_of_the_place(
    quick_site: Site, box_of_page: bytes
) -> None:
    made, _ = promised(quick_site, 4)
    browser = signed_in(quick_site)
    page = open_page(browser, f"{PROMISES}/{made.id}")
    note = browser.open(page.link("Delivery note"))
    assert (note.status, note.headers["content-type"]) == (200, "application/pdf")
    assert b"/MediaBox [0 0 " + box_of_page in note.answer.content


def test_a_note_of_what_lapsed_is_refused_in_words(quick_site: Site) -> None:
    made, _ = promised(quick_site, 4)
    browser = signed_in(quick_site)
    page = open_page(browser, f"{PROMISES}/{made.id}")
    assert page.form("lapse").filled(why="The road is closed").submit().status == 200
    note = browser.open(f"{PROMISES}/{made.id}/delivery-note")
    assert note.status == 409
    assert "there is nothing to write a delivery note for" in note.text


def test_a_promise_that_is_not_there_is_told_in_words(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for address in ("", "/delivery-note"):
        page = browser.open(f"{PROMISES}/R-NONE{address}")
        assert page.status == 404
        assert "There is no promise" in page.text


def test_a_partner_that_is_no_nonprofit_is_told_with_the_law(quick_site: Site) -> None:
    add_kitchen(quick_site.engine, is_nonprofit=False)
    (lot,) = put_up(quick_site.engine, box(6))
    made = promise_to_kitchen(quick_site.engine, (lot, 2))
    assert "Not legal advice." in open_promise(quick_site, made).text


def test_what_was_given_is_added_up_by_partner_and_month(quick_site: Site) -> None:
    made, _ = promised(quick_site, 4)
    assert open_promise(quick_site, made).form("hand-off").submit().status == 200
    browser = signed_in(quick_site)
    page = open_page(browser, f"{STORE}/given")
    assert "4 packs, 0.9 kg and 905 kcal, in 1 hand-off." in page.text
    assert [one.text for one in page.root.each("th", scope="row")] == [
        "Lantern Kitchen (invented)",
        "September 2026",
    ]
    assert "a conversion of mass, not of nutrition" in page.text
    before = page.form("ask").filled(to="2026-08-31").submit()
    assert "Nothing was, in that time." in before.text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"from": "soon"}, "Choose a day."),
        ({"to": ""}, "Choose a day."),
        ({"from": "2026-09-02", "to": "2026-09-01"}, "This day is after the last one."),
    ],
)
def test_a_time_that_is_none_is_asked_for_again(
    quick_site: Site, typed: dict[str, str], said: str
) -> None:
    form = open_page(signed_in(quick_site), f"{STORE}/given").form("ask")
    page = form.filled(**typed).submit()
    assert page.status == 422
    assert said in page.text
