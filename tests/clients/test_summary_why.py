"""The summary says who runs out first and why, where the days go, and what will spoil."""

import pytest

from daysworth_client.answers import CoverageAnswer
from daysworth_client.summary import coverage_summary
from daysworth_client.summary_first_out import packs_for_a_day
from daysworth_client.summary_lines import MOST_LINES
from daysworth_client.summary_uneaten import units
from tests.clients.written_answers import (
    a_class,
    a_gain,
    a_home,
    a_label,
    a_lot,
    an_answer,
    meals_of,
    runs_out,
    spoiled,
    the_steps,
    will_spoil,
)


def told(answer: CoverageAnswer) -> str:
    """Write the summary as one line, however it is broken."""
    return " ".join(coverage_summary(answer).split())


def part(answer: CoverageAnswer, heading: str) -> list[str]:
    """Give the lines under a heading."""
    (found,) = [one for one in coverage_summary(answer).split("\n\n") if one.startswith(heading)]
    return found.splitlines()[1:]


def test_who_runs_out_first_is_told_by_count_and_need_with_the_last_day_in_full() -> None:
    assert ("1 person (egg allergy): fed in full through 6 November 2026.") in told(an_answer())


def test_who_is_not_fed_for_a_day_is_not_said_to_be() -> None:
    answer = an_answer()
    answer["everyone_fed_days"] = answer["runs_out_first"][0]["days"] = 0.5
    text = told(answer)
    assert "1 person (egg allergy): not fed in full for a single day." in text
    assert "Not for one whole day" in text
    assert "through" not in text.lower().partition("labels")[0]


def test_where_all_run_out_together_nobody_is_singled_out() -> None:
    answer = an_answer()
    answer["runs_out_first"] = [runs_out(3, "no restriction")]
    answer["next_level_days"] = None
    text = told(answer)
    assert "All 3 people together: fed in full through" in text
    assert "Next to run out" not in text


def test_what_holds_them_is_told_dearest_first_with_what_it_costs() -> None:
    answer = an_answer()
    answer["runs_out_first"] = [runs_out(1, "vegan", protein=3.37, water=4.07, extras=2.99)]
    why = [line for line in part(answer, "What runs out first") if "Why:" in line]
    assert why == [
        "    Why: Too little stored water: if water were no limit, +1.1 days.",
        "    Why: Too little protein in what is left for them: if protein were no limit,",
    ]
    assert "if protein were no limit, +0.4 days." in told(answer)
    assert "oil, sugar" not in told(answer).partition("Where the days go")[0]


def test_unread_labels_are_told_first_where_they_cost_most() -> None:
    answer = an_answer()
    answer["runs_out_first"] = [runs_out(1, "egg allergy", extras=3.5)]
    answer["everyone_fed_days_if_unread_suit"] = 4.56
    unread = "Why: There is food here that nobody has yet checked for them: if every unread label"
    assert (
        f"{unread} proved to suit, everyone would be fed for 4.5 days. Why: Of what is known to"
        " suit them, too much is oil, sugar, sauce or drink" in told(answer)
    )
    answer["everyone_fed_days_if_unread_suit"] = 3.4
    assert unread not in told(answer)
    answer["runs_out_first"] = [runs_out(1, "egg allergy")]
    assert unread in told(answer)
    assert "simply not enough" not in told(answer)
    answer["held_by"] = [a_class(1, "egg allergy"), a_class(1, "vegan")]
    assert "nobody has yet checked for those who run out first: if" in told(answer)


def test_labels_begin_with_for_whom_nothing_is_suitable_unread() -> None:
    answer = an_answer()
    answer["labels_to_read"] = [a_label("Oats", days=7.5), a_label("Rice", days=5.0)]
    answer["labels_to_read"][0]["lots"] = [a_lot("Oats", place="Closet"), a_lot("Oats")]
    answer["labels_to_read"][1]["lots"] = [a_lot("Rice", place="The hall of the long corridor")]
    answer["everyone_fed_days_if_unread_suit"] = 8.0
    lines = part(answer, "Do not give these to 1 person (egg allergy), or to anyone who must")
    assert [" ".join(line.split()) for line in lines] == [
        "something, before the label is read and proves to suit that person.",
        "Labels to read first, and for how many days longer everyone would be fed if that",
        "one alone proves to suit (the days are not to be added together):",
        "6 x Oats +4.5 days if it suits, Closet",
        "6 x Rice +2.0 days if it suits",
        "The hall of the long corridor",
        "All unread labels together, if they prove to suit: 8.0 days for everyone.",
    ]


