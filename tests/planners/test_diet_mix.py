"""The mix of the fair plan's food: protein, fat and sodium, never guessed where not known."""

import pytest

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.diet_mix import DietMix, diet_mix
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import fairest
from daysworth.planners.scenario import Scenario
from tests.planners.one_home import BREAD, DRY, also, home, lot, store, woman
from tests.planners.small_stores import AS_OF, food, small_store

# 1,000 kcal a pack each, both of them dense enough in protein for all.
LEAN = also(food("lean", kcal=400, protein_g=20, net_g=250, fat_g_100g=4, sodium_mg_100g=100))
FAT = also(food("fat", kcal=500, protein_g=15, net_g=200, fat_g_100g=30, sodium_mg_100g=900))


def mix(snapshot: Snapshot, scenario: Scenario = DRY) -> DietMix:
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return diet_mix(grounds, fair)


def test_the_shares_are_those_worked_by_hand() -> None:
    found = mix(store(lots=[lot(LEAN, 3), lot(FAT, 1)]))
    # All is eaten: 3,000 kcal with 150 g of protein and 30 g of fat, 1,000 kcal with 30 g and 60 g.
    assert found.energy_kcal == pytest.approx(4_000)
    assert found.protein_share == pytest.approx(4 * 180 / 4_000)
    assert found.fat_share == pytest.approx(9 * 90 / 4_000)
    # 750 mg and 1,800 mg in two days of 2,000 kcal.
    assert found.sodium_mg_per_person_day == pytest.approx(2_550 / 2)
    assert found.energy_without_fat_figure_share == 0
    assert found.energy_without_sodium_figure_share == 0


def test_a_food_without_a_figure_is_not_taken_for_free_of_it() -> None:
    # Bread of 1,000 kcal a pack, of whose fat and sodium nothing is known.
    found = mix(store(lots=[lot(LEAN, 3), lot(BREAD, 1)]))
    assert found.energy_kcal == pytest.approx(4_000)
    assert found.fat_share == pytest.approx(9 * 30 / 3_000)
    assert found.sodium_mg_per_person_day == pytest.approx(750 / 1.5)
    assert found.energy_without_fat_figure_share == pytest.approx(0.25)
    assert found.energy_without_sodium_figure_share == pytest.approx(0.25)


def test_where_nothing_is_known_no_share_is_told() -> None:
    found = mix(store(lots=[lot(BREAD, 4)]))
    assert (found.fat_share, found.sodium_mg_per_person_day) == (None, None)
    assert found.energy_without_fat_figure_share == 1
    assert found.energy_without_sodium_figure_share == 1
    assert found.protein_share == pytest.approx(4 * 160 / 4_000)


def test_where_nothing_is_eaten_nothing_is_without_a_figure() -> None:
    nobody = Scenario(households_away=frozenset({HouseholdId("h")}))
    for found in (mix(store()), mix(store(lots=[lot(LEAN, 4)]), nobody)):
        assert found == DietMix(
            energy_kcal=0,
            protein_share=0,
            fat_share=None,
            sodium_mg_per_person_day=None,
            energy_without_fat_figure_share=0,
            energy_without_sodium_figure_share=0,
        )


def test_sodium_is_counted_for_a_person_of_the_mean_need() -> None:
    child = woman("c", born_on=AS_OF.replace(year=AS_OF.year - 6))
    found = mix(store([home(woman(), child)], [lot(LEAN, 3)]))
    # 2,000 and 1,400 kcal a day: a mean person-day has 1,700 kcal, at 25 mg for each 100 kcal.
    assert found.sodium_mg_per_person_day == pytest.approx(25 * 17)


@pytest.mark.parametrize("seed", range(40))
def test_the_energy_mixed_is_the_fair_plans(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    kcal = sum(one.members.energy_kcal * one.days for one in fair.classes)
    assert diet_mix(grounds, fair).energy_kcal == pytest.approx(kcal, rel=1e-6, abs=1e-3)
