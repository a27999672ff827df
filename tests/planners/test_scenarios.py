"""Reckon small stores by hand, one claim each."""

from dataclasses import replace
from datetime import timedelta

import pytest

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import FoodGroup, Preparation
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.people import InfantFeeding
from daysworth.domain.restrictions import DeclaredFacts, Reach, Restriction, Substance
from daysworth.planners.scenario import Scenario, StockScope
from tests.planners.one_home import (
    BREAD,
    DRY,
    OIL,
    STARCH,
    WATER,
    also,
    asked,
    filled,
    home,
    lot,
    store,
    woman,
)
from tests.planners.small_stores import AS_OF, food

OWN = replace(DRY, stock=StockScope.ALL)
RICE = also(
    food(
        "rice",
        kcal=400,
        protein_g=20,
        net_g=250,
        heating=Preparation.NEEDED,
        added_water=Preparation.NEEDED,
        added_water_ml_100g=400,
    )
)
FORMULA = also(food("formula", kcal=65, protein_g=1.4, net_g=1_000, group=FoodGroup.INFANT_FORMULA))
NUTS = also(
    food(
        "nuts",
        kcal=500,
        protein_g=20,
        net_g=200,
        facts=DeclaredFacts(contains=frozenset({Substance.PEANUT})),
    )
)
KEEPS = also(
    food("keeps", kcal=500, protein_g=20, net_g=200, keeps_opened_days=4, keeps_repacked_days=4)
)
LEAVES = also(food("leaves", kcal=500, protein_g=20, net_g=200))
READ = LabelReading(not_declared=frozenset(Substance), is_whole=True, regime=Regime.US_FDA)
"""All nine were looked for on the whole label, and none of them found."""
MEAGRE = also(food("meagre", kcal=500, protein_g=10, net_g=200))
"""1,000 kcal and 20 g of protein a pack."""
_CHILD = woman("b", born_on=AS_OF.replace(year=AS_OF.year - 5))
"""1,400 kcal and 19 g of protein a day."""
_PAIR = home(woman("a"), _CHILD)


def test_eight_packs_of_a_thousand_kcal_feed_two_women_for_two_days() -> None:
    coverage = asked(store([home(woman("a"), woman("b"))], [lot(BREAD, 8)]))
    assert coverage.everyone_fed_days == pytest.approx(2)
    assert coverage.person_days == pytest.approx(4)
    assert coverage.members_days == pytest.approx(4)
    assert coverage.next_level_days is None


def test_promised_units_feed_nobody_and_units_in_kits_do() -> None:
    assert asked(store(lots=[lot(BREAD, 8, units_promised=2, units_in_kits=4)])).person_days == (
        pytest.approx(3)
    )


@pytest.mark.parametrize("condition", [Condition.DAMAGED, Condition.QUARANTINED])
def test_a_lot_that_is_not_sound_counts_in_nothing(condition: Condition) -> None:
    coverage = asked(store(lots=[lot(BREAD, 8, condition=condition)]))
    assert coverage.everyone_fed_days == 0
    assert coverage.person_days_on_paper == 0


def test_undated_and_past_lots_count_on_paper_alone() -> None:
    past = (AS_OF - timedelta(days=1)).isoformat()
    coverage = asked(
        store(
            lots=[
                lot(BREAD, 2, label_kind=LabelKind.UNLABELLED, printed=None),
                lot(BREAD, 4, printed=past),
            ]
        )
    )
    assert coverage.everyone_fed_days == 0
    assert coverage.person_days_on_paper == pytest.approx(3)


def test_food_good_until_today_feeds_for_one_day_and_no_more() -> None:
    assert asked(store(lots=[lot(BREAD, 8, printed=AS_OF.isoformat())])).everyone_fed_days == (
        pytest.approx(1)
    )


def test_early_food_is_eaten_first_and_what_is_too_much_is_lost() -> None:
    soon = (AS_OF + timedelta(days=1)).isoformat()
    coverage = asked(store(lots=[lot(BREAD, 10, printed=soon), lot(BREAD, 2)]))
    assert coverage.everyone_fed_days == pytest.approx(3)


def test_a_place_that_is_lost_takes_its_lots_with_it() -> None:
    snapshot = store(lots=[lot(BREAD, 4), lot(BREAD, 6, place=PlaceId("attic"))])
    flooded = replace(DRY, places_lost=frozenset({PlaceId("attic")}))
    assert asked(snapshot).everyone_fed_days == pytest.approx(5)
    assert asked(snapshot, flooded).everyone_fed_days == pytest.approx(2)


