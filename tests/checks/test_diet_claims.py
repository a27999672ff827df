"""Hold what is told of a diet, and of a claim on a label, against the rules for the claims.

G   21 CFR 101.91 (gluten-free): wheat, rye, barley and their crosses; oats are not listed; a claim
    beside wheat needs an explanation.
H   Commission Implementing Regulation (EU) 828/2014: gluten-free, at most 20 mg/kg; oats specially
    produced.
N   21 CFR 101.61: sodium free below 5 mg, low sodium at most 140 mg in a reference amount (small
    ones in 50 g too; meals in 100 g); reduced sodium, light in sodium, unsalted are something else.
F   21 CFR 101.60 and 101.62: claims on fat and energy, from memory. No need here goes by them.
E   Regulation (EC) 1924/2006: low sodium at most 0.12 g in 100 g.
L   Codex CAC/GL 24-1997: halal; a list alone can only exclude; schools differ over carmine.
K   Kosher by supervision: from memory.
V   ISO 23662:2021: vegetarian and vegan, with additives, carriers and processing aids.
D   Regulation (EU) 609/2013 ended "diabetic food": from memory.
"""

from dataclasses import replace
from typing import NamedTuple

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.foods import FoodGroup
from daysworth.domain.labels import Claim, Presence, Regime
from daysworth.domain.restrictions import Diet, Substance
from daysworth.domain.verdicts import Shown, Verdict
from tests.domain.offers import MEAL, judged, known, label, reason

SUITS, UNKNOWN, UNSUITABLE = Verdict.SUITABLE, Verdict.UNKNOWN, Verdict.UNSUITABLE
US, EU = Regime.US_FDA, Regime.EU


def told(diet: Diet, text: str, *, regime: Regime = US, is_certified_only: bool = False) -> Verdict:
    """What is told of a food with this whole label to somebody on a diet."""
    demand = Demand(diet=diet, is_certified_only=is_certified_only)
    return reason(demand, label(text, regime=regime)).verdict


def listing(ingredient: str) -> str:
    return f"Ingredients: rice, {ingredient}, salt."


# G and H: gluten-free.


class GlutenRow(NamedTuple):
    """A label, and what is told of it under United States and under Union law."""

    text: str
    us: Verdict
    eu: Verdict


@pytest.mark.parametrize(
    "row",
    [
        GlutenRow("Gluten-free. Ingredients: rice, salt.", SUITS, SUITS),
        GlutenRow("Ingredients: rice, salt.", SUITS, SUITS),
        GlutenRow("Ingredients: wheat, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Ingredients: rye, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Ingredients: barley, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Ingredients: triticale, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Ingredients: rice, malt extract, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Ingredients: oats, salt.", UNKNOWN, UNSUITABLE),
        GlutenRow("Gluten-free. Ingredients: oats, salt.", SUITS, SUITS),
        GlutenRow("Gluten-free. Ingredients: wheat starch, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Gluten-free. Ingredients: rice. Contains: wheat.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Very low gluten. Ingredients: wheat starch.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Wheat-free. Ingredients: rye, salt.", UNSUITABLE, UNSUITABLE),
        GlutenRow("Wheat-free.", UNKNOWN, UNKNOWN),
        GlutenRow("Ingredients: buckwheat, salt.", SUITS, SUITS),
    ],
    ids=lambda row: row.text,
)
def test_gluten_free_goes_by_the_grains_and_the_claim(row: GlutenRow) -> None:
    assert told(Diet.GLUTEN_FREE, row.text, regime=US) is row.us
    assert told(Diet.GLUTEN_FREE, row.text, regime=EU) is row.eu


def test_a_gluten_free_claim_clears_no_allergy_to_wheat() -> None:
    wheat = Demand(allergy=Substance.WHEAT)
    assert reason(wheat, label("Gluten-free.")).verdict is UNKNOWN
    starch = label("Ingredients: gluten-free wheat starch.")
    assert reason(wheat, starch).verdict is UNSUITABLE


