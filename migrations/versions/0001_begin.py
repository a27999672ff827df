"""Begin: stores, households, foods, lots, entries, credentials."""

import sqlalchemy as sa
from alembic import op

revision = "0001_begin"
down_revision = None
branch_labels = None
depends_on = None

TABLES = (
    "store",
    "place",
    "household",
    "member",
    "restriction",
    "food",
    "lot",
    "entry",
    "credential",
    "disclosure",
    "replay",
)


def upgrade() -> None:
    """Bring the tables up."""
    _whom_it_feeds()
    _members()
    _restrictions()
    _foods()
    _lots()
    _ways_to_lots()
    _entries()
    _access()
    _entries_stay()
    if op.get_bind().dialect.name == "postgresql":
        _rows_are_their_stores()


def downgrade() -> None:
    """Take the tables down."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute("DROP TRIGGER entry_stays_as_it_is")
        op.execute("DROP TRIGGER entry_stays")
    for table in reversed(TABLES):
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION entries_stay()")


def _whom_it_feeds() -> None:
    """Make stores, places and households."""
    op.create_table(
        "store",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("last_parcel_number", sa.Integer(), nullable=False),
        sa.Column("settings", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_store_revision_counts")),
        sa.CheckConstraint("version >= 0", name=op.f("ck_store_version_not_negative")),
        sa.PrimaryKeyConstraint("id", name="pk_store"),
    )
    op.create_table(
        "place",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_place_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_place"),
    )
    op.create_table(
        "household",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("parcel_number", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("pets", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("parcel_number >= 1", name=op.f("ck_household_parcel_counts")),
        sa.CheckConstraint("pets >= 0", name=op.f("ck_household_pets_not_negative")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_household_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_household"),
        sa.UniqueConstraint("store", "parcel_number", name="uq_household_store_parcel_number"),
    )


def _members() -> None:
    """Make members."""
    op.create_table(
        "member",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("household", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("born_on", sa.Date(), nullable=True),
        sa.Column("age_from_years", sa.Integer(), nullable=True),
        sa.Column("age_to_years", sa.Integer(), nullable=True),
        sa.Column("sex", sa.String(), nullable=True),
        sa.Column("height_cm", sa.Float(), nullable=True),
        sa.Column("weight_kg", sa.Float(), nullable=True),
        sa.Column("activity", sa.String(), nullable=True),
        sa.Column("appetite", sa.Float(), nullable=False),
        sa.Column("pregnancy_due_on", sa.Date(), nullable=True),
        sa.Column("prepregnancy_weight", sa.String(), nullable=False),
        sa.Column("breastfeeding_since_on", sa.Date(), nullable=True),
        sa.Column("infant_feeding", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(age_from_years IS NULL) = (age_to_years IS NULL)", name=op.f("ck_member_whole_band")
        ),
        sa.CheckConstraint(
            "(born_on IS NULL) <> (age_from_years IS NULL)", name=op.f("ck_member_one_age")
        ),
        sa.CheckConstraint("appetite > 0", name=op.f("ck_member_appetite_positive")),
        sa.ForeignKeyConstraint(
            ["store", "household"],
            ["household.store", "household.id"],
            name="fk_member_store_household",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("store", "id", name="pk_member"),
    )
    op.create_index("ix_member_household", "member", ["store", "household"])


def _restrictions() -> None:
    """Make what members must not eat."""
    op.create_table(
        "restriction",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("member", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("allergy", sa.String(), nullable=True),
        sa.Column("diet", sa.String(), nullable=True),
        sa.Column("reach", sa.String(), nullable=True),
        sa.Column("accepts_may_contain", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "(allergy IS NULL) <> (diet IS NULL)", name=op.f("ck_restriction_allergy_or_diet")
        ),
        sa.ForeignKeyConstraint(
            ["store", "member"],
            ["member.store", "member.id"],
            name="fk_restriction_store_member",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("store", "member", "position", name="pk_restriction"),
    )


def _foods() -> None:
    """Make foods."""
    op.create_table(
        "food",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("food_group", sa.String(), nullable=False),
        sa.Column("energy_kcal_100g", sa.Float(), nullable=False),
        sa.Column("protein_g_100g", sa.Float(), nullable=False),
        sa.Column("net_mass_g", sa.Float(), nullable=False),
        sa.Column("fat_g_100g", sa.Float(), nullable=True),
        sa.Column("carbohydrate_g_100g", sa.Float(), nullable=True),
        sa.Column("sodium_mg_100g", sa.Float(), nullable=True),
        sa.Column("roles", sa.String(), nullable=False),
        sa.Column("is_extra", sa.Boolean(), nullable=False),
        sa.Column("figures_for", sa.String(), nullable=False),
        sa.Column("drained_fraction", sa.Float(), nullable=True),
        sa.Column("heating", sa.String(), nullable=False),
        sa.Column("added_water", sa.String(), nullable=False),
        sa.Column("added_water_ml_100g", sa.Float(), nullable=False),
        sa.Column("needs_opener", sa.Boolean(), nullable=False),
        sa.Column("shelf_life_months", sa.Integer(), nullable=True),
        sa.Column("keeps_opened_days", sa.Integer(), nullable=True),
        sa.Column("keeps_repacked_days", sa.Integer(), nullable=True),
        sa.Column("texture", sa.String(), nullable=True),
        sa.Column("made_of", sa.String(), nullable=False),
        sa.Column("facts", sa.String(), nullable=False),
        sa.Column("gtin", sa.String(), nullable=True),
        sa.Column("label", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("energy_kcal_100g >= 0", name=op.f("ck_food_energy_not_negative")),
        sa.CheckConstraint("net_mass_g > 0", name=op.f("ck_food_mass_positive")),
        sa.CheckConstraint("protein_g_100g >= 0", name=op.f("ck_food_protein_not_negative")),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_food_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_food"),
    )
    op.create_index("ix_food_gtin", "food", ["store", "gtin"])


def _lots() -> None:
    """Make lots."""
    op.create_table(
        "lot",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("food", sa.String(), nullable=True),
        sa.Column("words", sa.String(), nullable=True),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("owner", sa.String(), nullable=True),
        sa.Column("is_shared", sa.Boolean(), nullable=False),
        sa.Column("units_in_kits", sa.Integer(), nullable=False),
        sa.Column("units_promised", sa.Integer(), nullable=False),
        sa.Column("net_mass_g", sa.Float(), nullable=True),
        sa.Column("label_kind", sa.String(), nullable=False),
        sa.Column("printed", sa.String(), nullable=True),
        sa.Column("opened_on", sa.Date(), nullable=True),
        sa.Column("repacked_on", sa.Date(), nullable=True),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("reading", sa.String(), nullable=True),
        sa.Column("pack_code", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(label_kind = 'unlabelled') = (printed IS NULL)",
            name=op.f("ck_lot_kind_and_date_or_neither"),
        ),
        sa.CheckConstraint(
            "condition IN ('sound', 'damaged', 'quarantined')", name=op.f("ck_lot_condition_known")
        ),
        sa.CheckConstraint(
            "food IS NOT NULL OR words IS NOT NULL", name=op.f("ck_lot_a_food_or_words")
        ),
        sa.CheckConstraint(
            "owner IS NOT NULL OR is_shared", name=op.f("ck_lot_kept_lots_have_an_owner")
        ),
        sa.CheckConstraint("units >= 0", name=op.f("ck_lot_units_not_negative")),
        sa.CheckConstraint(
            "units_in_kits >= 0 AND units_promised >= 0"
            " AND units_in_kits + units_promised <= units",
            name=op.f("ck_lot_no_more_reserved_than_on_hand"),
        ),
        sa.ForeignKeyConstraint(
            ["store", "owner"], ["household.store", "household.id"], name="fk_lot_store_owner"
        ),
        sa.ForeignKeyConstraint(
            ["store", "place"], ["place.store", "place.id"], name="fk_lot_store_place"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_lot_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_lot"),
    )


def _ways_to_lots() -> None:
    """Make lots quick to find by owner and by place."""
    op.create_index("ix_lot_owner", "lot", ["store", "owner"])
    op.create_index("ix_lot_place", "lot", ["store", "place"])


def _entries() -> None:
    """Make the ledger."""
    op.create_table(
        "entry",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("detail", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["store", "lot"], ["lot.store", "lot.id"], name="fk_entry_store_lot"
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_entry_store"),
        sa.PrimaryKeyConstraint("store", "version", "line", name="pk_entry"),
    )
    op.create_index("ix_entry_lot", "entry", ["store", "lot"])


def _access() -> None:
    """Make credentials, readings of health facts, and answers given."""
    op.create_table(
        "credential",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("household", sa.String(), nullable=True),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("expires_at", sa.String(), nullable=False),
        sa.Column("revoked_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "(role = 'household') = (household IS NOT NULL)",
            name=op.f("ck_credential_household_has_its_own"),
        ),
        sa.CheckConstraint(
            "role IN ('coordinator', 'volunteer', 'household', 'script')",
            name=op.f("ck_credential_role_known"),
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_credential_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_credential"),
        sa.UniqueConstraint("hash", name="uq_credential_hash"),
    )
    op.create_table(
        "disclosure",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("household", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_disclosure_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_disclosure"),
    )
    op.create_table(
        "replay",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("headers", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=True),
        sa.Column("household", sa.String(), nullable=True),
        sa.Column("at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_replay_store"),
        sa.PrimaryKeyConstraint("store", "key", name="pk_replay"),
    )
    op.create_index("ix_disclosure_at", "disclosure", ["store", "at"])


def _entries_stay() -> None:
    """Refuse every change to an entry: a mistake is corrected by another entry."""
    if op.get_bind().dialect.name == "sqlite":
        for name, event in (("entry_stays_as_it_is", "UPDATE"), ("entry_stays", "DELETE")):
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {event} ON entry BEGIN"
                " SELECT RAISE(ABORT, 'entries are never changed'); END"
            )
        return
    op.execute(
        "CREATE FUNCTION entries_stay() RETURNS trigger LANGUAGE plpgsql AS"
        " $$ BEGIN RAISE EXCEPTION 'entries are never changed'"
        " USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )
    op.execute(
        "CREATE TRIGGER entry_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON entry"
        " FOR EACH STATEMENT EXECUTE FUNCTION entries_stay()"
    )


def _rows_are_their_stores() -> None:
    """Show a transaction the rows of the store it names, and a credential by its hash alone."""
    for table in TABLES:
        key = "id" if table == "store" else "store"
        allowed = f"{key} = current_setting('daysworth.store', true)"
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY of_its_store ON {table} USING ({allowed})")
    op.execute(
        "CREATE POLICY by_its_hash ON credential FOR SELECT"
        " USING (hash = current_setting('daysworth.credential', true))"
    )
