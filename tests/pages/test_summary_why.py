"""Claims about what the summary page says on why the days are what they are."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import pytest

from daysworth.answers.coverage import CoverageAnswer, answer_coverage
from daysworth.answers.coverage_parts import (
    FoodGainAnswer,
    RunsOutAnswer,
    SpoilingAnswer,
    SpoilingLotAnswer,
    StepAnswer,
)
from daysworth.answers.planning_pool import settled
from daysworth.domain.entries import Role
from daysworth.pages.coverage_shown import (
    MOST_GROUPS,
    groups_left_out,
    groups_shown,
    is_cut_at_horizon,
    meals_shown,
    mix_notes,
    mix_shown,
    packs_for_a_day,
    spoiling_shown,
    steps_shown,
    units_shown,
)
from daysworth.planners.scenario import Scenario
from daysworth.printing.figures import tenths, whole
from daysworth.wording.catalogue import catalogue
from tests.grounds import NOON, box, put_up, small_store, someone
from tests.pages.browsing import Element, Page, Site
from tests.pages.coordinating import NO_PEANUT, signed_in

SUMMARY: Final = "/stores/fernhollow/summary?running_water=true"
WORDS: Final = catalogue("en-US")


def coverage(site: Site) -> CoverageAnswer:
    """Give the answer that the page is written from."""
    asked = Scenario(running_water=True)
    ready = site.service.coverage.summary(someone(Role.COORDINATOR), asked, as_of=None, at=NOON)
    return settled(ready).coverage


def plain() -> CoverageAnswer:
    """Give the answer for a store without stock, to be filled in by hand."""
    return answer_coverage(small_store(), NOON.date(), scenario=Scenario(running_water=True))


def section(page: Page, id_: str) -> Element:
    return page.root.the("section", **{"aria-labelledby": id_})


def rows(part: Element) -> Iterator[list[str]]:
    for body in part.each("tbody"):
        for row in body.each("tr"):
            yield [cell.text for cell in row.each("th", "td")]


def stocked(site: Site) -> Page:
    put_up(site.engine, box(6, reading=NO_PEANUT), box(240), box(40, food="white_rice_dry"))
    return signed_in(site).open(SUMMARY)


def test_the_steps_are_those_of_the_api_and_what_is_lost_adds_up(site: Site) -> None:
    page = stocked(site)
    steps = coverage(site).where_the_days_go
    shown = list(rows(section(page, "steps-title")))
    figures = [whole(one.person_days) for one in steps]
    assert [row[1] for row in shown] == [f"{figure:,}" for figure in figures]
    lost = [int(row[2].lstrip("−") or 0) for row in shown]
    assert lost[0] == 0
    assert figures[0] - sum(lost) == figures[-1] == whole(coverage(site).person_days)
    widths = [float(one.marks["width"]) for one in section(page, "steps-title").each("rect")]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] == 100


def by_hand(*person_days: float) -> CoverageAnswer:
    names = ("on_paper", "usable", "in_date", "balanced", "suitable", "fair")
    steps = [StepAnswer(*one, False) for one in zip(names, person_days, strict=True)]
    return replace(plain(), where_the_days_go=steps)


def test_each_step_says_why_it_is_less_and_nothing_where_nothing_is_lost() -> None:
    shown = steps_shown(by_hand(30.9, 28.0, 25.5, 20.0, 14.0, 14.0))
    assert [one.lost for one in shown] == [0, 2, 3, 5, 6, 0]
    reasons = [one.reasons for one in shown]
    assert reasons[1] == ["lost-heat", "lost-kept"]
    assert reasons[2:] == [["lost-in_date"], ["lost-balanced"], ["lost-suitable"], []]
    for keys in reasons:
        assert all(WORDS.say(key) for key in keys)


def test_what_cannot_be_used_follows_the_scenario() -> None:
    answer = by_hand(30.9, 28.0, 25.5, 20.0, 14.0, 14.0)
    hot = replace(answer.scenario, heating=True, stock="all")
    assert steps_shown(replace(answer, scenario=hot))[1].reasons == ["lost-other"]
    lost = replace(hot, places_lost=["hall"], households_away=["H-other"])
    assert steps_shown(replace(answer, scenario=lost))[1].reasons == ["lost-place", "lost-away"]


def test_steps_of_nothing_have_no_bar_and_days_beyond_the_horizon_are_said_to_be_cut() -> None:
    empty = by_hand(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    assert {one.bar for one in steps_shown(empty)} == {0}
    assert not is_cut_at_horizon(empty)
    assert is_cut_at_horizon(replace(empty, person_days_on_paper=360.0))


def test_who_runs_out_first_is_told_with_what_the_api_says_of_them(site: Site) -> None:
    page = stocked(site)
    (told,) = coverage(site).runs_out_first
    held = section(page, "held-title")
    (head,) = held.each("h3")
    assert head.text == f"1 person: {told.need}"
    assert "peanut" in told.need
    (need,) = head.each("span", **{"class": "screen"})
    assert need.text == f": {told.need}"
    foods = [row[0].partition(",")[0] for row in rows(held)]
    assert foods == [one.food_name.partition(",")[0] for one in told.foods]
    packs = [int(row[1].partition(" ")[0].replace(",", "")) for row in rows(held)]
    assert packs == [packs_for_a_day(one.days) for one in told.foods]


def a_group(days: float = 2.96, *foods: FoodGainAnswer, **without: float) -> RunsOutAnswer:
    held = {"extras": days, "protein": days, "water": days, "dates": days} | without
    return RunsOutAnswer(1, "egg allergy", days, held, list(foods))


def running_out(*groups: RunsOutAnswer) -> CoverageAnswer:
    return replace(plain(), everyone_fed_days=2.96, runs_out_first=list(groups))


def test_what_holds_them_is_told_dearest_first_else_that_there_is_no_more() -> None:
    (shown,) = groups_shown(running_out(a_group(protein=3.4, water=4.1, extras=2.99)))
    assert shown.reasons == [("held-water", {"days": 1.1}), ("held-protein", {"days": 0.4})]
    (plenty,) = groups_shown(running_out(a_group(dates=180.0)))
    assert plenty.reasons == [("held-dates-at-least", {"days": 177.0})]
    (short,) = groups_shown(running_out(a_group()))
    assert short.reasons == [("held-nothing-else", {})]
    for key, values in (*shown.reasons, *plenty.reasons, *short.reasons):
        assert WORDS.say(key, **values)


def test_unread_labels_are_told_first_where_they_cost_most() -> None:
    held = replace(running_out(a_group(extras=3.5)), everyone_fed_days_if_unread_suit=4.56)
    (shown,) = groups_shown(held)
    groups = len(held.held_by)
    assert shown.reasons == [
        ("held-unread", {"groups": groups, "days": 4.5}),
        ("held-extras", {"days": 0.5}),
    ]
    (less,) = groups_shown(replace(held, everyone_fed_days_if_unread_suit=3.4))
    assert less.reasons == [("held-extras", {"days": 0.5})]
    most = replace(running_out(a_group()), everyone_fed_days_if_unread_suit=180.0)
    (alone,) = groups_shown(most)
    assert alone.reasons == [("held-unread-at-least", {"groups": groups, "days": 180.0})]
    for key, values in (*shown.reasons, *alone.reasons):
        assert WORDS.say(key, **values)


def test_what_suits_others_is_not_said_to_suit_all() -> None:
    assert "what some may not eat" in WORDS.say("steps-nothing-lost", step="suitable")
    assert WORDS.say("steps-nothing-lost", step="balanced") == "Nothing more is lost."


def test_foods_are_told_in_whole_packs_that_are_enough() -> None:
    oats = FoodGainAnswer("F2", "Rolled oats", 1_800.4, 0.21, False)
    rice = FoodGainAnswer("F3", "Rice", 900.0, 0.04, False)
    (shown,) = groups_shown(running_out(a_group(2.96, oats, rice)))
    assert [(one.packs, one.kcal) for one in shown.foods] == [(5, 1_800), (25, 900)]
    assert not shown.only_if_label_suits
    unread = replace(oats, only_if_label_suits=True)
    assert groups_shown(running_out(a_group(2.96, unread)))[0].only_if_label_suits


def test_who_is_not_fed_for_a_day_is_not_said_to_be() -> None:
    (shown,) = groups_shown(running_out(a_group(0.5)))
    assert shown.until == "runs-out-not-a-day"


def test_where_all_run_out_together_nobody_is_singled_out() -> None:
    everybody = replace(a_group(), members=2)
    assert groups_shown(running_out(everybody))[0].need is None


def test_at_the_horizon_nobody_runs_out() -> None:
    reached = replace(running_out(a_group()), everyone_fed_at_least=True)
    assert groups_shown(reached) == []
    assert groups_left_out(running_out()) == len(plain().held_by)


def test_where_groups_are_tied_all_of_them_must_be_raised(quick_site: Site) -> None:
    page = signed_in(quick_site).open(SUMMARY)
    told = coverage(quick_site).runs_out_first
    tied = WORDS.say("runs-out-together") in page.text
    assert tied == (len(told) + groups_left_out(coverage(quick_site)) > 1)


def a_spoiling_lot(units: float) -> SpoilingLotAnswer:
    return SpoilingLotAnswer("L-1", "Beans", units, "Shelf", NOON.date(), 100.0, None)


def test_what_spoils_is_listed_but_not_crumbs_of_a_pack() -> None:
    lots = [a_spoiling_lot(0.04), a_spoiling_lot(0.4)]
    spoils = replace(plain(), will_spoil=SpoilingAnswer(200.0, 0.1, False, lots))
    assert spoiling_shown(spoils) == lots[1:]
    assert spoiling_shown(replace(spoils, everyone_fed_days=None)) == []


@pytest.mark.parametrize(
    ("figure", "said"), [(12.0, "12"), (1_234.0, "1,234"), (3.57, "3.5"), (11.99999999, "12")]
)
def test_a_part_of_a_pack_is_told_as_such(figure: float, said: str) -> None:
    assert units_shown(figure) == said


def test_what_spoils_leads_to_the_lots(quick_site: Site) -> None:
    put_up(
        quick_site.engine,
        box(300, reading=NO_PEANUT, printed="2026-09-05"),
        box(20, reading=NO_PEANUT),
    )
    page = signed_in(quick_site).open(SUMMARY)
    spoils = coverage(quick_site).will_spoil
    part = section(page, "spoils-title")
    assert f"{whole(spoils.person_days)} person-days" in part.text
    assert [row[1] for row in rows(part)] == [units_shown(lot.units) for lot in spoils.lots]
    links = [one.marks["href"] for one in part.each("a")]
    assert links == [f"/stores/fernhollow/lots/{lot.lot}" for lot in spoils.lots]
    assert page.browser.open(links[0]).status == 200


def test_meals_are_told_for_each_person_the_fewest_first(quick_site: Site) -> None:
    page = stocked(quick_site)
    told = coverage(quick_site).complete_meals
    shown = list(rows(section(page, "meals-title")))
    each = sorted(tenths(one.person_meals / one.members) for one in told)
    assert [float(row[1]) for row in shown] == each[:MOST_GROUPS]
    assert [one.each for one in meals_shown(coverage(quick_site))] == each


def test_the_mix_stands_beside_published_figures_and_their_sources(quick_site: Site) -> None:
    page = stocked(quick_site)
    mix = coverage(quick_site).diet_mix
    part = section(page, "mix-title")
    protein, fat, sodium = rows(part)
    assert protein[1:] == [f"{round(mix.protein_share * 100)} %", "10 to 12 %"]
    assert fat[2] == "17 %"
    assert sodium[2] == "2,300 mg a day each"
    assert mix.planned_source in part.text


def test_what_has_no_figure_is_said_and_never_told_as_nothing() -> None:
    mix = replace(
        plain().diet_mix,
        energy_kcal=100.0,
        protein_share=0.1,
        fat_share=None,
        sodium_mg_per_person_day=None,
        energy_without_fat_figure_share=1.0,
        energy_without_sodium_figure_share=0.2,
    )
    shown = mix_shown(replace(plain(), diet_mix=mix))
    assert [row.here[0] for row in shown] == ["mix-percent", "mix-not-known", "mix-not-known"]
    notes = [WORDS.say(key, **values) for key, values in mix_notes(mix)]
    assert any("100 % of the energy have no figure for fat" in note for note in notes)
    assert any("20 % of the energy have no figure for sodium" in note for note in notes)


def test_where_nothing_is_eaten_there_is_no_mix(quick_site: Site) -> None:
    page = signed_in(quick_site).open(SUMMARY)
    labelled = {one.marks.get("aria-labelledby") for one in page.root.each("section")}
    assert labelled.isdisjoint({"mix-title", "spoils-title"})
