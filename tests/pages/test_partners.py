"""A coordinator adds a partner, says what it takes and when, and takes that out again."""

from dataclasses import replace
from functools import partial

import pytest

from daysworth.db.partners import list_partners, read_partner
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import AcceptanceRule, Partner
from tests.grounds import look, version_of
from tests.pages.browsing import Form, Page, Site
from tests.pages.coordinating import signed_in
from tests.pages.giving import KITCHEN, PARTNERS, SURPLUS, open_page, promised
from tests.partner_grounds import KITCHEN_ID, add_kitchen

NAME = "Harbour Kitchen (invented)"


def kept(site: Site, partner: str = KITCHEN_ID) -> Partner:
    """Read a partner as it is now."""
    return look(site.engine, partial(read_partner, partner=PartnerId(partner))).partner


def open_kitchen(site: Site, **changed: object) -> Page:
    """Add a partner, and open its page."""
    add_kitchen(site.engine, **changed)
    return open_page(signed_in(site), KITCHEN)


def window(form: Form, *ticked: str, **typed: str) -> Form:
    """Fill in a window that opens on some days, in a zone with daylight saving."""
    boxes = {f"weekday-{one}": True for one in ticked}
    return form.filled(timezone="Europe/Berlin", **boxes, **typed)


def test_a_partner_is_added_once_and_asked_for_its_windows(quick_site: Site) -> None:
    page = open_page(signed_in(quick_site), PARTNERS)
    assert "There is no partner yet." in page.text
    form = page.form("add").filled(name=NAME, contact="Ring twice")
    first, second = form.submit(), form.submit()
    assert first.address == second.address == f"{PARTNERS}/harbour-kitchen-invented?done=add"
    assert "Say next when it takes food." in first.text
    (one,) = look(quick_site.engine, list_partners)
    assert (one.partner.name, one.partner.contact, one.partner.is_nonprofit) == (
        NAME,
        "Ring twice",
        True,
    )