def test_who_is_told_no_more_reads_for_whom_a_label_counts_without_the_need() -> None:
    answer = held_back((2, "not shown here"))
    answer["labels_to_read"] = [a_label("Oats", days=7.5)]
    assert "Do not give these to anyone who must avoid something, before" in told(answer)
    assert "Next to run out, at 5.0 days: 2 people." in told(answer)


def test_who_runs_out_next_is_told_by_count_and_need() -> None:
    answer = an_answer()
    assert "Next to run out, at 5.0 days: 2 people (no restriction 2)." in told(answer)
    answer["classes"] = [a_class(2, f"need {n}", days=5.0) for n in range(8)]
    text = told(answer)
    assert "at 5.0 days: 16 people (need 0 2, need 1 2," in text
    assert "need 5 2, 2 more groups)." in text


def test_where_no_limit_holds_them_there_is_simply_not_enough() -> None:
    assert "Why: There is simply not enough food that suits them." in told(an_answer())


def test_a_gain_that_ends_at_the_horizon_is_at_least_so_much() -> None:
    answer = an_answer()
    answer["runs_out_first"] = [runs_out(1, "vegan", dates=180.0)]
    assert "if no date ran out, at least +177.0 days." in told(answer)


@pytest.mark.parametrize(
    ("days", "packs"), [(0.21, 5), (0.2, 5), (0.25, 4), (1.0, 1), (3.0, 1), (0.0301, 34)]
)
def test_the_packs_that_make_a_day_are_whole_and_enough(days: float, packs: int) -> None:
    assert packs_for_a_day(days) == packs
    assert (packs - 1) * days < 1 <= packs * days + 1e-9


def test_another_day_is_told_in_packs_of_each_food() -> None:
    answer = an_answer()
    gains = [a_gain("Chickpeas, tinned", 0.21), a_gain("Rolled oats", 0.04), a_gain("Salt", 0.0)]
    answer["runs_out_first"] = [runs_out(5, "egg allergy", foods=gains)]
    answer["members_with_a_need"] = 8
    lines = part(answer, "What runs out first")
    assert "Any one of these is one more day for these 5 people; read the label" in told(answer)
    (chickpeas,) = [line for line in lines if "Chickpeas" in line]
    assert " ".join(chickpeas.split()) == "5 or more packs of 400 kcal Chickpeas, tinned"
    (oats,) = [line for line in lines if "Rolled" in line]
    assert " ".join(oats.split()) == "25 or more packs of 400 kcal Rolled oats"
    assert not [line for line in lines if "Salt" in line]


def test_where_two_groups_are_tied_both_must_be_raised() -> None:
    answer = an_answer()
    assert "only when" not in told(answer)
    answer["runs_out_first"] = [runs_out(1, "egg allergy"), runs_out(1, "vegan")]
    answer["held_by"] = [a_class(1, "egg allergy"), a_class(1, "vegan")]
    assert "everyone is fed for longer only when both of them are given more." in told(answer)


def test_groups_past_the_third_are_counted() -> None:
    answer = an_answer()
    answer["members_with_a_need"] = 40
    answer["held_by"] = [a_class(1, f"need {n}") for n in range(5)]
    answer["runs_out_first"] = [runs_out(1, f"need {n}") for n in range(3)]
    text = told(answer)
    assert "and 2 more groups on the same day" in text
    assert "only when all of them are given more." in text
    assert "need 3" not in text


def test_who_reaches_the_horizon_is_not_said_to_run_out_there() -> None:
    answer = an_answer()
    answer["next_level_days"] = 180.0
    answer["households"] = [a_home("H1", 2.96), a_home("H2", 180.0, members=2, at_least=True)]
    text = told(answer)
    assert "Next to run out" not in text
    assert "Everyone else is fed for at least 180.0 days." in text


def test_where_water_holds_the_days_down_it_is_named() -> None:
    answer = an_answer()
    answer["everyone_fed_days_if_enough_to_drink"] = 4.57
    text = told(answer)
    assert "Held down by the stored water: with enough of it, 4.5 days for everyone." in text
    answer["everyone_fed_days_if_enough_to_drink"] = 180.0
    assert "with enough of it, at least 180.0 days for everyone." in told(answer)