def test_a_household_that_is_away_does_not_eat() -> None:
    snapshot = store([home(woman("a")), home(woman("b"), id_="g")], [lot(BREAD, 8)])
    away = replace(DRY, households_away=frozenset({HouseholdId("g")}))
    assert asked(snapshot).everyone_fed_days == pytest.approx(2)
    coverage = asked(snapshot, away)
    assert coverage.everyone_fed_days == pytest.approx(4)
    assert [h.household for h in coverage.households] == ["h"]


@pytest.mark.parametrize(
    "unknown",
    [
        Scenario(places_lost=frozenset({PlaceId("moon")})),
        Scenario(households_away=frozenset({HouseholdId("moon")})),
    ],
)
def test_an_unknown_place_or_household_is_refused_by_name(unknown: Scenario) -> None:
    with pytest.raises(ScenarioRefused, match="moon"):
        asked(store(), unknown)


def test_nobody_to_feed_is_no_days_and_no_error() -> None:
    coverage = asked(store(), replace(DRY, households_away=frozenset({HouseholdId("h")})))
    assert coverage.everyone_fed_days is None
    assert coverage.person_days == 0
    assert coverage.households == ()


def test_stock_that_is_not_shared_feeds_its_owners_alone() -> None:
    snapshot = store(
        [home(woman("a")), home(woman("b"), id_="g")],
        [lot(BREAD, 4), lot(BREAD, 6, owner=HouseholdId("g"), is_shared=False)],
    )
    shared, whole = asked(snapshot), asked(snapshot, OWN)
    assert [h.days for h in shared.households] == pytest.approx([1, 1])
    assert [h.days for h in whole.households] == pytest.approx([2, 3])
    assert whole.everyone_fed_days == pytest.approx(2)
    assert whole.next_level_days == pytest.approx(3)


def test_what_must_be_cooked_needs_heat_and_draws_water() -> None:
    snapshot = store(lots=[lot(RICE, 4), filled(20)], water_l_per_person_day=4.0)
    assert asked(snapshot).everyone_fed_days == 0
    assert asked(snapshot, replace(DRY, heating=True)).everyone_fed_days == pytest.approx(2)
    # Two packs a day take two litres beside the four: 20 / 6 days, but the rice ends at two.
    stove = Scenario(heating=True)
    assert asked(snapshot, stove).everyone_fed_days == pytest.approx(2)
    less = store(lots=[lot(RICE, 4), filled(6)], water_l_per_person_day=4.0)
    assert asked(less, stove).everyone_fed_days == pytest.approx(1)
    assert asked(less, stove).everyone_fed_days_if_enough_to_drink == pytest.approx(2)


def test_stored_water_holds_everyone_down_where_it_ends_first() -> None:
    coverage = asked(
        store(lots=[lot(BREAD, 20), filled(12)], water_l_per_person_day=4.0), Scenario()
    )
    assert coverage.everyone_fed_days == pytest.approx(3)
    assert coverage.everyone_fed_days_if_enough_to_drink == pytest.approx(10)
    assert coverage.water.days == pytest.approx(3)
    assert coverage.water.days_drinking_only == pytest.approx(6)


def test_pets_drink_from_the_same_water() -> None:
    snapshot = store(
        [home(pets=2)],
        [lot(BREAD, 20), filled(12)],
        water_l_per_person_day=4.0,
        water_l_per_pet_day=1.0,
    )
    coverage = asked(snapshot, Scenario())
    assert coverage.everyone_fed_days == pytest.approx(2)
    assert coverage.water.days_drinking_only == pytest.approx(3)


def test_water_past_six_months_counts_only_as_what_it_would_add() -> None:
    old = lot(WATER, 8, label_kind=LabelKind.PACKED_ON, printed="2026-10-14")
    coverage = asked(store(lots=[lot(BREAD, 20), filled(4), old], water_l_per_person_day=4.0))
    assert coverage.water.days == pytest.approx(1)
    assert coverage.water.overdue_days == pytest.approx(2)


def test_own_water_serves_its_own_household_alone() -> None:
    snapshot = store(
        [home(woman("a")), home(woman("b"), id_="g")],
        [lot(BREAD, 20), filled(4), filled(12, owner=HouseholdId("g"), is_shared=False)],
        water_l_per_person_day=4.0,
    )
    coverage = asked(snapshot, Scenario(stock=StockScope.ALL))
    assert [h.days for h in coverage.households] == pytest.approx([1, 3])


def test_a_household_drinks_from_the_shared_water_when_its_own_is_gone() -> None:
    snapshot = store(
        [home(woman("a")), home(woman("b"), id_="g")],
        [lot(BREAD, 20), filled(10), filled(2, owner=HouseholdId("g"), is_shared=False)],
        water_l_per_person_day=4.0,
    )
    coverage = asked(snapshot, Scenario(stock=StockScope.ALL))
    assert [h.days for h in coverage.households] == pytest.approx([1.5, 1.5])


