"""Show how the reader stands up to texts written to mislead it."""

import pytest

from tests.domain.labels.signs import contained, in_doubt, named, possible, read


@pytest.mark.parametrize(
    ("text", "inside", "maybe"),
    [
        # What one ingredient contains is in the food, and no statement of the whole.
        ("Ingredients: natural flavors (contains milk), rice", "milk", ""),
        ("May contain nuts and is made with milk, egg", "milk egg", "tree_nut"),
        ("May contain nuts.Ingredients: milk.", "milk", "tree_nut"),
        ("May contain\nmilk\nsoy", "soy", "milk"),
        ("CONTAINS: MILK\nSOY\nMAY CONTAIN: EGG\nFISH", "milk soy fish", "egg"),
        ("Made in a factory handling nuts, sesame, sugar, milk powder", "sesame milk", "tree_nut"),
        ("Handmade in our bakery with butter, eggs", "milk egg", ""),
        ("Not suitable for children under 3, milk powder, sugar", "milk", ""),
        ("Nuts may be present. Ingredients: rice, milk may be present", "", "tree_nut milk"),
        ("Ingredients: rice, butter, milk may be present", "milk", "milk"),
        ("Cross contamination with nuts is possible. Rice, salt", "", "tree_nut"),
        ("This factory also handles peanuts.", "", "peanut"),
        ("Made without nuts, in a facility that handles nuts", "", "tree_nut"),
        ("Facility which does not handle peanuts but handles soy", "soy", ""),
        ("Nut free but made in a factory that handles nuts; may contain fish", "", "tree_nut fish"),
        ("Allergens: contains celery; may contain: milk, egg", "celery", "milk egg"),
        ("Allergens are: milk, egg shown in bold", "milk egg", ""),
        ("Allergens in bold: milk, egg.", "milk egg", ""),
        ("Free from the following allergens: milk, egg. Contains soy", "soy", ""),
        ("Free from\nmilk\nIngredients: butter", "milk", ""),
        ("Free from gluten\nmilk, egg", "milk egg", ""),
        ("Free from milk, sugar, salt, egg", "egg", ""),
        ("Contains no milk. Contains egg", "egg", ""),
        ("No nuts, milk, egg", "milk egg", ""),
        ("no egg noodles, rice", "", ""),
        (
            "Ingredients: fat-free milk, sugar-free gelatin, free range eggs",
            "milk gelatine egg",
            "",
        ),
        ("Ingredients: free-flowing milk powder", "milk", ""),
        ("Ingredients: oats, milk and gluten free maize", "oats milk", ""),
        ("This food is not dairy-free.", "milk", ""),
        ("WARNING: SHELLFISH, FISH", "crustacean mollusc fish", ""),
        ("Ingredients: almond milk chocolate", "tree_nut milk", ""),
        ("Ingredients: goat's milk, ewe milk cheese", "milk", ""),
        ("Ingredients:milk/egg/soya+fish&celery", "milk egg soy fish celery", ""),
        ("Ingredients - sugar - almonds - milk", "tree_nut milk", ""),
        ("Ingredients: egg-plant, butter-nut squash, pea-nuts, wal-nuts", "peanut tree_nut", ""),
        ("Contains less than 2% of each of the following: whey, salt", "milk", ""),
        ("May contain one or more of the following allergens: milk, egg.", "", "milk egg"),
        ("Ingredients: MILK. ©®™ *organic", "milk", ""),
        ("Milk not included.", "milk", ""),
        ("Soup (noodle (flour (wheat", "wheat gluten", ""),
        ("Ingredients: sugar alcohol, cetyl alcohol; contains alcohol", "alcohol", ""),
    ],
)
def test_a_text_that_could_mislead_does_not(text: str, inside: str, maybe: str) -> None:
    assert contained(text) == named(inside)
    assert possible(text) == named(maybe)


def test_oil_that_is_not_said_to_be_highly_refined_is_a_doubt() -> None:
    assert in_doubt("Ingredients: soybean oil, salt") == named("soy")
    assert contained("Ingredients: cold pressed soybean oil, salt") == named("soy")


def test_what_leads_up_to_a_precaution_is_no_ingredient() -> None:
    text = "Ingredients: rice. This food is made on shared equipment with nuts."
    assert [one.words for one in read(text).ingredients] == ["rice"]


def test_a_food_before_a_precaution_is_an_ingredient_still() -> None:
    assert [one.words for one in read("rice may contain nuts").ingredients] == ["rice"]
