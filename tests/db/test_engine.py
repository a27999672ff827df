"""Claims about how each database is opened."""

from sqlalchemy import text

from daysworth.db.engine import reading, writing
from tests.databases import POSTGRESQL, SQLITE, migrated


def test_sqlite_keeps_what_it_said_it_kept() -> None:
    """SQLite's own documentation: synchronous 2 is FULL; in WAL each commit is synced."""
    engine = migrated(SQLITE)
    with writing(engine) as connection, connection.begin():
        asked = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
    assert found == ["wal", 2, 1, 30_000]
    engine.dispose()


def test_a_write_on_sqlite_holds_its_turn_from_the_start_and_a_read_holds_none() -> None:
    engine = migrated(SQLITE)
    with writing(engine) as one, one.begin(), reading(engine) as two, two.begin():
        assert two.exec_driver_sql("SELECT count(*) FROM store").scalar() == 0
        raw = two.connection.driver_connection
        assert raw is not None
        assert raw.in_transaction
    engine.dispose()


def test_a_read_on_postgresql_sees_one_state_and_can_change_none() -> None:
    engine = migrated(POSTGRESQL)
    with reading(engine) as connection, connection.begin():
        assert connection.execute(text("SHOW transaction_isolation")).scalar() == "repeatable read"
        assert connection.execute(text("SHOW transaction_read_only")).scalar() == "on"
    with writing(engine) as connection, connection.begin():
        assert connection.execute(text("SHOW transaction_read_only")).scalar() == "off"
    engine.dispose()
