"""Hold the reckoning with a label's figures against the rules that labels are written by.

A   21 CFR 101.9(c)(1)(i)(B): 4, 4 and 9 kcal per gram of protein, carbohydrate and fat.
T   21 CFR 101.9(g)(5): a label is wrong where the food has more than 20 % above what it says.
F   FDA, sample Nutrition Facts label: 230 calories, fat 8 g, sodium 160 mg, carbohydrate 37 g,
    protein 3 g; a serving of 55 g (the serving's mass is from memory).
"""

from dataclasses import asdict
from typing import Final

import pytest

from daysworth.domain.label_figures import (
    LEAST_TELLING_KCAL,
    MOST_MISMATCH,
    HundredGramFigures,
    ServingFigures,
    atwater_flag,
    per_100g,
)

SAMPLE: Final = ServingFigures(
    serving_g=55, energy_kcal=230, protein_g=3, fat_g=8, carbohydrate_g=37, sodium_mg=160
)


def flag(
    energy_kcal: float, *, protein_g: float = 0, fat_g: float = 0, carbohydrate_g: float = 0
) -> str | None:
    return atwater_flag(
        energy_kcal, protein_g=protein_g, fat_g=fat_g, carbohydrate_g=carbohydrate_g
    )


def test_the_sample_label_is_not_flagged() -> None:
    """F, A: 3 × 4 + 37 × 4 + 8 × 9 = 232 kcal, and the label says 230."""
    assert flag(230, protein_g=3, fat_g=8, carbohydrate_g=37) is None


def test_the_sample_label_is_not_flagged_for_100_g_either() -> None:
    """F: all figures grow alike, so the share by which they differ stays."""
    figures = per_100g(SAMPLE)
    assert figures.fat_g_100g is not None
    assert figures.carbohydrate_g_100g is not None
    assert (
        flag(
            figures.energy_kcal_100g,
            protein_g=figures.protein_g_100g,
            fat_g=figures.fat_g_100g,
            carbohydrate_g=figures.carbohydrate_g_100g,
        )
        is None
    )


@pytest.mark.parametrize(
    ("energy_kcal", "slip"),
    [
        pytest.param(23, "23 kcal", id="a digit left out"),
        pytest.param(2300, "2300 kcal", id="a digit too many"),
        pytest.param(320, "320 kcal", id="two digits changed about"),
        pytest.param(962, "962 kcal", id="kilojoules for kilocalories: 230 × 4.184"),
    ],
)
def test_a_slip_of_the_pen_in_the_sample_label_is_flagged_with_both_figures(
    energy_kcal: float, slip: str
) -> None:
    """F, A: the macronutrients go on saying 232 kcal."""
    said = flag(energy_kcal, protein_g=3, fat_g=8, carbohydrate_g=37)
    assert said is not None
    assert slip in said
    assert "make 232" in said
    assert "nothing was changed" in said


@pytest.mark.parametrize(
    ("gram", "energy_kcal"),
    [("protein_g", 4), ("carbohydrate_g", 4), ("fat_g", 9)],
)
def test_each_gram_counts_with_its_own_factor(gram: str, energy_kcal: float) -> None:
    """A: 50 g of one alone make 50 times its factor, and a third more or less is flagged."""
    alone = {gram: 50.0}
    assert flag(50 * energy_kcal, **alone) is None
    assert f"make {50 * energy_kcal}:" in str(flag(50 * energy_kcal * 4 / 3, **alone))
    assert f"make {50 * energy_kcal}:" in str(flag(50 * energy_kcal * 2 / 3, **alone))


@pytest.mark.parametrize(
    ("carbohydrate_g", "is_flagged"),
    [(30, False), (30.01, True), (20, False), (19.99, True), (25, False)],
)
def test_a_fifth_of_what_the_label_says_is_let_pass_and_no_more(
    carbohydrate_g: float, *, is_flagged: bool
) -> None:
    """T: 20 % of the declared 100 kcal, so 80 to 120 by A."""
    assert MOST_MISMATCH == 0.20
    assert (flag(100, carbohydrate_g=carbohydrate_g) is not None) is is_flagged


def test_the_fifth_is_of_the_labels_figure_and_not_of_the_reckoned_one() -> None:
    """T speaks of the value declared: 121 kcal reckoned is 21 % above 100, 17 % below it not."""
    assert flag(100, carbohydrate_g=121 / 4) is not None
    assert flag(121, carbohydrate_g=25) is None


@pytest.mark.parametrize(
    ("energy_kcal", "carbohydrate_g", "is_flagged"),
    [(19, 0, False), (0, 4.9, False), (10, 4.9, False), (20, 0, True), (0, 5, True), (0, 0, False)],
)
def test_below_twenty_kcal_a_serving_says_nothing(
    energy_kcal: float, carbohydrate_g: float, *, is_flagged: bool
) -> None:
    """21 CFR 101.9(c): calories to 50 are rounded to 5, grams to 1 (half a gram may be 0).

    That 20 kcal is where rounding stops to hide the rest is our judgement.
    """
    assert LEAST_TELLING_KCAL == 20.0
    assert (flag(energy_kcal, carbohydrate_g=carbohydrate_g) is not None) is is_flagged


@pytest.mark.parametrize(("fat_g", "carbohydrate_g"), [(None, 37.0), (8.0, None), (None, None)])
def test_a_label_that_leaves_a_figure_out_cannot_be_held_against_the_factors(
    fat_g: float | None, carbohydrate_g: float | None
) -> None:
    """A needs all three; a figure that is not known is not nought."""
    assert atwater_flag(2300, protein_g=3, fat_g=fat_g, carbohydrate_g=carbohydrate_g) is None


def test_a_servings_figures_are_turned_into_those_of_100_g() -> None:
    """F: 230 kcal in 55 g are 418.18 in 100 g, and so on."""
    assert asdict(per_100g(SAMPLE)) == pytest.approx(
        {
            "energy_kcal_100g": 418.181818,
            "protein_g_100g": 5.454545,
            "fat_g_100g": 14.545455,
            "carbohydrate_g_100g": 67.272727,
            "sodium_mg_100g": 290.909091,
        }
    )


def test_a_label_for_100_g_stays_as_it_is() -> None:
    """Regulation (EU) 1169/2011, Article 32: figures are declared per 100 g (from memory)."""
    label = ServingFigures(
        serving_g=100, energy_kcal=77, protein_g=4.7, fat_g=0.2, carbohydrate_g=13, sodium_mg=400
    )
    assert per_100g(label) == HundredGramFigures(
        energy_kcal_100g=77,
        protein_g_100g=4.7,
        fat_g_100g=0.2,
        carbohydrate_g_100g=13,
        sodium_mg_100g=400,
    )


def test_what_a_label_does_not_say_stays_unknown_and_nought_stays_nought() -> None:
    """21 CFR 101.9(c): less than half a gram is declared as 0; what is left out is not 0."""
    silent = per_100g(ServingFigures(serving_g=30, energy_kcal=120, protein_g=0))
    assert (silent.fat_g_100g, silent.carbohydrate_g_100g, silent.sodium_mg_100g) == (None,) * 3
    nought = per_100g(
        ServingFigures(
            serving_g=30, energy_kcal=0, protein_g=0, fat_g=0, carbohydrate_g=0, sodium_mg=0
        )
    )
    assert set(asdict(nought).values()) == {0}
