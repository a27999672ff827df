"""What a volunteer is asked before a box is saved: which day, which food, whether to save it."""

from dataclasses import replace
from functools import partial

import pytest

from daysworth.db.foods import add_food
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from tests.grounds import SALMON, books_balance, change, lots_of
from tests.pages.browsing import Page, Site

SALMON_NAME = "Pink salmon, tinned"
GTIN = "0401234000017"
"""An invented number of 13 digits, the last of which is right."""


def asked_days(page: Page) -> list[str]:
    """Give the days among which a page asks to choose, as a form would send them."""
    return [one.marks["value"] for one in page.root.each("input", name="chosen_date", type="radio")]


def asked_foods(page: Page) -> list[str]:
    """Give the foods among which a page asks to choose, by id."""
    return [one.marks["value"] for one in page.root.each("input", name="chosen_food", type="radio")]


def shown_warnings(page: Page) -> list[str]:
    """Give what a page warns of before the box is saved."""
    return [
        one.text
        for group in page.root.each("ul", **{"class": "warnings"})
        for one in group.each("li")
    ]


def printed(site: Site) -> list[str | None]:
    """Give the printed date of every lot there is, in order."""
    return sorted((lot.printed for lot in lots_of(site.engine).values()), key=str)


def own_food(site: Site, name: str, *, gtin: str | None = GTIN) -> Food:
    """Add a food of the store's own, like tinned salmon."""
    food = replace(generic_foods()[SALMON], id=FoodId(f"own-{name}"), name=name)
    padded = None if gtin is None else gtin.zfill(14)
    change(site.engine, partial(add_food, food=food, gtin=padded, label=None))
    return food


def test_a_date_in_figures_is_asked_about_once_and_then_read_the_same_way(site: Site) -> None:
    page = site.log(site.new_link(), date="03/04/28")
    assert asked_days(page) == ["2028-03-04", "2028-04-03"]
    assert page.form("box")["chosen_date"] == "2028-03-04"
    assert lots_of(site.engine) == {}
    saved = page.form("box").submit()
    assert f"Saved: 12 packs of {SALMON_NAME}, best by March 4, 2028." in saved.text
    next_box = {"what": SALMON_NAME, "units": "1", "date": "05/06/28"}
    later = saved.form("box").filled(**next_box).submit()
    assert f"Saved: 1 pack of {SALMON_NAME}, best by May 6, 2028." in later.text
    assert printed(site) == ["2028-03-04", "2028-05-06"]
    assert books_balance(site.engine)


def test_the_order_stays_confirmed_through_a_fault_the_same_again_and_a_taking_back(
    quick_site: Site,
) -> None:
    page = quick_site.log(quick_site.new_link(), date="03/04/28").form("box").submit()
    again = page.browser.open(page.link("Same again"))
    back = next(form for form in page.forms if form.address.endswith("/take-back")).submit()
    box = {"what": SALMON_NAME, "date": "05/06/28"}
    fault = page.form("box").filled(**box).submit()
    assert fault.status == 422
    for units, opened in enumerate((again, back, fault), start=1):
        saved = opened.form("box").filled(units=str(units), **box).submit()
        assert "best by May 6, 2028." in saved.text


def test_the_less_usual_order_is_saved_as_chosen_and_asked_about_each_time(
    quick_site: Site,
) -> None:
    page = quick_site.log(quick_site.new_link(), date="03/04/28")
    saved = page.form("box").filled(chosen_date="2028-04-03").submit()
    assert "best by April 3, 2028." in saved.text
    later = saved.form("box").filled(what=SALMON_NAME, units="1", date="05/06/28").submit()
    assert asked_days(later) == ["2028-05-06", "2028-06-05"]
    assert printed(quick_site) == ["2028-04-03"]


@pytest.mark.parametrize("quick_site", ["en-GB"], indirect=True)
def test_a_store_that_writes_the_day_first_asks_for_it_first_and_says_it_so(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    assert "Day first: 03/04/27 is 3 April." in quick_site.browser().open(link).text
    page = quick_site.log(link, date="03/04/28")
    assert asked_days(page) == ["2028-04-03", "2028-03-04"]
    assert "best by 3 April 2028." in page.form("box").submit().text


@pytest.mark.parametrize("quick_site", ["sv-SE"], indirect=True)
def test_a_store_that_writes_the_year_first_reads_it_first(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), date="28/04/03")
    assert asked_days(page)[0] == "2028-04-03"


@pytest.mark.parametrize(
    ("typed", "kept", "said"),
    [
        ("04/2028", "2028-04", "April 2028"),
        ("2028", "2028", "2028"),
        ("13/04/28", "2028-04-13", "April 13, 2028"),
        ("BEST BEFORE 04 APR 2028", "2028-04-04", "April 4, 2028"),
    ],
)
def test_a_date_that_can_be_read_one_way_is_saved_as_far_as_it_was_printed(
    quick_site: Site, typed: str, kept: str, said: str
) -> None:
    page = quick_site.log(quick_site.new_link(), date=typed)
    assert f"best by {said}." in page.text
    assert printed(quick_site) == [kept]


