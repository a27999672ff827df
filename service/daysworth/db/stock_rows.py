"""Lay out the tables of the stock: foods, lots, and the entries by which alone lots change."""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index
from sqlmodel import Field

from daysworth.db.rows import NO_BEFORE, Row


class FoodRow(Row, table=True):
    """A food of this store's own; the generic ones come with the release."""

    __tablename__ = "food"
    __table_args__ = (
        CheckConstraint("energy_kcal_100g >= 0", name="energy_not_negative"),
        CheckConstraint("protein_g_100g >= 0", name="protein_not_negative"),
        CheckConstraint("net_mass_g > 0", name="mass_positive"),
        Index("ix_food_gtin", "store", "gtin"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    name: str
    food_group: str
    energy_kcal_100g: float
    protein_g_100g: float
    net_mass_g: float
    fat_g_100g: float | None = None
    carbohydrate_g_100g: float | None = None
    sodium_mg_100g: float | None = None
    roles: str = ""
    is_extra: bool = False
    figures_for: str
    drained_fraction: float | None = None
    heating: str
    added_water: str
    added_water_ml_100g: float = 0.0
    needs_opener: bool = False
    shelf_life_months: int | None = None
    keeps_opened_days: int | None = None
    keeps_repacked_days: int | None = None
    texture: str | None = None
    made_of: str
    facts: str
    regime: str | None = None
    formula: str | None = None
    is_choking_hazard: bool = Field(default=False, sa_column_kwargs=NO_BEFORE)
    gtin: str | None = None
    label: str | None = None
    revision: int = 1


class LotRow(Row, table=True):
    """Units of one food with one label date, in one place, from one owner.

    `units` is kept beside the entries and equals their sum. A lot without a food waits for a
    coordinator to say what it is; `words` is what the volunteer called it. `reading` is a
    list of its label's readings that stand, `read_by` one beside it of who signs each.
    """

    __tablename__ = "lot"
    __table_args__ = (
        ForeignKeyConstraint(["store", "place"], ["place.store", "place.id"]),
        ForeignKeyConstraint(["store", "owner"], ["household.store", "household.id"]),
        CheckConstraint("units >= 0", name="units_not_negative"),
        CheckConstraint(
            "units_in_kits >= 0 AND units_promised >= 0"
            " AND units_in_kits + units_promised <= units",
            name="no_more_reserved_than_on_hand",
        ),
        CheckConstraint("owner IS NOT NULL OR is_shared", name="kept_lots_have_an_owner"),
        CheckConstraint(
            "(label_kind = 'unlabelled') = (printed IS NULL)", name="kind_and_date_or_neither"
        ),
        CheckConstraint("food IS NOT NULL OR words IS NOT NULL", name="a_food_or_words"),
        CheckConstraint("condition IN ('sound', 'damaged', 'quarantined')", name="condition_known"),
        Index("ix_lot_place", "store", "place"),
        Index("ix_lot_owner", "store", "owner"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    id: str = Field(primary_key=True)
    food: str | None = None
    words: str | None = None
    place: str
    units: int
    owner: str | None = None
    is_shared: bool = True
    units_in_kits: int = 0
    units_promised: int = 0
    net_mass_g: float | None = None
    label_kind: str
    printed: str | None = None
    opened_on: date | None = None
    repacked_on: date | None = None
    condition: str
    reading: str | None = None
    read_by: str | None = None
    pack_code: str | None = None
    revision: int = 1


class EntryRow(Row, table=True):
    """One line of the ledger. Triggers refuse to change or delete it."""

    __tablename__ = "entry"
    __table_args__ = (
        ForeignKeyConstraint(["store", "lot"], ["lot.store", "lot.id"]),
        Index("ix_entry_lot", "store", "lot"),
        Index("ix_entry_credential", "store", "credential", "version"),
    )

    store: str = Field(primary_key=True, foreign_key="store.id")
    version: int = Field(primary_key=True, sa_type=BigInteger)
    line: int = Field(primary_key=True)
    kind: str
    lot: str
    units: int
    at: str
    credential: str
    by: str
    why: str | None = None
    detail: str
