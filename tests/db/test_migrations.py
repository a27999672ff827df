"""Claims about the tables: as the rows say, up, down and up again, on both databases."""

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import CheckConstraint, Engine, inspect, text

from daysworth.db import schema
from daysworth.db.engine import open_engine
from daysworth.db.tables import METADATA
from daysworth.domain.errors import SchemaBehind
from tests.databases import BOTH, POSTGRESQL, SQLITE, empty_url
from tests.grounds import begin_ground, books_balance, lots_of, put_up, small_store


def revisions() -> list[str]:
    script = ScriptDirectory(str(schema.migrations_folder()))
    return [revision.revision for revision in script.walk_revisions()][::-1]


def test_there_is_one_head() -> None:
    assert len(ScriptDirectory(str(schema.migrations_folder())).get_heads()) == 1


@pytest.mark.parametrize("kind", BOTH)
def test_every_revision_goes_up_and_down_and_up_again(kind: str) -> None:
    engine = open_engine(empty_url(kind))
    below = "base"
    for revision in revisions():
        schema.upgrade(engine, revision)
        assert schema.current(engine) == revision
        schema.downgrade(engine, below)
        assert schema.current(engine) == below
        schema.upgrade(engine, revision)
        below = revision
    engine.dispose()


def test_with_rows_present_the_tables_go_down_and_up_again(engine: Engine) -> None:
    put_up(engine)
    schema.downgrade(engine, "base")
    assert set(inspect(engine).get_table_names()) <= {"alembic_version"}
    schema.upgrade(engine)
    begin_ground(engine, small_store())
    put_up(engine)
    assert len(lots_of(engine)) == 1
    assert books_balance(engine)


def test_migrating_what_is_migrated_keeps_every_row(engine: Engine) -> None:
    put_up(engine)
    before = lots_of(engine)
    schema.upgrade(engine)
    assert lots_of(engine) == before


def test_the_migrated_tables_are_those_of_the_rows(engine: Engine) -> None:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_server_default": True})
        assert compare_metadata(context, METADATA) == []


def test_the_migrated_checks_are_those_of_the_rows(engine: Engine) -> None:
    found = inspect(engine)
    for table in METADATA.sorted_tables:
        written = {
            str(check.name) for check in table.constraints if isinstance(check, CheckConstraint)
        }
        assert {check["name"] for check in found.get_check_constraints(table.name)} == written


@pytest.mark.parametrize("kind", BOTH)
def test_a_database_that_was_not_migrated_is_not_used(kind: str) -> None:
    engine = open_engine(empty_url(kind))
    with pytest.raises(SchemaBehind, match="daysworth migrate"):
        schema.check_schema(engine)
    engine.dispose()


def test_the_embedded_database_is_made_ready_and_a_server_s_is_left_to_its_keeper() -> None:
    embedded, server = open_engine(empty_url(SQLITE)), open_engine(empty_url(POSTGRESQL))
    schema.ready(embedded)
    schema.check_schema(embedded)
    with pytest.raises(SchemaBehind):
        schema.ready(server)
    embedded.dispose()
    server.dispose()


def test_every_table_with_a_store_is_under_forced_row_security(engine: Engine) -> None:
    if engine.dialect.name != POSTGRESQL:
        # SQLite has no such thing: it is for one process, and every statement names the store.
        assert "store" in METADATA.tables
        return
    asked = text(
        "SELECT relname FROM pg_class WHERE relkind = 'r' AND relrowsecurity"
        " AND relforcerowsecurity AND relnamespace = 'public'::regnamespace"
    )
    with engine.connect() as connection:
        assert set(connection.scalars(asked)) == set(METADATA.tables)
