"""Claims about snapshots out of a database and into one."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine, event

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.snapshot_file import read_snapshot, write_snapshot
from daysworth.db import transactions
from daysworth.db.kit_facts import to_be_looked_at
from daysworth.db.ledger import handling, taking
from daysworth.db.ledger.kits import eat_kit
from daysworth.db.partners import add_partner
from daysworth.db.patterns import add_pattern
from daysworth.db.promises import list_promises
from daysworth.db.snapshots import fill_store, load_snapshot
from daysworth.db.stores import begin_store, change_store, read_store
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.demo.synthetic import Dates, StoreSize, synthetic_store
from daysworth.domain.errors import SnapshotRefused, StoreOccupied, StoreUnsound
from daysworth.domain.identifiers import KitId, LotId, PartnerId, PatternId, PromiseId, StoreId
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.meal_patterns import Served, Utensil
from daysworth.domain.promise_faults import units_promised
from daysworth.domain.promises import PromisedLot
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.scenario import Scenario
from tests.db.kit_grounds import (
    FISH_AND,
    kits_balance,
    kits_of,
    pack,
    stock_wares,
    to_pack,
    with_wares,
)
from tests.db.promise_grounds import PARTNER, PROMISE
from tests.grounds import (
    CELLAR,
    NOON,
    PEANUT_HOME,
    SALMON,
    SHELF,
    begin_ground,
    books_balance,
    box,
    change,
    look,
    promises_balance,
    put_up,
    small_store,
    someone,
)

DAY = date(2026, 9, 1)
KITS_STORE = StoreId("kits")
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
        kits=tuple(sorted(snapshot.kits, key=lambda one: one.id)),
        wares=tuple(sorted(snapshot.wares, key=lambda one: (one.place, one.kind))),
        patterns=tuple(sorted(snapshot.patterns, key=lambda one: one.id)),
        partners=tuple(sorted(snapshot.partners, key=lambda one: one.id)),
        promises=tuple(sorted(snapshot.promises, key=lambda one: one.id)),
    )


def freed(snapshot: Snapshot) -> Snapshot:
    """Give a snapshot as a store takes it: what no promise of it holds is promised to nobody."""
    held = units_promised(snapshot.promises)
    lots = tuple(replace(lot, units_promised=held[lot.id]) for lot in snapshot.lots)
    return replace(snapshot, lots=lots)


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
    assert canonical(loaded(engine, demo)) == canonical(freed(demo))


def test_a_synthetic_store_with_own_stock_comes_out_again(engine: Engine) -> None:
    size = StoreSize(households=12, lots=150, seed=5, dates=Dates.TIGHT, own_share=0.3)
    made = synthetic_store(size)
    begin_ground(engine, made)
    found = loaded(engine, made)
    foods = {food.id for food in made.foods}
    assert canonical(replace(found, foods=tuple(f for f in found.foods if f.id in foods))) == (
        canonical(freed(made))
    )


def with_kits() -> Snapshot:
    """Describe the small store with lots, kits of them, wares and a pattern of its own."""
    lots = tuple(
        Lot(id=LotId(f"L-{n}"), food=SALMON, place=place, units=9, units_in_kits=n)
        for n, place in ((3, CELLAR), (2, CELLAR), (0, SHELF), (1, SHELF))
    )
    kits = (
        MealKit(
            id=KitId("K-2"),
            name="Fish, and fish",
            place=CELLAR,
            persons=2,
            packed_on=DAY,
            items=(
                KitItem(lot=LotId("L-3"), units=2, served=Served.OWN_PACK),
                KitItem(lot=LotId("L-2"), units=2),
            ),
            household=PEANUT_HOME,
            pattern=FISH_AND.id,
            wares={WareKind.FORK: 2, WareKind.BAG: 1},
            utensil=Utensil.SPOON,
            waivers=FISH_AND.waivers,
            steps=FISH_AND.steps,
            may_be_warmed="The fish.",
        ),
        MealKit(
            id=KitId("K-1"),
            name="Fish",
            place=CELLAR,
            persons=1,
            packed_on=DAY,
            items=(KitItem(lot=LotId("L-3"), units=1),),
        ),
    )
    wares = (
        WareStock(kind=WareKind.FORK, place=SHELF, units=12),
        WareStock(kind=WareKind.BAG, place=CELLAR, units=0),
    )
    store = small_store(KITS_STORE)
    places = tuple(replace(place, walk_position=n) for n, place in enumerate(store.places, start=3))
    return replace(store, places=places, lots=lots, kits=kits, wares=wares, patterns=(FISH_AND,))


def test_kits_wares_and_patterns_come_out_as_they_went_in_and_again(engine: Engine) -> None:
    asked = with_kits()
    begin_ground(engine, asked)
    found = loaded(engine, asked)
    free = tuple(replace(lot, units_in_kits=0) if lot.id == "L-1" else lot for lot in asked.lots)
    assert canonical(found) == canonical(replace(asked, lots=free))
    again = replace(read_snapshot(write_snapshot(found)), store=StoreId("again"))
    begin_ground(engine, again)
    assert canonical(loaded(engine, again)) == canonical(again)
    for store in (asked.store, again.store):
        assert kits_balance(engine, store)
        assert books_balance(engine, store)


def with_partners() -> Snapshot:
    """Describe the small store with two partners, and promises to one of them."""
    store = with_kits()
    other = replace(PARTNER, id=PartnerId("another"), windows=(), rules=())
    promises = (
        replace(PROMISE, id=PromiseId("R-2"), items=(PromisedLot(lot=LotId("L-0"), units=2),)),
        replace(
            PROMISE,
            items=(
                PromisedLot(lot=LotId("L-3"), units=4),
                PromisedLot(lot=LotId("L-0"), units=1),
            ),
        ),
    )
    promised = {"L-0": 5, "L-3": 4, "L-1": 6}
    lots = tuple(replace(lot, units_promised=promised.get(lot.id, 0)) for lot in store.lots)
    return replace(store, lots=lots, partners=(PARTNER, other), promises=promises)


def test_partners_and_promises_come_out_as_they_went_in_and_again(engine: Engine) -> None:
    asked = with_partners()
    begin_ground(engine, asked)
    found = loaded(engine, asked)
    assert found.partners == tuple(sorted(asked.partners, key=lambda one: one.id))
    assert canonical(found).promises == canonical(asked).promises
    assert {lot.id: lot.units_promised for lot in found.lots} == {
        "L-0": 3,
        "L-1": 0,
        "L-2": 0,
        "L-3": 4,
    }
    again = replace(read_snapshot(write_snapshot(found)), store=StoreId("again"))
    begin_ground(engine, again)
    assert canonical(loaded(engine, again)) == canonical(again)
    for store in (asked.store, again.store):
        assert promises_balance(engine, store)
        assert books_balance(engine, store)


def test_an_imported_promise_is_made_by_whoever_put_it_in(engine: Engine) -> None:
    asked = with_partners()
    begin_ground(engine, asked)
    (first, second) = look(engine, list_promises, store=asked.store).items
    assert (first.id, first.made_by, first.revision) == ("R-1", "a coordinator", 1)
    assert (first.partner_name, second.id) == (PARTNER.name, "R-2")


def test_a_store_with_a_partner_takes_no_import(engine: Engine) -> None:
    begin = partial(begin_store, store=KITS_STORE, name="x", settings=StoreSettings(), at=NOON)
    transactions.write_beside(engine, begin, store=KITS_STORE)
    us = someone(store=KITS_STORE)
    change(engine, partial(add_partner, partner=PARTNER), by=us)
    with pytest.raises(StoreOccupied):
        change(engine, partial(fill_store, snapshot=small_store(KITS_STORE)), by=us)


def test_a_partner_that_no_store_can_keep_is_not_put_in(engine: Engine) -> None:
    asked = replace(small_store(KITS_STORE), partners=(replace(PARTNER, notes="two\nlines"),))
    with pytest.raises(SnapshotRefused, match="partner 'kitchen' > notes"):
        begin_ground(engine, asked)


def test_what_is_in_imported_kits_is_taken_as_looked_at(engine: Engine) -> None:
    asked = with_kits()
    begin_ground(engine, asked)
    kits = kits_of(engine, asked.store)
    assert [(kit.packed_by, kit.revision) for kit in kits] == [("a coordinator", 1)] * 2
    assert look(engine, partial(to_be_looked_at, kits=kits), store=asked.store) == set()


def test_kits_that_were_packed_here_go_into_another_store(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    stock_wares(engine)
    kept, gone = pack(engine, with_wares((lot, 2), household=PEANUT_HOME), to_pack((lot, 3)))
    change(engine, partial(eat_kit, kit=gone.id))
    here = loaded(engine, small_store())
    assert [kit.id for kit in here.kits] == [kept.id]
    there = replace(here, store=KITS_STORE)
    begin_ground(engine, there)
    assert canonical(loaded(engine, there)) == canonical(there)
    assert kits_balance(engine, KITS_STORE)


def test_a_pattern_with_an_id_of_the_releases_is_not_put_in(engine: Engine) -> None:
    named = replace(FISH_AND, id=PatternId("std-fish"))
    asked = replace(small_store(KITS_STORE), patterns=(named,))
    with pytest.raises(SnapshotRefused, match=r"pattern 'std-fish': .* is the release's own"):
        begin_ground(engine, asked)


def test_a_store_with_a_pattern_of_its_own_takes_no_import(engine: Engine) -> None:
    begin = partial(begin_store, store=KITS_STORE, name="x", settings=StoreSettings(), at=NOON)
    transactions.write_beside(engine, begin, store=KITS_STORE)
    us = someone(store=KITS_STORE)
    change(engine, partial(add_pattern, pattern=FISH_AND), by=us)
    with pytest.raises(StoreOccupied):
        change(engine, partial(fill_store, snapshot=small_store(KITS_STORE)), by=us)


def test_the_answer_from_the_store_is_the_answer_from_the_file(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    found = replace(loaded(engine, demo), version=demo.version)
    ask = partial(answer_coverage, as_of=DAY, scenario=Scenario())
    assert to_json(ask(found)) == to_json(ask(freed(demo)))


def test_a_load_takes_as_many_queries_for_a_large_store_as_for_a_small_one(engine: Engine) -> None:
    demo = neighbourhood(DAY)
    begin_ground(engine, demo)
    counts = []
    begin_ground(engine, with_partners())
    for store in (small_store(), demo, with_partners()):
        with counted_queries(engine) as ran:
            loaded(engine, store)
        counts.append(len([query for query in ran if "FROM" in query]))
    assert counts == [13, 13, 13]


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
