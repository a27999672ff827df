"""Hold the reader of labels against published lists of allergen names and of names that are none.

U   21 USC 321(qq) and FDA's page of major food allergens: the nine, and the names that each has.
F   FDA, Guidance for Industry on food allergen labelling, edition 5 (January 2025): tree nuts.
E   Regulation (EU) 1169/2011, Annex II: the fourteen and their exemptions.
G   21 CFR 101.91: gluten grains, and what a gluten-free claim leaves in.
D   21 CFR 101.4(d): "non-dairy" and caseinate.
C   Public lists of names for milk, egg, soy and the rest, as allergy charities and schools of
    agriculture publish them; copies were seen, the originals were not.
M   From memory; no document was at hand.
"""

from typing import NamedTuple

import pytest

from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import Substance
from tests.domain.labels.signs import contained, hidden, in_doubt, possible, read, signs


class Named(NamedTuple):
    """A published list of names, parted by commas, for one substance; M: sure, from memory."""

    source: str
    substance: str
    names: str


SIGNS = [
    Named("U", "milk", "milk, goat milk, sheep milk"),
    Named(
        "C",
        "milk",
        "butter, butter fat, butter oil, butter acid, butter ester, buttermilk, casein, caseinate, "
        "caseinates, sodium caseinate, casein hydrolysate, milk hydrolysate, whey hydrolysate, "
        "cheese, cream, curds, custard, diacetyl, ghee, half-and-half, lactalbumin, "
        "lactalbumin phosphate, lactoferrin, lactoglobulin, lactose, lactulose, milk solids, "
        "pudding, quark, rennet casein, sour cream, tagatose, whey, yogurt, yoghurt, "
        "buttermilk pie flavor",
    ),
    Named("U", "egg", "egg, eggs, duck egg, quail eggs"),
    Named(
        "C",
        "egg",
        "albumin, albumen, egg white, egg yolk, egg solids, globulin, livetin, lysozyme, "
        "mayonnaise, meringue, ovalbumin, ovomucin, ovomucoid, ovovitellin, eggnog",
    ),
    Named("U", "wheat", "wheat, wheat flour, whole wheat"),
    Named("E", "wheat", "spelt, khorasan wheat"),
    Named("G", "wheat", "triticale"),
    Named(
        "M",
        "wheat",
        "atta, bulgur, couscous, cracker meal, durum, einkorn, emmer, farina, farro, freekeh, "
        "graham, kamut, khorasan, matzo, seitan, semolina, vital gluten, "
        "hydrolyzed wheat protein, hydrolysed wheat protein, panko, orzo",
    ),
    Named("G", "gluten", "wheat, rye, barley, triticale, malt, malt extract, malt syrup"),
    Named("E", "gluten", "rye, barley, spelt, khorasan wheat"),
    Named("M", "gluten", "malt vinegar, brewer's yeast, barley malt"),
    Named("U", "soy", "soy, soybean, soybeans, soya"),
    Named(
        "C",
        "soy",
        "edamame, miso, natto, okara, shoyu, tamari, soy sauce, tempeh, tofu, TVP, soy lecithin",
    ),
    Named("U", "peanut", "peanut, peanuts"),
    Named("C", "peanut", "arachis, groundnut, groundnuts, goober, beer nuts, mandelonas"),
    Named(
        "F",
        "tree_nut",
        "almond, black walnut, Brazil nut, California walnut, cashew, filbert, hazelnut, "
        "heartnut, Japanese walnut, macadamia, macadamia nut, bush nut, pecan, pine nut, piñon, "
        "pistachio, English walnut, Persian walnut",
    ),
    Named(
        "E",
        "tree_nut",
        "almonds, hazelnuts, walnuts, cashews, pecan nuts, Brazil nuts, pistachio nuts, "
        "macadamia nuts, Queensland nuts",
    ),
    Named(
        "C",
        "tree_nut",
        "gianduja, marzipan, praline, pesto, frangipane, natural nut extract, amaretto",
    ),
    Named("U", "sesame", "sesame, sesame seeds, sesame oil"),
    Named(
        "C",
        "sesame",
        "tahini, halva, benne, gingelly, til, sim-sim, hummus, dukkah, za'atar, gomasio",
    ),
    Named("U", "fish", "fish, bass, flounder, cod"),
    Named(
        "M",
        "fish",
        "anchovy, anchovies, Worcestershire, surimi, isinglass, fish sauce, bonito, dashi, roe",
    ),
    Named("U", "crustacean", "crab, lobster, shrimp"),
    Named(
        "M",
        "crustacean",
        "prawn, prawns, crayfish, crawfish, krill, langoustine, scampi",
    ),
    Named("E", "celery", "celery"),
    Named("M", "celery", "celeriac, celery salt, celery seed"),
    Named("E", "mustard", "mustard"),
    Named("M", "mustard", "mustard seed, mustard flour, Dijon mustard"),
    Named("E", "lupin", "lupin"),
    Named("M", "lupin", "lupine, lupin flour, lupini beans"),
    Named("E", "mollusc", "molluscs"),
    Named(
        "M", "mollusc", "oyster, oysters, squid, clam, clams, mussels, scallops, octopus, snails"
    ),
    Named("E", "sulphite", "sulphur dioxide, sulphites"),
    Named(
        "M",
        "sulphite",
        "sulfur dioxide, sulfites, sodium metabisulfite, potassium metabisulphite, E220, E221, "
        "E222, E223, E224, E225, E226, E227, E228, E 223, INS 223",
    ),
]
MAY_BE = [
    Named("C", "milk", "nougat"),
    Named("C", "egg", "nougat, surimi"),
    Named("C", "tree_nut", "nougat"),
    Named("C", "wheat", "soy sauce"),
    Named("M", "fish", "omega-3"),
    Named("U", "soy", "soybean oil"),
    Named("E", "milk", "lactitol"),
    Named("M", "animal_enzyme", "rennet, enzymes, lipase"),
    Named("M", "animal_derived", "E471, mono- and diglycerides, L-cysteine, glycerin, vitamin D3"),
    Named("M", "alcohol", "vanilla extract"),
    Named("M", "pork", "shortening, refried beans"),
]
DIETS = [
    Named("M", "gelatine", "gelatin, gelatine"),
    Named("M", "pork", "pork, lard, bacon, ham"),
    Named("M", "meat", "tallow, suet, chicken broth"),
    Named("M", "insect", "carmine, cochineal, E120, shellac, E904"),
    Named("M", "honey", "honey, beeswax, E901"),
    Named("M", "animal_derived", "lanolin, collagen, bone char"),
    Named("M", "animal_enzyme", "animal rennet, pepsin, Parmesan"),
    Named("M", "alcohol", "alcohol, wine, beer, liqueur"),
    Named("M", "blood", "blood"),
    Named("M", "fish", "Caesar dressing, Worcestershire sauce, isinglass"),
]


