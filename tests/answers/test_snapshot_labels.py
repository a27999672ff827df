"""Claims about readings in a snapshot file: all of each comes back, and faults are told."""

import json
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from daysworth.answers.snapshot_file import read_snapshot, snapshot_schema, write_snapshot
from daysworth.domain.errors import SnapshotRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.lots import MOST_READINGS, Lot
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
from tests.grounds import NOON, SALMON, SHELF, small_store
from tests.planners.how_many import times

TODAY: Final = NOON.date()
READING: Final = LabelReading(
    contains=frozenset({Substance.FISH}),
    not_declared=frozenset({Substance.PEANUT}),
    claims=frozenset({Claim.KOSHER_CERTIFIED}),
    text="Ingredients: salmon,\n salt \x07 \u202e",
    is_whole=True,
    language="en-GB",
    regime=Regime.US_FDA,
    packed_on=TODAY,
)


def with_readings(*readings: LabelReading) -> Snapshot:
    lot = Lot(id=LotId("L1"), food=SALMON, place=SHELF, units=3, readings=readings)
    return replace(small_store(), lots=(lot,))


def refused(**changed: object) -> str:
    """Change the one reading of a file, and give what is said of it."""
    written = json.loads(write_snapshot(with_readings(READING)))
    written["lots"][0]["readings"][0].update(changed)
    with pytest.raises(SnapshotRefused) as caught:
        read_snapshot(json.dumps(written).encode())
    return str(caught.value)


def test_every_part_of_a_reading_comes_back() -> None:
    snapshot = with_readings(READING, LabelReading())
    assert read_snapshot(write_snapshot(snapshot)) == snapshot


@settings(deadline=None, max_examples=times(40))
@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=300))
def test_any_text_comes_back(text: str) -> None:
    snapshot = with_readings(LabelReading(text=text))
    assert read_snapshot(write_snapshot(snapshot)) == snapshot


def test_a_written_reading_follows_the_published_schema() -> None:
    written = json.loads(write_snapshot(with_readings(READING, LabelReading())))
    assert Draft202012Validator(snapshot_schema()).is_valid(written)
    written["lots"][0]["readings"][0]["taste"] = "good"
    assert not Draft202012Validator(snapshot_schema()).is_valid(written)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"text": "a" * 20_001}, "text: has room for at most 20000 characters"),
        ({"contains": ["moonlight"]}, "contains number 1: must be "),
        ({"contains": ["peanut"]}, "a label can not contain a thing"),
        ({"regime": "moon"}, "regime: must be "),
        ({"language": "e"}, "language: needs at least 2 character"),
        ({"packed_on": "2026-13-01"}, "packed_on: must be a date written YYYY-MM-DD"),
        ({"packed_on": "1999-12-31"}, "packed_on is after the snapshot, or before 2000"),
        ({"packed_on": "2026-09-03"}, "packed_on is after the snapshot, or before 2000"),
        ({"taste": 1}, "taste: is not a field that a snapshot has"),
    ],
)
def test_a_reading_that_can_not_be_is_said_with_where_it_stands(
    changed: dict[str, object], words: str
) -> None:
    said = refused(**changed)
    assert words in said
    assert "lot" in said


def test_a_pack_may_be_of_the_day_after_as_when_a_store_moved_west() -> None:
    tomorrow = replace(READING, packed_on=TODAY + timedelta(days=1))
    assert with_readings(tomorrow).lots[0].readings == (tomorrow,)
    with pytest.raises(SnapshotRefused):
        with_readings(replace(READING, packed_on=date(2030, 1, 1)))


def test_a_lot_holds_as_many_readings_as_stand_at_most() -> None:
    most = tuple(LabelReading(text=f"tin {number}") for number in range(MOST_READINGS))
    snapshot = with_readings(*most)
    assert read_snapshot(write_snapshot(snapshot)) == snapshot
    written = json.loads(write_snapshot(snapshot))
    written["lots"][0]["readings"].append({})
    with pytest.raises(SnapshotRefused, match="readings: has room for at most 8"):
        read_snapshot(json.dumps(written).encode())
