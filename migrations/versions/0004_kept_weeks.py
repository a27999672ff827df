"""Kept weeks: an export of the store beside each week's notice, and the key to its pseudonyms."""

import sqlalchemy as sa
from alembic import op

revision = "0004_kept_weeks"
down_revision = "0003_labels"
branch_labels = None
depends_on = None

TABLES = ("kept_export", "kept_home", "pseudonym_key")


def upgrade() -> None:
    """Bring the tables up."""
    op.create_table(
        "kept_export",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("taken_on", sa.Date(), nullable=False),
        sa.Column("kept_at", sa.String(), nullable=False),
        sa.Column("rewritten_at", sa.String(), nullable=True),
        sa.Column("stock", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_kept_export_store"),
        sa.PrimaryKeyConstraint("store", "week", name="pk_kept_export"),
    )
    op.create_table(
        "kept_home",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("pseudonym", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("home", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["store", "week"],
            ["kept_export.store", "kept_export.week"],
            name="fk_kept_home_store_week",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("store", "pseudonym", "week", name="pk_kept_home"),
    )
    op.create_table(
        "pseudonym_key",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_pseudonym_key_store"),
        sa.PrimaryKeyConstraint("store", name="pk_pseudonym_key"),
    )
    if op.get_bind().dialect.name == "postgresql":
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _rows_are_their_stores() -> None:
    """Show a transaction the rows of the store it names, and no other's."""
    for table in TABLES:
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(
            f"CREATE POLICY of_its_store ON {table}"
            " USING (store = current_setting('daysworth.store', true))"
        )
