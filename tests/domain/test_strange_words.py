"""A list with a word that nobody here knows proves less; one with too many proves nothing."""

import pytest

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId
from daysworth.domain.known import Known, known_of
from daysworth.domain.label_reader import read_text
from daysworth.domain.labels import LabelReading, Presence, Regime, TextFault
from daysworth.domain.restrictions import Substance

STRANGE = "Ingredients: rice, water, salt, sugar, zibbel."
STEW = Food(
    id=FoodId("stew"),
    name="Stew",
    group=FoodGroup.PREPARED_MEALS,
    energy_kcal_100g=90,
    protein_g_100g=5,
    net_mass_g=400,
)


def known(text: str, regime: Regime) -> Known:
    """Tell what a whole label of this text says."""
    reading = LabelReading(text=text, is_whole=True, regime=regime)
    return known_of(STEW, readings=(reading,), packed_since_on=None)


def test_a_word_that_nobody_knows_is_named() -> None:
    read = read_text(STRANGE, language="en")
    assert (read.strange, read.faults) == (("zibbel",), frozenset())


def test_what_the_law_would_have_named_is_absent_beside_a_strange_word() -> None:
    # 21 USC 343(w): whatever the maker calls it, milk is declared as milk.
    assert known(STRANGE, Regime.US_FDA).of(Substance.MILK) is Presence.ABSENT


@pytest.mark.parametrize(
    ("regime", "substance"),
    [
        (Regime.US_FDA, Substance.GLUTEN),
        (Regime.US_FDA, Substance.MEAT),
        (Regime.US_FDA, Substance.MUSTARD),
        (Regime.US_MEAT, Substance.MILK),
        (Regime.EU, Substance.MEAT),
    ],
)
def test_what_no_law_would_have_named_is_in_doubt_beside_a_strange_word(
    regime: Regime, substance: Substance
) -> None:
    assert known(STRANGE, regime).of(substance) is Presence.IN_DOUBT
    assert known(STRANGE.replace(", zibbel", ""), regime).of(substance) is not Presence.IN_DOUBT


def test_a_strange_word_may_be_what_a_household_names_in_its_own_words() -> None:
    assert known(STRANGE, Regime.US_FDA).open_words == ("zibbel",)


@pytest.mark.parametrize(
    "text",
    [
        "Ingredients: see sleeve",
        "Ingredients: as above",
        "Ingredients: asdf, qwer, zxcv",
        "Ingredients: rice, salt. maka, cukier, mleko",
        "maka, cukier, mleko w proszku, jaja",
    ],
)
def test_a_list_of_words_that_are_mostly_not_known_proves_nothing(text: str) -> None:
    assert read_text(text, language="en").faults
    presences = set(known(text, Regime.US_FDA).stands)
    assert not presences & {Presence.ABSENT, Presence.NOT_LISTED}


def test_where_it_was_packed_and_how_to_keep_it_are_no_ingredients() -> None:
    text = (
        "Ingredients: rice, salt. Net weight 340 g. Distributed by Larkmoss Stores, Fernhollow. "
        "Keep in a cool dry place. Best before: see lid."
    )
    read = read_text(text, language="en")
    assert (read.strange, read.faults) == ((), frozenset())
    assert TextFault.NOT_UNDERSTOOD not in read.faults
