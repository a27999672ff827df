"""Claims about stores beside one another in one database."""

from functools import partial

import pytest
from sqlalchemy import Connection, Engine, func, select, text, update

from daysworth.db import transactions
from daysworth.db.credentials import recognise
from daysworth.db.engine import open_engine, reading
from daysworth.db.ledger import taking
from daysworth.db.snapshots import load_snapshot
from daysworth.db.tables import LOT, METADATA
from daysworth.domain.entries import Role
from daysworth.domain.errors import AccessRefused, InputRefused, NotThere
from daysworth.domain.identifiers import LotId
from tests.databases import POSTGRESQL, migrated
from tests.grounds import (
    NOON,
    OTHER_STORE,
    STORE_ID,
    begin_ground,
    box,
    change,
    look,
    lots_of,
    put_up,
    small_store,
    someone,
    token_for,
)


@pytest.fixture
def two_stores(engine: Engine) -> Engine:
    """Put a second store, with the same ids for all its things, beside the first."""
    begin_ground(engine, small_store(OTHER_STORE))
    return engine


def test_two_stores_may_use_the_same_ids(two_stores: Engine) -> None:
    put_up(two_stores, box(3))
    put_up(two_stores, box(5), by=someone(store=OTHER_STORE))
    assert [lot.units for lot in lots_of(two_stores).values()] == [3]
    assert [lot.units for lot in lots_of(two_stores, OTHER_STORE).values()] == [5]


def test_a_lot_of_another_store_is_not_there(two_stores: Engine) -> None:
    (lot,) = put_up(two_stores, box(3))
    with pytest.raises(NotThere):
        change(
            two_stores,
            partial(taking.eat, lot=LotId(lot.id), units=1),
            by=someone(store=OTHER_STORE),
        )
    assert lots_of(two_stores)[lot.id].units == 3


def test_a_snapshot_holds_nothing_of_another_store(two_stores: Engine) -> None:
    put_up(two_stores, box(3))
    other = look(two_stores, partial(load_snapshot, at=NOON), store=OTHER_STORE)
    assert (other.store, other.lots) == (OTHER_STORE, ())


def test_postgresql_shows_a_transaction_no_rows_of_a_store_it_did_not_name() -> None:
    engine = migrated(POSTGRESQL)
    begin_ground(engine, small_store())
    put_up(engine)
    token_for(engine, Role.SCRIPT)
    with reading(engine) as connection, connection.begin():
        for table in METADATA.sorted_tables:
            counted = connection.execute(select(func.count()).select_from(table)).scalar_one()
            assert counted == 0, table.name
    engine.dispose()


def test_postgresql_lets_no_transaction_write_rows_of_another_store() -> None:
    engine = migrated(POSTGRESQL)
    begin_ground(engine, small_store())
    begin_ground(engine, small_store(OTHER_STORE))
    put_up(engine, box(3))
    emptied = update(LOT).values(units=0)

    def empty(connection: Connection) -> int:
        return int(connection.execute(emptied).rowcount)

    assert transactions.write_beside(engine, empty, store=OTHER_STORE) == 0
    assert [lot.units for lot in lots_of(engine).values()] == [3]
    engine.dispose()


def test_the_role_that_serves_can_not_go_round_row_security() -> None:
    engine = migrated(POSTGRESQL)
    asked = text("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user")
    with engine.connect() as connection:
        assert connection.execute(asked).scalar_one() is False
    engine.dispose()


def test_a_token_is_recognised_without_its_store_and_kept_as_a_hash_alone(
    engine: Engine,
) -> None:
    token = token_for(engine, Role.VOLUNTEER)
    found = recognise(engine, token, at=NOON)
    assert (found.store, found.role) == (STORE_ID, Role.VOLUNTEER)
    with pytest.raises(AccessRefused):
        recognise(engine, token[:-1] + ("a" if token[-1] != "a" else "b"), at=NOON)
    credentials = METADATA.tables["credential"]
    rows = look(engine, lambda r: r.connection.execute(select(credentials)).all())
    assert token.removeprefix("dw_") not in repr(rows)


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("mysql://here/x", "SQLite or PostgreSQL, not in 'mysql'"),
        ("not a url", "named by a URL"),
        ("sqlite://", "name a file"),
    ],
)
def test_a_url_of_another_kind_of_database_is_refused_in_words(url: str, words: str) -> None:
    with pytest.raises(InputRefused, match=words):
        open_engine(url)
