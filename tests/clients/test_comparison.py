"""A comparison says in short sentences and 80 columns what changed, and counts what it omits."""

import json

import pytest

from daysworth.answers.comparison import Side, answer_comparison, comparison_json
from daysworth.planners.scenario import Scenario
from daysworth_client.comparison import MOST_LINES, WIDTH, comparison_summary
from daysworth_client.comparison_answers import ComparisonAnswer
from daysworth_client.shapes import read_as
from daysworth_client.what_changed import change_in_tenths, what_changed
from tests.clients.test_summary import LONG_ID, LONG_NAME, WIDE_NAME, in_order, lines_with, too_wide
from tests.clients.written_answers import a_class
from tests.clients.written_comparisons import (
    a_comparison,
    a_food,
    a_home,
    a_joined_home,
    a_passed_lot,
    counts,
    days,
    figures,
)
from tests.planners.small_stores import AS_OF, small_store


def unchanged() -> ComparisonAnswer:
    """Give a comparison of a store with itself."""
    plain = a_comparison()
    held = [a_class(1, "egg allergy")]
    return {
        **plain,
        "before": {**plain["before"], "held_by": held},
        "after": {**plain["after"], "held_by": held},
        "everyone_fed_days": days(2.96, 2.96),
        "water_days": figures(8.8, 8.8),
        "units_on_hand": counts(9, 9),
        "energy_on_hand_kcal": figures(9.0, 9.0),
        "households": [],
        "foods": [],
        "passed": [],
    }


def test_what_changed_comes_first_and_the_cautions_last() -> None:
    text = comparison_summary(a_comparison())
    assert in_order(
        text,
        (
            "Elm Row: how many days can all of us eat, before and after?",
            "Before: week 2026-W45 as it was kept, as of 5 November 2026",
            "After: as of 12 November 2026, otherwise the same.",
            "What changed",
            "before          after         change",
            "Before, held down by 1 person (egg allergy).",
            "After, held down by 2 people (milk allergy).",
            "Households whose days changed, the most days lost first",
            "Foods on hand that changed, the most energy lost first",
            "Passed its last good day between",
            "Cautions",
        ),
    )
    assert text.splitlines()[-1] == "  - Read every label."


def test_the_sentences_are_short_and_each_says_one_thing() -> None:
    assert what_changed(a_comparison()) == [
        "Everyone is fed for 2.3 days, 0.6 fewer than the 2.9 before.",
        "Held down by 2 people (milk allergy); before, by 1 person (egg allergy).",
        "1 household more, not there before.",
        "1 household with fewer days; 1 unchanged.",
        "The stored water lasts 1.1 days longer.",
        "4 units fewer on hand, and 2,000 kcal less.",
        "Most energy lost: Beans (-6 units, 2,500 kcal).",
        "Most energy gained: Rice (+2 units, 500 kcal).",
        "The date of 1 lot passed between; 2 units of that are still there.",
    ]


def test_where_nothing_changed_one_sentence_says_so() -> None:
    assert what_changed(unchanged()) == ["Everyone is fed for 2.9 days, as before."]


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (1.0, 2.5, "2.5 days, 1.5 more than the 1.0 before."),
        (None, 2.5, "2.5 days; before, nobody had a need to meet."),
        (2.5, None, "no days to count; before, everyone was fed for 2.5 days."),
        (None, None, "Nobody has a need to meet, so there are no days to count."),
    ],
)
def test_days_for_everyone_are_told_whether_or_not_there_were_any(
    before: float | None, after: float | None, words: str
) -> None:
    assert what_changed({**unchanged(), "everyone_fed_days": days(before, after)})[0].endswith(
        words
    )


def test_days_that_reach_the_horizon_are_at_least() -> None:
    least = {**days(180.0, 180.0), "before_at_least": True, "after_at_least": True}
    answer: ComparisonAnswer = {**unchanged(), "everyone_fed_days": least}  # type: ignore[typeddict-item]
    assert what_changed(answer) == ["Everyone is fed for at least 180.0 days, as before."]
    (line,) = lines_with(comparison_summary(answer), "Everyone is fed for, days")
    assert line.split()[-3:] == ["180.0+", "180.0+", "0.0"]


