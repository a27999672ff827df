"""Claims about rows that were there before: readings, restrictions and foods go up, and down."""

import json
from functools import partial
from typing import Final

import pytest
from sqlalchemy import Engine, text

from daysworth.db import schema
from daysworth.db.acknowledgements import acknowledge, all_acknowledged
from daysworth.db.engine import writing
from daysworth.db.label_history import label_history
from daysworth.db.ledger import labels
from daysworth.db.readings_kept import SignedReading, signed_readings
from daysworth.db.snapshots import load_snapshot
from daysworth.db.transactions import name_for_security
from daysworth.domain.identifiers import LotId
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Lot
from daysworth.domain.restrictions import Substance
from tests.grounds import (
    NOON,
    OTHER_STORE,
    PEANUT_HOME,
    STORE_ID,
    begin_ground,
    box,
    change,
    look,
    put_up,
    small_store,
    someone,
)

BEFORE: Final = "0002_first_hands"
OLD: Final = {"contains": ["fish"], "free_from": ["milk", "peanut"], "may_contain": ["soy"]}
AT_ODDS: Final = {"contains": ["fish"], "free_from": ["fish", "milk"], "may_contain": []}

CLAIM: Final = LabelReading(
    contains=frozenset({Substance.FISH}),
    may_contain=frozenset({Substance.SOY}),
    free_from=frozenset({Substance.MILK, Substance.PEANUT}),
)


def run(engine: Engine, statement: str, store: str = STORE_ID, **values: object) -> list[object]:
    """Run one statement as a store, and give the first column of what it finds."""
    with writing(engine) as connection, connection.begin():
        name_for_security(connection, "daysworth.store", value=store)
        done = connection.execute(text(statement), values)
        return list(done.scalars()) if done.returns_rows else []


def put_reading(engine: Engine, lot: str, reading: object, *, store: str = STORE_ID) -> None:
    said = json.dumps(reading)
    run(engine, "UPDATE lot SET reading = :said WHERE id = :lot", store, said=said, lot=lot)


def reading_of(engine: Engine, lot: str, *, store: str = STORE_ID) -> object:
    (kept,) = run(engine, "SELECT reading FROM lot WHERE id = :lot", store, lot=lot)
    return None if kept is None else json.loads(str(kept))


def planned(engine: Engine, lot: str) -> Lot:
    found = look(engine, partial(load_snapshot, at=NOON)).lots
    return next(one for one in found if one.id == lot)


def test_an_old_reading_goes_up_as_a_claim_that_nobody_signs_and_comes_down_as_it_was(
    engine: Engine,
) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    read, unread = put_up(engine, box(), box())
    (theirs,) = put_up(engine, box(), by=someone(store=OTHER_STORE))
    schema.downgrade(engine, BEFORE)
    put_reading(engine, read.id, OLD)
    put_reading(engine, theirs.id, OLD, store=OTHER_STORE)
    schema.upgrade(engine)
    assert planned(engine, read.id).readings == (CLAIM,)
    assert planned(engine, unread.id).readings == ()
    (kept,) = run(engine, "SELECT reading FROM lot WHERE id = :lot", lot=read.id)
    assert signed_readings(str(kept), None) == (SignedReading(reading=CLAIM),)
    schema.downgrade(engine, BEFORE)
    assert reading_of(engine, read.id) == OLD
    assert reading_of(engine, theirs.id, store=OTHER_STORE) == OLD
    assert reading_of(engine, unread.id) is None
    schema.upgrade(engine)
    assert planned(engine, read.id).readings == (CLAIM,)


def test_an_old_reading_at_odds_with_itself_goes_up_as_the_stricter(engine: Engine) -> None:
    (lot,) = put_up(engine)
    schema.downgrade(engine, BEFORE)
    put_reading(engine, lot.id, AT_ODDS)
    schema.upgrade(engine)
    (reading,) = planned(engine, lot.id).readings
    assert reading.contains == {Substance.FISH}
    assert reading.free_from == {Substance.MILK}


