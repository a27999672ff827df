"""A snapshot that cannot be used is refused in words that say what is wrong and where."""

import json
import subprocess
from collections.abc import Callable, Iterator
from typing import IO

import pytest

from daysworth.answers.snapshot_file import read_snapshot
from daysworth.domain.errors import SnapshotRefused
from tests.cli.process import DAYSWORTH, daysworth, done, refused

Document = dict[str, object]


@pytest.fixture(scope="module")
def good() -> bytes:
    size = ("--households", "3", "--lots", "8", "--seed", "2")
    return daysworth("snapshot", "generate", *size).stdout


def planned(given: bytes) -> str:
    return refused("plan", "coverage", "-", given=given)


def at(document: object, *path: str | int) -> dict[str, object]:
    for part in path:
        document = document[part]  # type: ignore[index]
    assert isinstance(document, dict)
    return document


Change = Callable[[Document], None]


def put(*path: str | int, value: object) -> Change:
    def change(document: Document) -> None:
        at(document, *path[:-1])[str(path[-1])] = value

    return change


def twice(name: str) -> Change:
    def change(document: Document) -> None:
        things = document[name]
        assert isinstance(things, list)
        things.append(things[0])

    return change


def drop(*path: str | int) -> Change:
    def change(document: Document) -> None:
        del at(document, *path[:-1])[str(path[-1])]

    return change


