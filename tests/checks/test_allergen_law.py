"""Hold what a label's words mean, under one law and under another, against the laws themselves.

Each row goes the whole way, from the words of a label to what is told to somebody with the allergy.

A   21 USC 321(qq): the nine major food allergens, and highly refined oils exempt; sesame by the
    FASTER Act, Pub. L. 117-11, on what is packed since 2023-01-01.
B   FDA, Guidance for Industry on food allergen labelling, edition 5 (January 2025): the twelve tree
    nuts, and what was dropped from them; milk of any ruminant; eggs of any bird.
C   Regulation (EU) 1169/2011, Annex II: the fourteen with their exemptions; "wheat (such as spelt
    and khorasan wheat)" by Regulation (EU) 78/2014.
D   21 CFR 101.91: the gluten grains; oats are none of them.
E   Codex CXS 1-1985, revision of 2024, section 4.2.1.4; the list is from memory.
M   From memory.
"""

from dataclasses import replace
from datetime import date
from typing import NamedTuple

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.foods import FoodGroup
from daysworth.domain.labels import LabelReading, Presence, Regime
from daysworth.domain.restrictions import Substance
from daysworth.domain.verdicts import Verdict
from tests.domain.offers import MEAL, in_text, label, reason

US, EU, OTHER = Regime.US_FDA, Regime.EU, Regime.OTHER
SUITS, UNKNOWN, UNSUITABLE = Verdict.SUITABLE, Verdict.UNKNOWN, Verdict.UNSUITABLE
MILK, EGG, FISH, CRUSTACEAN = Substance.MILK, Substance.EGG, Substance.FISH, Substance.CRUSTACEAN
NUT, WHEAT, PEANUT, SOY = Substance.TREE_NUT, Substance.WHEAT, Substance.PEANUT, Substance.SOY
SESAME, GLUTEN, OATS, MOLLUSC = (
    Substance.SESAME,
    Substance.GLUTEN,
    Substance.OATS,
    Substance.MOLLUSC,
)
CELERY, MUSTARD, LUPIN = Substance.CELERY, Substance.MUSTARD, Substance.LUPIN
SULPHITE, COCONUT = Substance.SULPHITE, Substance.COCONUT

PLAIN = "Ingredients: rice, water, salt."


def told(text: str, substance: Substance, *, regime: Regime) -> Verdict:
    """What is told of a food with this whole label to somebody with this allergy."""
    return reason(Demand(allergy=substance), label(text, regime=regime)).verdict


def listing(ingredient: str) -> str:
    return f"Ingredients: rice, {ingredient}, salt."


# A: the nine, by their names.

NINE = {
    MILK: "milk",
    EGG: "eggs",
    FISH: "cod",
    CRUSTACEAN: "shrimp",
    NUT: "almonds",
    WHEAT: "wheat flour",
    PEANUT: "peanuts",
    SOY: "soybeans",
    SESAME: "sesame seeds",
}


@pytest.mark.parametrize("substance", NINE)
def test_each_of_the_nine_is_unsuitable_where_named_and_suits_where_a_whole_label_is_silent(
    substance: Substance,
) -> None:
    named = NINE[substance]
    assert told(listing(named), substance, regime=US) is UNSUITABLE
    assert told(f"{PLAIN} Contains: {named}.", substance, regime=US) is UNSUITABLE
    assert told(PLAIN, substance, regime=US) is SUITS


@pytest.mark.parametrize("substance", [MOLLUSC, MUSTARD, CELERY, LUPIN, SULPHITE, OATS])
def test_silence_says_nothing_of_what_is_not_among_the_nine(substance: Substance) -> None:
    assert told(PLAIN, substance, regime=US) is UNKNOWN
    assert told(PLAIN, substance, regime=EU) is SUITS


def test_sesame_is_cleared_only_on_what_is_packed_since_2023() -> None:
    sesame = Demand(allergy=SESAME)
    for packed_on, verdict in (
        (date(2022, 12, 31), UNKNOWN),
        (None, UNKNOWN),
        (date(2023, 1, 1), SUITS),
    ):
        reading = label(PLAIN, packed_on=packed_on)
        assert reason(sesame, reading).verdict is verdict


@pytest.mark.parametrize(
    ("oil", "substance"),
    [
        ("highly refined soybean oil", SOY),
        ("highly refined peanut oil", PEANUT),
    ],
)
def test_a_highly_refined_oil_is_exempt_in_the_us(oil: str, substance: Substance) -> None:
    assert told(listing(oil), substance, regime=US) is SUITS


