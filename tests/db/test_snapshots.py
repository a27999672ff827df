"""Claims about snapshots out of a database and into one."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine, event

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.db import transactions
from daysworth.db.ledger import handling, taking
from daysworth.db.snapshots import fill_store, load_snapshot
from daysworth.db.stores import begin_store, change_store, read_store
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.demo.synthetic import Dates, StoreSize, synthetic_store
from daysworth.domain.errors import StoreOccupied, StoreUnsound
from daysworth.domain.identifiers import LotId
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from tests.grounds import NOON, begin_ground, box, change, look, put_up, small_store, someone

DAY = date(2026, 9, 1)
AT = datetime(2026, 9, 1, 18, 0, tzinfo=UTC)


def canonical(snapshot: Snapshot) -> Snapshot:
    """Put a snapshot's parts in the order of their ids, and leave the version out."""
    return replace(
        snapshot,
        version=0,
        households=tuple(sorted(snapshot.households, key=lambda one: one.id)),
        foods=tuple(sorted(snapshot.foods, key=lambda one: one.id)),
        places=tuple(sorted(snapshot.places, key=lambda one: one.id)),
        lots=tuple(sorted(snapshot.lots, key=lambda one: one.id)),
    )


def loaded(engine: Engine, snapshot: Snapshot, *, at: datetime = AT) -> Snapshot:
    return look(engine, partial(load_snapshot, at=at), store=snapshot.store)


@contextmanager
def counted_queries(engine: Engine) -> Iterator[list[str]]:
    """Gather the statements that an engine runs within the block."""
    ran: list[str] = []

    def note(*arguments: object) -> None:
        ran.append(str(arguments[2]))

    event.listen(engine, "before_cursor_execute", note)
    yield ran
    event.remove(engine, "before_cursor_execute", note)


def test_what_goes_into_a_store_comes_out_again(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    assert canonical(loaded(engine, demo)) == canonical(demo)


def test_a_synthetic_store_with_own_stock_comes_out_again(engine: Engine) -> None:
    size = StoreSize(households=12, lots=150, seed=5, dates=Dates.TIGHT, own_share=0.3)
    made = synthetic_store(size)
    begin_ground(engine, made)
    found = loaded(engine, made)
    foods = {food.id for food in made.foods}
    assert canonical(replace(found, foods=tuple(f for f in found.foods if f.id in foods))) == (
        canonical(made)
    )


def test_the_answer_from_the_store_is_the_answer_from_the_file(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    found = replace(loaded(engine, demo), version=demo.version)
    ask = partial(answer_coverage, as_of=DAY, scenario=Scenario())
    assert to_json(ask(found)) == to_json(ask(demo))


def test_a_load_takes_as_many_queries_for_a_large_store_as_for_a_small_one(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    counts = []
    for store in (small_store(), demo):
        with counted_queries(engine) as ran:
            loaded(engine, store)
        counts.append(len([query for query in ran if "FROM" in query]))
    assert counts == [7, 7]


def test_the_version_after_an_import_is_higher_than_the_snapshots(engine: Engine) -> None:
    demo = replace(neighbourhood(DAY), version=41)
    begin_ground(engine, demo)
    assert loaded(engine, demo).version == 42


def test_a_store_that_holds_anything_takes_no_import(engine: Engine) -> None:
    with pytest.raises(StoreOccupied):
        change(engine, partial(fill_store, snapshot=small_store()))


def test_the_day_is_the_stores_own(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    just_after_midnight_utc = datetime(2026, 9, 2, 0, 30, tzinfo=UTC)
    assert loaded(engine, demo, at=just_after_midnight_utc).taken_on == date(2026, 9, 1)


def test_a_lot_that_is_used_up_is_in_no_snapshot(engine: Engine) -> None:
    kept, gone = put_up(engine, box(2), box(3))
    change(engine, partial(taking.eat, lot=LotId(gone.id), units=3))
    assert [lot.id for lot in loaded(engine, small_store()).lots] == [kept.id]


def test_what_was_opened_today_stays_good_when_the_store_moves_west(engine: Engine) -> None:
    (lot,) = put_up(engine)
    late = datetime(2026, 9, 2, 1, 0, tzinfo=UTC)
    opening = partial(handling.open_units, lot=LotId(lot.id), units=1, opened_on=None)
    change(engine, opening, at=late)
    kept = look(engine, read_store)
    west = partial(
        change_store,
        name=kept.name,
        settings=StoreSettings(timezone="America/Chicago"),
        if_revision=kept.revision,
    )
    change(engine, west, at=late)
    assert len(loaded(engine, small_store(), at=late).lots) == 2


def test_a_clock_that_is_years_behind_is_said_to_be_wrong(engine: Engine) -> None:
    (lot,) = put_up(engine)
    change(engine, partial(handling.open_units, lot=LotId(lot.id), units=1, opened_on=None))
    with pytest.raises(StoreUnsound, match="clock"):
        loaded(engine, small_store(), at=NOON - timedelta(days=900))


def test_a_store_can_not_be_begun_twice(engine: Engine) -> None:
    begin = partial(
        begin_store, store=small_store().store, name="x", settings=StoreSettings(), at=NOON
    )
    with pytest.raises(StoreOccupied):
        transactions.write_beside(engine, begin, store=someone().store)