# N and E: sodium.

EXCLUDES = Demand(diet=Diet.LOW_SODIUM, is_excluding=True)


class SodiumRow(NamedTuple):
    """Grams eaten at once, the most mg of sodium in 100 g that is low, and its shelf."""

    group: FoodGroup
    amount_g: float
    most_mg_100g: float


SODIUM = [
    SodiumRow(FoodGroup.FRUIT, 140, 100),  # N (b)(4): 140 mg in the reference amount
    SodiumRow(FoodGroup.BREAKFAST_CEREALS, 40, 350),
    SodiumRow(FoodGroup.SWEETS, 30, 280),  # N (b)(4): 30 g or less, so in 50 g
    SodiumRow(FoodGroup.CONDIMENTS, 15, 280),
    SodiumRow(FoodGroup.PREPARED_MEALS, 100, 140),  # N (b)(5): a meal, in 100 g
]


@pytest.mark.parametrize("row", SODIUM, ids=lambda row: row.group)
def test_low_sodium_is_at_most_140_mg_as_the_rule_counts_it(row: SodiumRow) -> None:
    food = replace(MEAL, group=row.group, sodium_mg_100g=row.most_mg_100g)
    more = replace(food, sodium_mg_100g=row.most_mg_100g + 0.5)
    assert reason(EXCLUDES, food=food).verdict is SUITS
    assert reason(EXCLUDES, food=more).verdict is UNSUITABLE
    assert f"in {row.amount_g:g} g" in reason(EXCLUDES, food=food).words


def test_a_meal_that_is_low_by_the_eus_figure_is_low_here_and_not_the_other_way() -> None:
    """E: 0.12 g in 100 g is the stricter of the two for a meal."""
    assert reason(EXCLUDES, food=replace(MEAL, sodium_mg_100g=120)).verdict is SUITS
    assert reason(EXCLUDES, food=replace(MEAL, sodium_mg_100g=121)).verdict is SUITS


@pytest.mark.parametrize("claim", ["Low sodium.", "Very low sodium.", "Low in sodium."])
def test_a_claim_of_low_sodium_is_taken_where_no_figure_is_known(claim: str) -> None:
    assert reason(EXCLUDES, label(f"{claim} Ingredients: rice, salt.")).verdict is SUITS


@pytest.mark.parametrize(
    "claim",
    [
        *("Reduced sodium.", "Light in sodium.", "Lightly salted.", "Unsalted.", "No salt added."),
        *("25 % less sodium.", "Without added salt.", "Not a low sodium food."),
        *("Not a sodium free food.",),
    ],
)
def test_less_sodium_than_another_food_is_not_low_sodium(claim: str) -> None:
    seen = known(label(f"{claim} Ingredients: rice, salt."))
    assert Claim.LOW_SODIUM not in seen.claims
    assert reason(EXCLUDES, label(f"{claim} Ingredients: rice.")).verdict is UNKNOWN


# F: claims that no need here goes by.


@pytest.mark.parametrize(
    "claim",
    [
        *("Fat free.", "Low fat.", "97 % fat-free.", "Low in saturated fat.", "Calorie free."),
        *("Low calorie.", "Sugar free.", "No added sugar.", "High in fibre.", "Light."),
        *("Cholesterol free.", "Rich in potassium."),
    ],
)
def test_a_claim_on_fat_energy_or_sugar_is_taken_for_nothing(claim: str) -> None:
    alone = known(label(claim))
    assert alone.claims == {}
    assert all(alone.of(substance) is Presence.NOT_KNOWN for substance in Substance)
    text = "Ingredients: rice, water, salt."
    assert known(label(f"{claim} {text}")).presences == known(label(text)).presences


# D: medical diets.


