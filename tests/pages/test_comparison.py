"""Claims about comparing: two scenarios of the store, and a week that was kept beside today."""

from datetime import timedelta
from typing import Final

from daysworth.answers.comparison import ComparisonAnswer
from daysworth.answers.planning_pool import settled
from daysworth.answers.store_comparison import SideAsked
from daysworth.db.tables import DISCLOSURE
from daysworth.pages.comparison_page import headline
from daysworth.planners.scenario import Scenario
from daysworth.printing.figures import tenths
from tests.grounds import CELLAR, NOON, OTHER_HOME, PEANUT_HOME, STORE_ID, box, look, put_up
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import NO_PEANUT, signed_in

COMPARE: Final = "/stores/fernhollow/compare"
TAPS: Final = "?running_water=true"


def compared(site: Site, before: Scenario, after: Scenario) -> ComparisonAnswer:
    """Give the answer that the page is written from."""
    ready = site.service.comparisons.comparison(
        STORE_ID, before=SideAsked(scenario=before), after=SideAsked(scenario=after), at=NOON
    )
    return settled(ready)


def rows_under(page: Page, id_: str) -> list[list[str]]:
    """Give the cells of the tables in the section that a heading names."""
    section = page.root.the("section", **{"aria-labelledby": id_})
    return [
        [cell.text for cell in row.each("th", "td")]
        for body in section.each("tbody")
        for row in body.each("tr")
    ]


def titles(page: Page) -> set[str]:
    """Give what the sections of a page are labelled by."""
    return {one.marks.get("aria-labelledby", "") for one in page.root.each("section")}


def disclosed(site: Site) -> int:
    """Count the readings of health facts that were logged."""
    return look(site.engine, lambda one: len(one.connection.execute(DISCLOSURE.select()).all()))


def stocked(site: Site) -> None:
    put_up(
        site.engine,
        box(60, reading=NO_PEANUT),
        box(13, reading=NO_PEANUT, place=CELLAR),
        box(20, reading=NO_PEANUT, food="white_rice_dry"),
    )


def test_before_anything_is_asked_there_is_only_the_form_and_nothing_is_disclosed(
    quick_site: Site,
) -> None:
    stocked(quick_site)
    page = signed_in(quick_site).open(COMPARE)
    assert titles(page) == {"ask-title", "weeks-title"}
    assert "No week was kept yet." in page.text
    assert disclosed(quick_site) == 0


def test_the_figures_are_those_of_the_two_scenarios(site: Site) -> None:
    stocked(site)
    page = signed_in(site).open(f"{COMPARE}{TAPS}&other_ration=0.5")
    dry = Scenario(running_water=True)
    answer = compared(site, dry, Scenario(running_water=True, ration=0.5))
    days = answer.everyone_fed_days
    assert days.before is not None
    assert days.after is not None
    shown = rows_under(page, "compared-title")[0]
    gained = round(tenths(days.after) - tenths(days.before), 1)
    assert shown[1:] == [f"{tenths(days.before):.1f}", f"{tenths(days.after):.1f}", f"+{gained}"]
    assert f"{gained} more." in page.text
    assert days.after > days.before > 0
    assert disclosed(site) == 1


def test_what_was_asked_stays_in_the_form_and_is_asked_again(quick_site: Site) -> None:
    stocked(quick_site)
    browser = signed_in(quick_site)
    page = browser.open(f"{COMPARE}{TAPS}&other_without_place=cellar")
    assert page.status == 200
    again = page.form("/compare")
    assert (again["running_water"], again["other_running_water"]) == ("true", "true")
    assert ("other_without_place", "cellar") in again.fields
    assert ("without_place", "cellar") not in again.fields
    assert "fewer." in page.text
    assert again.submit().text == page.text
    wet = again.filled(running_water="false", heating="true").submit().form("/compare")
    assert (wet["running_water"], wet["heating"], wet["other_heating"]) == (
        "false",
        "true",
        "false",
    )