def test_another_date_typed_over_the_one_in_question_is_read_afresh(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), date="03/04/28")
    changed = page.form("box").filled(chosen_date="2028-04-03", date="2029-11-30").submit()
    assert "best by November 30, 2029." in changed.text
    other = page.form("box").filled(date="05/06/28").submit()
    assert asked_days(other) == ["2028-05-06", "2028-06-05"]
    assert printed(quick_site) == ["2029-11-30"]


WARNED: list[tuple[dict[str, str | bool], str]] = [
    ({"date": "2027-02"}, "It keeps until February 28, 2027, which is less than six months."),
    ({"date": "2026-08"}, "Its last good day was August 31, 2026."),
    ({"damaged": True}, "It is damaged. Do not open it, and do not taste it."),
    ({"home_canned": True}, "Home-canned food is not for the pool"),
    ({"unreadable": True}, "Its label cannot be read, so nobody with an allergy may have it."),
    ({"date": "2060-01"}, "That date is more than thirty years ahead."),
]


@pytest.mark.parametrize(
    ("typed", "says"), WARNED, ids=["short", "past", "damaged", "canned", "unreadable", "far"]
)
def test_a_warning_is_shown_before_the_box_is_saved_and_beside_it_afterwards(
    quick_site: Site, typed: dict[str, str | bool], says: str
) -> None:
    page = quick_site.log(quick_site.new_link(), **typed)
    (warning,) = shown_warnings(page)
    assert warning.startswith(says)
    assert "It is not saved yet." in page.text
    assert lots_of(quick_site.engine) == {}
    saved = page.form("box").submit()
    assert len(list(saved.root.the("div", role="status").each("p", **{"class": "note"}))) == 1
    assert len(lots_of(quick_site.engine)) == 1


def test_a_day_that_is_six_months_ahead_brings_no_warning_and_the_day_before_does(
    quick_site: Site,
) -> None:
    link = quick_site.new_link()
    assert "Saved:" in quick_site.log(link, date="2027-03-01").text
    assert len(shown_warnings(quick_site.log(link, date="2027-02-28"))) == 1
    assert printed(quick_site) == ["2027-03-01"]


def test_all_that_is_wrong_is_shown_at_once_and_kept_with_the_box(site: Site) -> None:
    page = site.log(
        site.new_link(), date="2026-08", damaged=True, home_canned=True, unreadable=True
    )
    assert len(shown_warnings(page)) == 4
    assert lots_of(site.engine) == {}
    saved = page.form("box").submit()
    (box,) = saved.by_id("just-logged").each("li")
    assert len(list(box.each("p", **{"class": "note"}))) == 4
    (lot,) = lots_of(site.engine).values()
    assert lot.condition == Condition.DAMAGED
    assert books_balance(site.engine)


def test_what_is_home_canned_is_set_aside(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), home_canned=True)
    page.form("box").submit()
    (lot,) = lots_of(quick_site.engine).values()
    assert lot.condition == Condition.QUARANTINED


@pytest.mark.parametrize(
    "changed",
    [
        {"date": "2027-01"},
        {"kind": "use_by"},
        {"damaged": True},
        {"what": "Tuna in water, tinned"},
    ],
    ids=["date", "kind", "condition", "food"],
)
def test_a_box_changed_after_its_warning_was_seen_is_warned_of_again(
    quick_site: Site, changed: dict[str, str | bool]
) -> None:
    page = quick_site.log(quick_site.new_link(), date="2027-02")
    again = page.form("box").filled(**changed).submit()
    assert shown_warnings(again)
    assert lots_of(quick_site.engine) == {}
    assert "Saved:" in again.form("box").submit().text


def test_a_box_put_right_after_its_warning_is_saved_at_once(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), date="2027-02", damaged=True)
    assert len(shown_warnings(page)) == 2
    saved = page.form("box").filled(date="2029-02", damaged=False, units="5").submit()
    assert "Saved: 5 packs" in saved.text
    (lot,) = lots_of(quick_site.engine).values()
    assert (lot.condition, lot.printed) == (Condition.SOUND, "2029-02")


def test_food_and_day_are_asked_together_and_the_warning_comes_after(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), what="salmon", date="12/11/26")
    assert asked_foods(page) == [SALMON, "none"]
    assert asked_days(page) == ["2026-12-11", "2026-11-12"]
    warned = page.form("box").filled(chosen_food=SALMON).submit()
    assert len(shown_warnings(warned)) == 1
    assert (asked_foods(warned), asked_days(warned)) == ([], [])
    saved = warned.form("box").submit()
    assert "best by December 11, 2026." in saved.text
    assert saved.form("box")["order"] == "yes"


def test_no_food_is_chosen_for_anybody(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), what="salmon")
    with pytest.raises(KeyError):
        page.form("box")["chosen_food"]
    assert asked_foods(page.form("box").submit()) == [SALMON, "none"]
    assert lots_of(quick_site.engine) == {}


