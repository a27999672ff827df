"""Open the database that a command is about, ready to use."""

from datetime import UTC, datetime
from typing import Final

from sqlalchemy import Engine

from daysworth.db import schema
from daysworth.db.engine import open_engine
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.identifiers import StoreId
from daysworth.settings import Settings

OPERATOR_LABEL: Final = "command line"


def now() -> datetime:
    """Give the instant, aware, by this machine's clock."""
    return datetime.now(UTC)


def database_url(database: str | None) -> str:
    """Give the database asked for, or the one that the settings name."""
    return database or Settings().database


def opened(database: str | None) -> Engine:
    """Open a database with the tables of this release. Raises SchemaBehind, StoreBusy."""
    engine = open_engine(database_url(database))
    schema.ready(engine)
    return engine


def operator(store: StoreId) -> Credential:
    """Give the credential under which whoever runs the machine writes to a store."""
    return Credential(
        id=CredentialId("operator"), store=store, role=Role.COORDINATOR, label=OPERATOR_LABEL
    )
