"""A volunteer logs twelve boxes with a keyboard and nothing else, and takes one back."""

from dataclasses import dataclass, field
from typing import Final

from playwright.sync_api import Page

from daysworth.wording.catalogue import catalogue
from tests.browser.keyboard import Keyboard
from tests.browser.served import Site, days_ahead, now
from tests.browser.visiting import noting, wait_until_drawn
from tests.grounds import SHELF, books_balance, lots_of

WORDS: Final = catalogue("en-US")
YEAR: Final = now().year + 3
YY: Final = f"{YEAR % 100:02}"
SOON: Final = days_ahead(60)

SAVE_ANYWAY: Final = WORDS.say("review-save-anyway")
AT_REVIEW: Final = "review-title"


@dataclass(frozen=True)
class Volunteer:
    """Somebody at the form, who begins each box where the form leaves the focus."""

    keys: Keyboard
    page: Page
    said: list[str] = field(default_factory=list)

    def begins(self, what: str, units: str, *, date: str = "") -> None:
        """Type what it is, how many, and its date, in the order of the form."""
        assert self.keys.focus == "what"
        self.keys.types(what)
        assert self.keys.presses("Tab") == "units"
        self.keys.types(units)
        if date:
            self.keys.tabs_to("date")
            self.keys.types(date)

    def saves(self, key: str = "Enter") -> None:
        """Send a form that leaves nothing open; the next box begins in the first field."""
        assert self.keys.sends(key) == "what"
        self.said.append(self.page.get_by_role("status").locator("p").first.inner_text())

    def is_asked(self, message: str, **values: str) -> str:
        """Send a form that leaves something open, read what it is, and give where the focus is."""
        at = self.keys.sends()
        said = self.page.get_by_role("alert").inner_text()
        assert WORDS.say("review-title") in said
        assert WORDS.say(message, **values) in said
        return at

    def value(self, field_id: str) -> str:
        """Read what stands in a field."""
        return self.page.locator(f"#{field_id}").input_value()


def _a_date_in_figures_is_confirmed_once(one: Volunteer) -> None:
    one.begins("Pink salmon, tinned", "24")
    # No kind of date is chosen for anybody: Tab comes to the first, and an arrow to the next.
    one.keys.tabs_to("kind=use_by")
    assert not one.page.locator("input[name=kind]:checked").count()
    assert one.keys.presses("ArrowRight", "Tab") == "date"
    one.keys.types(f"03/04/{YY}")
    one.keys.tabs_to("giver")
    one.keys.types("Mill Lane drive")
    at = one.is_asked("review-date", date=f"03/04/{YY}")
    assert at == f"chosen_date={YEAR}-03-04"
    one.saves()
    # What the label calls its date stays for the next box, and so does the giver.
    one.begins("Lentils, dry", "12", date=f"05/06/{YY}")
    one.saves()


def _a_month_alone_is_enough(one: Volunteer) -> None:
    one.begins("White rice, dry", "10", date=f"04/{YEAR}")
    one.saves()


def _a_food_is_found_by_letters_and_chosen_with_arrows(one: Volunteer) -> None:
    one.begins("chickp", "6", date=f"{YEAR}-05")
    assert one.is_asked("review-which", what="chickp") == "chosen_food=chickpeas_dry"
    assert one.keys.presses("ArrowDown") == "chosen_food=chickpeas_tinned"
    one.saves()


def _a_food_is_chosen_with_the_space_bar(one: Volunteer) -> None:
    one.begins("tomato sau", "7", date=f"{YEAR}-06")
    assert one.is_asked("review-which", what="tomato sau") == "chosen_food=tomato_pasta_sauce"
    # Nor is a food: Space chooses the first, Enter sends.
    assert not one.page.locator("input[name=chosen_food]:checked").count()
    assert one.keys.presses("Space") == "chosen_food=tomato_pasta_sauce"
    one.saves()


def _what_is_in_no_list_is_saved_in_its_own_words(one: Volunteer) -> None:
    what = "pickled walnut jelly"
    one.begins(what, "3", date=f"{YEAR}-07-08")
    assert one.is_asked("review-none", what=what) == "chosen_food=none"
    one.saves()


def _a_box_with_a_warning_is_saved_all_the_same(one: Volunteer) -> None:
    one.begins("Honey", "2", date=SOON.isoformat())
    at = one.is_asked("before-keeps_too_short", day=WORDS.day(SOON))
    assert at == AT_REVIEW
    assert one.keys.presses("Tab") == SAVE_ANYWAY
    one.saves()


def _cases_are_counted(one: Volunteer) -> None:
    assert one.keys.focus == "what"
    one.keys.types("Corned beef, tinned")
    by_the_case = WORDS.say("log-by-the-case")
    assert one.keys.presses("Tab", "Tab") == by_the_case
    assert one.keys.presses("Space") == by_the_case
    assert one.keys.presses("Tab") == "cases"
    one.keys.types("4")
    assert one.keys.presses("Tab") == "units_per_case"
    one.keys.types("12")
    one.keys.tabs_to("date")
    one.keys.types(f"4 May {YEAR}")
    one.saves()


