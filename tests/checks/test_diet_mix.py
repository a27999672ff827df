"""Hold the mix of a plan's food against published rations and planning figures.

S   Sphere Handbook (2011), food security: plan for 2,100 kcal a person and day, 10 % of the energy
    from protein and 17 % from fat; its Appendix 6 gives these as 53 g and 40 g. The edition of
    2018 says 10 to 12 % from protein and 17 % from fat (from memory).
W   World Food Programme, "The WFP food basket": a day's ration of 2,100 kcal has 58 g of protein
    and 43 g of fat. UNHCR/UNICEF/WFP/WHO, Food and Nutrition Needs in Emergencies (2002), gives
    that ration's energy as 11 % from protein and 18 % from fat (these shares from memory).
A   21 CFR 101.9(c)(1)(i)(B): 4 kcal to a gram of protein, 9 kcal to a gram of fat.
L   FDA, sample nutrition facts label: 230 kcal with 8 g of fat, 3 g of protein and 160 mg of sodium
    in a serving of 55 g.
D   Dietary Reference Intakes: chronic disease risk reduction intake of sodium for adults, 2,300 mg
    a day; the Daily Value of 21 CFR 101.9 is the same.
"""

import pytest

from daysworth.domain.foods import Food
from daysworth.planners.diet_mix import (
    FAT_KCAL_G,
    PLANNED_FAT_SHARE,
    PLANNED_PROTEIN_SHARE,
    PROTEIN_KCAL_G,
    SODIUM_LIMIT_MG,
    DietMix,
    diet_mix,
)
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import fairest
from tests.planners.one_home import DRY, also, lot, store
from tests.planners.small_stores import AS_OF, food


def mix_of(ration: Food) -> DietMix:
    """Feed one woman of 2,000 kcal a day on a ration alone."""
    grounds = Grounds(store(lots=[lot(ration, 10)]), AS_OF, scenario=DRY)
    fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return diet_mix(grounds, fair)


def a_day(id_: str, *, kcal: float, protein_g: float, fat_g: float) -> Food:
    """Make a ration of 500 g for a day, by its figures for all of it."""
    made = food(id_, kcal=kcal / 5, protein_g=protein_g / 5, net_g=500, fat_g_100g=fat_g / 5)
    return also(made)


def test_the_factors_are_the_general_ones() -> None:
    # A
    assert (PROTEIN_KCAL_G, FAT_KCAL_G) == (4, 9)


def test_the_planned_shares_are_those_of_the_grams_that_are_planned() -> None:
    # S: 53 g and 40 g in 2,100 kcal are 10 % and 17 % as printed.
    found = mix_of(a_day("sphere", kcal=2_100, protein_g=53, fat_g=40))
    assert found.fat_share is not None
    assert (round(found.protein_share, 2), round(found.fat_share, 2)) == (0.10, 0.17)
    assert PLANNED_PROTEIN_SHARE == (0.10, 0.12)
    assert PLANNED_FAT_SHARE == 0.17


def test_the_standard_relief_ration_has_the_shares_that_are_published_of_it() -> None:
    # W
    found = mix_of(a_day("relief", kcal=2_100, protein_g=58, fat_g=43))
    assert found.fat_share is not None
    assert (round(found.protein_share, 2), round(found.fat_share, 2)) == (0.11, 0.18)


def test_the_sample_label_gives_the_sodium_of_its_servings_in_a_day() -> None:
    # L: a day of 2,000 kcal is 2,000 / 230 servings.
    label = also(
        food(
            "sample",
            kcal=230 / 0.55,
            # Eaten alone it must have her 46 g a day; with the label's 3 g it would feed nobody.
            protein_g=12,
            net_g=550,
            fat_g_100g=8 / 0.55,
            sodium_mg_100g=160 / 0.55,
        )
    )
    found = mix_of(label)
    assert found.sodium_mg_per_person_day == pytest.approx(160 * 2_000 / 230)
    assert found.fat_share == pytest.approx(8 * 9 / 230)


def test_the_sodium_it_stands_beside_is_the_published_limit() -> None:
    # D
    assert SODIUM_LIMIT_MG == 2_300