def rows(lists: list[Named]) -> list[tuple[str, str, str]]:
    """List each name by itself, with the source of its list."""
    return [
        (name.strip(), one.substance, one.source) for one in lists for name in one.names.split(",")
    ]


@pytest.mark.parametrize(("name", "substance", "source"), rows(SIGNS + DIETS))
def test_a_published_name_is_a_sign_in_a_list_and_in_a_statement(
    name: str, substance: str, source: str
) -> None:
    assert Substance(substance) in contained(f"Ingredients: rice, {name}, salt"), source
    assert Substance(substance) in contained(f"RICE. CONTAINS: {name.upper()}."), source
    assert Substance(substance) in possible(f"Rice. May contain traces of {name}."), source


@pytest.mark.parametrize(("name", "substance", "source"), rows(MAY_BE))
def test_a_name_that_may_or_may_not_be_is_a_doubt(name: str, substance: str, source: str) -> None:
    assert Substance(substance) in in_doubt(f"Ingredients: rice, {name}, salt"), source
    assert Substance(substance) not in contained(f"Ingredients: rice, {name}"), source


TRAPS = [
    ("G", "buckwheat", "wheat gluten"),
    ("M", "cocoa butter", "milk"),  # 21 CFR 163.5
    ("M", "shea butter", "milk tree_nut"),
    ("M", "peanut butter", "milk"),
    ("M", "almond butter", "milk"),
    ("M", "apple butter", "milk"),
    ("C", "coconut milk", "milk tree_nut"),
    ("C", "coconut cream", "milk tree_nut"),
    ("C", "almond milk", "milk"),
    ("C", "oat milk", "milk wheat"),
    ("C", "soy milk", "milk"),
    ("M", "cream of tartar", "milk"),
    ("C", "lactic acid", "milk"),
    ("C", "sodium lactate", "milk"),
    ("C", "lactylate", "milk"),
    ("C", "calcium stearoyl lactylate", "milk"),
    ("C", "nutmeg", "tree_nut peanut"),
    ("C", "water chestnut", "tree_nut"),
    ("F", "chestnut", "tree_nut"),
    ("F", "coconut", "tree_nut"),
    ("F", "shea nut", "tree_nut"),
    ("F", "ginkgo nut", "tree_nut"),
    ("M", "doughnut", "tree_nut peanut"),
    ("M", "nutrient", "tree_nut peanut"),
    ("M", "nutritional yeast", "tree_nut peanut"),
    ("M", "eggplant", "egg"),
    ("M", "oyster mushroom", "mollusc"),
    ("M", "crab apple", "crustacean"),
    ("M", "fishless", "fish"),
    ("M", "horseradish", "fish"),
    ("M", "buttercup", "milk"),
    ("M", "butter bean", "milk"),
    ("M", "butterhead lettuce", "milk"),
    ("M", "butternut squash", "milk tree_nut"),
    ("C", "wheatgrass", "wheat gluten"),
    ("M", "wheat-free", "wheat gluten"),
    ("M", "gluten-free", "gluten"),
    ("M", "dairy-free", "milk"),
    ("M", "egg-free", "egg"),
    ("M", "nut-free", "tree_nut peanut"),
    ("M", "no milk", "milk"),
]


