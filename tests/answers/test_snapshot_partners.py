"""Claims about partners and promises in a snapshot file: they come back as they went."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from daysworth.answers.snapshot_file import read_snapshot, snapshot_schema, write_snapshot
from daysworth.domain.errors import SnapshotRefused
from daysworth.domain.identifiers import (
    LotId,
    PartnerId,
    PlaceId,
    PromiseId,
    WindowId,
)
from daysworth.domain.lots import Lot, Place
from daysworth.domain.partners import Partner
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.snapshot import Snapshot, unreadable
from tests.db.promise_grounds import PARTNER, PROMISE
from tests.grounds import SALMON, small_store

Document = dict[str, Any]


def with_promises(*promises: Promise, promised: int = 3) -> Snapshot:
    """Give the small store with one lot, the partner, and promises of it."""
    shelf = Place(id=PlaceId("shelf"), name="Shelf")
    lot = Lot(id=LotId("L1"), food=SALMON, place=shelf.id, units=6, units_promised=promised)
    return replace(
        small_store(), places=(shelf,), lots=(lot,), partners=(PARTNER,), promises=promises
    )


def test_partners_and_promises_come_back_as_they_were_written() -> None:
    written = with_promises(PROMISE)
    assert read_snapshot(write_snapshot(written)) == written


def test_times_are_written_as_on_the_clock_there_and_months_in_order() -> None:
    document = json.loads(write_snapshot(with_promises(PROMISE)))
    window, _ = document["partners"][0]["windows"]
    assert window["recurrence"]["starts_at"] == "2026-09-08T09:00"
    assert window["open_months"] == [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12]
    assert document["promises"][0]["opens_at"] == "2026-09-08T09:00"


def _opening(at: object) -> Callable[[Document], None]:
    def change(document: Document) -> None:
        document["promises"][0]["opens_at"] = at

    return change


def test_the_published_schema_takes_what_is_written_and_no_offset() -> None:
    validator = Draft202012Validator(snapshot_schema())
    document = json.loads(write_snapshot(with_promises(PROMISE)))
    assert validator.is_valid(document)
    _opening("2026-09-08T09:00+01:00")(document)
    assert not validator.is_valid(document)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("2026-09-08T09:00+01:00", "without an offset"),
        ("2026-09-08T09:00:30", "hours and minutes"),
        ("1926-12-08T09:00", "between 2000 and"),
        ("tomorrow", "opens_at"),
        (1_796_000_000, "opens_at"),
        (None, "opens_at"),
        ("2026-02-30T09:00", "opens_at"),
    ],
)
def test_a_promise_for_no_visit_is_refused_in_words(at: object, said: str) -> None:
    document = json.loads(write_snapshot(with_promises(PROMISE)))
    _opening(at)(document)
    with pytest.raises(SnapshotRefused, match=said):
        read_snapshot(json.dumps(document).encode())


@pytest.mark.parametrize(
    ("promises", "said"),
    [
        ((replace(PROMISE, partner=PartnerId("moon")),), "its partner 'moon' is not in"),
        ((replace(PROMISE, window=WindowId("mondays")),), "its window 'mondays' is none"),
        (
            (replace(PROMISE, items=(PromisedLot(lot=LotId("L9"), units=1),)),),
            "its lot 'L9' is not in",
        ),
        ((PROMISE, PROMISE), "'R-1' stands 2 times"),
        (
            (PROMISE, replace(PROMISE, id=PromiseId("R-2"))),
            "promises hold 6 of it, and 3 are promised",
        ),
    ],
)
def test_a_promise_of_what_is_not_there_is_no_snapshot(
    promises: tuple[Promise, ...], said: str
) -> None:
    with pytest.raises(SnapshotRefused, match=said):
        with_promises(*promises)


def test_units_may_be_promised_that_no_promise_names() -> None:
    assert with_promises(promised=5).lots[0].units_promised == 5


def test_a_partner_stands_in_a_snapshot_once() -> None:
    with pytest.raises(SnapshotRefused, match="the id 'kitchen' stands 2 times"):
        replace(small_store(), partners=(PARTNER, PARTNER))


@pytest.mark.parametrize(
    "partner",
    [
        replace(PARTNER, id=PartnerId("a/b")),
        replace(PARTNER, name="two\nlines"),
        replace(PARTNER, contact="two\nlines"),
        replace(PARTNER, windows=(replace(PARTNER.windows[0], id=WindowId("a/b")),)),
        replace(PARTNER, windows=(replace(PARTNER.windows[0], driver="two\nlines"),)),
    ],
)
def test_a_partner_that_no_store_can_keep_is_found(partner: Partner) -> None:
    found = [str(fault) for fault in unreadable(replace(small_store(), partners=(partner,)))]
    assert len(found) == 1
    assert "line break" in found[0]


@pytest.mark.parametrize(
    ("part", "value", "said"),
    [
        ("rule", "FREQ=SECONDLY", "not more often"),
        ("rule", "FREQ=MONTHLY;BYMONTHDAY=30;BYMONTH=2", "never occurs"),
        ("timezone", "Mars/Base", "Mars/Base"),
        ("starts_at", "2026-09-08T09:00Z", "without an offset"),
    ],
)
def test_a_window_that_cannot_be_is_refused_with_where_it_stands(
    part: str, value: str, said: str
) -> None:
    document = json.loads(write_snapshot(with_promises()))
    document["partners"][0]["windows"][0]["recurrence"][part] = value
    with pytest.raises(SnapshotRefused, match=said) as refused:
        read_snapshot(json.dumps(document).encode())
    assert "partners number 1 > windows number 1 > recurrence" in str(refused.value)


def test_a_store_has_so_many_partners_at_most() -> None:
    document = json.loads(write_snapshot(with_promises()))
    one = document["partners"][0]
    document["partners"] = [{**one, "id": f"P{n}", "windows": []} for n in range(201)]
    with pytest.raises(SnapshotRefused, match="200"):
        read_snapshot(json.dumps(document).encode())