@pytest.mark.parametrize("what", ["quince paste", "1234", "2027", "salmon", "Äpfel & <b>"])
def test_what_is_not_in_the_list_is_always_saved_as_words(quick_site: Site, what: str) -> None:
    page = quick_site.log(quick_site.new_link(), what=what)
    saved = page.form("box").filled(chosen_food="none").submit()
    assert f"Saved: 12 packs of {what}, best by April 2029." in saved.text
    assert "Not in the list: it waits for a coordinator to say what it is." in saved.text
    (lot,) = lots_of(quick_site.engine).values()
    assert (lot.food, lot.words) == (None, what)


def test_choosing_a_food_and_then_changing_the_words_chooses_nothing(quick_site: Site) -> None:
    page = quick_site.log(quick_site.new_link(), what="salmon")
    again = page.form("box").filled(chosen_food=SALMON, what="tuna").submit()
    assert asked_foods(again) == ["tuna_in_oil_tinned", "tuna_in_water_tinned", "none"]
    words = again.form("box").filled(chosen_food="none", what="sal").submit()
    assert SALMON in asked_foods(words)
    assert lots_of(quick_site.engine) == {}


def test_words_that_many_foods_have_show_some_and_say_that_there_are_more(
    quick_site: Site,
) -> None:
    page = quick_site.log(quick_site.new_link(), what="tinned")
    assert len(asked_foods(page)) == 13
    assert "There are more." in page.text


@pytest.mark.parametrize("scanned", [GTIN, GTIN[1:], GTIN.zfill(14), "0 401234 00001-7"])
def test_a_whole_number_under_a_barcode_finds_the_stores_own_food(
    quick_site: Site, scanned: str
) -> None:
    food = own_food(quick_site, "Elm Row salmon")
    saved = quick_site.log(quick_site.new_link(), what=scanned)
    assert "Saved: 12 packs of Elm Row salmon" in saved.text
    assert {lot.food for lot in lots_of(quick_site.engine).values()} == {food.id}


def test_a_number_that_two_foods_have_and_one_that_none_has_are_asked_about(
    quick_site: Site,
) -> None:
    foods = [own_food(quick_site, name) for name in ("Elm Row salmon", "Elm Row salmon, new")]
    link = quick_site.new_link()
    assert asked_foods(quick_site.log(link, what=GTIN)) == [*(food.id for food in foods), "none"]
    unknown = quick_site.log(link, what="4012345678901")
    assert "Nothing in the list is called “4012345678901”." in unknown.text
    assert "Saved: 12 packs of 4012345678901" in unknown.form("box").submit().text


def test_a_few_digits_show_the_foods_whose_number_has_them(site: Site) -> None:
    food = own_food(site, "Elm Row salmon")
    own_food(site, "Elm Row tuna", gtin="96385074")
    page = site.log(site.new_link(), what="1234000")
    assert asked_foods(page) == [food.id, "none"]
    saved = page.form("box").filled(chosen_food=food.id).submit()
    assert "Saved: 12 packs of Elm Row salmon" in saved.text


def test_a_wrong_check_digit_is_said_beside_the_field_and_nothing_is_saved(
    quick_site: Site,
) -> None:
    own_food(quick_site, "Elm Row salmon")
    page = quick_site.log(quick_site.new_link(), what="0401234000018")
    assert page.status == 422
    assert page.by_id("what-fault").text == (
        "The last digit of 0401234000018 does not fit the others: read the number again."
    )
    assert page.form("box")["what"] == "0401234000018"
    assert lots_of(quick_site.engine) == {}


@pytest.mark.parametrize(
    ("scanned", "pack_code"),
    [
        (f"(01){GTIN.zfill(14)}(17)280403(10)AB-12", "AB-12"),
        (f"01{GTIN.zfill(14)}17280403101234", "1234"),
        (f"]C101{GTIN.zfill(14)}10AB-12\x1d17280403", "AB-12"),
    ],
    ids=["as printed", "as scanned", "with a separator"],
)
def test_a_barcode_with_a_date_fills_the_date_what_it_is_and_the_code_of_the_pack(
    quick_site: Site, scanned: str, pack_code: str
) -> None:
    food = own_food(quick_site, "Elm Row salmon")
    saved = quick_site.log(quick_site.new_link(), what=scanned, date="", kind="unlabelled")
    assert "Saved: 12 packs of Elm Row salmon, use by April 3, 2028." in saved.text
    (lot,) = lots_of(quick_site.engine).values()
    assert (lot.food, lot.pack_code, lot.printed) == (food.id, pack_code, "2028-04-03")
    assert lot.label_kind == LabelKind.USE_BY


def test_a_barcode_whose_date_is_near_is_warned_of_like_any_other(quick_site: Site) -> None:
    own_food(quick_site, "Elm Row salmon")
    scanned = f"(01){GTIN.zfill(14)}(15)261200"
    page = quick_site.log(quick_site.new_link(), what=scanned, date="")
    assert len(shown_warnings(page)) == 1
    assert page.form("box")["date"] == "2026-12-31"
    assert "best by December 31, 2026." in page.form("box").submit().text