def held_back(*held: tuple[int, str]) -> CoverageAnswer:
    """Give an answer as it is to who is not told which need holds the days down."""
    answer = an_answer()
    answer["runs_out_first"] = []
    answer["held_by"] = [a_class(members, need) for members, need in held]
    answer["members_with_a_need"] = 40
    return answer


def test_who_is_told_no_more_is_told_how_many_hold_the_days_down() -> None:
    text = told(held_back((2, "not shown here"), (1, "not shown here")))
    assert "Held down by 2 people (not shown here); 1 person (not shown here)." in text
    assert "What runs out first, and why" not in text
    assert "Held down by all together" in told(held_back((40, "not shown here")))
    four = held_back(*[(1, f"need {n}") for n in range(4)])
    assert "1 person (need 2) and 1 more group." in told(four)
    four["everyone_fed_days_if_enough_to_drink"] = 4.57
    assert "Held down by the stored water" in told(four)


def test_each_step_says_what_is_lost_against_the_one_before() -> None:
    lines = part(an_answer(), "Where the days go")
    figures = [line.split("=")[0].split()[-2:] for line in lines if line.count("=") > 3]
    assert figures == [
        ["paper", "30"],
        ["28", "-2"],
        ["25", "-3"],
        ["20", "-5"],
        ["14", "-6"],
        ["12", "-2"],
    ]
    bars = [line.count("=") for line in lines if "=" in line]
    assert bars == sorted(bars, reverse=True)
    assert (
        "2 less: it cannot be eaten without heat, or is kept by households for themselves. Ask"
        " again with heating, or with their own stock, to see each." in told(an_answer())
    )


def test_the_last_step_leads_to_the_days_for_everyone() -> None:
    answer = an_answer()
    ends = "but everyone is fed only for 2.9: 1 person runs out then."
    assert f"That is 4.3 days each for 3 people; {ends}" in told(answer)
    answer["members"] = 4
    whose = "the 3 people who need food (a breastfed infant needs none)"
    assert f"That is 4.3 days each for {whose}; {ends}" in told(answer)
    answer["members_with_a_need"] = 1
    assert "days each for the 1 person who needs food (a" in told(answer)
    answer["members_with_a_need"] = 3
    answer["held_by"] = [a_class(3, "no restriction")]
    assert f"That is 4.3 days each for {whose}." in told(answer)


def test_what_suits_others_is_not_said_to_suit_all() -> None:
    answer = an_answer()
    answer["where_the_days_go"] = the_steps(30.0, 30.0, 30.0, 30.0, 30.0, 29.0)
    suits = "Nothing is lost, taken all together: what some may not eat, others can."
    assert f"{suits} It is single groups that run out: see above." in told(answer)
    answer["everyone_fed_days"], answer["everyone_fed_at_least"] = 180.0, True
    assert f"{suits} Shared" in told(answer)


def test_what_is_lost_is_the_difference_of_the_figures_shown() -> None:
    answer = an_answer()
    answer["where_the_days_go"] = the_steps(30.9, 30.1, 29.9, 29.9, 29.9, 29.9)
    lines = part(answer, "Where the days go")
    assert [line.strip() for line in lines if "less" in line or "Nothing" in line] == [
        "Nothing more is lost.",
        "1 less: past its date, without one, or past it before it can be eaten.",
        "Nothing more is lost.",
        "Nothing is lost, taken all together: what some may not eat, others can. It",
        "Nothing more is lost.",
    ]


def test_what_cannot_be_used_follows_the_scenario() -> None:
    answer = an_answer()
    answer["scenario"] |= {"heating": True, "stock": "all", "places_lost": ["hall"]}
    assert "2 less: it stands in a place that is lost." in told(answer)


def test_steps_that_end_at_the_horizon_say_so() -> None:
    answer = an_answer()
    assert "no more than" not in told(answer)
    answer["where_the_days_go"] = the_steps(540.0, 540.0, 500.0, 20.0, 14.0, 12.96)
    assert "no more than 180 days are counted." in told(answer)


