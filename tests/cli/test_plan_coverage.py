"""A snapshot file is asked for its coverage, with every option of a scenario."""

import json
import subprocess
from functools import cache
from pathlib import Path

import pytest

from tests.cli.process import DAYSWORTH, daysworth, done, refused

SIZE = ("--households", "12", "--lots", "240", "--seed", "3")


@pytest.fixture(scope="module")
def snapshot() -> bytes:
    return daysworth("snapshot", "generate", *SIZE, "--own-share", "0.2").stdout


@cache
def asked(snapshot: bytes, *options: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(
        done("plan", "coverage", "-", "--json", *options, given=snapshot)
    )
    return answer


def test_a_store_is_generated_and_planned_through_one_pipe() -> None:
    ran = subprocess.run(
        f"{DAYSWORTH} snapshot generate {' '.join(SIZE)} | {DAYSWORTH} plan coverage - --json",
        shell=True,
        capture_output=True,
        check=True,
    )
    assert json.loads(ran.stdout)["household_count"] == 12


def test_a_file_and_standard_input_give_the_same_bytes(snapshot: bytes, tmp_path: Path) -> None:
    file = tmp_path / "store.json"
    file.write_bytes(snapshot)
    piped = done("plan", "coverage", "-", given=snapshot)
    assert done("plan", "coverage", str(file)) == piped
    assert done("plan", "coverage", str(file), hash_seed="99") == piped


def test_day_1_is_the_day_the_snapshot_was_taken_unless_another_is_given(snapshot: bytes) -> None:
    assert asked(snapshot)["as_of"] == "2026-09-01"
    assert asked(snapshot, "--as-of", "2027-09-01")["as_of"] == "2027-09-01"
    later = asked(snapshot, "--as-of", "2029-09-01")["person_days"]
    assert isinstance(later, float)
    assert later < asked(snapshot)["person_days"]  # type: ignore[operator]


@pytest.mark.parametrize(
    ("options", "name", "value"),
    [
        (["--heating"], "heating", True),
        (["--stock", "all"], "stock", "all"),
        (["--without-place", "P001", "--without-place", "P002"], "places_lost", ["P001", "P002"]),
        (["--away", "H0002"], "households_away", ["H0002"]),
        (["--basis", "flat"], "basis", "flat"),
        (["--ration", "0.5"], "ration", 0.5),
        (["--horizon", "3"], "horizon_days", 3),
    ],
)
def test_each_option_is_asked_and_answered(
    snapshot: bytes, options: list[str], name: str, value: object
) -> None:
    plain, answer = asked(snapshot), asked(snapshot, *options)
    scenario = answer["scenario"]
    assert isinstance(scenario, dict)
    assert scenario[name] == value
    figures = ("person_days", "mean_need_kcal", "everyone_fed_days", "water", "household_count")
    assert [plain[one] for one in figures] != [answer[one] for one in figures]


def test_where_water_holds_everyone_down_running_water_lets_them_eat_on(snapshot: bytes) -> None:
    store = json.loads(snapshot)
    for lot in store["lots"]:
        if lot["food"] == "water_self_filled":
            lot["units"] = 1
    dry = json.dumps(store).encode()
    held, free = asked(dry), asked(dry, "--running-water")
    assert free["everyone_fed_days"] > held["everyone_fed_days"]  # type: ignore[operator]
    assert held["everyone_fed_days_if_enough_to_drink"] == free["everyone_fed_days"]
    assert "Held down by the stored water" in done("plan", "coverage", "-", given=dry)


def test_at_the_horizon_days_read_at_least(snapshot: bytes) -> None:
    text = done("plan", "coverage", "-", "--horizon", "3", "--running-water", given=snapshot)
    assert "at least 3 days" in text
    answer = asked(snapshot, "--horizon", "3", "--running-water")
    assert answer["everyone_fed_at_least"] is True
    assert answer["everyone_fed_days"] == 3.0


@pytest.mark.parametrize(
    ("options", "named"),
    [(["--without-place", "P999"], "P999"), (["--away", "nobody"], "nobody")],
)
def test_an_unknown_place_or_household_is_refused_and_named(
    snapshot: bytes, options: list[str], named: str
) -> None:
    assert named in refused("plan", "coverage", "-", *options, given=snapshot)


@pytest.mark.parametrize(
    "options",
    [
        *(["--ration", part] for part in ("0", "1.5", "-1", "nan", "inf", "half")),
        *(["--horizon", days] for days in ("0", "731", "-5", "ten", "1.5")),
        ["--stock", "mine"],
        ["--basis", "guess"],
        ["--as-of", "soon"],
        ["--colour", "red"],
    ],
)
def test_an_option_out_of_range_is_wrong_usage(snapshot: bytes, options: list[str]) -> None:
    assert options[0] in refused("plan", "coverage", "-", *options, given=snapshot, code=2)


def test_a_file_that_cannot_be_read_is_refused_by_name(tmp_path: Path) -> None:
    assert "nowhere.json" in refused("plan", "coverage", str(tmp_path / "nowhere.json"))
    assert tmp_path.name in refused("plan", "coverage", str(tmp_path))


def test_everyone_away_leaves_nobody_to_count_and_no_error(snapshot: bytes) -> None:
    homes = [f"H{n:04}" for n in range(1, 13)]
    away = [word for home in homes for word in ("--away", home)]
    answer = asked(snapshot, *away)
    assert answer["everyone_fed_days"] is None
    assert answer["households"] == []
    assert "Nobody here has a need" in done("plan", "coverage", "-", *away, given=snapshot)
