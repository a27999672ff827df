"""Claims about rows that were there before kits: what was said to be in kits is free."""

from sqlalchemy import Engine, text

from daysworth.db import schema
from daysworth.db.engine import writing
from daysworth.db.places import every_place
from daysworth.db.transactions import name_for_security
from tests.db.kit_grounds import kits_balance, pack, to_pack
from tests.grounds import (
    OTHER_STORE,
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    look,
    lots_of,
    put_up,
    small_store,
    someone,
)

BEFORE = "0005_bring_lists"


def test_what_was_said_to_be_in_kits_is_free_in_every_store(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    for store in (STORE_ID, OTHER_STORE):
        put_up(engine, box(6), by=someone(store=store))
    schema.downgrade(engine, BEFORE)
    for store in (STORE_ID, OTHER_STORE):
        with writing(engine) as connection, connection.begin():
            name_for_security(connection, "daysworth.store", value=store)
            said = {"of_store": store}
            connection.execute(
                text("UPDATE lot SET units_in_kits = 4 WHERE store = :of_store"), said
            )
    schema.upgrade(engine)
    for store in (STORE_ID, OTHER_STORE):
        (lot,) = lots_of(engine, store).values()
        assert (lot.units, lot.units_in_kits) == (6, 0)
        assert kits_balance(engine, store)


def test_going_down_the_kits_are_lost_and_what_was_in_them_is_not(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    pack(engine, to_pack((lot, 2)))
    schema.downgrade(engine, BEFORE)
    schema.upgrade(engine)
    assert sorted((held.units, held.units_in_kits) for held in lots_of(engine).values()) == [
        (2, 0),
        (4, 0),
    ]
    assert kits_balance(engine)
    assert books_balance(engine)


def test_places_that_were_there_have_no_turn_of_their_own(engine: Engine) -> None:
    schema.downgrade(engine, BEFORE)
    schema.upgrade(engine)
    assert {place.walk_position for place in look(engine, every_place)} == {0}