def _a_slip_is_put_right(one: Volunteer) -> None:
    one.begins("Raisins", "a dozen", date=f"31/31/{YY}")
    assert one.keys.sends() == "units"
    said = one.page.locator("#form-fault p").inner_text()
    assert said == WORDS.say("log-faults", count=2)
    kept = [one.value(name) for name in ("what", "units", "date", "giver")]
    assert kept == ["Raisins", "a dozen", f"31/31/{YY}", "Mill Lane drive"]
    # Coming to a field by Tab selects what stands in it, and typing replaces that.
    assert one.keys.presses("Shift+Tab", "Tab") == "units"
    one.keys.types("12")
    one.keys.tabs_to("date")
    one.keys.types(f"1 Mar {YEAR}")
    one.saves()


def _the_kind_of_date_is_chosen_with_arrows(one: Volunteer) -> None:
    one.begins("Table salt", "1")
    one.keys.tabs_to("kind=best_by")
    assert one.keys.presses("ArrowLeft", "ArrowLeft") == "kind=unlabelled"
    one.saves()
    one.begins("Fruit jam", "5")
    # That one had no date says nothing of the next.
    one.keys.tabs_to("kind=use_by")
    assert one.keys.presses("Space", "Tab") == "date"
    one.keys.types(f"{YEAR}-09-10")
    one.saves()


def _the_same_again_may_be_damaged(one: Volunteer) -> None:
    one.keys.tabs_to(f"{WORDS.say('log-same-again')} Fruit jam")
    assert one.keys.sends() == "what"
    filled = [one.value(name) for name in ("what", "units", "date")]
    assert filled == ["Fruit jam", "5", f"{YEAR}-09-10"]
    one.keys.tabs_to("damaged=yes")
    assert one.keys.presses("Space") == "damaged=yes"
    one.keys.tabs_to(WORDS.say("log-save"))
    assert one.is_asked("before-damaged") == AT_REVIEW
    # What had better be left out can be, first; to save it takes one step more.
    assert one.keys.presses("Tab") == WORDS.say("review-leave-out")
    assert one.keys.presses("Tab") == SAVE_ANYWAY
    one.saves("Space")


def _a_box_is_taken_back(one: Volunteer) -> None:
    one.keys.tabs_to(f"{WORDS.say('log-take-back')} Table salt")
    assert one.keys.sends() == "what"
    box = WORDS.say("log-box", units=1, name="Table salt")
    assert one.page.get_by_role("status").inner_text() == WORDS.say("log-was-taken-back", box=box)


STEPS: Final = (
    _a_date_in_figures_is_confirmed_once,
    _a_month_alone_is_enough,
    _a_food_is_found_by_letters_and_chosen_with_arrows,
    _a_food_is_chosen_with_the_space_bar,
    _what_is_in_no_list_is_saved_in_its_own_words,
    _a_box_with_a_warning_is_saved_all_the_same,
    _cases_are_counted,
    _a_slip_is_put_right,
    _the_kind_of_date_is_chosen_with_arrows,
    _the_same_again_may_be_damaged,
    _a_box_is_taken_back,
)

KEPT: Final = sorted(
    [
        ("salmon_pink_tinned", 24, "best_by", f"{YEAR}-03-04", "sound"),
        ("lentils_dry", 12, "best_by", f"{YEAR}-05-06", "sound"),
        ("white_rice_dry", 10, "best_by", f"{YEAR}-04", "sound"),
        ("chickpeas_tinned", 6, "best_by", f"{YEAR}-05", "sound"),
        ("tomato_pasta_sauce", 7, "best_by", f"{YEAR}-06", "sound"),
        ("in words: pickled walnut jelly", 3, "best_by", f"{YEAR}-07-08", "sound"),
        ("honey", 2, "best_by", SOON.isoformat(), "sound"),
        ("corned_beef_tinned", 48, "best_by", f"{YEAR}-05-04", "sound"),
        ("raisins", 12, "best_by", f"{YEAR}-03-01", "sound"),
        ("salt", 0, "unlabelled", "undated", "sound"),
        ("jam", 5, "use_by", f"{YEAR}-09-10", "sound"),
        ("jam", 5, "use_by", f"{YEAR}-09-10", "damaged"),
    ]
)


def test_twelve_boxes_are_logged_with_the_keyboard_alone(page: Page, site: Site) -> None:
    store = site.new_store()
    one = Volunteer(Keyboard(page), page)
    with noting(page) as noted:
        page.goto(site.new_link(store))
        wait_until_drawn(page)
        for step in STEPS:
            step(one)
    lots = lots_of(site.engine, store).values()
    found = [
        (
            lot.food or f"in words: {lot.words}",
            lot.units,
            lot.label_kind,
            lot.printed or "undated",
            lot.condition,
        )
        for lot in lots
    ]
    assert sorted(found) == KEPT
    assert {lot.place for lot in lots} == {SHELF}
    assert books_balance(site.engine, store)
    assert len(one.said) == 12
    assert one.said[:3] == [
        f"Saved: 24 packs of Pink salmon, tinned, best by March 4, {YEAR}.",
        f"Saved: 12 packs of Lentils, dry, best by May 6, {YEAR}.",
        f"Saved: 10 packs of White rice, dry, best by April {YEAR}.",
    ]
    listed = page.locator("#just-logged-title").inner_text()
    assert listed == WORDS.say("log-just-logged", count=11)
    assert noted.failed == []
    # One slip was answered as what it was; the browser minded nothing else.
    assert [said for said in noted.complaints if "status of 422" not in said] == []