@pytest.mark.parametrize(
    ("oil", "substance"), [("cold-pressed peanut oil", PEANUT), ("sesame oil", SESAME)]
)
def test_an_oil_that_is_not_said_to_be_highly_refined_is_no_exempt_one(
    oil: str, substance: Substance
) -> None:
    assert told(listing(oil), substance, regime=US) is UNSUITABLE


# A and B: meat, poultry and egg are the Department of Agriculture's, and not under the nine.


@pytest.mark.parametrize("regime", [Regime.US_MEAT, US])
def test_a_us_meat_label_clears_only_what_a_list_without_open_words_leaves_out(
    regime: Regime,
) -> None:
    tin = replace(MEAL, group=FoodGroup.MEAT_AND_POULTRY)

    def on_tin(text: str, substance: Substance) -> Verdict:
        reading = label(text, regime=regime)
        return reason(Demand(allergy=substance), reading, food=tin).verdict

    for substance in NINE:
        assert on_tin("Ingredients: beef, water, salt.", substance) is SUITS
    for open_word in ("natural flavoring", "modified food starch", "hydrolyzed protein", "spices"):
        found = {on_tin(f"Ingredients: beef, water, {open_word}.", one) for one in NINE}
        assert UNKNOWN in found, open_word
    assert on_tin("Ingredients: beef, water, modified food starch.", WHEAT) is UNKNOWN
    assert on_tin("Ingredients: beef, water, hydrolyzed protein.", SOY) is UNKNOWN
    assert on_tin("Ingredients: beef, water, natural flavoring.", MILK) is UNKNOWN
    assert on_tin("Ingredients: beef, water, natural flavoring. Contains: soy.", MILK) is UNKNOWN


def test_may_contain_is_voluntary_so_that_its_absence_is_told_to_prove_nothing() -> None:
    found = reason(Demand(allergy=MILK), label(PLAIN))
    assert (found.verdict, found.words.endswith("proves nothing, read the pack")) == (SUITS, True)
    warned = label(f"{PLAIN} May contain milk.")
    assert reason(Demand(allergy=MILK), warned).verdict is UNSUITABLE


# B: tree nuts; milk and egg.

TWELVE = [
    *("almonds", "black walnuts", "Brazil nuts", "California walnuts", "cashews", "filberts"),
    *("hazelnuts", "heartnuts", "Japanese walnuts", "macadamia nuts", "bush nuts", "pecans"),
    *("pine nuts", "piñon nuts", "pistachios", "English walnuts", "Persian walnuts"),
]
DROPPED = [
    *("coconut", "chestnuts", "shea nut", "kola nut", "beech nuts", "butternuts"),
    *("chinquapin", "ginkgo nuts", "hickory nuts", "palm nut", "pili nuts"),
]


@pytest.mark.parametrize("nut", TWELVE)
def test_the_twelve_tree_nuts_are_tree_nuts_by_all_their_names(nut: str) -> None:
    assert told(listing(nut), NUT, regime=US) is UNSUITABLE


@pytest.mark.parametrize("nut", DROPPED)
def test_what_was_dropped_in_2025_is_no_tree_nut(nut: str) -> None:
    assert in_text(listing(nut), NUT, regime=US) is not Presence.CONTAINED


@pytest.mark.parametrize("ruminant", ["goat milk", "goat's milk", "sheep milk", "buffalo milk"])
def test_the_milk_of_any_ruminant_is_milk(ruminant: str) -> None:
    assert told(listing(ruminant), MILK, regime=US) is UNSUITABLE


@pytest.mark.parametrize("bird", ["duck eggs", "quail eggs", "goose egg"])
def test_the_eggs_of_any_bird_are_egg(bird: str) -> None:
    assert told(listing(bird), EGG, regime=US) is UNSUITABLE


def test_tree_nuts_coconut_on_an_old_label_is_coconut_and_no_nut() -> None:
    old = label(f"{PLAIN} Contains: tree nuts (coconut).", packed_on=None)
    assert reason(Demand(allergy=NUT), old).verdict is SUITS
    assert reason(Demand(allergy=COCONUT), old).verdict is UNSUITABLE
    assert reason(Demand(words="coconut"), old).verdict is UNSUITABLE


# C: the fourteen, by the words of the Annex.


class Entry(NamedTuple):
    """A number of the Annex: an ingredient so named, and the substance it stands for."""

    number: int
    ingredient: str
    substance: Substance


