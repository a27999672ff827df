"""Claims about the page of later days: what the API says of them, and a household's own food."""

from typing import Final

from pydantic import TypeAdapter

from daysworth.answers.planning_pool import settled
from daysworth.answers.timeline import HouseholdLineAnswer, RunAnswer, TimelineAnswer
from daysworth.db.tables import DISCLOSURE
from daysworth.domain.entries import Role
from daysworth.pages.timeline_page import spells_shown
from daysworth.planners.cliff import DEFAULT_MONTHS
from daysworth.planners.scenario import Scenario
from daysworth.printing.figures import tenths, whole
from tests.grounds import NOON, PEANUT_HOME, box, look, put_up, someone
from tests.pages.browsing import Page, Site
from tests.pages.coordinating import NO_PEANUT, signed_in

TIMELINE: Final = "/stores/fernhollow/timeline?running_water=true"


def answered(site: Site) -> TimelineAnswer:
    """Give the answer that the page is written from."""
    ready = site.service.timelines.answer(
        someone(Role.COORDINATOR),
        Scenario(running_water=True),
        months=DEFAULT_MONTHS,
        household=None,
        as_of=None,
        at=NOON,
        has=lambda tag: False,
    )
    return TypeAdapter(TimelineAnswer).validate_json(settled(ready).json or "")


def rows_under(page: Page, id_: str) -> list[list[str]]:
    section = page.root.the("section", **{"aria-labelledby": id_})
    return [
        [cell.text for cell in row.each("th", "td")]
        for body in section.each("tbody")
        for row in body.each("tr")
    ]


def disclosed(site: Site) -> int:
    return look(site.engine, lambda one: len(one.connection.execute(DISCLOSURE.select()).all()))


def test_the_later_days_are_those_of_the_api(site: Site) -> None:
    put_up(site.engine, box(60, reading=NO_PEANUT), box(30, printed="2026-11-05"))
    page, answer = signed_in(site).open(TIMELINE), answered(site)
    shown = rows_under(page, "cliff-title")
    assert [row[1] for row in shown] == [
        f"{tenths(one.everyone_fed_days or 0):.1f}" for one in answer.cliff.points
    ]
    assert [row[2] for row in shown] == [
        f"{whole(one.person_days):,}" for one in answer.cliff.points
    ]
    assert shown[0][0].startswith("Sep 1, 2026")
    assert any(row[3] for row in shown)
    assert disclosed(site) == 0


def test_the_day_from_which_it_is_below_the_floor_is_said(quick_site: Site) -> None:
    browser = signed_in(quick_site)
    assert "Already below the floor of 14 days today." in browser.open(TIMELINE).text
    put_up(quick_site.engine, box(400, reading=NO_PEANUT, printed="2026-11-05"))
    assert "Below the floor of 14 days from" in browser.open(TIMELINE).text
    put_up(quick_site.engine, box(4_000, reading=NO_PEANUT))
    assert "On none of these days below the floor of 14 days." in browser.open(TIMELINE).text


def test_what_a_household_eats_is_shown_and_the_reading_is_noted(quick_site: Site) -> None:
    put_up(quick_site.engine, box(60, reading=NO_PEANUT))
    form = signed_in(quick_site).open(TIMELINE).form("/timeline")
    page = form.filled(household=PEANUT_HOME).submit()
    assert page.status == 200
    assert disclosed(quick_site) == 1
    assert f"When {PEANUT_HOME} eats what" in page.text
    wet = page.browser.open(f"{TIMELINE}&household={PEANUT_HOME}")
    ((day, foods),) = rows_under(wet, "line-title")
    assert day.startswith("Sep 1, 2026")
    assert "× Pink salmon, tinned" in foods


def test_a_household_that_is_not_there_is_refused_in_words(quick_site: Site) -> None:
    page = signed_in(quick_site).open(f"{TIMELINE}&household=H-none")
    assert page.status == 422
    assert "here is no household 'H-none' in this store" in page.text


def a_run(food: str, *, first: int, last: int, units: float = 2.0) -> RunAnswer:
    day = NOON.date()
    return RunAnswer(
        day.replace(day=first), day.replace(day=last), 0.0, 1.0, "F", food, units, 1.0, None
    )


def test_foods_of_the_same_days_stand_together_and_crumbs_are_left_out() -> None:
    runs = [
        a_run("Rice", first=2, last=3),
        a_run("Beans", first=1, last=3, units=1.57),
        a_run("Oats", first=2, last=3),
        a_run("Salt", first=4, last=5, units=0.01),
    ]
    spells = list(spells_shown(HouseholdLineAnswer("H1", 2, runs)))
    assert [(one.first_day.day, one.foods) for one in spells] == [
        (1, [("Beans", "1.5")]),
        (2, [("Rice", "2"), ("Oats", "2")]),
    ]