def test_a_store_of_nothing_draws_no_bar() -> None:
    answer = an_answer()
    answer["where_the_days_go"] = the_steps(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    assert "=" not in "".join(part(answer, "Where the days go"))


def test_what_spoils_uneaten_is_listed_with_its_dates() -> None:
    answer = an_answer()
    assert "uneaten" not in told(answer)
    lots = [spoiled(f"Food {n:02}", units=n + 0.5) for n in range(MOST_LINES + 1)]
    answer["will_spoil"] = will_spoil(*lots, person_days=34.9)
    text = told(answer)
    assert "Will pass its date uneaten, hand it on before: 34 person-days" in text
    assert "2026-12-03 0.5 x Food 00 Hall 2026-12-03 1.5 x Food 01" in text
    assert "Food 10" not in text
    assert "and 1 more lot" in text


@pytest.mark.parametrize(
    ("figure", "said"),
    [(12.0, "12"), (3.57, "3.5"), (11.99999999, "12"), (0.99, "0.9")],
)
def test_a_part_of_a_pack_is_told_as_such(figure: float, said: str) -> None:
    assert units(figure) == said


def test_meals_are_told_for_each_person_the_fewest_first() -> None:
    answer = an_answer()
    answer["complete_meals"] = [
        meals_of(2, "no restriction", meals=40.0, scarcest=None),
        meals_of(4, "vegan", meals=9.0, scarcest="fruit_or_vegetable"),
        meals_of(1, "halal", meals=5.99),
    ]
    lines = part(answer, "Complete meals")
    assert [line.strip() for line in lines if " each  " in line] == [
        "2.2 each  4 people (vegan); fruit and vegetables run out first",
        "5.9 each  1 person (halal); protein runs out first",
        "20.0 each  2 people (no restriction)",
    ]


def test_groups_with_many_meals_are_counted() -> None:
    answer = an_answer()
    answer["complete_meals"] = [meals_of(1, f"need {n}", meals=n) for n in range(7)]
    text = told(answer)
    assert "need 2" in text
    assert "need 3" not in text
    assert "and 4 more groups, with as many each or more" in text
    assert "from what is known to suit each group, were all of that its own" in text


def test_foods_that_suit_only_if_their_label_does_are_told_as_such() -> None:
    answer = an_answer()
    gains = [a_gain("Rolled oats", 0.5, only_if_label_suits=True)]
    answer["runs_out_first"] = [runs_out(1, "egg allergy", foods=gains)]
    text = told(answer)
    assert "one more day for this 1 person, if its label proves that it suits them: 2 or" in text


def test_less_than_a_tenth_of_a_pack_is_not_told_as_spoiling() -> None:
    answer = an_answer()
    answer["will_spoil"] = will_spoil(spoiled("Beans", units=0.04), person_days=0.01)
    assert "uneaten" not in told(answer)
    answer["will_spoil"] = will_spoil(spoiled("Beans", units=0.4), person_days=0.1)
    assert "hand it on before: less than 1 person-day" in told(answer)


def test_the_mix_stands_beside_published_figures_and_their_sources() -> None:
    lines = [" ".join(line.split()) for line in part(an_answer(), "What the food is made of")]
    assert lines[:3] == [
        "protein 14 % of the energy more than planned (10 % to 12 %)",
        "fat 24 % of the energy as planned (at least 17 %)",
        "sodium 3,120 mg a day each more than planned (at most 2,300 mg)",
    ]
    assert "Sources (in full with --json): a handbook; a book of limits." in told(an_answer())
    assert "no figure" not in told(an_answer())


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.094, "9 % of the energy less than planned"),
        (0.096, "10 % of the energy as planned"),
        (0.124, "12 % of the energy as planned"),
        (0.126, "13 % of the energy more than planned"),
    ],
)
def test_the_mix_is_more_or_less_than_planned_by_the_figures_shown(share: float, said: str) -> None:
    answer = an_answer()
    answer["diet_mix"] |= {"protein_share": share}
    assert f"protein {said} (10 % to 12 %)" in told(answer)


def test_what_has_no_figure_is_said_and_never_told_as_nothing() -> None:
    answer = an_answer()
    answer["diet_mix"] |= {"fat_share": None, "energy_without_fat_figure_share": 1.0}
    text = told(answer)
    assert "fat not known planned (at least 17 %)" in text
    assert "Foods that give 100 % of the energy have no figure for fat" in text


def test_where_nothing_is_eaten_there_is_no_mix() -> None:
    answer = an_answer()
    answer["diet_mix"] |= {"energy_kcal": 0.0}
    assert "What the food is made of" not in told(answer)