ANNEX = [
    *(Entry(1, grain, GLUTEN) for grain in ("wheat", "spelt", "khorasan wheat", "rye", "barley")),
    *(Entry(1, grain, GLUTEN) for grain in ("oats", "triticale")),
    *(Entry(1, grain, WHEAT) for grain in ("wheat", "spelt", "khorasan wheat")),
    *(Entry(2, name, CRUSTACEAN) for name in ("crustaceans", "prawns", "crab")),
    *(Entry(3, name, EGG) for name in ("eggs", "egg lysozyme", "albumin (egg)")),
    *(Entry(4, name, FISH) for name in ("fish", "cod", "anchovies")),
    *(Entry(5, name, PEANUT) for name in ("peanuts", "groundnuts", "refined peanut oil")),
    *(Entry(6, name, SOY) for name in ("soybeans", "soya flour", "soya lecithin")),
    *(Entry(7, name, MILK) for name in ("milk", "lactose", "whey")),
    *(Entry(8, name, NUT) for name in ("almonds", "hazelnuts", "walnuts", "cashews")),
    *(Entry(8, name, NUT) for name in ("pecan nuts", "Brazil nuts", "pistachio nuts")),
    *(Entry(8, name, NUT) for name in ("macadamia nuts", "Queensland nuts")),
    *(Entry(9, name, CELERY) for name in ("celery", "celeriac", "celery leaf oil")),
    *(Entry(10, name, MUSTARD) for name in ("mustard", "mustard seeds", "mustard oil")),
    *(Entry(11, name, SESAME) for name in ("sesame seeds", "tahini")),
    *(Entry(12, name, SULPHITE) for name in ("sulphur dioxide", "sodium metabisulphite", "E220")),
    *(Entry(13, name, LUPIN) for name in ("lupin", "lupin flour")),
    *(Entry(14, name, MOLLUSC) for name in ("molluscs", "mussels", "squid")),
]


@pytest.mark.parametrize("entry", ANNEX, ids=lambda entry: f"{entry.number} {entry.ingredient}")
def test_each_of_the_fourteen_is_unsuitable_where_named_and_suits_where_the_label_is_silent(
    entry: Entry,
) -> None:
    assert told(listing(entry.ingredient), entry.substance, regime=EU) is UNSUITABLE
    assert told(PLAIN, entry.substance, regime=EU) is SUITS


def test_the_annex_has_fourteen_numbers() -> None:
    assert {entry.number for entry in ANNEX} == set(range(1, 15))


EXEMPT = [
    Entry(1, "wheat glucose syrup", GLUTEN),
    Entry(1, "wheat glucose syrup", WHEAT),
    Entry(1, "wheat dextrose", GLUTEN),
    Entry(1, "wheat maltodextrin", GLUTEN),
    Entry(1, "wheat maltodextrin", WHEAT),
    Entry(1, "barley glucose syrup", GLUTEN),
    Entry(1, "ethyl alcohol of agricultural origin", GLUTEN),
    Entry(4, "isinglass", FISH),
    Entry(6, "fully refined soybean oil", SOY),
    Entry(6, "fully refined soya fat", SOY),
    Entry(6, "natural mixed tocopherols (E306) from soya", SOY),
    Entry(6, "phytosterols from soya", SOY),
    Entry(6, "plant stanol ester from soya", SOY),
    Entry(7, "lactitol", MILK),
]


@pytest.mark.parametrize("entry", EXEMPT, ids=lambda entry: f"{entry.number} {entry.ingredient}")
def test_an_exemption_of_the_annex_is_exempt(entry: Entry) -> None:
    assert told(listing(entry.ingredient), entry.substance, regime=EU) is SUITS


@pytest.mark.parametrize("entry", EXEMPT, ids=lambda entry: f"{entry.number} {entry.ingredient}")
def test_an_exemption_of_the_annex_exempts_nothing_where_the_law_is_not_known(
    entry: Entry,
) -> None:
    assert told(listing(entry.ingredient), entry.substance, regime=OTHER) in (UNKNOWN, UNSUITABLE)


@pytest.mark.parametrize(
    ("ingredient", "substance"),
    [
        ("wheat starch", WHEAT),
        ("wheat starch", GLUTEN),
        ("barley malt extract", GLUTEN),
        ("fish gelatine", FISH),
        ("soya oil", SOY),
        ("egg lysozyme", EGG),
        ("lactose", MILK),
    ],
)
def test_what_comes_near_an_exemption_and_is_none_is_not_cleared(
    ingredient: str, substance: Substance
) -> None:
    assert told(listing(ingredient), substance, regime=EU) in (UNKNOWN, UNSUITABLE)