@pytest.mark.parametrize(("source", "text", "substances"), TRAPS)
def test_a_name_that_only_looks_like_a_sign_is_none(
    source: str, text: str, substances: str
) -> None:
    wrong = {Substance(one) for one in substances.split()}
    for written in (text, f"Ingredients: rice, {text}s, salt", f"INGREDIENTS: {text.upper()}"):
        assert not contained(written) & wrong, source


@pytest.mark.parametrize(
    ("source", "text", "substance"),
    [
        ("C", "soy milk", "soy"),
        ("C", "almond milk", "tree_nut"),
        ("C", "oat milk", "oats"),
        ("C", "coconut milk", "coconut"),
        ("M", "peanut butter", "peanut"),
        ("M", "almond butter", "tree_nut"),
        ("G", "gluten-free wheat starch", "wheat"),
        ("G", "gluten-free wheat starch", "gluten"),
        ("C", "lactose-free milk", "milk"),
    ],
)
def test_a_name_that_shields_one_sign_keeps_its_own(source: str, text: str, substance: str) -> None:
    assert Substance(substance) in contained(f"Ingredients: {text}, salt"), source


def test_tree_nuts_of_an_old_label_that_are_coconut_are_coconut_alone() -> None:
    # F: coconut was counted among the tree nuts until edition 5.
    assert contained("Contains: tree nuts (coconut)") == {Substance.COCONUT}
    assert contained("Contains: Coconut (Tree Nut)") == {Substance.COCONUT}


@pytest.mark.parametrize("text", ["non-dairy", "pareve", "parve", "vegan", "plant-based"])
def test_words_that_are_no_allergen_statement_free_a_food_of_nothing(text: str) -> None:
    # D for "non-dairy"; the others C and M.
    assert not read(f"{text}. Ingredients: rice, salt").free_from
    assert Substance.MILK in in_doubt("Ingredients: non-dairy creamer")


def exempt(text: str) -> set[tuple[str, str]]:
    """The laws and substances under which the terms of a text are no sign."""
    return {(law.value, substance.value) for hit in signs(text) for law, substance in hit.exempt}


@pytest.mark.parametrize(
    ("source", "text", "law", "substance"),
    [
        ("U", "highly refined soybean oil", Regime.US_FDA, "soy"),
        ("U", "highly refined peanut oil", Regime.US_FDA, "peanut"),
        ("E", "fully refined soybean oil", Regime.EU, "soy"),
        ("E", "wheat based glucose syrup", Regime.EU, "wheat"),
        ("E", "dextrose from wheat", Regime.EU, "wheat"),
        ("E", "wheat based maltodextrin", Regime.EU, "gluten"),
        ("E", "glucose syrup from barley", Regime.EU, "gluten"),
        ("E", "natural mixed tocopherols (soya)", Regime.EU, "soy"),
        ("E", "phytosterols from soya", Regime.EU, "soy"),
        ("E", "fish gelatine as carrier", Regime.EU, "fish"),
        ("E", "isinglass", Regime.EU, "fish"),
        ("E", "lactitol", Regime.EU, "milk"),
    ],
)
def test_an_exemption_in_the_law_goes_with_the_term(
    source: str, text: str, law: Regime, substance: str
) -> None:
    assert (law.value, substance) in exempt(f"Ingredients: {text}"), source


@pytest.mark.parametrize(
    ("source", "text"),
    [
        ("E", "Ingredients: lactose"),
        ("E", "Ingredients: fully refined peanut oil"),
        ("U", "Ingredients: soy lecithin"),
        ("M", "Ingredients: fish gelatin"),
    ],
)
def test_what_a_law_exempts_nowhere_or_not_there_stays_a_sign(source: str, text: str) -> None:
    assert not {one for one in exempt(text) if one[0] == "eu"}, source
    assert contained(text), source


@pytest.mark.parametrize(
    "text",
    [
        "natural flavor",
        "natural flavouring",
        "artificial flavors",
        "spices",
        "seasoning",
        "modified food starch",
        "hydrolyzed vegetable protein",
        "vegetable oil",
        "lecithin",
        "E322",
    ],
)
def test_an_open_word_hides_something_and_is_no_sign(text: str) -> None:
    # C: what a maker may put under such a word, where no law obliges it to be named.
    assert hidden(f"Ingredients: rice, {text}")
    assert not contained(f"Ingredients: rice, {text}")
