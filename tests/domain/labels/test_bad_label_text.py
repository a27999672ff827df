"""Show that no text is too bad to be read, and that what is wrong with it is said."""

import pytest

from daysworth.domain.ingredient_lists import DEEPEST
from daysworth.domain.labels import LONGEST_TEXT, Ingredient, TextFault
from daysworth.domain.restrictions import Substance
from tests.domain.labels.signs import contained, named, read

F = TextFault


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", F.EMPTY),
        (" \n\t .,;", F.EMPTY),
        ("\u200b\u202e", F.EMPTY),
        ("Ingredients: rice" + ", salt" * LONGEST_TEXT, F.TOO_LONG),
        ("Ingredients: rice (white, salt", F.BRACKETS),
        ("Ingredients: rice), salt", F.BRACKETS),
        ("Ingredients: rice (white], salt", F.BRACKETS),
        ("Ingredients: rice, salt,", F.CUT_OFF),
        ("Ingredients: rice, salt and", F.CUT_OFF),
        ("Ingredients: rice, salt. Contains", F.CUT_OFF),
        ("Ingredients: rice, salt. May contain", F.CUT_OFF),
        ("Ingredients: rice, salt...", F.CUT_OFF),
        ("Ingredients: rice, salt…", F.CUT_OFF),
        ("Ingredients: rice, ???, salt", F.ILLEGIBLE),
        ("Ingredients: rice, wh?at", F.ILLEGIBLE),
        ("Ingredients: rice, [illegible], salt", F.ILLEGIBLE),
        ("Ingredients: rice, salt, rest unreadable", F.ILLEGIBLE),
        ("Ingredients: rice, s\ufffdlt", F.ILLEGIBLE),
        ("Ingredients: rice, m\u0456lk", F.LETTERS),
        ("Ingredients: rice, \u202eklim", F.LETTERS),
        ("Ingredients: ri\u200bce", F.LETTERS),
        ("Ingredients: ri\x07ce", F.LETTERS),
        ("Ingredients: 米, salt", F.LETTERS),
        ("Zutaten: Reis, Salz", F.LANGUAGE),
        ("Ingrédients: riz, sel", F.LANGUAGE),
        ("Ingredientes: arroz, azúcar", F.LANGUAGE),
        ("Contains: milk", F.NO_LIST),
        ("Gluten free", F.NO_LIST),
        ("Contains milk. Store in a cool, dry place.", F.NO_LIST),
        ("For allergens, see ingredients in bold.", F.NO_LIST),
    ],
)
def test_a_fault_of_a_text_is_said(text: str, fault: TextFault) -> None:
    assert fault in read(text).faults


@pytest.mark.parametrize(
    "text",
    [
        "Ingredients: rice, salt.",
        "Ingredients: rice",
        "INGREDIENTS RICE, SALT. CONTAINS: MILK. MAY CONTAIN SOY.",
        "Peanuts, salt",
        "Ingredients: crème fraîche (milk, cultures), jalapeños, β-carotene, ½ lemon – fresh",
        "Ingredients: rice,\r\nsalt,\r\n\tpepper\r\n",
    ],
)
def test_a_sound_text_has_no_fault(text: str) -> None:
    assert read(text).faults == frozenset()


def test_a_text_that_is_not_said_to_be_english_is_at_fault() -> None:
    text = "Ingredients: rice, salt"
    assert read(text, language="en-GB").faults == frozenset()
    assert read(text, language="de").faults == {F.LANGUAGE}


@pytest.mark.parametrize(
    ("text", "substances"),
    [
        ("Ingredients: МІLК", "milk"),  # capital letters of the Cyrillic script
        ("Ingredients: mi\u200blk", "milk"),
        ("Ingredients: mi\u00adlk", "milk"),
        ("Ingredients: \u202dmilk\u202c", "milk"),
        ("Ingredients: ｍｉｌｋ", "milk"),
        ("Ingredients: 𝐞𝐠𝐠", "egg"),
        ("Ingredients: ﬁsh", "fish"),
        ("Ingredients: mi\x00lk", "milk"),
        ("Zutaten: milk, Erdnüsse", "milk peanut"),
        ("Ingredients: milk (", "milk"),
    ],
)
def test_what_can_be_read_of_a_bad_text_fires(text: str, substances: str) -> None:
    assert contained(text) == named(substances)


def depth(ingredients: tuple[Ingredient, ...]) -> int:
    """Count the levels of parts within parts."""
    return 1 + max((depth(one.parts) for one in ingredients if one.parts), default=0)


def test_brackets_without_end_are_read_and_no_deeper_than_a_limit() -> None:
    found = read("a (" * 6_000 + "milk" + ")" * 6_000)
    assert depth(found.ingredients) <= DEEPEST + 1
    assert [hit.fires for hit in found.hits] == [frozenset({Substance.MILK})]


@pytest.mark.parametrize(
    "piece",
    [
        "(",
        ")",
        "may contain ",
        "contains milk ",
        "free from ",
        "milk-free ",
        "\n",
        "a-",
        "a-\n",
        "e ",
        "cannot guarantee ",
        "no milk or ",
        "xyz",
        "?",
        "facility that ",
        "peanut\nbutter\n",
        "\u0430",
    ],
)
def test_a_hundred_thousand_characters_of_anything_are_read(piece: str) -> None:
    found = read(piece * (100_000 // len(piece)))
    assert F.TOO_LONG in found.faults
