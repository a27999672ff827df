"""Two snapshot files, or one in two scenarios, are compared side by side."""

import json
from functools import cache
from pathlib import Path

import pytest

from tests.cli.process import daysworth, done, refused

SIZE = ("--households", "12", "--lots", "240", "--seed", "3")


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """Write a store, and the same a month later with fewer lots."""
    folder = tmp_path_factory.mktemp("snapshots")
    before, after = folder / "before.json", folder / "after.json"
    before.write_bytes(daysworth("snapshot", "generate", *SIZE).stdout)
    store = json.loads(before.read_text("utf-8"))
    later = {**store, "taken_on": "2026-10-01", "version": 2, "lots": store["lots"][40:]}
    after.write_text(json.dumps(later), "utf-8")
    return str(before), str(after)


@cache
def compared(*words: str) -> dict[str, dict[str, object]]:
    answer: dict[str, dict[str, object]] = json.loads(done("plan", "compare", *words, "--json"))
    return answer


def covered(*words: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(done("plan", "coverage", *words, "--json"))
    return answer


def test_each_file_is_asked_as_of_the_day_it_was_taken(files: tuple[str, str]) -> None:
    found = compared(*files)
    sides = [found["before"], found["after"]]
    assert [side["as_of"] for side in sides] == ["2026-09-01", "2026-10-01"]
    for name, file in zip(("before", "after"), files, strict=True):
        assert found["everyone_fed_days"][name] == covered(file)["everyone_fed_days"]
        assert found["person_days"][name] == covered(file)["person_days"]
    assert found["foods"]


def test_one_file_is_compared_with_itself_in_another_scenario(files: tuple[str, str]) -> None:
    found = compared(files[0], "--running-water", "--other-heating", "--other-away", "H0002")
    before = covered(files[0], "--running-water")
    after = covered(files[0], "--running-water", "--heating", "--away", "H0002")
    assert found["before"]["scenario"] == before["scenario"]
    assert found["after"]["scenario"] == after["scenario"]
    assert found["everyone_fed_days"]["after"] == after["everyone_fed_days"]
    assert not found["foods"]


@pytest.mark.parametrize(
    ("options", "side", "name", "value"),
    [
        (["--other-running-water"], "after", "running_water", True),
        (["--other-stock", "all"], "after", "stock", "all"),
        (["--other-without-place", "P001"], "after", "places_lost", ["P001"]),
        (["--stock", "all"], "after", "stock", "all"),
        (["--ration", "0.5"], "after", "ration", 0.5),
        (["--horizon", "9"], "before", "horizon_days", 9),
    ],
)
def test_each_option_is_asked_of_its_side_or_of_both(
    files: tuple[str, str], options: list[str], side: str, name: str, value: object
) -> None:
    asked = compared(files[0], *options)[side]["scenario"]
    assert isinstance(asked, dict)
    assert asked[name] == value


def test_the_other_may_be_as_of_another_day(files: tuple[str, str]) -> None:
    found = compared(files[0], "--other-as-of", "2027-03-01")
    assert [found[side]["as_of"] for side in ("before", "after")] == ["2026-09-01", "2027-03-01"]
    assert found["passed"]
    both = compared(*files, "--as-of", "2026-12-01")
    assert [both[side]["as_of"] for side in ("before", "after")] == ["2026-12-01", "2026-12-01"]


def test_the_text_says_what_changed(files: tuple[str, str]) -> None:
    text = done("plan", "compare", *files)
    assert "What changed\n  - Everyone is fed for" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert done("plan", "compare", *files, hash_seed="99") == text


def test_one_of_the_two_may_be_standard_input_and_not_both(files: tuple[str, str]) -> None:
    given = Path(files[1]).read_bytes()
    assert done("plan", "compare", files[0], "-", given=given) == done("plan", "compare", *files)
    assert "standard input" in refused("plan", "compare", "-", "-", given=given, code=2)


def test_two_stores_are_not_compared(files: tuple[str, str]) -> None:
    other = daysworth("snapshot", "generate", "--households", "2", "--lots", "9", "--seed", "4")
    said = refused("plan", "compare", files[0], "-", given=other.stdout)
    assert "a store is compared with itself" in said


def test_what_neither_has_is_refused_by_name(files: tuple[str, str]) -> None:
    assert "P999" in refused("plan", "compare", *files, "--without-place", "P999")
    assert "nowhere.json" in refused("plan", "compare", files[0], "nowhere.json")
    assert "--other-stock" in refused("plan", "compare", *files, "--other-stock", "x", code=2)
