"""Claims about the labels that the summary page names as worth reading first."""

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.planning_pool import settled
from daysworth.domain.entries import Role
from daysworth.planners.scenario import Scenario
from daysworth.printing.figures import tenths
from tests.grounds import NOON, box, put_up, someone
from tests.pages.browsing import Site
from tests.pages.coordinating import NO_PEANUT, signed_in

SUMMARY = "/stores/fernhollow/summary?running_water=true"


def coverage(site: Site) -> CoverageAnswer:
    """Give the answer that the page is written from."""
    asked = Scenario(running_water=True)
    office = site.service.coverage
    ready = office.summary(someone(Role.COORDINATOR), asked, as_of=None, at=NOON)
    return settled(ready).coverage


def test_a_label_worth_reading_is_named_with_its_packs_and_what_it_would_add(
    quick_site: Site,
) -> None:
    put_up(quick_site.engine, box(6, reading=NO_PEANUT), box(240))
    (told,) = coverage(quick_site).labels_to_read
    page = signed_in(quick_site).open(SUMMARY)
    section = page.root.the("section", **{"aria-labelledby": "labels-title"}).text
    assert f"{told.food_name}: 240 packs" in section
    assert f"fed for {tenths(told.everyone_fed_days_if_it_suits)} days" in section


def test_no_label_is_named_where_reading_would_add_nothing(quick_site: Site) -> None:
    put_up(quick_site.engine, box(5000, reading=NO_PEANUT), box(240))
    page = signed_in(quick_site).open(SUMMARY)
    assert not list(page.root.each("section", **{"aria-labelledby": "labels-title"}))