def test_an_old_entry_of_the_ledger_is_still_told(engine: Engine) -> None:
    (lot,) = put_up(engine)
    schema.downgrade(engine, BEFORE)
    run(
        engine,
        "INSERT INTO entry (store, version, line, kind, lot, units, at, credential, by, detail)"
        " VALUES (:of, 99, 0, 'corrected', :lot, 0, 'then', 'C-1', 'someone', :detail)",
        of=STORE_ID,
        lot=lot.id,
        detail=json.dumps({"was_reading": json.dumps(AT_ODDS)}),
    )
    schema.upgrade(engine)
    last = look(engine, partial(label_history, lot=LotId(lot.id)))[-1]
    (reading,) = last.no_longer
    assert reading.contains == {Substance.FISH}
    assert reading.free_from == {Substance.MILK}


FOUND: Final = frozenset({Substance.FISH})
PROVES_LESS: Final = [
    # A claim that somebody signed is no proof, and in the earlier release it would be one.
    (LabelReading(free_from=frozenset({Substance.PEANUT})), []),
    # What was looked for in a whole label is what that release meant.
    (LabelReading(not_declared=frozenset({Substance.PEANUT}), is_whole=True), ["peanut"]),
    (LabelReading(not_declared=frozenset({Substance.PEANUT})), []),
]


@pytest.mark.parametrize(("reading", "free_from"), PROVES_LESS)
def test_nothing_goes_down_as_proof_that_was_none(
    engine: Engine, reading: LabelReading, free_from: list[str]
) -> None:
    (lot,) = put_up(engine, box(reading=reading))
    schema.downgrade(engine, BEFORE)
    assert reading_of(engine, lot.id) == {
        "contains": [],
        "may_contain": [],
        "free_from": free_from,
    }


def test_readings_that_disagree_go_down_as_the_strictest_of_all(engine: Engine) -> None:
    clear = LabelReading(not_declared=frozenset({Substance.PEANUT, Substance.MILK}), is_whole=True)
    found = LabelReading(
        contains=FOUND,
        may_contain=frozenset({Substance.MILK}),
        not_declared=frozenset({Substance.PEANUT, Substance.EGG}),
        is_whole=True,
    )
    (lot,) = put_up(engine, box(reading=clear))
    change(engine, partial(labels.record, lot=LotId(lot.id), reading=found))
    schema.downgrade(engine, BEFORE)
    assert reading_of(engine, lot.id) == {
        "contains": ["fish"],
        "may_contain": ["milk"],
        "free_from": ["peanut"],
    }


def test_restrictions_stay_and_those_of_a_new_kind_are_gone_once_taken_down(
    engine: Engine,
) -> None:
    run(
        engine,
        "INSERT INTO restriction (store, member, position, words, accepts_may_contain)"
        " VALUES (:of, 'M-2', 1, 'red dye', false)",
        of=STORE_ID,
    )
    kept = "SELECT coalesce(allergy, words) FROM restriction ORDER BY position"
    assert run(engine, kept) == ["peanut", "red dye"]
    schema.downgrade(engine, BEFORE)
    assert run(engine, "SELECT allergy FROM restriction") == ["peanut"]
    schema.upgrade(engine)
    assert run(engine, kept) == ["peanut"]
    home = look(engine, partial(load_snapshot, at=NOON)).households[1]
    assert home.id == PEANUT_HOME
    assert [one.allergy for one in home.members[0].restrictions] == [Substance.PEANUT]


def test_acknowledgements_are_gone_once_taken_down(engine: Engine) -> None:
    change(
        engine,
        partial(acknowledge, household=PEANUT_HOME, warning="w", food=None, why="asked"),
    )
    schema.downgrade(engine, BEFORE)
    schema.upgrade(engine)
    assert look(engine, all_acknowledged) == {}