def test_the_change_is_that_of_the_figures_as_they_are_shown() -> None:
    assert change_in_tenths(2.96, 3.01) == 1
    (line,) = lines_with(
        comparison_summary({**a_comparison(), "everyone_fed_days": days(2.96, 3.01)}),
        "Everyone is fed for, days",
    )
    assert line.split()[-3:] == ["2.9", "3.0", "+0.1"]


def test_figures_that_are_not_there_are_dashes() -> None:
    (line,) = lines_with(comparison_summary(a_comparison()), "Next to run out")
    assert line.split()[-3:] == ["5.0", "-", "-"]


def test_a_household_that_is_on_one_side_says_so() -> None:
    gone = a_home("H9", 4.0, after=None)
    gone["members_after"] = None
    needless = a_home("H8", 4.0, after=None)
    answer = {**a_comparison(), "households": [gone, needless, a_joined_home("H3")]}
    text = comparison_summary(answer)  # type: ignore[arg-type]
    assert lines_with(text, "H9")[0].endswith("no longer there")
    assert lines_with(text, "H8")[0].endswith("no need of its own on one side")
    assert lines_with(text, "H3")[0].endswith("not there before")


def test_groups_that_are_all_are_told_as_all_together() -> None:
    answer = a_comparison()
    answer["after"]["held_by"] = [a_class(3, "milk allergy"), a_class(2, "no restriction")]
    assert "After, held down by all together." in comparison_summary(answer)


def test_a_week_without_households_that_were_erased_says_so() -> None:
    answer = a_comparison()
    answer["before"]["is_rewritten"] = True
    assert "less the households erased since." in " ".join(comparison_summary(answer).split())


def test_another_scenario_is_told_in_full() -> None:
    answer = a_comparison()
    answer["after"]["scenario"] = {
        **answer["after"]["scenario"],
        "heating": True,
        "basis": "flat",
        "ration": 0.5,
        "places_lost": ["hall"],
        "households_away": ["H1"],
    }
    text = " ".join(comparison_summary(answer).split())
    assert (
        "After: as of 12 November 2026, something to heat with, no running water, shared stock"
        " only, 2,100 kcal for everyone, 50% rations, without hall, H1 away." in text
    )


def test_long_lists_are_cut_and_the_rest_counted() -> None:
    many = MOST_LINES + 3
    answer: ComparisonAnswer = {
        **a_comparison(),
        "households": [a_home(f"H{n}", 3.0, after=2.0) for n in range(many)],
        "foods": [a_food(f"Food {n}", -1, kcal=-9.0) for n in range(many)],
        "passed": [a_passed_lot("Beans", 3, still=1) for _ in range(many)],
    }
    text = comparison_summary(answer)
    for words in ("and 3 more households", "and 3 more foods", "and 3 more lots"):
        assert words in text


def test_no_line_is_wider_than_80_columns() -> None:
    for name in (LONG_NAME, WIDE_NAME):
        home, joined = a_home(LONG_ID, 123_456.7, after=0.0), a_joined_home(WIDE_NAME[:64])
        answer: ComparisonAnswer = {
            **a_comparison(),
            "store_name": name,
            "households": [home, joined],
            "foods": [a_food(name, -999_999, kcal=-99_999_999.0)],
            "passed": [{**a_passed_lot(name, 999_999, still=999_999), "place": name}],
            "units_on_hand": counts(99_999_999, 0),
            "energy_on_hand_kcal": figures(9_999_999_999.0, 0.0),
        }
        text = comparison_summary(answer)
        assert too_wide(text) == []
    assert WIDTH == 80


def test_a_name_moves_no_cursor_and_breaks_no_line() -> None:
    answer = a_comparison()
    answer["store_name"] = "Elm\x1b[2JRow"
    answer["foods"] = [a_food("Be\nans", -6, kcal=-2_500.0)]
    text = comparison_summary(answer)
    assert "\x1b" not in text
    assert "Be\ufffdans" in text


@pytest.mark.parametrize("seed", range(6))
def test_whatever_the_service_answers_is_read_and_written(seed: int) -> None:
    (one, scenario), (other, _) = small_store(seed), small_store(seed + 30)
    answer = answer_comparison(
        Side(snapshot=one, as_of=AS_OF, scenario=scenario, week="2027-W19"),
        Side(snapshot=other, as_of=AS_OF, scenario=Scenario()),
    )
    read = read_as(ComparisonAnswer, json.loads(comparison_json(answer)))
    assert too_wide(comparison_summary(read)) == []
    assert what_changed(read)
