"""In a browser that runs no scripts, a box is logged and the summary is read just the same."""

from playwright.sync_api import Browser

from tests.browser.served import COORDINATOR, PASSWORD, Site
from tests.browser.sights import FAR, WORDS, fill_box, press
from tests.browser.visiting import visit
from tests.grounds import books_balance, lots_of


def test_a_box_is_looked_over_saved_and_taken_back(chromium: Browser, site: Site) -> None:
    store = site.new_store()
    with visit(chromium, width_px=360, with_scripts=False) as page:
        page.goto(site.new_link(store))
        fill_box(page, "chickp", date=f"03/04/{FAR.year % 100:02}")
        press(page, "log-save")
        page.check("input[name=chosen_food][value=chickpeas_tinned]")
        press(page, "review-save")
        day = f"March 4, {FAR.year}"
        said = page.get_by_role("status").inner_text()
        assert said == f"Saved: 6 packs of Chickpeas, tinned, best by {day}."
        (lot,) = lots_of(site.engine, store).values()
        assert (lot.food, lot.units) == ("chickpeas_tinned", 6)
        assert lot.printed == f"{FAR.year}-03-04"
        with page.expect_navigation():
            page.locator("button.quiet").click()
        assert page.locator("li.gone").count() == 1
    assert [lot.units for lot in lots_of(site.engine, store).values()] == [0]
    assert books_balance(site.engine, store)


def test_the_summary_is_read_and_asked_another_way(chromium: Browser, site: Site) -> None:
    with visit(chromium, width_px=360, with_scripts=False) as page:
        page.goto(site.page_of(site.neighbourhood, "summary"))
        page.fill("#name", COORDINATOR)
        page.fill("#password", PASSWORD)
        press(page, "sign-in")
        days = page.locator(".figure .big").first.inner_text()
        assert page.locator("section[aria-labelledby=homes-title] tbody tr").count() == 24
        page.get_by_label(WORDS.say("switch-ration-part", percent=50)).check()
        press(page, "switches-ask")
        assert page.locator(".figure .big").first.inner_text() != days