@pytest.mark.parametrize("diet", [Diet.DIABETIC, Diet.RENAL])
@pytest.mark.parametrize(
    "text",
    [
        "Suitable for diabetics. Ingredients: rice.",
        "Sugar free. Ingredients: rice.",
        "Low sodium. Ingredients: rice, potassium chloride, sodium phosphate.",
        "",
    ],
)
def test_no_food_is_told_to_suit_a_diabetic_or_renal_diet(diet: Diet, text: str) -> None:
    found = judged(MEAL, Demand(diet=diet), readings=(label(text),))
    assert found.shown is Shown.ASK_CARE_TEAM
    assert "ask your care team" in found.reasons[0].words


@pytest.mark.parametrize(
    "additive",
    [
        *("sodium phosphate", "phosphoric acid", "sodium tripolyphosphate", "calcium phosphate"),
        *("potassium chloride", "potassium sorbate"),
    ],
)
def test_additives_with_phosphorus_or_potassium_are_shown_to_a_renal_diet(additive: str) -> None:
    """Common practice: "phos" in the list; salt substitutes may be potassium chloride."""
    food = replace(MEAL, carbohydrate_g_100g=12.5, sodium_mg_100g=310)
    words = reason(Demand(diet=Diet.RENAL), label(listing(additive)), food=food).words
    assert f"the list names {additive}" in words
    assert "12.5 g carbohydrate in 100 g" in words
    assert "310 mg sodium in 100 g" in words


# L: halal.


@pytest.mark.parametrize(
    "ingredient",
    [
        *("pork", "lard", "bacon", "ham", "pork gelatin", "blood", "blood plasma", "beer"),
        *("white wine", "rum", "liqueur", "alcohol", "sherry"),
    ],
)
def test_what_is_unlawful_is_not_halal_though_it_be_marked(ingredient: str) -> None:
    assert told(Diet.HALAL, listing(ingredient)) is UNSUITABLE
    assert told(Diet.HALAL, f"Halal certified. {listing(ingredient)}") is UNSUITABLE


@pytest.mark.parametrize(
    "ingredient",
    [
        *("beef", "chicken", "gelatin", "gelatine", "mono- and diglycerides", "E471", "enzymes"),
        *("rennet", "lipase", "L-cysteine", "shortening", "vanilla extract", "carmine"),
    ],
)
def test_what_is_doubtful_is_halal_only_with_a_mark(ingredient: str) -> None:
    assert told(Diet.HALAL, listing(ingredient)) is UNKNOWN
    assert told(Diet.HALAL, f"Halal certified. {listing(ingredient)}") is SUITS


def test_contact_with_what_is_unlawful_is_a_doubt() -> None:
    assert told(Diet.HALAL, "Ingredients: rice. May contain pork.") is UNKNOWN


def test_a_word_that_only_sounds_like_a_certificate_is_none() -> None:
    for text in ("Halal style. Ingredients: beef, salt.", "Ingredients: beef, halal spice mix."):
        assert told(Diet.HALAL, text) is UNKNOWN


def test_certified_only_is_never_inferred_from_ingredients() -> None:
    for diet in (Diet.HALAL, Diet.KOSHER):
        assert told(diet, "Ingredients: rice, salt.", is_certified_only=True) is UNKNOWN
    halal, kosher = "Halal certified. Ingredients: rice.", "Certified kosher. Ingredients: rice."
    assert told(Diet.HALAL, halal, is_certified_only=True) is SUITS
    assert told(Diet.KOSHER, kosher, is_certified_only=True) is SUITS
    assert told(Diet.HALAL, kosher, is_certified_only=True) is UNKNOWN
    assert told(Diet.KOSHER, halal, is_certified_only=True) is UNKNOWN


# K: kosher.


@pytest.mark.parametrize(
    "ingredient",
    ["pork", "bacon", "shrimp", "crab", "clams", "oysters", "blood", "carmine", "beef, milk"],
)
def test_what_no_supervision_makes_kosher_is_not_kosher(ingredient: str) -> None:
    assert told(Diet.KOSHER, listing(ingredient)) is UNSUITABLE
    assert told(Diet.KOSHER, f"Certified kosher. {listing(ingredient)}") is UNSUITABLE


