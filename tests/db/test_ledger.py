"""Claims about the ledger, on both databases."""

from functools import partial

import pytest
from sqlalchemy import Engine, delete, update
from sqlalchemy.exc import DBAPIError

from daysworth.db.engine import writing
from daysworth.db.ledger import custody, handling, taking
from daysworth.db.tables import ENTRY
from daysworth.db.transactions import name_for_security
from daysworth.domain.errors import NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import LotId
from tests.grounds import (
    CELLAR,
    PEANUT_HOME,
    SHELF,
    STORE_ID,
    books_balance,
    box,
    change,
    lots_of,
    put_up,
    version_of,
)


def test_every_write_raises_the_version_by_one(engine: Engine) -> None:
    before = version_of(engine)
    (lot,) = put_up(engine)
    change(engine, partial(taking.eat, lot=LotId(lot.id), units=1))
    assert version_of(engine) == before + 2


def test_a_write_of_many_boxes_is_one_version(engine: Engine) -> None:
    before = version_of(engine)
    put_up(engine, box(1), box(2), box(3))
    assert version_of(engine) == before + 1


def test_a_refused_write_changes_nothing_and_raises_no_version(engine: Engine) -> None:
    (lot,) = put_up(engine, box(3))
    before = (version_of(engine), lots_of(engine))
    with pytest.raises(StockRefused, match="4 asked for, and 3 are there"):
        change(engine, partial(taking.eat, lot=LotId(lot.id), units=4))
    assert (version_of(engine), lots_of(engine)) == before


def test_moving_a_part_keeps_all_units_and_their_date(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    left, moved = change(engine, partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=2))
    assert (left.units, left.place, moved.units, moved.place) == (3, SHELF, 2, CELLAR)
    assert moved.printed == lot.printed
    assert books_balance(engine)


def test_moving_all_of_a_lot_moves_the_lot_itself(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    (moved,) = change(engine, partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=None))
    assert (moved.id, moved.place, moved.units) == (lot.id, CELLAR, 5)


def test_opened_units_become_a_lot_of_their_own(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    left, opened = change(
        engine, partial(handling.open_units, lot=LotId(lot.id), units=1, opened_on=None)
    )
    assert (left.units, left.opened_on) == (4, None)
    assert (opened.units, str(opened.opened_on)) == (1, "2026-09-01")
    assert books_balance(engine)


def test_what_is_open_cannot_be_opened_again(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    _, opened = change(
        engine, partial(handling.open_units, lot=LotId(lot.id), units=1, opened_on=None)
    )
    with pytest.raises(StockRefused, match="was opened on"):
        change(engine, partial(handling.open_units, lot=LotId(opened.id), units=1, opened_on=None))


def test_repacking_turns_big_packs_into_small_ones(engine: Engine) -> None:
    (lot,) = put_up(engine, box(2, net_mass_g=2_000.0))
    left, packs = change(
        engine,
        partial(
            handling.repack,
            lot=LotId(lot.id),
            units=1,
            into_units=8,
            net_mass_g=250.0,
            repacked_on=None,
        ),
    )
    assert (left.units, packs.units, packs.net_mass_g) == (1, 8, 250.0)
    assert books_balance(engine)


def test_a_stock_take_writes_the_difference(engine: Engine) -> None:
    one, two = put_up(engine, box(5), box(7))
    counts = {LotId(one.id): 4, LotId(two.id): 9}
    change(engine, partial(taking.count_place, place=SHELF, units_by_lot=counts))
    lots = lots_of(engine)
    assert (lots[one.id].units, lots[two.id].units) == (4, 9)
    assert books_balance(engine)


def test_a_correction_of_what_was_changed_meanwhile_is_refused(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    change(engine, partial(taking.eat, lot=LotId(lot.id), units=1))
    with pytest.raises(NotAsItWas):
        change(
            engine,
            partial(
                custody.correct,
                lot=LotId(lot.id),
                correction=custody.Correction(units=9),
                why="miscounted",
                if_revision=lot.revision,
            ),
        )


def test_only_an_owned_lot_can_be_taken_back_and_returned(engine: Engine) -> None:
    ours, own = put_up(engine, box(5), box(5, owner=PEANUT_HOME))
    for deed in (custody.take_back, partial(taking.give_back, units=1)):
        with pytest.raises(StockRefused, match="the store's own"):
            change(engine, partial(deed, lot=LotId(ours.id)))
    kept = change(engine, partial(custody.take_back, lot=LotId(own.id)))
    assert not kept.is_shared
    assert change(engine, partial(taking.give_back, lot=LotId(own.id), units=5)).units == 0


def test_a_quarantined_lot_comes_back_only_by_release(engine: Engine) -> None:
    (lot,) = put_up(engine)
    change(engine, partial(custody.quarantine, lot=LotId(lot.id), why="recalled?"))
    with pytest.raises(StockRefused, match="quarantined already"):
        change(engine, partial(custody.quarantine, lot=LotId(lot.id), why="again"))
    released = change(engine, partial(custody.release, lot=LotId(lot.id), why="not ours"))
    assert released.condition == "sound"


def test_there_is_no_lot_that_is_not_there(engine: Engine) -> None:
    with pytest.raises(NotThere):
        change(engine, partial(taking.eat, lot=LotId("L-none"), units=1))


@pytest.mark.parametrize("statement", [update(ENTRY).values(units=9), delete(ENTRY)])
def test_the_database_itself_refuses_to_change_an_entry(engine: Engine, statement: object) -> None:
    put_up(engine)
    with writing(engine) as connection, connection.begin():
        name_for_security(connection, "daysworth.store", value=STORE_ID)
        with pytest.raises(DBAPIError, match="entries are never changed"):
            connection.execute(statement)  # type: ignore[call-overload]
    assert books_balance(engine)