BROKEN: dict[str, tuple[Change, tuple[str, ...]]] = {
    "negative units": (put("lots", 2, "units", value=-3), ("lots number 3 > units", "0", "-3")),
    "too many units": (put("lots", 2, "units", value=10**30), ("lots number 3 > units",)),
    "half a unit": (put("lots", 2, "units", value=1.5), ("lots number 3 > units", "whole")),
    "units in words": (put("lots", 2, "units", value="six"), ("lots number 3 > units", "whole")),
    "a list of units": (put("lots", 2, "units", value=[1]), ("lots number 3 > units", "whole")),
    "not a number": (
        put("foods", 0, "energy_kcal_100g", value=float("nan")),
        ("foods number 1 > energy_kcal_100g", "finite"),
    ),
    "infinity": (
        put("foods", 0, "net_mass_g", value=float("inf")),
        ("foods number 1 > net_mass_g", "finite"),
    ),
    "an unknown field": (put("lots", 0, "colour", value="red"), ("lots number 1 > colour",)),
    "a missing field": (drop("lots", 0, "food"), ("lots number 1 > food", "missing")),
    "a missing list": (drop("taken_on"), ("taken_on", "missing")),
    "an unknown food": (put("lots", 1, "food", value="ambrosia"), ("L000002", "ambrosia")),
    "an unknown place": (put("lots", 1, "place", value="moon"), ("L000002", "moon")),
    "an unknown owner": (put("lots", 1, "owner", value="H9"), ("L000002", "H9")),
    "a lot twice": (twice("lots"), ("lots", "L000001", "2 times")),
    "a household twice": (twice("households"), ("households", "H0001", "2 times")),
    "a food twice": (twice("foods"), ("foods", "2 times")),
    "a place twice": (twice("places"), ("places", "P001", "2 times")),
    "no such zone": (put("settings", "timezone", value="Mars/Base"), ("settings", "Mars/Base")),
    "a folder for a zone": (put("settings", "timezone", value="America"), ("settings", "America")),
    "a path for a zone": (
        put("settings", "timezone", value="../../etc/passwd"),
        ("settings", "zone"),
    ),
    "a hostile round": (
        put("settings", "rounds_rule", value="FREQ=SECONDLY"),
        ("settings", "rounds"),
    ),
    "taken in the wrong century": (put("taken_on", value="1926-09-01"), ("taken_on", "2000")),
    "a label of the wrong century": (
        put("lots", 3, "printed", value="1927-01-01"),
        ("lots number 4", "1927-01-01", "2000"),
    ),
    "a day that is not": (
        put("lots", 3, "printed", value="2027-02-30"),
        ("lots number 4", "2027-02-30"),
    ),
    "a date in words": (put("taken_on", value="last spring"), ("taken_on", "YYYY-MM-DD")),
    "born tomorrow": (
        put("households", 0, "members", 0, "born_on", value="2026-09-02"),
        ("H0001-1", "birth"),
    ),
    "born in another age": (
        put("households", 0, "members", 0, "born_on", value="1726-09-02"),
        ("H0001-1", "birth"),
    ),
    "nobody at home": (
        put("households", 0, "members", value=[]),
        ("households number 1 > members",),
    ),
    "more promised than there is": (
        put("lots", 2, "units_promised", value=1_000),
        ("lots number 3", "promised"),
    ),
    "kept by nobody": (put("lots", 0, "is_shared", value=False), ("lots number 1", "owner")),
    "another format": (put("format", value="other"), ("format",)),
    "an extra with a role": (
        put("foods", 0, "is_extra", value=True),
        ("foods number 1",),
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_the_refusal_says_what_and_where(good: bytes, name: str) -> None:
    change, words = BROKEN[name]
    document = json.loads(good)
    if name == "an extra with a role":
        document["foods"][0]["roles"] = ["protein"]
    change(document)
    with pytest.raises(SnapshotRefused) as said:
        read_snapshot(json.dumps(document).encode())
    assert all(word in str(said.value) for word in words), said.value


def test_the_command_prints_a_refusal_line_by_line(good: bytes) -> None:
    document = json.loads(good)
    put("lots", 2, "units", value=-3)(document)
    put("settings", "timezone", value="Mars/Base")(document)
    said = planned(json.dumps(document).encode()).splitlines()
    assert said[0] == "This snapshot cannot be used; nothing was changed:"
    assert said[1].startswith("  settings: there is no time zone 'Mars/Base'")
    assert said[2] == "  lots number 3 > units: must be 0 or more, not -3"


def test_what_somebody_must_not_eat_is_never_echoed(good: bytes) -> None:
    document = json.loads(good)
    document["households"][0]["members"][0]["restrictions"] = [{"allergy": "walnut-secret"}]
    said = planned(json.dumps(document).encode())
    assert "households number 1 > members number 1 > restrictions" in said
    assert "secret" not in said


@pytest.mark.parametrize(
    "text",
    [b"", b" ", b"{", b"[]", b"null", b"7", b'""', b"true", b"{}", b"\xff\xfe\x00", b"\x00" * 50],
    ids=repr,
)
def test_what_is_no_snapshot_at_all_is_refused(text: bytes) -> None:
    assert "cannot be used" in planned(text)


def test_a_file_cut_short_or_in_another_encoding_is_refused(good: bytes) -> None:
    assert "JSON" in planned(good[: len(good) // 2])
    assert "cannot be used" in planned(good.decode().encode("utf-16"))
    assert "cannot be used" in planned(good.replace(b"Synthetic store", b"Synth\xe9tic store"))
    assert "cannot be used" in planned(good.replace(b"Synthetic store", b"\\ud800 store"))


def test_a_byte_order_mark_is_let_pass(good: bytes) -> None:
    assert done("plan", "coverage", "-", given=b"\xef\xbb\xbf" + good) == done(
        "plan", "coverage", "-", given=good
    )


def test_a_figure_beyond_all_floats_is_refused(good: bytes) -> None:
    text = good.replace(b'"appetite": 1.0', b'"appetite": 1e400', 1)
    assert "appetite" in planned(text)


def test_many_faults_are_counted_and_not_listed_without_end(good: bytes) -> None:
    document = json.loads(good)
    for food in document["foods"]:
        food["energy_kcal_100g"] = -1
    said = planned(json.dumps(document).encode())
    assert "more faults" in said
    assert len(said.splitlines()) < 20


def test_deep_nesting_inside_a_field_is_refused(good: bytes) -> None:
    text = good.replace(b'"restrictions": []', b'"restrictions": ' + b"[" * 5_000, 1)
    assert "nested too deeply" in planned(text)


def streamed(chunks: Iterator[bytes]) -> tuple[int, bytes, str]:
    """Pipe chunks into the command until it has read enough."""
    process = subprocess.Popen(
        [DAYSWORTH, "plan", "coverage", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdin is not None
    fed(process.stdin, chunks)
    out, said = process.communicate()
    return process.returncode, out, said.decode()


def fed(pipe: IO[bytes], chunks: Iterator[bytes]) -> None:
    try:
        for chunk in chunks:
            pipe.write(chunk)
    except BrokenPipeError:
        return


@pytest.mark.parametrize("piece", [b"[", b'{"a":', b" "])
def test_two_hundred_megabytes_are_refused_without_being_read_to_the_end(piece: bytes) -> None:
    block = piece * (1_000_000 // len(piece))
    code, out, said = streamed(block for _ in range(200))
    assert (code, out) == (1, b"")
    assert "larger than 64 MB" in said
    assert "Traceback" not in said


def test_sixty_megabytes_of_nesting_are_refused() -> None:
    code, _, said = streamed(b"[" * 1_000_000 for _ in range(60))
    assert code == 1
    assert "nested too deeply" in said
    assert len(said) < 500


def test_names_with_control_characters_do_not_reach_the_terminal_as_such(good: bytes) -> None:
    document = json.loads(good)
    document["store_name"] = "Hall\x1b[31m\u202e\nEveryone is fed for 900 days"
    text = done("plan", "coverage", "-", given=json.dumps(document).encode())
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "\nEveryone is fed for 900" not in text
