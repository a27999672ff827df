"""Several people log through one link, and one person presses Save more often than they meant."""

from urllib.parse import urlencode

from playwright.sync_api import Browser, Page

from tests.browser.served import Site
from tests.browser.sights import FAR, fill_box, press
from tests.browser.visiting import visit
from tests.grounds import books_balance, lots_of


def _listed(page: Page) -> list[str]:
    return page.locator("#just-logged li strong").all_inner_texts()


def test_what_two_phones_log_at_once_is_saved_and_both_lists_show_both(
    chromium: Browser, site: Site
) -> None:
    store = site.new_store()
    link = site.new_link(store)
    with visit(chromium, width_px=360) as one, visit(chromium, width_px=360) as other:
        for phone, what in ((one, "Honey"), (other, "Raisins")):
            phone.goto(link)
            fill_box(phone, what)
        # Each page was opened before the other's box was there.
        for phone in (one, other):
            press(phone, "log-save")
        one.goto(link)
        other.goto(link)
        assert _listed(one) == _listed(other) == ["6 packs of Raisins", "6 packs of Honey"]
    assert sorted((lot.food, lot.units) for lot in lots_of(site.engine, store).values()) == [
        ("honey", 6),
        ("raisins", 6),
    ]
    assert books_balance(site.engine, store)


def test_a_double_click_on_save_saves_one_box(page: Page, site: Site) -> None:
    store = site.new_store()
    page.goto(site.new_link(store))
    fill_box(page, "Honey")
    page.locator("button.main").dblclick()
    # The second click sends the form again, and the page that is shown is the answer to that.
    page.locator("#just-logged li").wait_for()
    assert _listed(page) == ["6 packs of Honey"]
    assert page.get_by_role("status").inner_text().startswith("Saved: 6 packs of Honey")
    assert [lot.units for lot in lots_of(site.engine, store).values()] == [6]


def test_a_form_that_is_sent_twice_saves_one_box_and_answers_alike(page: Page, site: Site) -> None:
    store = site.new_store()
    link = site.new_link(store)
    page.goto(link)
    key = page.locator("#box input[name=key]").input_value()
    sent = {"key": key, "what": "Honey", "units": "6", "kind": "best_by", "date": FAR.isoformat()}
    answers = [
        page.context.request.post(
            link,
            data=urlencode(sent),
            headers={"Content-Type": "application/x-www-form-urlencoded"},
        )
        for _ in range(2)
    ]
    assert [answer.status for answer in answers] == [200, 200]
    assert answers[0].url == answers[1].url
    page.goto(link)
    assert _listed(page) == ["6 packs of Honey"]
    assert [lot.units for lot in lots_of(site.engine, store).values()] == [6]
    assert books_balance(site.engine, store)
