"""Bring a database's tables to those of this release, and back, with Alembic."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine
from sqlalchemy.exc import OperationalError

from daysworth.db.engine import is_sqlite
from daysworth.domain.errors import SchemaBehind, StoreBusy

_PACKAGED = Path(__file__).parents[1] / "migrations"
_IN_REPOSITORY = Path(__file__).parents[3] / "migrations"


def migrations_folder() -> Path:
    """Give the folder of revisions: the packaged one, else the repository's."""
    return _PACKAGED if _PACKAGED.is_dir() else _IN_REPOSITORY


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Bring the tables up to a revision. Raises StoreBusy where the database cannot be reached."""
    _run(engine, revision, is_up=True)


def downgrade(engine: Engine, revision: str) -> None:
    """Take the tables down to a revision, "base" for none: what later revisions hold is lost."""
    _run(engine, revision, is_up=False)


def _run(engine: Engine, revision: str, *, is_up: bool) -> None:
    try:
        with engine.connect() as connection:
            config = _config()
            config.attributes["connection"] = connection
            (command.upgrade if is_up else command.downgrade)(config, revision)
            connection.commit()
    except OperationalError as trouble:
        raise StoreBusy(f"the database cannot be reached: {trouble.orig}") from trouble


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def current(engine: Engine) -> str:
    """Give the revision that a database's tables are at, "base" for none. Raises StoreBusy."""
    try:
        with engine.connect() as connection:
            revision = MigrationContext.configure(connection).get_current_revision()
    except OperationalError as trouble:
        raise StoreBusy(f"the database cannot be reached: {trouble.orig}") from trouble
    return revision or "base"


def check_schema(engine: Engine) -> None:
    """Raise SchemaBehind where the tables are not those of this release."""
    head = ScriptDirectory.from_config(_config()).get_current_head()
    if current(engine) != head:
        raise SchemaBehind("the database has not the tables of this release: daysworth migrate")


def ready(engine: Engine) -> None:
    """Make a database ready to serve: the embedded one is migrated, a server's only checked.

    Raises SchemaBehind where a PostgreSQL database was not migrated.
    """
    if is_sqlite(engine):
        upgrade(engine)
    check_schema(engine)
