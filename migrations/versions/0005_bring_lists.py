"""Lists of what to bring, as they were published for anyone to read."""

import sqlalchemy as sa
from alembic import op

revision = "0005_bring_lists"
down_revision = "0004_kept_weeks"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring the table up."""
    op.create_table(
        "bring_list",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("published_by", sa.String(), nullable=False),
        sa.Column("published_at", sa.String(), nullable=False),
        sa.Column("withdrawn_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_bring_list_store"),
        sa.PrimaryKeyConstraint("store", "code", name="pk_bring_list"),
    )
    if op.get_bind().dialect.name == "postgresql":
        op.execute("ALTER TABLE bring_list ENABLE ROW LEVEL SECURITY")
        op.execute("ALTER TABLE bring_list FORCE ROW LEVEL SECURITY")
        op.execute(
            "CREATE POLICY of_its_store ON bring_list"
            " USING (store = current_setting('daysworth.store', true))"
        )


def downgrade() -> None:
    """Take the table down."""
    op.drop_table("bring_list")
