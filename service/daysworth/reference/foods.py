"""Read the catalogue of generic shelf foods.

Composition: USDA National Nutrient Database for Standard Reference, Release 28 (2015), exactly as
published, by NDB number. Usual packages, keeping times and what a recipe usually contains are
common practice unless a row says otherwise. So is what is flagged for children under four: nuts,
seeds and their butters, dried fruit, whole grapes and cherries, hard sweets, sausages, tough meat,
crisps and hard bars.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from daysworth.reference.rows import (
    ReferenceDataError,
    listed,
    number,
    optional_int,
    optional_number,
    read_table,
    yes_no,
)

LONGEST_DAYS: Final = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodRow:
    """One generic food as the table has it; figures per 100 g of net or drained mass."""

    food_id: str
    name: str
    group: str
    roles: frozenset[str]
    is_extra: bool
    ndb_no: str
    energy_kcal_100g: float
    protein_g_100g: float
    fat_g_100g: float | None
    carbohydrate_g_100g: float | None
    sodium_mg_100g: float | None
    water_g_100g: float | None
    stands_in: bool
    package: str
    net_mass_g: float
    figures_for: str
    drained_fraction: float | None
    heating: str
    added_water: str
    added_water_ml_100g: float | None
    needs_opener: bool
    keeps_opened_days: int | None
    keeps_repacked_days: int | None
    shelf_life_months: int | None
    texture: str
    made_of: str
    contains: frozenset[str]
    usually_contains: frozenset[str]
    is_choking_hazard: bool
    formula: str | None
    composition_source: str
    package_source: str
    keeps_source: str
    choking_source: str


@cache
def food_rows() -> tuple[FoodRow, ...]:
    """Read every generic food. Raises ReferenceDataError where the table is broken."""
    rows = read_table("foods.csv", _food_row)
    if len({row.food_id for row in rows}) < len(rows):
        raise ReferenceDataError("foods.csv: an id stands twice")
    return rows


def _food_row(cells: Mapping[str, str]) -> FoodRow:
    return FoodRow(
        food_id=_words(cells["food_id"]),
        name=_words(cells["name"]),
        group=_words(cells["group"]),
        roles=listed(cells["roles"]),
        is_extra=yes_no(cells["is_extra"]),
        ndb_no=_ndb(cells["ndb_no"]),
        energy_kcal_100g=number(cells["energy_kcal_100g"], most=902),
        protein_g_100g=number(cells["protein_g_100g"], most=100),
        fat_g_100g=optional_number(cells["fat_g_100g"], most=100),
        carbohydrate_g_100g=optional_number(cells["carbohydrate_g_100g"], most=100),
        sodium_mg_100g=optional_number(cells["sodium_mg_100g"], most=50_000),
        water_g_100g=optional_number(cells["water_g_100g"], most=100),
        stands_in=yes_no(cells["stands_in"]),
        package=_words(cells["package"]),
        net_mass_g=number(cells["net_mass_g"], least=1, most=100_000),
        figures_for=_words(cells["figures_for"]),
        drained_fraction=optional_number(cells["drained_fraction"], most=1),
        heating=_words(cells["heating"]),
        added_water=_words(cells["added_water"]),
        added_water_ml_100g=optional_number(cells["added_water_ml_100g"], most=5_000),
        needs_opener=cells["opener"] == "needed",
        keeps_opened_days=optional_int(cells["keeps_opened_days"], most=LONGEST_DAYS),
        keeps_repacked_days=optional_int(cells["keeps_repacked_days"], most=LONGEST_DAYS),
        shelf_life_months=optional_int(cells["shelf_life_months"], most=600),
        texture=_words(cells["texture"]),
        made_of=_words(cells["made_of"]),
        contains=listed(cells["contains"]),
        usually_contains=listed(cells["usually_contains"]),
        is_choking_hazard=yes_no(cells["choking"]),
        formula=cells["formula"] or None,
        composition_source=_words(cells["composition_source"]),
        package_source=_words(cells["package_source"]),
        keeps_source=_words(cells["keeps_source"]),
        choking_source=_words(cells["choking_source"]),
    )


def _words(cell: str) -> str:
    if not cell.strip():
        raise ValueError("a cell that must be filled is empty")
    return cell.strip()


def _ndb(cell: str) -> str:
    if len(cell) != 5 or not cell.isdigit():
        raise ValueError(f"{cell!r} is not a five-digit NDB number")
    return cell