def test_a_household_without_a_need_still_gets_its_own_line() -> None:
    nursed = woman("b", born_on=AS_OF - timedelta(days=100), infant_feeding=InfantFeeding.BREASTFED)
    coverage = asked(store([home(woman("a")), home(nursed, id_="g")], [lot(BREAD, 4)]))
    assert [h.days for h in coverage.households] == [pytest.approx(2), None]


def test_oil_alone_feeds_nobody_and_beside_bread_only_its_share() -> None:
    assert asked(store(lots=[lot(OIL, 100)])).everyone_fed_days == 0
    with_bread = store(lots=[lot(OIL, 100), lot(BREAD, 17)], extras_share=0.15)
    assert asked(with_bread).everyone_fed_days == pytest.approx(10)


def test_nobody_lives_on_oil_to_leave_the_bread_to_others() -> None:
    allergic = woman("b", restrictions=(Restriction(allergy=Substance.PEANUT),))
    held = [lot(BREAD, 37, readings=(READ,)), lot(OIL, 100)]
    coverage = asked(store([home(woman("a")), home(allergic, id_="g")], held, extras_share=0.15))
    # The oil's label is unread, so she who is allergic eats two packs of bread a day, and the
    # other at least 1.7.
    assert coverage.everyone_fed_days == pytest.approx(37 / 3.7)


def test_best_by_dates_get_the_stores_grace_but_not_once_opened() -> None:
    today = {"label_kind": LabelKind.BEST_BY, "printed": AS_OF.isoformat()}
    grace = {FoodGroup.PREPARED_MEALS: 2}
    closed = store(lots=[lot(KEEPS, 20, **today)], grace_days=grace)
    opened = store(lots=[lot(KEEPS, 20, opened_on=AS_OF, **today)], grace_days=grace)
    assert asked(closed).everyone_fed_days == pytest.approx(3)
    assert asked(opened).everyone_fed_days == pytest.approx(1)


@pytest.mark.parametrize("handled", ["opened_on", "repacked_on"])
def test_food_opened_or_repacked_counts_for_as_long_as_it_keeps(handled: str) -> None:
    yesterday = {handled: AS_OF - timedelta(days=1)}
    assert asked(store(lots=[lot(KEEPS, 20, **yesterday)])).everyone_fed_days == pytest.approx(4)
    assert asked(store(lots=[lot(BREAD, 20, **yesterday)])).everyone_fed_days == 0


def test_food_too_poor_in_protein_feeds_only_as_far_as_its_protein() -> None:
    # 46 g a day: a pack of bread has 40 g, one of starch 2.5 g; two of bread feed a day.
    assert asked(store(lots=[lot(STARCH, 100)])).everyone_fed_days == 0
    mixed = asked(store(lots=[lot(STARCH, 100), lot(BREAD, 10)])).everyone_fed_days
    # b packs of bread and 2 - b of starch a day: 40 b + 2.5 (2 - b) = 46, b = 41 / 37.5.
    assert mixed == pytest.approx(10 / (41 / 37.5))


def test_pooling_unlike_protein_needs_by_their_sum_would_feed_the_neediest_too_long() -> None:
    # Meagre packs give 2 g in 100 kcal: enough for the two between them, who need 65 g in
    # 3,400 kcal (1.9 g), and too little for her, who needs 46 g in 2,000 kcal (2.3 g).
    coverage = asked(store([_PAIR], [lot(MEAGRE, 48), lot(BREAD, 3)]))
    # By the sum alone, the 51,000 kcal and 1,080 g would feed both for 15 days.
    assert 15 * 3_400 == 51 * 1_000
    assert 15 * 65 <= 48 * 20 + 3 * 40
    # Apart: each pack of bread among her two a day makes up 20 g, and she lacks 6 g a day.
    assert coverage.everyone_fed_days == pytest.approx(3 * 20 / 6)
    assert len(coverage.classes) == 2
    assert coverage.next_level_days == pytest.approx((51 - 20) / 1.4)


def test_a_lot_that_parts_a_pool_does_not_lower_everyone_fed_days() -> None:
    # Nuts suit the child alone, so they end any pool, and with it any error that it hid.
    allergy = Restriction(allergy=Substance.PEANUT, reach=Reach.PERSON)
    pair = home(woman("a", restrictions=(allergy,)), _CHILD)
    held = [lot(MEAGRE, 48, readings=(READ,)), lot(BREAD, 3, readings=(READ,))]
    before, after = asked(store([pair], held)), asked(store([pair], [*held, lot(NUTS, 1)]))
    assert before.everyone_fed_days == pytest.approx(10)
    assert after.everyone_fed_days == pytest.approx(10)
    assert after.next_level_days == pytest.approx((51 + 1 - 20) / 1.4)


