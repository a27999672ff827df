"""Claims about snapshot files of an earlier format: they are read, and nothing is made safer."""

import json
from typing import Final

import pytest

from daysworth.answers.snapshot_file import read_snapshot, snapshot_schema, write_snapshot
from daysworth.domain.errors import SnapshotRefused
from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import SNAPSHOT_FORMAT

FOOD: Final = {
    "id": "beans",
    "name": "Beans",
    "group": "beans_and_lentils",
    "energy_kcal_100g": 90.0,
    "protein_g_100g": 6.0,
    "net_mass_g": 400.0,
    "facts": {"contains": [], "may_contain": ["soy"], "free_from": []},
}
LOT: Final = {"id": "L1", "food": "beans", "place": "shelf", "units": 4}
READ: Final = {"contains": ["soy"], "may_contain": ["milk"], "free_from": ["peanut", "egg"]}


def old(*lots: dict[str, object], **changed: object) -> bytes:
    """Write a file as an earlier release wrote it."""
    written = {
        "format": "daysworth-snapshot-1",
        "store": "fernhollow",
        "store_name": "Fernhollow (invented)",
        "version": 7,
        "taken_on": "2026-09-01",
        "foods": [FOOD],
        "places": [{"id": "shelf", "name": "Shelf"}],
        "lots": list(lots),
        **changed,
    }
    return json.dumps(written, indent=1).encode()


def test_an_old_reading_becomes_a_claim_and_no_proof() -> None:
    (lot,) = read_snapshot(old({**LOT, "reading": READ})).lots
    assert lot.readings == (
        LabelReading(
            contains=frozenset({Substance.SOY}),
            may_contain=frozenset({Substance.MILK}),
            free_from=frozenset({Substance.PEANUT, Substance.EGG}),
        ),
    )
    assert not lot.readings[0].is_whole
    assert lot.readings[0].not_declared == frozenset()


@pytest.mark.parametrize("said", [{}, {"reading": None}])
def test_a_lot_that_was_not_read_stays_unread(said: dict[str, object]) -> None:
    (lot,) = read_snapshot(old({**LOT, **said})).lots
    assert lot.readings == ()


def test_an_old_reading_that_finds_what_it_is_free_from_finds_it() -> None:
    at_odds = {"contains": ["soy"], "free_from": ["soy", "milk"]}
    (lot,) = read_snapshot(old({**LOT, "reading": at_odds})).lots
    assert lot.readings[0].contains == {Substance.SOY}
    assert lot.readings[0].free_from == {Substance.MILK}


def test_what_was_read_from_an_old_file_is_written_in_this_releases_format() -> None:
    found = read_snapshot(b"\xef\xbb\xbf" + old({**LOT, "reading": READ}))
    assert (found.format, found.version) == (SNAPSHOT_FORMAT, 7)
    assert read_snapshot(write_snapshot(found)) == found
    assert json.loads(write_snapshot(found))["format"] == "daysworth-snapshot-4"


@pytest.mark.parametrize(
    ("lots", "where"),
    [
        ([{**LOT, "reading": "milk"}], "lots number 1 > readings number 1"),
        ([{**LOT, "reading": {"free_from": "milk"}}], "readings number 1 > free_from"),
        ([{**LOT, "reading": {"contains": ["cheese"]}}], "readings number 1 > contains number 1"),
        ([LOT, {**LOT, "id": "L2", "reading": {"taste": 1}}], "lots number 2 > readings number 1"),
        ([{**LOT, "reading": READ, "readings": []}], "lots number 1 > reading"),
        ("none", "lots"),
        (["none"], "lots number 1"),
    ],
)
def test_what_is_wrong_with_an_old_file_is_said_with_where_it_stands(
    lots: object, where: str
) -> None:
    with pytest.raises(SnapshotRefused) as refused:
        read_snapshot(old(lots=lots))
    assert where in str(refused.value)


@pytest.mark.parametrize("before", ["daysworth-snapshot-2", "daysworth-snapshot-3"])
def test_a_file_of_before_there_were_partners_is_the_same_without_them(before: str) -> None:
    found = read_snapshot(old({**LOT, "units_promised": 2}, format=before))
    assert (found.format, found.partners, found.promises) == (SNAPSHOT_FORMAT, (), ())
    assert [(lot.id, lot.units_promised) for lot in found.lots] == [("L1", 2)]


@pytest.mark.parametrize("later", ["2", "3", "4"])
def test_a_file_of_a_later_format_has_no_single_reading(later: str) -> None:
    text = old({**LOT, "reading": READ}, format=f"daysworth-snapshot-{later}")
    with pytest.raises(SnapshotRefused, match="lots number 1 > reading"):
        read_snapshot(text)


@pytest.mark.parametrize(
    "text",
    [
        b'{"format": "daysworth-snapshot-1",',
        b'{"format": "daysworth-snapshot-1", "a": ' + b"[" * 100_000,
        b'["format": "daysworth-snapshot-1"]',
        b'{"x": {"format": "daysworth-snapshot-1"}}',
        b'{"format": "daysworth-snapshot-1", "version": ' + b"9" * 5_000 + b"}",
        b'{"format": "daysworth-snapshot-1", "store": "\xff"}',
        b'{"format": "daysworth-snapshot-1", "store": "\\ud800"}',
    ],
)
def test_a_broken_old_file_is_refused_in_words(text: bytes) -> None:
    with pytest.raises(SnapshotRefused):
        read_snapshot(text)


def test_the_published_schema_is_of_this_releases_format_alone() -> None:
    properties = snapshot_schema()["properties"]
    assert isinstance(properties, dict)
    said = properties["format"]
    assert isinstance(said, dict)
    assert said["const"] == SNAPSHOT_FORMAT
