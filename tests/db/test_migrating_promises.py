"""Claims about rows that were there before promises: what was said to be promised is free."""

from sqlalchemy import Engine, text

from daysworth.db import schema
from daysworth.db.engine import writing
from daysworth.db.partners import list_partners
from daysworth.db.transactions import name_for_security
from tests.db.promise_grounds import add_kitchen, hand_off, promise, visit
from tests.grounds import (
    OTHER_STORE,
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    look,
    lots_of,
    promises_balance,
    put_up,
    small_store,
    someone,
)

BEFORE = "0006_kits"


def test_what_was_said_to_be_promised_is_free_in_every_store(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    for store in (STORE_ID, OTHER_STORE):
        put_up(engine, box(6), by=someone(store=store))
    schema.downgrade(engine, BEFORE)
    for store in (STORE_ID, OTHER_STORE):
        with writing(engine) as connection, connection.begin():
            name_for_security(connection, "daysworth.store", value=store)
            said = text("UPDATE lot SET units_promised = 4 WHERE store = :of_store")
            connection.execute(said, {"of_store": store})
    schema.upgrade(engine)
    for store in (STORE_ID, OTHER_STORE):
        (lot,) = lots_of(engine, store).values()
        assert (lot.units, lot.units_promised) == (6, 0)
        assert promises_balance(engine, store)


def test_going_down_promises_are_lost_and_what_they_held_is_not(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    kept, _ = promise(engine, visit((lot, 2)), visit((lot, 3)))
    hand_off(engine, kept)
    schema.downgrade(engine, BEFORE)
    schema.upgrade(engine)
    (held,) = lots_of(engine).values()
    assert (held.units, held.units_promised) == (4, 0)
    assert look(engine, list_partners) == []
    assert books_balance(engine)
    add_kitchen(engine)
    assert len(promise(engine, visit((lot, 4)))) == 1
    assert promises_balance(engine)
