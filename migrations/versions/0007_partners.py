"""Partners, what is promised to them, and what was handed off."""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op

revision = "0007_partners"
down_revision = "0006_kits"
branch_labels = None
depends_on = None

TABLES = ("partner", "promise", "promise_item", "hand_off_line")


def upgrade() -> None:
    """Bring the tables up."""
    _partners()
    _promises()
    _promise_items()
    _hand_off_lines()
    _hand_offs_stay()
    _nothing_is_promised()
    if _is_postgresql():
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down; what was promised is free, and what was handed off stays gone."""
    if not _is_postgresql():
        op.execute("DROP TRIGGER hand_off_line_stays_as_it_is")
        op.execute("DROP TRIGGER hand_off_line_stays")
    for table in reversed(TABLES):
        op.drop_table(table)
    _nothing_is_promised()


def _is_postgresql() -> bool:
    return op.get_bind().dialect.name == "postgresql"


def _nothing_is_promised() -> None:
    """Free what is promised by no promise: before there were any, a file had only said so."""
    with _every_store("lot"):
        op.execute("UPDATE lot SET units_promised = 0 WHERE units_promised > 0")


@contextmanager
def _every_store(table: str) -> Iterator[None]:
    """Let a block see every store's rows, which row security hides from the tables' owner too."""
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY")
    yield
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")


def _partners() -> None:
    """Make partners."""
    op.create_table(
        "partner",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_partner_revision_counts")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_partner_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_partner"),
    )


def _promises() -> None:
    """Make promises."""
    op.create_table(
        "promise",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("partner", sa.String(), nullable=False),
        sa.Column("partner_name", sa.String(), nullable=False),
        sa.Column("window", sa.String(), nullable=False),
        sa.Column("opens_at", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("ended_at", sa.String(), nullable=True),
        sa.Column("ended_by", sa.String(), nullable=True),
        sa.Column("handed_on", sa.Date(), nullable=True),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "state IN ('open', 'kept', 'kept_in_part', 'refused', 'lapsed')",
            name=op.f("ck_promise_state_known"),
        ),
        sa.CheckConstraint(
            "(state = 'open') = (ended_at IS NULL)", name=op.f("ck_promise_open_or_ended")
        ),
        sa.CheckConstraint(
            "(ended_at IS NULL) = (ended_by IS NULL)", name=op.f("ck_promise_ended_by_someone")
        ),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_promise_revision_counts")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_promise_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_promise"),
    )
    op.create_index("ix_promise_state", "promise", ["store", "state"])
    op.create_index("ix_promise_visit", "promise", ["store", "partner", "window", "opens_at"])


def _promise_items() -> None:
    """Make what is promised."""
    op.create_table(
        "promise_item",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("promise", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.CheckConstraint("units >= 1", name=op.f("ck_promise_item_units_count")),
        sa.ForeignKeyConstraint(
            ["store", "promise"],
            ["promise.store", "promise.id"],
            name="fk_promise_item_store_promise",
        ),
        sa.ForeignKeyConstraint(
            ["store", "lot"], ["lot.store", "lot.id"], name="fk_promise_item_store_lot"
        ),
        sa.PrimaryKeyConstraint("store", "promise", "lot", name="pk_promise_item"),
    )
    op.create_index("ix_promise_item_lot", "promise_item", ["store", "lot"])


def _hand_off_lines() -> None:
    """Make the record of hand-offs."""
    op.create_table(
        "hand_off_line",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("promise", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("handed_on", sa.Date(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=False),
        sa.Column("energy_kcal", sa.Float(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.CheckConstraint("units >= 0", name=op.f("ck_hand_off_line_units_not_negative")),
        sa.ForeignKeyConstraint(
            ["store", "promise"],
            ["promise.store", "promise.id"],
            name="fk_hand_off_line_store_promise",
        ),
        sa.ForeignKeyConstraint(
            ["store", "lot"], ["lot.store", "lot.id"], name="fk_hand_off_line_store_lot"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_hand_off_line_store"),
        sa.PrimaryKeyConstraint("store", "version", "line", name="pk_hand_off_line"),
    )
    op.create_index("ix_hand_off_line_promise", "hand_off_line", ["store", "promise"])
    op.create_index("ix_hand_off_line_handed_on", "hand_off_line", ["store", "handed_on"])


def _hand_offs_stay() -> None:
    """Refuse every change to the record of hand-offs, as for entries."""
    if _is_postgresql():
        op.execute(
            "CREATE TRIGGER hand_off_line_stays BEFORE UPDATE OR DELETE OR TRUNCATE"
            " ON hand_off_line FOR EACH STATEMENT EXECUTE FUNCTION entries_stay()"
        )
        return
    for name, event in (
        ("hand_off_line_stays_as_it_is", "UPDATE"),
        ("hand_off_line_stays", "DELETE"),
    ):
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON hand_off_line BEGIN"
            " SELECT RAISE(ABORT, 'entries are never changed'); END"
        )


def _rows_are_their_stores() -> None:
    """Show a transaction the rows of the store it names."""
    for table in TABLES:
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(
            f"CREATE POLICY of_its_store ON {table}"
            " USING (store = current_setting('daysworth.store', true))"
        )