def test_two_partners_of_one_name_have_pages_of_their_own(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for address in ("harbour-kitchen-invented", "harbour-kitchen-invented-2"):
        page = open_page(browser, PARTNERS).form("add").filled(name=NAME).submit()
        assert page.address == f"{PARTNERS}/{address}?done=add"


@pytest.mark.parametrize("name", ["", "N" * 121, "two\u2028lines"])
def test_a_name_that_cannot_be_kept_is_told_beside_its_field(quick_site: Site, name: str) -> None:
    page = open_page(signed_in(quick_site), PARTNERS).form("add").forged(name=name).submit()
    assert page.status == 422
    assert page.by_id("name-fault").text
    assert look(quick_site.engine, list_partners) == []


def test_a_name_in_other_letters_has_a_page_too(quick_site: Site) -> None:
    page = open_page(signed_in(quick_site), PARTNERS).form("add").filled(name="食堂").submit()
    assert page.address == f"{PARTNERS}/partner?done=add"
    assert page.root.the("h1").text == "食堂"


def test_a_partner_that_is_no_nonprofit_is_told_with_the_law(quick_site: Site) -> None:
    page = open_kitchen(quick_site)
    assert "Pub. L. 117-362" not in page.text
    page = page.form("change").filled(is_nonprofit=False, asks_read_label=True).submit()
    assert "Not entered as a nonprofit." in page.text
    assert "Pub. L. 117-362" in page.text
    assert "Only food whose whole label was read here." in page.text
    assert not kept(quick_site).is_nonprofit
    assert kept(quick_site).windows


@pytest.mark.parametrize(
    ("ticked", "typed", "words", "first"),
    [
        (
            ["thursday"],
            {"every": "2"},
            "Every second Thursday at 09:00, for 2 hours (Europe/Berlin)",
            "Thursday 3 September 2026, 09:00 to 11:00",
        ),
        (
            ["saturday"],
            {"kind": "monthly_weekday", "nth-1": "yes", "starts": "10:30", "minutes": "90"},
            "On the first Saturday of every month at 10:30, for 1 hour and 30 minutes",
            "Saturday 5 September 2026, 10:30 to 12:00",
        ),
        (
            [],
            {"kind": "monthly_day", "month_days": "15, last"},
            "On the 15th and the last day of every month at 09:00",
            "Tuesday 15 September 2026, 09:00 to 11:00",
        ),
        (
            [],
            {"kind": "last_working_day"},
            "On the last working day of every month at 09:00",
            "Wednesday 30 September 2026, 09:00 to 11:00",
        ),
        (
            [],
            {"kind": "once", "starts_on": "2026-12-24"},
            "Once, on Thursday 24 December 2026 at 09:00",
            "Thursday 24 December 2026, 09:00 to 11:00",
        ),
    ],
)
def test_a_window_is_added_by_plain_choices_and_told_back_with_its_dates(
    quick_site: Site, ticked: list[str], typed: dict[str, str], words: str, first: str
) -> None:
    page = open_kitchen(quick_site, windows=())
    boxes = {name: True for name, value in typed.items() if value == "yes"}
    texts = {name: value for name, value in typed.items() if value != "yes"}
    form = window(page.form("window"), *ticked, **texts).filled(**boxes)
    added = form.submit()
    assert added.status == 200, added.text
    assert "The window is added: see its next dates below." in added.text
    assert words in added.text
    dates = [one.text for one in next(added.root.each("article")).each("li")]
    assert dates[0] == first


def test_a_window_is_looked_at_first_and_nothing_is_kept(quick_site: Site) -> None:
    page = open_kitchen(quick_site, windows=())
    before = version_of(quick_site.engine)
    form = window(page.form("window"), "friday")
    (look_first, _) = form.element.each("button")
    address, _, at = look_first.marks["formaction"].partition("#")
    looked = replace(form, address=address).submit()
    assert looked.by_id(at).tag == "h2"
    assert looked.status == 200
    assert "Every Friday at 09:00, for 2 hours (Europe/Berlin)." in looked.text
    assert "It is not added yet." in looked.text
    assert version_of(quick_site.engine) == before
    added = looked.form("window").submit()
    assert len(kept(quick_site).windows) == 1
    assert "The window is added" in added.text


def test_bounds_and_months_of_a_window_are_kept(quick_site: Site) -> None:
    form = window(open_kitchen(quick_site, windows=()).form("window"), "monday")
    typed = {
        "notice_days": "2",
        "most_kg": "40,5",
        "most_units": "120",
        "vehicle_kg": "30",
        "driver": "Whoever has the van",
        "appointment": "By telephone",
        "contact": "At the gate",
    }
    page = form.filled(**typed, **{"month-7": False, "month-8": False}).submit()
    (added,) = kept(quick_site).windows
    assert (added.most_kg, added.most_units, added.vehicle_kg) == (40.5, 120, 30.0)
    assert (added.notice_days, added.contact) == (2, "At the gate")
    assert added.open_months == frozenset({1, 2, 3, 4, 5, 6, 9, 10, 11, 12})
    for said in ("To be promised 2 days before.", "Takes 40.5 kg a visit.", "By telephone"):
        assert said in page.text


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("every", "0", "Must be 1 or more."),
        ("every", "often", "Write a whole number."),
        ("month_days", "1, 32", "Write days from 1 to 31, or “last”, with commas between them."),
        ("month_days", "15", "Leave out days of the month: this choice does not go by them."),
        ("starts_on", "2026-02-30", "Choose a day from 2010 to 2090."),
        ("starts", "25:00", "Write a time, such as 09:00."),
        ("timezone", "Berlin", "There is no such time zone."),
        ("minutes", "4", "Must be 5 or more."),
        ("minutes", "", "Write how many minutes, from 5 to 1,440."),
        ("notice_days", "366", "Must be 365 or less."),
        ("most_kg", "a lot", "Write kilograms as a plain number, such as 40 or 12.5."),
        ("most_kg", "0", "Must be more than 0."),
        ("most_units", "1.5", "Write a whole number."),
        ("vehicle_kg", "1e3", "Write kilograms as a plain number, such as 40 or 12.5."),
        ("driver", "one\u2028two", "Must be plain words on one line."),
    ],
)
def test_what_no_window_has_is_told_and_stays_typed(
    quick_site: Site, field: str, typed: str, said: str
) -> None:
    form = window(open_kitchen(quick_site, windows=()).form("window"), "monday")
    page = form.filled(**{field: typed}).submit()
    assert page.status in (409, 422)
    assert said in page.text
    assert page.form("window")[field] == typed
    assert kept(quick_site).windows == ()


def test_a_window_without_a_day_or_a_month_is_told_what_is_missing(quick_site: Site) -> None:
    page = open_kitchen(quick_site, windows=())
    assert "Name the weekdays." in window(page.form("window")).submit().text
    form = window(page.form("window"), "monday")
    closed = form.filled(**{f"month-{one}": False for one in range(1, 13)}).submit()
    assert closed.status == 422
    assert closed.by_id("months-fault").text == "Tick one month at least."


def test_windows_that_overlap_are_refused_in_words(quick_site: Site) -> None:
    form = window(open_kitchen(quick_site).form("window"), "tuesday", starts="10:00")
    page = form.submit()
    assert page.status == 409
    assert "Two windows overlap on 2026-09-08: change one of them." in page.text
    assert "Nothing was changed." in page.text
    assert len(kept(quick_site).windows) == 1


