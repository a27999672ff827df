"""The summary says in 80 columns what an answer says, rounded down, and counts what it omits."""

import unicodedata
from collections.abc import Iterable

import pytest

from daysworth_client.answers import CoverageAnswer
from daysworth_client.summary import coverage_summary
from daysworth_client.summary_homes import MOST_NAMED
from daysworth_client.summary_lines import MOST_LINES, WIDTH
from tests.clients.written_answers import (
    a_class,
    a_gain,
    a_home,
    a_label,
    a_lot,
    a_round,
    an_answer,
    meals_of,
    runs_out,
    spoiled,
    will_spoil,
)

LONG_ID = "h" * 64
LONG_NAME = "long name " * 12
WIDE_NAME = "缶詰の豆" * 30


def columns(line: str) -> int:
    """Count the columns a terminal needs: two for a wide letter, none for a combining one."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in line
    )


def too_wide(text: str) -> list[str]:
    return [line for line in text.splitlines() if columns(line) > WIDTH]


def one_line(text: str) -> str:
    return " ".join(text.split())


def lines_with(text: str, words: str) -> list[str]:
    return [line for line in text.splitlines() if words in line]


def in_order(text: str, parts: Iterable[str]) -> bool:
    found = [text.find(part) for part in parts]
    return -1 not in found and found == sorted(found)


def test_the_headlines_come_first_and_the_cautions_last() -> None:
    text = coverage_summary(an_answer())
    assert in_order(
        one_line(text),
        (
            "Elm Row: how many days can all of us eat?",
            "As of 5 November 2026",
            "3 people in 2 households; 1,234 units on hand.",
            "Everyone is fed for",
            "Shared fairly, in all",
            "What runs out first, and why",
            "Where the days go",
            "On paper",
            "Days by household, worst first",
            "Stored water",
            "We go through the shelves again on 1 March 2027. Nothing passes its date before that.",
            "What the food is made of",
            "Complete meals",
            "Cautions",
        ),
    )
    assert text.splitlines()[-1] == "  - Read every label."


def test_days_and_person_days_are_rounded_down() -> None:
    text = coverage_summary(an_answer())
    assert "2 days and some (2.9)" in text
    assert "2 full days, today the first: through 6 November 2026 all have" in one_line(text)
    assert "12 person-days (4.3 days each, on average)" in text
    assert "On paper                   30" in text
    assert "8 days and some (8.8) at 11 litres a day; 17.6 days if people's share is" in one_line(
        text
    )


def test_the_days_hold_only_where_what_few_can_eat_is_kept_for_them() -> None:
    answer = an_answer()
    kept = "if the little some can eat is kept for them."
    assert kept in one_line(coverage_summary(answer))
    answer["everyone_fed_days"], answer["everyone_fed_at_least"] = 180.0, True
    assert kept in one_line(coverage_summary(answer))
    answer["classes"] = [a_class(3, "no restriction", days=180.0)]
    assert kept not in one_line(coverage_summary(answer))


def test_what_reading_labels_is_worth_is_said_only_where_it_is_worth_something() -> None:
    answer = an_answer()
    assert "unread" not in coverage_summary(answer)
    answer["everyone_fed_days_if_unread_suit"] = 4.56
    assert "if they prove to suit: 4.5 days for everyone." in coverage_summary(answer)


def at_the_horizon() -> CoverageAnswer:
    answer = an_answer()
    answer["everyone_fed_days"], answer["everyone_fed_at_least"] = 180.0, True
    answer["everyone_fed_days_if_unread_suit"] = 180.0
    answer["everyone_fed_days_if_enough_to_drink"] = 180.0
    answer["next_level_days"] = None
    answer["households"] = [a_home("H1", 180.0, at_least=True), a_home("H2", 180.0, at_least=True)]
    return answer


def test_at_the_horizon_days_read_at_least_and_nobody_holds_them_down() -> None:
    text = coverage_summary(at_the_horizon())
    assert "at least 180 days (180.0)" in text
    assert "runs out first" not in text.partition("Where the days go")[0]
    assert len(lines_with(text, "180.0+")) == 1
    assert "180.0+ ==================== 2 households, 2 people: H1, H2" in text


def test_labels_that_would_reach_the_horizon_are_worth_at_least_so_many_days() -> None:
    answer = an_answer()
    answer["everyone_fed_days_if_unread_suit"] = 180.0
    text = coverage_summary(answer)
    assert "at least 180" in text


def nobody_to_feed() -> CoverageAnswer:
    answer = an_answer()
    answer["everyone_fed_days"] = answer["everyone_fed_days_if_unread_suit"] = None
    answer["everyone_fed_days_if_enough_to_drink"] = answer["next_level_days"] = None
    answer["held_by"], answer["classes"], answer["households"] = [], [], []
    answer["runs_out_first"], answer["complete_meals"] = [], []
    answer["person_days"] = 0.0
    answer["members_with_a_need"] = answer["members"] = answer["household_count"] = 0
    answer["water"]["days"] = answer["water"]["days_drinking_only"] = None
    return answer


def test_a_store_with_nobody_to_feed_says_so_and_counts_no_days() -> None:
    text = coverage_summary(nobody_to_feed())
    assert "Nobody here has a need to meet" in text
    assert "0 people in 0 households" in text
    for left_out in ("Everyone is fed", "Stored water", "runs out", "Where the days", "meals"):
        assert left_out not in text
    assert "Cautions" in text


def test_a_household_without_a_need_of_its_own_is_told_apart() -> None:
    answer = an_answer()
    answer["households"].append(a_home("H3", None))
    assert lines_with(coverage_summary(answer), "H3") == ["  no need of its own: H3"]


def test_no_days_at_all_draw_no_bar() -> None:
    answer = an_answer()
    answer["everyone_fed_days"] = 0.0
    answer["households"] = [a_home("H1", 0.0), a_home("H2", 0.0)]
    text = coverage_summary(answer)
    assert "0 days (0.0)" in text
    assert "=" not in text.partition("Days by household")[2]


def test_a_longer_bar_is_more_days() -> None:
    text = coverage_summary(an_answer())
    bars = [line.count("=") for line in lines_with(text, "1 household, ")]
    assert bars == sorted(bars)
    assert 0 < bars[0] < bars[1]


def test_households_with_the_same_days_share_a_line() -> None:
    answer = an_answer()
    answer["households"] = [
        a_home("H1", 2.91),
        a_home("H2", 2.99, members=4),
        *[a_home(f"H{n}", 5.0) for n in range(3, 3 + MOST_NAMED + 2)],
    ]
    text = " ".join(coverage_summary(answer).split())
    assert "2.9 =========== 2 households, 5 people: H1, H2 5.0" in text
    assert "10 households, 10 people: H3, H4, H5, H6, H7, H8, H9, H10 and 2 more" in text


def test_households_past_the_tenth_level_are_counted() -> None:
    answer = an_answer()
    answer["households"] = [a_home(f"H{n:03}", 3.0 + n) for n in range(MOST_LINES + 2)]
    answer["households"].append(a_home("H900", None))
    text = coverage_summary(answer)
    assert "H009" in text
    assert "H010" not in text
    assert "  and 2 more households, with more days than these" in text
    assert "  no need of its own: H900" in text


def test_lots_past_the_tenth_are_counted() -> None:
    answer = an_answer()
    answer["before_next_round"] = a_round([a_lot(f"Food {n:03}") for n in range(MOST_LINES + 1)])
    answer["set_aside"]["undated"] = [a_lot(f"Old {n:03}", day=None) for n in range(MOST_LINES + 3)]
    text = coverage_summary(answer)
    assert "  and 1 more lot\n" in text
    assert "  and 3 more lots\n" in text
    assert "Food 010" not in text
    assert "Undated: 13 lots, not counted in the days above. Read the dates." in text


def test_what_is_set_aside_is_listed_by_reason() -> None:
    answer = an_answer()
    for reason in ("past", "undated", "damaged", "quarantined"):
        answer["set_aside"][reason] = [a_lot(f"{reason} beans")]
    text = coverage_summary(answer)
    assert in_order(
        text,
        ("Past last", "past beans", "Undated", "undated beans", "Damaged", "damaged beans"),
    )
    assert in_order(
        text, ("damaged beans", "Set aside until someone decides: 1 lot", "quarantined")
    )
    (dated,) = lines_with(text, "2027-02-03")
    assert "past beans" in dated


def test_where_no_round_is_planned_nothing_is_due() -> None:
    answer = an_answer()
    answer["before_next_round"] = a_round([], day=None)
    assert "go through the shelves" not in coverage_summary(answer)


def test_what_passes_its_date_before_the_next_round_is_to_be_eaten_first() -> None:
    answer = an_answer()
    answer["before_next_round"] = a_round([a_lot("Oats", units=7), a_lot("Rice", units=2)])
    assert (
        "We go through the shelves again on 1 March 2027. 9 units pass their date before that: eat"
        " these first, in everyday meals, each by those whom it suits."
        in one_line(coverage_summary(answer))
    )
    answer["before_next_round"] = a_round([a_lot("Oats")])
    assert "1 unit passes its date before that" in one_line(coverage_summary(answer))


def test_overdue_water_is_worth_days_once_made_safe() -> None:
    answer = an_answer()
    answer["water"]["overdue_l"], answer["water"]["overdue_days"] = 50.0, 4.39
    assert "50 litres are past their date" in coverage_summary(answer)
    assert "add 4.3 days" in " ".join(coverage_summary(answer).split())


def test_the_scenario_is_said_in_words() -> None:
    answer = an_answer()
    answer["scenario"] = {
        "heating": True,
        "running_water": True,
        "stock": "all",
        "places_lost": ["hall"],
        "households_away": ["H2", "H3"],
        "basis": "flat",
        "ration": 0.5,
        "horizon_days": 180,
    }
    text = " ".join(coverage_summary(answer).split())
    assert (
        "something to heat with, running water, shared and households' own stock, "
        "2,100 kcal for everyone, 50% rations, without hall, H2, H3 away."
    ) in text


@pytest.mark.parametrize("ration", [0.995, 0.004])
def test_a_ration_is_never_said_to_be_full_or_nothing(ration: float) -> None:
    answer = an_answer()
    answer["scenario"]["ration"] = ration
    text = coverage_summary(answer)
    assert "100% rations" not in text
    assert " 0% rations" not in text


def with_names(*, store: str, home: str, food: str, place: str) -> CoverageAnswer:
    answer = an_answer()
    answer["store_name"] = store
    answer["households"] = [a_home(home, 2.96, members=60), a_home(home + "x", 730.0)]
    lots = [a_lot(food, units=999_999, place=place)]
    answer["before_next_round"] = a_round(lots)
    answer["set_aside"]["past"] = lots
    answer["scenario"]["places_lost"] = [home] * 3
    answer["scenario"]["households_away"] = [home] * 3
    answer["labels_to_read"] = [a_label(food, days=180.0)]
    answer["labels_to_read"][0]["lots"] = lots
    need = "a need of many words " * 9
    answer["held_by"] = [a_class(1, need)]
    answer["runs_out_first"] = [runs_out(1, need, foods=[a_gain(food, 1e-5)], water=999.0)]
    answer["will_spoil"] = will_spoil(spoiled(food, units=999_999.5, place=place))
    answer["complete_meals"] = [meals_of(1, need, meals=1e9)]
    return answer


def test_long_names_stay_within_80_columns() -> None:
    answer = with_names(store=LONG_NAME, home=LONG_ID, food=LONG_NAME, place=LONG_NAME)
    assert too_wide(coverage_summary(answer)) == []
    unbroken = with_names(store="s" * 120, home=LONG_ID, food="f" * 120, place="p" * 120)
    assert too_wide(coverage_summary(unbroken)) == []


def test_wide_letters_stay_within_80_columns() -> None:
    answer = with_names(store=WIDE_NAME, home=LONG_ID, food=WIDE_NAME, place=WIDE_NAME)
    assert too_wide(coverage_summary(answer)) == []


def test_the_most_units_a_lot_may_have_stay_within_80_columns() -> None:
    answer = an_answer()
    answer["before_next_round"] = a_round([a_lot("f" * 120, units=1_000_000, place="p" * 120)])
    assert too_wide(coverage_summary(answer)) == []


def test_names_keep_to_their_line() -> None:
    answer = with_names(store="a\nb", home="c\rd", food="e\x1b[2Jf", place="g\u202eh")
    text = coverage_summary(answer)
    assert not set(text) & {"\r", "\x1b", "\u202e"}
    assert "a\nb" not in text
