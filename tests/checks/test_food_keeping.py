"""Hold how long the generic foods keep against what is published on it.

R   FEMA / American Red Cross, Food and Water in an Emergency: what to use within six months, what
    within a year, what keeps indefinitely.
S   USDA FSIS, shelf-stable food safety: low-acid tins 2-5 years, high-acid foods 12-18 months.
C   CDC, emergency water supply: self-filled water is replaced every six months.
"""

import re

from daysworth.reference.foods import FoodRow, food_rows
from tests.checks.usda_release import descriptions

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
