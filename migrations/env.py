"""Run revisions on the connection that was handed over, or on the database in the environment."""

import os

from alembic import context
from sqlalchemy import Connection, create_engine

from daysworth.db.tables import METADATA


def run(connection: Connection) -> None:
    """Run the revisions in one transaction."""
    context.configure(
        connection=connection,
        target_metadata=METADATA,
        compare_server_default=True,
        # SQLite alters a table by making it anew.
        render_as_batch=connection.dialect.name == "sqlite",
    )
    with context.begin_transaction():
        context.run_migrations()


handed_over = context.config.attributes.get("connection")
if handed_over is not None:
    run(handed_over)
else:
    url = os.environ.get("DAYSWORTH_DATABASE", "sqlite:///daysworth.db")
    with create_engine(url.replace("postgresql://", "postgresql+psycopg://", 1)).begin() as opened:
        run(opened)
