"""What runs out first: what is let go, and which foods would add days, each planned again."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Final

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import FoodGroup, Preparation
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.people import InfantFeeding
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.classes import EatingClass, eating_class
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import Planned, fairest
from daysworth.planners.running_out import (
    MOST_CLASSES,
    MOST_FOODS,
    Let,
    RunsOut,
    runs_out_first,
)
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.wish_candidates import Wish, candidates_of
from tests.planners.dense_program import densest
from tests.planners.how_many import times
from tests.planners.one_home import BREAD, DRY, OIL, STARCH, filled, home, lot, store, woman
from tests.planners.small_stores import AS_OF, food, small_store

EVERYTHING: Final = Scenario(running_water=True, stock=StockScope.ALL)


def planned(snapshot: Snapshot, scenario: Scenario) -> tuple[Grounds, Planned]:
    grounds = Grounds(snapshot, AS_OF, scenario=scenario)
    fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    return grounds, fair


def asked(snapshot: Snapshot, scenario: Scenario = DRY) -> tuple[RunsOut, ...]:
    grounds, fair = planned(snapshot, scenario)
    return runs_out_first(grounds, fair.classes, held=fair.held)


def only(snapshot: Snapshot, scenario: Scenario = DRY) -> RunsOut:
    (found,) = asked(snapshot, scenario)
    return found


def gains(found: RunsOut) -> dict[str, float]:
    return {one.food.id: one.days for one in found.foods}


def approx(**days: float) -> Mapping[Let, object]:
    return {Let(name): pytest.approx(value, abs=1e-6) for name, value in days.items()}


# --- by hand: packs of 1,000 kcal, a woman of 2,000 kcal and 46 g of protein a day ---


def test_without_the_extras_share_oil_feeds_until_protein_runs_out() -> None:
    found = only(store(lots=[lot(BREAD, 4), lot(OIL, 10)]))
    # 4,000 kcal of bread are 85 % of what she eats; its 160 g of protein are for 160 / 46 days.
    days = 4_000 / 0.85 / 2_000
    assert found.days == pytest.approx(days)
    assert found.days_without == approx(extras=160 / 46, protein=days, water=days, dates=days)


def test_without_protein_starch_alone_feeds() -> None:
    found = only(store(lots=[lot(BREAD, 2), lot(STARCH, 40)]))
    # 46 T = 80 g of bread + 2.5 g in each of the 2 T - 2 packs of starch.
    days = 75 / 41
    assert found.days == pytest.approx(days)
    assert found.days_without == approx(extras=days, protein=21, water=days, dates=days)


def test_without_counting_water_the_food_is_what_counts() -> None:
    found = only(store(lots=[lot(BREAD, 20), filled(8)]), Scenario())
    days = 8 / 3.785
    assert found.days == pytest.approx(days)
    assert found.days_without == approx(extras=days, protein=days, water=10, dates=days)
    assert found.foods == ()


def test_without_dates_what_is_good_today_alone_is_eaten_later_too() -> None:
    found = only(store(lots=[lot(BREAD, 10, printed=AS_OF.isoformat())]))
    assert found.days == pytest.approx(1)
    assert found.days_without == approx(extras=1, protein=1, water=1, dates=5)


def test_what_is_past_its_date_stays_out_where_dates_are_let_go() -> None:
    past = (AS_OF - timedelta(1)).isoformat()
    found = only(store(lots=[lot(BREAD, 10, printed=past), lot(BREAD, 2)]))
    assert found.days_without[Let.DATES] == found.days == pytest.approx(1)


def test_one_more_unit_of_a_plain_food_adds_its_energy_and_the_extras_it_lets_eat() -> None:
    found = only(store(lots=[lot(BREAD, 40), lot(OIL, 100)]))
    assert len(found.foods) == MOST_FOODS
    for one in found.foods:
        assert one.unit_kcal == one.food.energy_kcal()
        assert not one.food.is_extra
        assert one.days == pytest.approx(one.unit_kcal / 0.85 / 2_000)
    usable = [food for food in generic_foods().values() if is_candidate(food.id)]
    largest = sorted((food.energy_kcal() for food in usable), reverse=True)
    assert [one.unit_kcal for one in found.foods] == largest[:MOST_FOODS]


def is_candidate(food_id: str) -> bool:
    """Tell whether a woman without restrictions can be brought a generic food and live on it."""
    food = generic_foods()[food_id]  # type: ignore[index]
    return (
        not (food.is_extra or food.is_for_infants)
        and food.heating is not Preparation.NEEDED
        and food.shelf_life_months is not None
    )


def test_where_two_run_out_together_the_gain_is_that_of_one_alone() -> None:
    homes = [home(), home(woman("b"), id_="i")]
    own = [lot(BREAD, 2, owner=one.id, is_shared=False) for one in homes]
    found = asked(store(homes, own), EVERYTHING)
    assert [one.days for one in found] == [pytest.approx(1)] * 2
    for one in found:
        # She eats all of it: the other has what is her own, and no more is asked for her.
        assert all(more.days == pytest.approx(more.unit_kcal / 2_000) for more in one.foods)
        assert len(one.foods) == MOST_FOODS


def test_no_more_than_three_classes_are_looked_into_those_with_most_members() -> None:
    homes = [home(woman(f"a{n}"), id_=f"h{n}") for n in range(3)]
    homes.append(home(woman("b"), woman("c"), id_="two"))
    own = [lot(BREAD, 2 * len(one.members), owner=one.id, is_shared=False) for one in homes]
    found = asked(store(homes, own), EVERYTHING)
    assert [len(one.members.mouths) for one in found] == [2, 1, 1]
    assert len(found) == MOST_CLASSES


def test_an_allergic_person_is_told_foods_only_as_if_their_labels_proved_suitable() -> None:
    allergic = woman(restrictions=(Restriction(allergy=Substance.PEANUT),))
    found = only(store([home(allergic)], [lot(BREAD, 4)]))
    assert found.days == 0
    assert len(found.foods) == MOST_FOODS
    assert all(one.is_if_label_suits for one in found.foods)
    peanut = [
        food.id for food in generic_foods().values() if Substance.PEANUT in contained(food.id)
    ]
    assert peanut
    assert not set(peanut) & set(gains(found))


def contained(food_id: str) -> frozenset[Substance]:
    return generic_foods()[food_id].facts.contains  # type: ignore[index]


def test_an_infant_is_told_of_formula_alone_and_only_where_it_is_known_how_long_it_keeps() -> None:
    infant = woman(
        "baby", born_on=AS_OF - timedelta(60), infant_feeding=InfantFeeding.FORMULA, sex=None
    )
    powder = food(
        "powder", kcal=500, protein_g=12, group=FoodGroup.INFANT_FORMULA, shelf_life_months=12
    )
    plain = store([home(infant)], [lot(BREAD, 4)])
    found = only(replace(plain, foods=(*plain.foods, powder)))
    need_kcal = found.members.energy_kcal
    assert gains(found) == {"powder": pytest.approx(2_000 / need_kcal)}
    assert only(plain).foods == ()


def test_a_food_that_needs_heat_is_told_only_where_there_is_heat() -> None:
    lots = [lot(BREAD, 4)]
    cold = only(store(lots=lots), Scenario(running_water=True))
    warm = only(store(lots=lots), Scenario(running_water=True, heating=True))
    assert not [one for one in cold.foods if one.food.heating is Preparation.NEEDED]
    assert [one for one in warm.foods if one.food.heating is Preparation.NEEDED]


def test_the_stores_own_food_is_told_once_it_is_known_how_long_it_keeps() -> None:
    plain = store(lots=[lot(BREAD, 4, net_mass_g=200.0)])
    large = replace(BREAD, net_mass_g=20_000.0)
    for months, is_told in ((None, False), (12, True)):
        changed = replace(large, shelf_life_months=months)
        foods = tuple(changed if one.id == BREAD.id else one for one in plain.foods)
        found = only(replace(plain, foods=foods))
        assert found.days == pytest.approx(2)
        assert (BREAD.id in gains(found)) is is_told
        if is_told:
            assert found.foods[0].days == pytest.approx(100_000 / 2_000)


def test_where_all_are_fed_to_the_horizon_nothing_runs_out() -> None:
    assert asked(store(lots=[lot(BREAD, 60)]), Scenario(running_water=True, horizon_days=5)) == ()


def test_where_nobody_has_a_need_nothing_runs_out() -> None:
    away = Scenario(households_away=frozenset({HouseholdId("h")}))
    assert asked(store(lots=[lot(BREAD, 60)]), away) == ()


# --- against planning's rows, written out and solved by SciPy ---


@pytest.mark.parametrize("seed", range(0, 8 * times(25), 8))
def test_what_is_let_go_adds_the_days_of_the_program_without_it(seed: int) -> None:
    grounds, fair = planned(*small_store(seed))
    for one in runs_out_first(grounds, fair.classes, held=fair.held):
        c = next(n for n, item in enumerate(fair.classes) if item.members is one.members)
        for let in Let:
            expected = max(one.days, days_without(let, grounds, fair, c=c))
            assert one.days_without[let] == pytest.approx(expected, rel=1e-5, abs=1e-5)


def days_without(let: Let, grounds: Grounds, fair: Planned, *, c: int) -> float:
    question, classes = grounds.question, [item.members for item in fair.classes]
    if let is Let.EXTRAS:
        question = replace(question, extras_share=1.0)
    if let is Let.WATER:
        question = replace(question, water=None)
    if let is Let.DATES:
        last = question.horizon_days
        question = replace(
            question, stacks=tuple(replace(stack, day=last) for stack in question.stacks)
        )
    if let is Let.PROTEIN:
        classes = [replace(one, protein_g=0.0) for one in classes]
    least = [min(item.days for item in fair.classes)] * len(classes)
    return densest(question, classes, aims={c: 1.0}, least=least)[0]


@pytest.mark.parametrize("seed", range(0, 12 * times(6), 12))
def test_the_foods_told_are_the_best_of_all_foods_each_planned_again(seed: int) -> None:
    grounds, fair = planned(*small_store(seed))
    for one in runs_out_first(grounds, fair.classes, held=fair.held)[:1]:
        known = every_gain(grounds, fair, one, accepted={Verdict.SUITABLE})
        is_if_label_suits = not known
        if is_if_label_suits:
            known = every_gain(grounds, fair, one, accepted={Verdict.SUITABLE, Verdict.UNKNOWN})
        best = sorted(known.values(), reverse=True)[:MOST_FOODS]
        assert [told.days for told in one.foods] == pytest.approx(best, rel=1e-4, abs=1e-5)
        for told in one.foods:
            assert told.is_if_label_suits is is_if_label_suits
            assert told.days == pytest.approx(known[told.food.id], rel=1e-4, abs=1e-5)


def every_gain(
    grounds: Grounds, fair: Planned, one: RunsOut, *, accepted: set[Verdict]
) -> dict[str, float]:
    """Plan again with a unit of every candidate, and give what adds days to a class."""
    found = {}
    for candidate in candidates_of(grounds.snapshot, AS_OF, scenario=grounds.scenario, wish=Wish()):
        if candidate.food.is_water:
            continue
        stack = candidate.stack(units=1.0, kept_by=None)
        question = replace(grounds.question, stacks=(*grounds.question.stacks, stack))
        classes: list[EatingClass] = []
        aim = -1
        for item in fair.classes:
            group, at = item.members, len(grounds.question.stacks)
            eat = [
                m for m in group.mouths if grounds.judge(stack.offer, m.eater).verdict in accepted
            ]
            rest = [m for m in group.mouths if m not in eat]
            if group is one.members:
                aim = -1 if rest else len(classes)
            for some, shared in ((eat, group.shared | {at}), (rest, group.shared)):
                if some:
                    classes.append(
                        eating_class(some, shared=shared, own=group.own, keeper=group.keeper)
                    )
        if aim >= 0:
            least = [min(item.days for item in fair.classes)] * len(classes)
            gain = densest(question, classes, aims={aim: 1.0}, least=least)[0] - one.days
            if gain > 1e-5:
                found[str(candidate.food.id)] = gain
    return found
