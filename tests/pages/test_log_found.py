"""What an attack on the logging page found, each held by a claim."""

import pytest

from daysworth.db.foods import add_food
from daysworth.db.links import follow_link
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.identifiers import FoodId
from tests.grounds import NOON, SALMON, books_balance, box, change, lots_of, put_up
from tests.pages.browsing import Page, Site

BOX = {"what": "Pink salmon, tinned", "units": "12", "kind": "best_by", "date": "2029-04"}


def units(site: Site) -> list[int]:
    return sorted(lot.units for lot in lots_of(site.engine).values())


def own_food(site: Site, number: int, *, name: str, gtin: str | None = None) -> None:
    like = generic_foods()[SALMON]
    values = {field: getattr(like, field) for field in like.__dataclass_fields__}
    food = type(like)(**{**values, "id": FoodId(f"own-{number}"), "name": name})
    change(site.engine, lambda writing: add_food(writing, food, gtin=gtin, label=None))


def saved_all_the_same(page: Page) -> Page:
    return page.form("box").submit()


def test_an_old_form_sent_again_does_not_say_that_a_box_taken_back_is_saved(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    form = quick_site.browser().open(link).form("box").filled(**BOX)
    form.submit().form("take-back").submit()
    again = form.submit()
    assert "was logged before and taken back" in again.text
    assert "Saved:" not in again.text
    assert again.form("box")["what"] == BOX["what"]
    assert units(quick_site) == [0]
    assert "Saved: 12 packs" in again.form("box").submit().text
    assert units(quick_site) == [0, 12]


def test_a_form_sent_twice_is_answered_twice_alike(quick_site: Site) -> None:
    form = quick_site.browser().open(quick_site.new_link()).form("box").filled(**BOX)
    first, second = form.submit(), form.submit()
    assert "Saved: 12 packs" in first.text
    assert second.text == first.text
    assert units(quick_site) == [12]


def test_the_same_box_in_another_form_is_asked_about_once(quick_site: Site) -> None:
    link = quick_site.new_link()
    quick_site.log(link)
    asked = quick_site.log(link)
    assert "The same was logged here a moment ago" in asked.text
    assert units(quick_site) == [12]
    assert "Saved:" in saved_all_the_same(asked).text
    assert units(quick_site) == [12, 12]


def test_same_again_is_not_asked_about(quick_site: Site) -> None:
    first = quick_site.log(quick_site.new_link())
    again = quick_site.browser().open(first.link("Same again"))
    assert "Saved:" in again.form("box").submit().text
    assert units(quick_site) == [12, 12]


def test_a_scan_without_brackets_is_read_as_a_barcode(quick_site: Site) -> None:
    page = quick_site.log(
        quick_site.new_link(), what="01004012340000171728040310AB-12", kind="use_by", date=""
    )
    assert page.form("box")["date"] == "2028-04-03"
    done = page.form("box").filled(chosen_food="none").submit()
    assert "use by April 3, 2028" in done.text
    assert [lot.pack_code for lot in lots_of(quick_site.engine).values()] == ["AB-12"]


@pytest.mark.parametrize("what", ["(organic) beans", "]odd name", "(Own) salmon"])
def test_words_in_brackets_are_words(quick_site: Site, what: str) -> None:
    own_food(quick_site, 1, name="(Own) salmon")
    page = quick_site.log(quick_site.new_link(), what=what)
    if what != "(Own) salmon":
        page = page.form("box").filled(chosen_food="none").submit()
    assert f"Saved: 12 packs of {what}" in page.text


def test_a_packing_date_that_is_still_to_come_is_asked_about(quick_site: Site) -> None:
    link = quick_site.new_link()
    page = quick_site.log(link, kind="packed_on", date="2027-01-01")
    assert "a day that is still to come" in page.text
    assert units(quick_site) == []
    assert "The packing date is still to come." in saved_all_the_same(page).text
    for day in ("2026-09-01", "2026-09", "2026"):
        # Printed as far as today is: the month that it is now has begun.
        assert "Saved:" in quick_site.log(link, kind="packed_on", date=day, units="7").text


def test_a_date_in_the_barcode_that_is_another_is_asked_about(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), what="(01)00401234000017(17)280115")
    chosen = page.form("box").filled(chosen_food="none").submit()
    assert "The barcode says January 15, 2028, and you typed April 2029." in chosen.text
    assert units(quick_site) == []
    assert "best by April 2029" in saved_all_the_same(chosen).text