# C and D: the same ingredient, another law.


class Same(NamedTuple):
    """An ingredient, and what is told of it under United States and under Union law."""

    ingredient: str
    substance: Substance
    us: Verdict
    eu: Verdict
    source: str


SAME = [
    Same("highly refined soybean oil", SOY, SUITS, SUITS, "A and C 6 (a)"),
    Same("soy lecithin", SOY, UNSUITABLE, UNSUITABLE, "B and C 6"),
    Same("barley malt", WHEAT, SUITS, SUITS, "A: barley is none of the nine; C: barley apart"),
    Same("barley malt", GLUTEN, UNSUITABLE, UNSUITABLE, "D and C 1"),
    Same("chestnuts", NUT, SUITS, SUITS, "B and C 8"),
    Same("coconut", NUT, SUITS, SUITS, "B and C 8"),
    Same("shea butter", NUT, SUITS, SUITS, "B and C 8"),
    Same("shea butter", MILK, SUITS, SUITS, "M: a plant fat"),
    Same("oysters", MOLLUSC, UNSUITABLE, UNSUITABLE, "C 14; in the US whoever names it avoids it"),
    Same("squid", CRUSTACEAN, SUITS, SUITS, "A: molluscs are no crustaceans"),
    Same("clams", FISH, SUITS, SUITS, "A: molluscs are no fish"),
    Same("celery", CELERY, UNSUITABLE, UNSUITABLE, "C 9"),
    Same("spices", MUSTARD, UNKNOWN, SUITS, "A: not among the nine; C 10"),
    Same("spices", CELERY, UNKNOWN, SUITS, "A: not among the nine; C 9"),
    Same("rice flour", LUPIN, UNKNOWN, SUITS, "A: not among the nine; C 13"),
    Same("rice flour", MOLLUSC, UNKNOWN, SUITS, "A: not among the nine; C 14"),
    Same("rice flour", SULPHITE, UNKNOWN, SUITS, "A: not among the nine; C 12"),
    Same("oats", GLUTEN, UNKNOWN, UNSUITABLE, "D does not list oats; C 1 does"),
    Same("oats", WHEAT, SUITS, SUITS, "A and C 1"),
    Same("isinglass", FISH, UNSUITABLE, SUITS, "C 4 (b); in the US from memory"),
    Same("lactose", MILK, UNSUITABLE, UNSUITABLE, "C 7; in the US from memory"),
    Same("refined peanut oil", PEANUT, SUITS, UNSUITABLE, "A; C 5 has no exemption"),
    Same("wheat maltodextrin", WHEAT, UNSUITABLE, SUITS, "C 1 (b)"),
    Same("rye flour", GLUTEN, UNSUITABLE, UNSUITABLE, "D and C 1"),
    Same("buckwheat", WHEAT, SUITS, SUITS, "D: no Triticum, Secale or Hordeum"),
    Same("buckwheat", GLUTEN, SUITS, SUITS, "D: no Triticum, Secale or Hordeum"),
]


@pytest.mark.parametrize("same", SAME, ids=lambda same: f"{same.ingredient}, {same.substance}")
def test_the_same_ingredient_is_told_as_each_law_has_it(same: Same) -> None:
    text = listing(same.ingredient)
    assert told(text, same.substance, regime=US) is same.us
    assert told(text, same.substance, regime=EU) is same.eu


def test_lactitol_is_exempt_in_the_eu_and_not_cleared_in_the_us() -> None:
    """C 7 (b); in the US from memory."""
    assert told(listing("lactitol"), MILK, regime=EU) is SUITS
    assert told(listing("lactitol"), MILK, regime=US) in (UNKNOWN, UNSUITABLE)


# E: a law without a regime of its own here.

CODEX = {
    GLUTEN: "rye",
    WHEAT: "wheat",
    CRUSTACEAN: "crab",
    EGG: "egg",
    FISH: "fish",
    PEANUT: "peanuts",
    MILK: "milk",
    SESAME: "sesame",
    NUT: "walnuts",
}


@pytest.mark.parametrize("substance", CODEX)
def test_under_any_other_law_a_word_counts_and_silence_does_not(substance: Substance) -> None:
    assert told(listing(CODEX[substance]), substance, regime=OTHER) is UNSUITABLE
    assert told(PLAIN, substance, regime=OTHER) is UNKNOWN
    ticked = LabelReading(not_declared=frozenset(Substance), is_whole=True, regime=OTHER)
    assert reason(Demand(allergy=substance), ticked).verdict is UNKNOWN