def test_who_is_away_first_need_not_be_away_instead(quick_site: Site) -> None:
    stocked(quick_site)
    browser = signed_in(quick_site)
    page = browser.open(f"{COMPARE}{TAPS}&away={OTHER_HOME}&other_away=")
    households = next(row for row in rows_under(page, "compared-title") if row[0] == "Households")
    assert households[1:] == ["1", "2", "+1"]
    changed = {row[0]: row[1] for row in rows_under(page, "changed-homes-title")}
    assert changed[OTHER_HOME] == "–"
    assert set(changed) == {OTHER_HOME, PEANUT_HOME}


def test_two_scenarios_that_are_the_same_change_nothing(quick_site: Site) -> None:
    stocked(quick_site)
    page = signed_in(quick_site).open(f"{COMPARE}?other_heating=false")
    assert {row[3] for row in rows_under(page, "compared-title")} <= {"same", "–"}
    assert titles(page).isdisjoint({"changed-homes-title", "foods-title", "passed-title"})


def test_days_beyond_the_horizon_are_at_least_so_many(quick_site: Site) -> None:
    stocked(quick_site)
    same = Scenario(running_water=True)
    far = Scenario(running_water=True, horizon_days=2)
    for first, second, key in (
        (same, far, "compared-shorter-at-least"),
        (far, same, "compared-longer-at-least"),
        (far, far, "compared-same"),
    ):
        assert headline(compared(quick_site, first, second))[0] == key
    page = signed_in(quick_site).open(f"{COMPARE}{TAPS}&other_horizon_days=2")
    assert rows_under(page, "compared-title")[0][2:] == ["2+", "–"]


def test_a_question_that_cannot_be_asked_is_refused_with_a_page_in_words(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    for path, status, words in (
        ("?other_heating=banana", 422, "must be true or false."),
        ("?other_away=H-none", 422, "There is no household 'H-none' in this store"),
        ("/2026-W36", 404, "There is nothing here"),
        ("/lastweek", 422, "a week is written as its year and its number"),
        ("/2026-W9999", 422, "has room for at most 8"),
    ):
        page = browser.open(COMPARE + path)
        assert page.status == status, path
        assert words.lower() in page.text.lower()


def keep_week(site: Site) -> None:
    """Keep this week, as the first posting of its notice does."""
    site.service.notices.keep(STORE_ID, "current", at=site.clock.now())


def test_a_week_that_was_kept_stands_beside_today(site: Site) -> None:
    stocked(site)
    keep_week(site)
    put_up(site.engine, box(6, reading=NO_PEANUT, food="white_rice_dry"))
    browser = signed_in(site)
    listed = browser.open(COMPARE)
    (week,) = [one for one in listed.root.each("a") if one.text == "2026-W36"]
    page = browser.open(week.marks["href"] + TAPS)
    assert "Then is September 1, 2026; today is September 1, 2026." in page.text
    units = next(row for row in rows_under(page, "compared-title") if row[0] == "Units on hand")
    assert units[1:] == ["93", "99", "+6"]
    (rice,) = rows_under(page, "foods-title")
    assert rice[1:] == ["20", "26", "+6"]
    assert disclosed(site) == 1


def test_what_passed_its_date_since_a_week_is_listed(quick_site: Site) -> None:
    put_up(quick_site.engine, box(6, printed="2026-09-03", reading=NO_PEANUT), box(240))
    keep_week(quick_site)
    quick_site.clock.move(timedelta(days=8))
    page = signed_in(quick_site).open(f"{COMPARE}/2026-W36{TAPS}")
    (lot,) = rows_under(page, "passed-title")
    assert lot == ["Sep 3, 2026", "6", "6", "Pink salmon, tinned", "Shelf"]


def test_whoever_holds_the_days_down_is_told_by_need_and_stays_off_the_paper(
    quick_site: Site,
) -> None:
    put_up(quick_site.engine, box(6, reading=NO_PEANUT), box(240))
    page = signed_in(quick_site).open(f"{COMPARE}{TAPS}&other_ration=0.5")
    section = page.root.the("section", **{"aria-labelledby": "holders-title"})
    needs = [one.text for one in section.each("span", **{"class": "screen"})]
    assert needs
    assert all("peanut" in need for need in needs)
    assert PEANUT_HOME not in section.text
