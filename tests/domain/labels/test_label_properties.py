"""Hold the reader of labels to what must be true of every text."""

import random
import textwrap

from hypothesis import given
from hypothesis import strategies as st

from daysworth.domain.label_reader import plain_words
from daysworth.domain.labels import Hit
from daysworth.domain.restrictions import Substance
from tests.domain.labels.signs import contained, read, signs

FOODS = [
    "wheat flour", "milk", "cocoa butter", "soy lecithin", "sugar", "salt", "peanut butter",
    "coconut milk", "egg whites", "water", "buckwheat", "gluten-free oats", "natural flavour",
    "anchovies", "sulphur dioxide", "E471", "cheese (milk, salt)", "tree nuts (coconut)",
    "cream of tartar", "dairy-free spread", "no added salt", "sunflower and/or soybean oil",
    "butter beans", "malt vinegar", "prawns", "lupin flour", "chocolate [sugar, cocoa]", "rum",
]  # fmt: skip
lists = st.lists(st.sampled_from(FOODS), min_size=1, max_size=8)


def written(foods: list[str]) -> str:
    """A list as packs print it."""
    return f"Ingredients: {', '.join(foods)}."


def meant(hit: Hit) -> tuple[str, object, object, object]:
    """What a hit is, wherever it stands."""
    return hit.term, hit.fires, hit.may_be, hit.hides


@given(lists, st.randoms())
def test_the_order_of_ingredients_changes_nothing(foods: list[str], dice: random.Random) -> None:
    mixed = list(foods)
    dice.shuffle(mixed)
    assert sorted(map(meant, signs(written(foods)))) == sorted(map(meant, signs(written(mixed))))


@given(lists)
def test_case_changes_nothing(foods: list[str]) -> None:
    text = written(foods)
    assert [*map(meant, signs(text))] == [*map(meant, signs(text.upper()))]
    assert [*map(meant, signs(text))] == [*map(meant, signs(text.title()))]


@given(lists, st.data())
def test_white_space_changes_nothing(foods: list[str], data: st.DataObject) -> None:
    text = written(foods)
    gaps = st.sampled_from([" ", "  ", "\t", "\u00a0", " \t "])
    breaks = st.sampled_from([" ", "\n", " \n ", "\r\n", "\r"])
    spaced = "".join(data.draw(gaps) if one == " " else one for one in text)
    broken = ",".join(data.draw(breaks) + one.lstrip() for one in text.split(","))
    assert [*map(meant, signs(text))] == [*map(meant, signs(spaced))]
    assert [*map(meant, signs(text))] == [*map(meant, signs(broken))]


@given(lists, st.integers(40, 100))
def test_lines_as_a_pack_breaks_them_change_nothing(foods: list[str], width: int) -> None:
    text = written(foods)
    wrapped = textwrap.fill(text, width=width)
    assert [*map(meant, signs(text))] == [*map(meant, signs(wrapped))]


@given(lists, st.sampled_from(FOODS), st.integers(0, 8))
def test_another_ingredient_never_takes_a_sign_away(foods: list[str], one: str, at: int) -> None:
    more = [*foods[:at], one, *foods[at:]]
    assert {*map(meant, signs(written(foods)))} <= {*map(meant, signs(written(more)))}


@given(lists, st.sampled_from(["May contain nuts.", "Free from fish.", "Gluten free.", "No soy."]))
def test_a_statement_before_a_list_takes_nothing_from_it(foods: list[str], before: str) -> None:
    assert contained(f"{before} {written(foods)}") >= contained(written(foods))
    assert contained(f"{before}\n{written(foods)}") >= contained(written(foods))


words = st.sampled_from(
    [
        "milk",
        "may contain",
        "contains",
        "free",
        "from",
        "no",
        "(",
        ")",
        ",",
        ".",
        "\n",
        "-",
        "nut",
        "gluten",
        "facility that",
        "ingredients",
        ":",
        "cannot guarantee",
        "wheat",
        "2%",
        "or",
        "é",
    ]
)


@given(st.one_of(st.text(max_size=200), st.lists(words, max_size=30).map(" ".join)))
def test_any_text_is_read_and_every_place_is_in_it(text: str) -> None:
    found = read(text)
    for hit in found.hits:
        assert 0 <= hit.at < len(text)
        assert hit.words
    for phrase in found.phrases:
        assert 0 <= phrase.at < len(text)
        assert phrase.plain


@given(st.text(max_size=100))
def test_words_that_are_plain_stay_as_they_are(text: str) -> None:
    plain = plain_words(text)
    assert all(word == word.casefold() for word in plain)


@given(st.sampled_from(["milk", "wheat", "peanuts"]), lists)
def test_a_word_that_stands_alone_in_a_list_is_always_contained(
    word: str, foods: list[str]
) -> None:
    substance = {"milk": Substance.MILK, "wheat": Substance.WHEAT, "peanuts": Substance.PEANUT}
    assert substance[word] in contained(written([*foods, word]))
