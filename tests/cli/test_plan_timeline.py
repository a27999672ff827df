"""A snapshot file is asked how long it waits, and what is eaten when."""

import json

import pytest

from tests.cli.process import daysworth, done, refused

SIZE = ("--households", "6", "--lots", "60", "--seed", "3")
ASKED = ("plan", "timeline", "-", "--running-water")


@pytest.fixture(scope="module")
def snapshot() -> bytes:
    return daysworth("snapshot", "generate", *SIZE).stdout


def test_the_text_tells_the_dates_and_the_classes_in_80_columns(snapshot: bytes) -> None:
    text = done(*ASKED, given=snapshot)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "If nothing is added and nobody eats, everyone is fed for" in text
    assert "1 March 2027 (round)" in text
    assert "What 1 person eat" not in text
    assert "No home-canned food" in text


def test_a_household_is_shown_its_own_food(snapshot: bytes) -> None:
    text = done(*ASKED, "--household", "H0001", given=snapshot)
    assert "What household H0001 eats" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_each_option_reaches_the_answer(snapshot: bytes) -> None:
    options = ("--months", "3", "--heating", "--horizon", "90", "--household", "H0002", "--json")
    answer = json.loads(done(*ASKED, *options, given=snapshot))
    assert answer["scenario"]["heating"] is True
    assert answer["scenario"]["horizon_days"] == 90
    assert answer["household"]["household"] == "H0002"
    assert answer["cliff"]["last_day"] == "2026-12-01"


def test_the_same_file_gives_the_same_bytes(snapshot: bytes) -> None:
    once = done(*ASKED, given=snapshot)
    assert done(*ASKED, given=snapshot, hash_seed="99") == once


def test_a_household_that_is_not_there_is_refused(snapshot: bytes) -> None:
    assert "no household 'H-none'" in refused(*ASKED, "--household", "H-none", given=snapshot)


def test_months_out_of_reach_are_refused(snapshot: bytes) -> None:
    assert "24" in refused(*ASKED, "--months", "25", given=snapshot, code=2)