@pytest.mark.parametrize(
    "ingredient", ["beef", "gelatin", "grape juice", "red wine", "rennet", "wine vinegar"]
)
def test_what_needs_supervision_is_kosher_only_with_a_mark(ingredient: str) -> None:
    assert told(Diet.KOSHER, listing(ingredient)) is UNKNOWN
    assert told(Diet.KOSHER, f"Certified kosher. {listing(ingredient)}") is SUITS


@pytest.mark.parametrize(
    "text", ["Ingredients: beef, kosher salt.", "Kosher style. Ingredients: beef, salt.", "K P D"]
)
def test_a_plain_letter_or_kosher_salt_is_no_mark(text: str) -> None:
    assert Claim.KOSHER_CERTIFIED not in known(label(text)).claims
    assert told(Diet.KOSHER, text) is UNKNOWN


# V: vegetarian and vegan.


@pytest.mark.parametrize(
    "ingredient",
    [
        *("gelatin", "gelatine", "lard", "tallow", "suet", "isinglass", "anchovies"),
        *("Worcestershire sauce", "carmine", "cochineal", "E120", "animal rennet", "pepsin"),
        *("chicken broth", "beef stock", "collagen", "bone char", "chicken", "tuna", "prawns"),
        *("L-cysteine from feathers", "fish sauce", "bacon"),
    ],
)
def test_what_is_of_animal_origin_is_not_vegetarian_nor_vegan(ingredient: str) -> None:
    for diet in (Diet.VEGETARIAN, Diet.VEGAN):
        assert told(diet, listing(ingredient)) in (UNSUITABLE, UNKNOWN)
    certain = ("L-cysteine from feathers", "bone char", "E120", "Worcestershire sauce")
    if ingredient not in certain:
        assert told(Diet.VEGETARIAN, listing(ingredient)) is UNSUITABLE


@pytest.mark.parametrize(
    "ingredient",
    [
        *("milk", "whey", "casein", "butter", "cheese", "eggs", "albumen", "honey"),
        *("beeswax", "E901", "non-dairy creamer (sodium caseinate)", "lactose"),
    ],
)
def test_milk_eggs_and_honey_are_vegetarian_and_not_vegan(ingredient: str) -> None:
    assert told(Diet.VEGAN, listing(ingredient)) is UNSUITABLE
    assert told(Diet.VEGETARIAN, listing(ingredient)) is not UNSUITABLE


@pytest.mark.parametrize("ingredient", ["shellac", "E904", "lanolin"])
def test_shellac_and_lanolin_are_not_vegan(ingredient: str) -> None:
    assert told(Diet.VEGAN, listing(ingredient)) in (UNSUITABLE, UNKNOWN)


@pytest.mark.parametrize("ingredient", ["vitamin D3", "enzymes", "E471", "broth", "L-cysteine"])
def test_what_may_be_of_animal_origin_leaves_a_vegan_in_doubt(ingredient: str) -> None:
    assert told(Diet.VEGAN, listing(ingredient)) is UNKNOWN
    assert told(Diet.VEGAN, f"Vegan. {listing(ingredient)}") is SUITS


def test_vegan_and_plant_based_are_no_statement_about_an_allergen() -> None:
    for text in ("Vegan.", "Plant-based."):
        for substance in (Substance.MILK, Substance.EGG, Substance.FISH):
            assert reason(Demand(allergy=substance), label(text)).verdict is UNKNOWN
    assert told(Diet.VEGAN, "Plant-based.") is UNKNOWN
    assert told(Diet.VEGAN, "Vegan.") is SUITS
    assert told(Diet.VEGETARIAN, "Suitable for vegetarians.") is SUITS
    assert told(Diet.VEGAN, "Suitable for vegetarians.") is UNKNOWN