def test_unlike_protein_needs_may_share_a_mix_too_poor_for_one_if_it_can_be_parted() -> None:
    coverage = asked(store([_PAIR], [lot(STARCH, 40), lot(BREAD, 2)]))
    # Of 3.4 packs a day for both, b of bread give 40 g and the others 2.5 g, 65 g in all: she
    # takes the most of the bread. The mix as a whole has 1.9 g in 100 kcal, and she needs 2.3 g.
    bread = (65 - 3.4 * 2.5) / 37.5
    assert coverage.everyone_fed_days == pytest.approx(2 / bread)


def test_a_pool_that_is_dense_enough_for_its_neediest_is_kept_together() -> None:
    coverage = asked(store([_PAIR], [lot(BREAD, 17)]))
    assert len(coverage.classes) == 1
    assert coverage.everyone_fed_days == pytest.approx(5)


def test_whoever_few_packs_suit_holds_everyone_down_and_is_named_by_count() -> None:
    allergic = woman("b", restrictions=(Restriction(allergy=Substance.PEANUT),))
    snapshot = store(
        [home(woman("a")), home(allergic, id_="g")],
        [lot(NUTS, 8), lot(LEAVES, 2, readings=(READ,)), lot(LEAVES, 2)],
    )
    coverage = asked(snapshot)
    assert coverage.everyone_fed_days == pytest.approx(1)
    assert [len(item.members.mouths) for item in coverage.held_by] == [1]
    assert coverage.next_level_days == pytest.approx(5)
    assert coverage.everyone_fed_days_if_unread_suit == pytest.approx(2)


def test_an_allergy_binds_the_whole_home_unless_it_is_told_not_to() -> None:
    allergy = Restriction(allergy=Substance.PEANUT)
    pair = [home(woman("a"), woman("b", restrictions=(allergy,)))]
    coverage = asked(store(pair, [lot(NUTS, 8), lot(LEAVES, 4, readings=(READ,))]))
    assert [h.days for h in coverage.households] == pytest.approx([1])
    assert len(coverage.classes) == 1


def test_formula_goes_to_infants_alone_and_infants_eat_nothing_else() -> None:
    infant = woman(
        "b",
        born_on=AS_OF - timedelta(days=100),
        infant_feeding=InfantFeeding.FORMULA,
    )
    coverage = asked(store([home(woman("a"), infant)], [lot(BREAD, 4), lot(FORMULA, 3)]))
    by_need = {item.members.energy_kcal: item.days for item in coverage.classes}
    baby_kcal = min(by_need)
    assert by_need[2_000] == pytest.approx(2)
    assert by_need[baby_kcal] == pytest.approx(3 * 650 / baby_kcal)


def test_a_breastfed_infant_has_no_need_and_is_in_no_count() -> None:
    nursed = woman("b", born_on=AS_OF - timedelta(days=100), infant_feeding=InfantFeeding.BREASTFED)
    coverage = asked(store([home(woman("a"), nursed)], [lot(BREAD, 4)]))
    assert coverage.members_with_a_need == 1
    assert coverage.everyone_fed_days == pytest.approx(2)
    assert [h.members for h in coverage.households] == [2]
    assert [h.days for h in coverage.households] == pytest.approx([2])


def test_at_the_horizon_counting_stops() -> None:
    coverage = asked(store(lots=[lot(BREAD, 100)]), replace(DRY, horizon_days=7))
    assert coverage.everyone_fed_days == 7
    assert coverage.person_days_on_paper == 7


def test_a_ration_stretches_food_and_not_water() -> None:
    snapshot = store(lots=[lot(BREAD, 4), filled(12)], water_l_per_person_day=4.0)
    half = Scenario(ration=0.5)
    assert asked(snapshot, half).everyone_fed_days == pytest.approx(3)
    assert asked(snapshot, replace(half, running_water=True)).everyone_fed_days == pytest.approx(4)


def test_the_flat_basis_is_2100_kcal_for_everyone() -> None:
    coverage = asked(store(lots=[lot(BREAD, 21)]), replace(DRY, basis=NeedsBasis.FLAT))
    assert coverage.mean_need_kcal == 2_100
    assert coverage.everyone_fed_days == pytest.approx(10)


@pytest.mark.parametrize("ration", [0.0, -1.0, 1.1, float("nan")])
def test_a_ration_out_of_range_is_refused(ration: float) -> None:
    with pytest.raises(ScenarioRefused, match="ration"):
        Scenario(ration=ration)


@pytest.mark.parametrize("horizon", [0, -1, 731])
def test_a_horizon_out_of_range_is_refused(horizon: int) -> None:
    with pytest.raises(ScenarioRefused, match="horizon"):
        Scenario(horizon_days=horizon)
