"""Kits: patterns, kits and what is in them, wares, plans for packing, and what a round became."""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op

revision = "0006_kits"
down_revision = "0005_bring_lists"
branch_labels = None
depends_on = None

TABLES = ("pattern", "kit", "kit_item", "ware", "ware_entry", "packing_plan", "round_line")
LEDGERS = ("ware_entry", "round_line")


def upgrade() -> None:
    """Bring the tables up."""
    op.add_column(
        "place",
        sa.Column("walk_position", sa.Integer(), server_default=sa.text("0"), nullable=False),
    )
    _patterns()
    _kits()
    _kit_items()
    _wares()
    _packing_plans()
    _round_lines()
    _ledgers_stay()
    with _every_store("lot"):
        # There was no kit that they could be in; a file had only said so.
        op.execute("UPDATE lot SET units_in_kits = 0 WHERE units_in_kits > 0")
    if _is_postgresql():
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down; what was in kits is free."""
    if not _is_postgresql():
        for table in LEDGERS:
            op.execute(f"DROP TRIGGER {table}_stays_as_it_is")
            op.execute(f"DROP TRIGGER {table}_stays")
    for table in reversed(TABLES):
        op.drop_table(table)
    with _every_store("lot"):
        op.execute("UPDATE lot SET units_in_kits = 0 WHERE units_in_kits > 0")
    op.drop_column("place", "walk_position")


def _is_postgresql() -> bool:
    return op.get_bind().dialect.name == "postgresql"


@contextmanager
def _every_store(table: str) -> Iterator[None]:
    """Let a block see every store's rows, which row security hides from the tables' owner too."""
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY")
    yield
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")


def _patterns() -> None:
    """Make the stores' own patterns."""
    op.create_table(
        "pattern",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_pattern_revision_counts")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_pattern_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_pattern"),
    )


def _kits() -> None:
    """Make kits."""
    op.create_table(
        "kit",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("persons", sa.Integer(), nullable=False),
        sa.Column("household", sa.String(), nullable=True),
        sa.Column("pattern", sa.String(), nullable=True),
        sa.Column("packed_on", sa.Date(), nullable=False),
        sa.Column("packed_by", sa.String(), nullable=False),
        sa.Column("utensil", sa.String(), nullable=False),
        sa.Column("wares", sa.String(), nullable=False),
        sa.Column("waivers", sa.String(), nullable=False),
        sa.Column("steps", sa.String(), nullable=False),
        sa.Column("may_be_warmed", sa.String(), nullable=True),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("ended_at", sa.String(), nullable=True),
        sa.Column("facts", sa.String(), nullable=False),
        sa.Column("looked_at", sa.String(), nullable=True),
        sa.Column("looked_by", sa.String(), nullable=True),
        sa.Column("looked_why", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("persons >= 1", name=op.f("ck_kit_persons_count")),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_kit_revision_counts")),
        sa.CheckConstraint(
            "state IN ('closed', 'unpacked', 'eaten')", name=op.f("ck_kit_state_known")
        ),
        sa.CheckConstraint(
            "(state = 'closed') = (ended_at IS NULL)", name=op.f("ck_kit_closed_or_ended")
        ),
        sa.ForeignKeyConstraint(
            ["store", "household"],
            ["household.store", "household.id"],
            name="fk_kit_store_household",
        ),
        sa.ForeignKeyConstraint(
            ["store", "place"], ["place.store", "place.id"], name="fk_kit_store_place"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_kit_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_kit"),
    )
    op.create_index("ix_kit_state", "kit", ["store", "state"])


def _kit_items() -> None:
    """Make what is in kits."""
    op.create_table(
        "kit_item",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("kit", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("served", sa.String(), nullable=False),
        sa.CheckConstraint("units >= 1", name=op.f("ck_kit_item_units_count")),
        sa.ForeignKeyConstraint(
            ["store", "kit"], ["kit.store", "kit.id"], name="fk_kit_item_store_kit"
        ),
        sa.ForeignKeyConstraint(
            ["store", "lot"], ["lot.store", "lot.id"], name="fk_kit_item_store_lot"
        ),
        sa.PrimaryKeyConstraint("store", "kit", "lot", name="pk_kit_item"),
    )
    op.create_index("ix_kit_item_lot", "kit_item", ["store", "lot"])


def _wares() -> None:
    """Make wares, and their ledger."""
    op.create_table(
        "ware",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("units >= 0", name=op.f("ck_ware_units_not_negative")),
        sa.ForeignKeyConstraint(
            ["store", "place"], ["place.store", "place.id"], name="fk_ware_store_place"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_ware_store"),
        sa.PrimaryKeyConstraint("store", "kind", "place", name="pk_ware"),
    )
    op.create_table(
        "ware_entry",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("ware", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["store", "ware", "place"],
            ["ware.store", "ware.kind", "ware.place"],
            name="fk_ware_entry_store_ware_place",
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_ware_entry_store"),
        sa.PrimaryKeyConstraint("store", "version", "line", name="pk_ware_entry"),
    )
    op.create_index("ix_ware_entry_ware", "ware_entry", ["store", "ware", "place"])


def _packing_plans() -> None:
    """Make plans for packing."""
    op.create_table(
        "packing_plan",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("facts", sa.String(), nullable=False),
        sa.Column("told", sa.String(), nullable=False),
        sa.Column("packed_at", sa.String(), nullable=True),
        sa.Column("packed_by", sa.String(), nullable=True),
        sa.CheckConstraint(
            "(packed_at IS NULL) = (packed_by IS NULL)",
            name=op.f("ck_packing_plan_packed_by_someone"),
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_packing_plan_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_packing_plan"),
    )
    op.create_index("ix_packing_plan_made_at", "packing_plan", ["store", "made_at"])


def _round_lines() -> None:
    """Make the record of the rounds."""
    op.create_table(
        "round_line",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("round_on", sa.Date(), nullable=False),
        sa.Column("lot", sa.String(), nullable=True),
        sa.Column("kit", sa.String(), nullable=True),
        sa.Column("outcome", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("energy_kcal", sa.Float(), nullable=True),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.CheckConstraint(
            "lot IS NOT NULL OR kit IS NOT NULL", name=op.f("ck_round_line_of_something")
        ),
        sa.CheckConstraint("units >= 1", name=op.f("ck_round_line_units_count")),
        sa.CheckConstraint(
            "outcome IN ('eaten', 'given', 'discarded', 'unpacked')",
            name=op.f("ck_round_line_outcome_known"),
        ),
        sa.ForeignKeyConstraint(
            ["store", "kit"], ["kit.store", "kit.id"], name="fk_round_line_store_kit"
        ),
        sa.ForeignKeyConstraint(
            ["store", "lot"], ["lot.store", "lot.id"], name="fk_round_line_store_lot"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_round_line_store"),
        sa.PrimaryKeyConstraint("store", "version", "line", name="pk_round_line"),
    )
    op.create_index("ix_round_line_round_on", "round_line", ["store", "round_on"])


def _ledgers_stay() -> None:
    """Refuse every change to a line of a ledger, as for entries."""
    for table in LEDGERS:
        if _is_postgresql():
            op.execute(
                f"CREATE TRIGGER {table}_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}"
                " FOR EACH STATEMENT EXECUTE FUNCTION entries_stay()"
            )
            continue
        for name, event in ((f"{table}_stays_as_it_is", "UPDATE"), (f"{table}_stays", "DELETE")):
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {event} ON {table} BEGIN"
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
