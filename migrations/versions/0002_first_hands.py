"""First hands: coordinators and their sessions, links for volunteers, weekly notices."""

import sqlalchemy as sa
from alembic import op

revision = "0002_first_hands"
down_revision = "0001_begin"
branch_labels = None
depends_on = None

TABLES = ("coordinator", "session", "missed_sign_in", "link", "notice", "posting")
FOUND_BY_HASH = ("session", "link")


def upgrade() -> None:
    """Bring the tables up."""
    _coordinators()
    _links()
    _notices()
    op.create_index("ix_entry_credential", "entry", ["store", "credential", "version"])
    if op.get_bind().dialect.name == "postgresql":
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down."""
    op.drop_index("ix_entry_credential", table_name="entry")
    for table in reversed(TABLES):
        op.drop_table(table)


def _coordinators() -> None:
    """Make who signs in, the browsers that did, and the attempts that failed."""
    op.create_table(
        "coordinator",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("password", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("barred_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_coordinator_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_coordinator"),
        sa.UniqueConstraint("store", "name_key", name="uq_coordinator_store_name_key"),
    )
    op.create_table(
        "session",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("coordinator", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("expires_at", sa.String(), nullable=False),
        sa.Column("ended_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["store", "coordinator"],
            ["coordinator.store", "coordinator.id"],
            name="fk_session_store_coordinator",
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_session_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_session"),
        sa.UniqueConstraint("hash", name="uq_session_hash"),
    )
    op.create_table(
        "missed_sign_in",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("address", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_missed_sign_in_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_missed_sign_in"),
    )
    op.create_index("ix_missed_sign_in_at", "missed_sign_in", ["store", "at"])


def _links() -> None:
    """Make the links by which volunteers log."""
    op.create_table(
        "link",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("expires_at", sa.String(), nullable=False),
        sa.Column("revoked_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["store", "place"], ["place.store", "place.id"], name="fk_link_store_place"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_link_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_link"),
        sa.UniqueConstraint("hash", name="uq_link_hash"),
    )


def _notices() -> None:
    """Make the weekly notices, and what was posted where."""
    op.create_table(
        "notice",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_notice_store"),
        sa.PrimaryKeyConstraint("store", "week", name="pk_notice"),
    )
    op.create_table(
        "posting",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("channel", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("claim", sa.String(), nullable=True),
        sa.Column("begun_at", sa.String(), nullable=False),
        sa.Column("posted_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "(claim IS NULL) = (posted_at IS NOT NULL)", name=op.f("ck_posting_begun_or_posted")
        ),
        sa.ForeignKeyConstraint(
            ["store", "week"], ["notice.store", "notice.week"], name="fk_posting_store_week"
        ),
        sa.PrimaryKeyConstraint("store", "week", "channel", name="pk_posting"),
    )


def _rows_are_their_stores() -> None:
    """Show a transaction the rows of the store it names, and a link or session by its hash."""
    for table in TABLES:
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(
            f"CREATE POLICY of_its_store ON {table}"
            " USING (store = current_setting('daysworth.store', true))"
        )
    for table in FOUND_BY_HASH:
        op.execute(
            f"CREATE POLICY by_its_hash ON {table} FOR SELECT"
            " USING (hash = current_setting('daysworth.credential', true))"
        )
