"""The demo prints a neighbourhood counted in days, for a person and for a program."""

import json
import re
import subprocess
import sys

import pytest

from tests.cli.process import DAYSWORTH, done, refused

ON = ("--as-of", "2026-11-25")


def test_it_prints_what_a_coordinator_asks_for_in_this_order() -> None:
    text = done("demo", *ON)
    asked = (
        "73 people in 24 households",
        "units on hand",
        "Everyone is fed for",
        "person-days",
        "What runs out first, and why",
        "Where the days go",
        "On paper",
        "Days by household, worst first",
        "Stored water",
        "go through the shelves again on 1 March 2027",
        "Undated",
        "Damaged",
        "Cautions",
        "Read every label every time",
    )
    found = [text.index(words) for words in asked]
    assert found == sorted(found)
    assert text.rstrip().endswith("clear a food.")


def test_nothing_is_wider_than_a_terminal_of_80_columns() -> None:
    assert max(len(line) for line in done("demo", *ON).splitlines()) <= 80


def test_households_stand_worst_first() -> None:
    homes = json.loads(done("demo", *ON, "--json"))["households"]
    days = [home["days"] for home in homes]
    assert len(homes) == 24
    assert days == sorted(days)
    assert days[0] == json.loads(done("demo", *ON, "--json"))["everyone_fed_days"]


def test_json_is_json_and_nothing_else_for_a_parser_at_the_end_of_a_pipe() -> None:
    ran = subprocess.run(
        f"{DAYSWORTH} demo --json | {sys.executable} -m json.tool",
        shell=True,
        capture_output=True,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, b"")
    answer = json.loads(ran.stdout)
    assert {"person_days", "everyone_fed_days", "households", "cautions"} <= set(answer)
    assert all({"id", "text", "source"} <= set(caution) for caution in answer["cautions"])


def test_the_same_day_gives_the_same_bytes_whatever_the_hash_seed() -> None:
    again = done("demo", *ON, "--json", hash_seed="4711")
    assert done("demo", *ON, "--json") == again == done("demo", "--json", *ON)


def test_without_a_date_it_is_today_in_the_neighbourhood() -> None:
    answer = json.loads(done("demo", "--json"))
    assert re.fullmatch(r"20\d\d-\d\d-\d\d", answer["as_of"])


@pytest.mark.parametrize("day", ["2028-02-29", "2010-01-01", "2090-12-31"])
def test_any_day_within_reach_will_do(day: str) -> None:
    assert json.loads(done("demo", "--as-of", day, "--json"))["as_of"] == day


@pytest.mark.parametrize(
    "day", ["2027-02-29", "tomorrow", "", "01/02/2027", "1926-11-25", "9999-01-01"]
)
def test_what_is_no_day_within_reach_is_wrong_usage(day: str) -> None:
    assert "--as-of" in refused("demo", "--as-of", day, code=2)


def test_no_member_is_named_and_no_need_is_tied_to_a_household() -> None:
    text = done("demo", *ON, "--json")
    answer = json.loads(text)
    assert not re.search(r'"H\d\d-\d', text)
    assert all(
        set(home) == {"household", "members", "days", "at_least"} for home in answer["households"]
    )
    assert all("household" not in group for group in answer["held_by"] + answer["classes"])
