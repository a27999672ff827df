"""Calendars: the addresses at which they are read, and what they last showed."""

import sqlalchemy as sa
from alembic import op

revision = "0008_calendar"
down_revision = "0007_partners"
branch_labels = None
depends_on = None

TABLES = ("calendar_link", "calendar_event")


def upgrade() -> None:
    """Bring the tables up."""
    _links()
    _events()
    if op.get_bind().dialect.name == "postgresql":
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down: every address opens nothing any more."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _links() -> None:
    """Make the addresses at which calendars are read."""
    op.create_table(
        "calendar_link",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("revoked_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_calendar_link_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_calendar_link"),
        sa.UniqueConstraint("hash", name="uq_calendar_link_hash"),
    )
    op.create_index("ix_calendar_link_credential", "calendar_link", ["store", "credential"])


def _events() -> None:
    """Make what calendars last showed."""
    op.create_table(
        "calendar_event",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("uid", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.CheckConstraint("sequence >= 0", name=op.f("ck_calendar_event_sequence_not_negative")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_calendar_event_store"),
        sa.PrimaryKeyConstraint("store", "uid", name="pk_calendar_event"),
    )
    op.create_index("ix_calendar_event_on_day", "calendar_event", ["store", "on_day"])


def _rows_are_their_stores() -> None:
    """Show a transaction the rows of the store it names, and an address by its hash."""
    for table in TABLES:
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(
            f"CREATE POLICY of_its_store ON {table}"
            " USING (store = current_setting('daysworth.store', true))"
        )
    op.execute(
        "CREATE POLICY by_its_hash ON calendar_link FOR SELECT"
        " USING (hash = current_setting('daysworth.credential', true))"
    )