def test_a_window_is_removed_unless_something_is_promised_for_it(quick_site: Site) -> None:
    made, _ = promised(quick_site, 2)
    browser = signed_in(quick_site)
    page = open_page(browser, KITCHEN).form("remove-window-1").submit()
    assert page.status == 409
    assert f"Promise '{made.id}' is open for the visit on 2026-09-08 at 09:00" in page.text
    assert open_page(browser, KITCHEN).form("remove").submit().status == 409
    lapse = open_page(browser, f"{SURPLUS.rpartition('/')[0]}/promises/{made.id}").form("lapse")
    assert lapse.filled(why="The road is closed").submit().status == 200
    page = open_page(browser, KITCHEN).form("remove-window-1").submit()
    assert "The window is removed." in page.text
    assert kept(quick_site).windows == ()


@pytest.mark.parametrize(
    ("typed", "rule", "said"),
    [
        (
            {"group": "fish", "days": "10", "visit_kg": "50"},
            AcceptanceRule(group=FoodGroup.FISH, least_days_left=10, most_kg_per_visit=50.0),
            "Fish: with at least 10 days left, at most 50 kg a visit.",
        ),
        (
            {"takes": "past", "days": "45", "visit_units": "60"},
            AcceptanceRule(least_days_left=-45, most_units_per_visit=60),
            "Everything else: up to 45 days past a best-by or sell-by date, at most 60 units",
        ),
        (
            {"group": "sweets", "takes": "none"},
            AcceptanceRule(group=FoodGroup.SWEETS, takes=False),
            "Sweets: none of it.",
        ),
    ],
)
def test_a_rule_is_set_in_the_place_of_the_one_before_and_taken_out(
    quick_site: Site, typed: dict[str, str], rule: AcceptanceRule, said: str
) -> None:
    page = open_kitchen(quick_site).form("rule").filled(group=typed.get("group", "")).submit()
    page = page.form("rule").filled(**typed).submit()
    assert "That is what it takes now." in page.text
    assert said in page.text
    assert kept(quick_site).rules == (rule,)
    page = page.form("remove-rule-1").submit()
    assert "The rule is taken out." in page.text
    assert kept(quick_site).rules == ()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("group", "stones"),
        ("takes", "all"),
        ("days", "ten"),
        ("days", "3651"),
        ("visit_kg", "0"),
        ("visit_kg", "nan"),
        ("visit_units", "0"),
    ],
)
def test_a_rule_that_cannot_be_is_told_beside_its_field(
    quick_site: Site, field: str, typed: str
) -> None:
    page = open_kitchen(quick_site).form("rule").forged(**{field: typed}).submit()
    assert page.status == 422
    assert page.by_id(f"{field}-fault").text
    assert kept(quick_site).rules == ()


def test_a_form_that_was_open_too_long_changes_nothing(quick_site: Site) -> None:
    page = open_kitchen(quick_site)
    old = page.form("rule").filled(group="fish", days="10")
    assert page.form("change").filled(notes="Ring twice").submit().status == 200
    late = old.submit()
    assert late.status == 412
    assert "Somebody changed it since you opened this page." in late.text
    assert kept(quick_site).rules == ()
    assert late.form("rule")["group"] == "fish"


def test_a_partner_is_removed_and_its_page_is_gone(quick_site: Site) -> None:
    page = open_kitchen(quick_site).form("remove").submit()
    assert "The partner is removed." in page.text
    gone = page.browser.open(KITCHEN)
    assert gone.status == 404
    assert "There is no partner" in gone.text


def test_a_partners_words_are_shown_as_words(quick_site: Site) -> None:
    page = open_kitchen(quick_site, name="<b>Bold</b> & Sons", notes="<script>1</script>")
    assert page.root.the("h1").text == "<b>Bold</b> & Sons"
    assert list(page.root.each("script")) == []


@pytest.mark.parametrize("name", ["%00", "nobody", "%F0%9F%8D%9E", "a%20b", "..%2F.."])
def test_what_names_no_partner_and_no_promise_is_told_in_words(site: Site, name: str) -> None:
    browser = signed_in(site)
    for folder in ("partners", "promises"):
        page = browser.open(f"{PARTNERS.rpartition('/')[0]}/{folder}/{name}")
        assert page.status in (400, 404, 422)
        assert page.root.the("h1").text


def test_what_is_wrong_first_on_the_page_has_the_focus(quick_site: Site) -> None:
    form = window(open_kitchen(quick_site, windows=()).form("window"), "monday")
    page = form.filled(minutes="4", every="x", month_days="77").submit()
    focused = [one.marks["id"] for one in page.root.each("input") if "autofocus" in one.marks]
    assert focused == ["month_days"]