def test_a_button_pressed_too_late_is_answered_in_words(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link())
    late = page.form("take-back").forged(lot="L-0000000000").submit()
    assert "cannot be taken back here any more" in late.text
    assert units(quick_site) == [12]


@pytest.mark.parametrize("field", ["what", "giver"])
@pytest.mark.parametrize("sent", ["%FF", "%ED%A0%80", "%EF%BF%BD"])
def test_what_is_no_text_is_not_kept(quick_site: Site, field: str, sent: str) -> None:
    link = quick_site.new_link()
    fields = ["what=red+jars", "units=1", "kind=unlabelled", "giver=x", "key=k"]
    body = "&".join(f"{field}=ab{sent}" if one.startswith(f"{field}=") else one for one in fields)
    page = quick_site.browser().send(
        "POST",
        link,
        content=body.encode("ascii"),
        headers={"Content-Type": "application/x-www-form-urlencoded"},
    )
    assert page.status == 422
    assert "signs in it that cannot be kept" in page.text
    assert units(quick_site) == []


@pytest.mark.parametrize("body", ["units=5&units=6", "damaged=yes&damaged=", "key=a&key=b"])
def test_a_field_sent_twice_is_refused(quick_site: Site, body: str) -> None:
    page = quick_site.browser().send(
        "POST",
        quick_site.new_link(),
        content=f"what=salmon&kind=unlabelled&{body}".encode("ascii"),
        headers={"Content-Type": "application/x-www-form-urlencoded"},
    )
    assert page.status == 422
    assert "A field came twice" in page.text
    assert units(quick_site) == []


def test_a_warning_can_be_got_past_however_often_the_date_was_changed(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), date="2026-09-10")
    for day in range(11, 29):
        page = page.form("box").filled(date=f"2026-09-{day}").submit()
        assert "less than six months" in page.text
    assert len(page.form("box")["seen"]) < 100
    assert "Saved:" in saved_all_the_same(page).text


@pytest.mark.parametrize("what", ["w" * 121, "\u200b\u200f", "--"])
def test_words_that_cannot_be_kept_whole_are_not_kept(quick_site: Site, what: str) -> None:
    page = quick_site.log(quick_site.new_link(), what=what)
    assert page.status == 422
    assert page.by_id("what").marks["aria-invalid"] == "true"
    assert units(quick_site) == []


def test_more_foods_than_are_shown_by_their_digits_are_told_of(quick_site: Site) -> None:
    for number in range(13):
        own_food(quick_site, number, name=f"Soup {number}", gtin=f"0040123400{number:04}")
    page = quick_site.log(quick_site.new_link(), what="401234")
    assert "There are more." in page.text
    assert "Soup 11" in page.text


def test_the_oldest_boxes_of_a_day_can_still_be_seen_and_taken_back(quick_site: Site) -> None:
    link = quick_site.new_link()
    by = follow_link(quick_site.engine, link.rpartition("/")[2], at=NOON)
    put_up(quick_site.engine, *(box(units) for units in range(1, 46)), by=by)
    page = quick_site.browser().open(link)
    assert "These are the newest 40." in page.text
    assert len([form for form in page.forms if form.address.endswith("/take-back")]) == 40
    older = page.browser.open(page.link("Show the older ones"))
    assert "Just logged here: 45 boxes" in older.text
    assert "newest" not in older.text


def test_a_forged_key_is_no_key(quick_site: Site) -> None:
    form = quick_site.browser().open(quick_site.new_link()).form("box").filled(**BOX)
    assert "Saved:" in form.forged(key="a\x00b").submit().text
    assert units(quick_site) == [12]


def test_cases_without_packs_have_one_fault(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), cases="2", units="5")
    assert "One thing needs another look" in page.text
    assert "aria-invalid" in page.by_id("units_per_case").marks


def test_the_books_balance_after_boxes_come_and_go(quick_site: Site) -> None:
    link = quick_site.new_link()
    page = quick_site.log(link)
    page.form("take-back").submit()
    saved_all_the_same(quick_site.log(link, units="3"))
    assert books_balance(quick_site.engine)
    assert units(quick_site) == [0, 3]
