"""The invented neighbourhood holds what it is said to hold, on whatever day it is looked at."""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import pytest

from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.ages import age_of
from daysworth.domain.errors import DateRefused
from daysworth.domain.foods import FoodGroup
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.people import InfantFeeding, Member
from daysworth.domain.restrictions import Diet, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coverage import Coverage, HouseholdDays, plan_coverage
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.shelf import Standing, dated_lots

AN_ORDINARY_DAY = date(2025, 3, 14)
DATES = [
    date(2020, 1, 1),
    date(2024, 2, 29),
    date(2027, 8, 31),
    date(2040, 2, 29),
    date(2053, 11, 30),
    date(2060, 12, 31),
]
PLACES = {"hall", "basement", "home-h03", "home-h09", "home-h17"}

on_any_day = pytest.mark.parametrize("as_of", DATES, ids=str)


@pytest.fixture(scope="module")
def snapshot() -> Snapshot:
    return neighbourhood(AN_ORDINARY_DAY)


def members(snapshot: Snapshot) -> Iterator[Member]:
    return (member for household in snapshot.households for member in household.members)


def diets(snapshot: Snapshot) -> Counter[tuple[Diet, bool]]:
    """Count the homes in which a diet is followed, apart for those where it binds the home."""
    return Counter(
        found
        for household in snapshot.households
        for found in {
            (rule.diet, rule.binds_home)
            for member in household.members
            for rule in member.restrictions
            if rule.diet is not None
        }
    )


def standings(snapshot: Snapshot) -> Counter[Standing]:
    return Counter(item.standing for item in dated_lots(snapshot, snapshot.taken_on))


def days_left(snapshot: Snapshot) -> list[int]:
    """List the days until the last good day of every sound food lot that has one."""
    return [
        (item.last_good_day - snapshot.taken_on).days
        for item in dated_lots(snapshot, snapshot.taken_on)
        if item.last_good_day is not None
        and item.lot.condition is Condition.SOUND
        and not item.food.is_water
    ]


def water_lots(snapshot: Snapshot, food: str) -> list[Lot]:
    return [lot for lot in snapshot.lots if lot.food == food]


def everyone_fed(coverage: Coverage) -> float:
    assert coverage.everyone_fed_days is not None
    return coverage.everyone_fed_days


def household_days(coverage: Coverage, household: str) -> float:
    found: HouseholdDays = next(one for one in coverage.households if one.household == household)
    assert found.days is not None
    return found.days


# --- people -------------------------------------------------------------------------------------


def test_seventy_odd_people_of_all_ages_live_in_24_households(snapshot: Snapshot) -> None:
    ages = [age_of(member, AN_ORDINARY_DAY).completed_years for member in members(snapshot)]
    assert len(snapshot.households) == 24
    assert 68 <= len(ages) <= 74
    edges = [0, 1, 5, 13, 20, 40, 65, 80, 120]
    assert all(any(low <= age < high for age in ages) for low, high in pairwise(edges))


def test_some_ages_are_known_only_roughly(snapshot: Snapshot) -> None:
    assert 3 <= sum(member.age_band is not None for member in members(snapshot)) <= 10


def test_every_member_is_named_after_their_household(snapshot: Snapshot) -> None:
    for household in snapshot.households:
        assert [member.id for member in household.members] == [
            f"{household.id}-{number}" for number in range(1, len(household.members) + 1)
        ]


@on_any_day
def test_one_infant_under_six_months_is_fed_formula_and_one_is_breastfed(as_of: date) -> None:
    feeding = [
        member.infant_feeding
        for member in members(neighbourhood(as_of))
        if age_of(member, as_of).completed_months < 6
    ]
    assert sorted(map(str, feeding)) == [InfantFeeding.BREASTFED, InfantFeeding.FORMULA]


def test_the_breastfed_infant_lives_with_the_mother_who_feeds_it(snapshot: Snapshot) -> None:
    (home,) = (
        household
        for household in snapshot.households
        if any(one.infant_feeding is InfantFeeding.BREASTFED for one in household.members)
    )
    infant_born_on = {
        one.born_on for one in home.members if one.infant_feeding is InfantFeeding.BREASTFED
    }
    assert {one.breastfeeding_since_on for one in home.members} == infant_born_on | {None}


def test_one_member_is_pregnant(snapshot: Snapshot) -> None:
    due = [one.pregnancy_due_on for one in members(snapshot) if one.pregnancy_due_on]
    assert len(due) == 1
    assert AN_ORDINARY_DAY < due[0] < AN_ORDINARY_DAY + timedelta(weeks=40)


def test_four_allergies_each_bind_a_home_of_their_own(snapshot: Snapshot) -> None:
    homes = {
        rule.allergy: household.id
        for household in snapshot.households
        for member in household.members
        for rule in member.restrictions
        if rule.allergy is not None and rule.binds_home
    }
    assert set(homes) == {Substance.PEANUT, Substance.MILK, Substance.WHEAT, Substance.SESAME}
    assert len(set(homes.values())) == 4


def test_the_diets_are_those_of_persons_and_of_three_whole_homes(snapshot: Snapshot) -> None:
    found = diets(snapshot)
    for person in (Diet.VEGETARIAN, Diet.DIABETIC, Diet.SOFT):
        assert (person, False) in found
    assert {key[0]: count for key, count in found.items() if key[1]} == {
        Diet.VEGETARIAN: 1,
        Diet.HALAL: 1,
        Diet.GLUTEN_FREE: 1,
    }


def test_the_soft_diet_is_an_old_persons(snapshot: Snapshot) -> None:
    (one,) = (
        member
        for member in members(snapshot)
        if any(rule.diet is Diet.SOFT for rule in member.restrictions)
    )
    assert age_of(one, AN_ORDINARY_DAY).completed_years >= 75


def test_there_are_a_few_pets(snapshot: Snapshot) -> None:
    assert 3 <= sum(household.pets for household in snapshot.households) <= 10


# --- shelves ------------------------------------------------------------------------------------


def test_four_hundred_lots_stand_in_five_places(snapshot: Snapshot) -> None:
    used = Counter(lot.place for lot in snapshot.lots)
    assert len(snapshot.lots) == 400
    assert set(used) == {place.id for place in snapshot.places} == PLACES
    assert min(used.values()) >= 25


def test_lots_are_of_the_size_that_households_buy(snapshot: Snapshot) -> None:
    units = [lot.units for lot in snapshot.lots if lot.condition is not Condition.DAMAGED]
    assert min(units) >= 2
    assert max(units) <= 48


def test_most_lots_are_shared_and_25_are_kept(snapshot: Snapshot) -> None:
    kept = [lot for lot in snapshot.lots if not lot.is_shared]
    shared_by = Counter(lot.owner is not None for lot in snapshot.lots if lot.is_shared)
    assert len(kept) == 25
    assert len({lot.owner for lot in kept}) >= 5
    assert min(shared_by[True], shared_by[False]) >= 100


@on_any_day
def test_what_does_not_count_is_there_in_known_numbers(as_of: date) -> None:
    found = standings(neighbourhood(as_of))
    assert found[Standing.DAMAGED] == 2
    assert found[Standing.QUARANTINED] == 1
    assert found[Standing.UNDATED] == 15
    assert found[Standing.PAST] == 9


def test_the_damaged_lots_are_single_tins(snapshot: Snapshot) -> None:
    foods = {food.id: food for food in snapshot.foods}
    damaged = [lot for lot in snapshot.lots if lot.condition is Condition.DAMAGED]
    assert [lot.units for lot in damaged] == [1, 1]
    assert all(foods[lot.food].needs_opener for lot in damaged)


@on_any_day
def test_some_dates_fall_within_weeks_and_many_within_thirty_months(as_of: date) -> None:
    left = days_left(neighbourhood(as_of))
    assert sum(0 <= days <= 28 for days in left) >= 8
    assert sum(180 <= days <= 930 for days in left) >= 200


@on_any_day
def test_labels_are_dated_to_the_day_the_month_and_the_year(as_of: date) -> None:
    printed = Counter(len(lot.printed) for lot in neighbourhood(as_of).lots if lot.printed)
    assert printed[len("2025-03")] >= 80
    assert printed[len("2025-03-14")] >= 150
    assert printed[len("2025")] >= 5


def test_every_kind_of_label_is_there(snapshot: Snapshot) -> None:
    assert {lot.label_kind for lot in snapshot.lots} == set(LabelKind)


def test_one_lot_is_promised_in_part(snapshot: Snapshot) -> None:
    (lot,) = (lot for lot in snapshot.lots if lot.units_promised)
    assert 0 < lot.units_promised < lot.units


@on_any_day
def test_water_is_bottled_and_self_filled_and_some_of_that_is_overdue(as_of: date) -> None:
    snapshot = neighbourhood(as_of)
    past = {
        item.lot.food
        for item in dated_lots(snapshot, as_of)
        if item.food.is_water and item.standing is Standing.PAST
    }
    assert past == {"water_self_filled"}
    assert len(water_lots(snapshot, "water_bottled")) >= 5
    assert len(water_lots(snapshot, "water_self_filled")) >= 5


def test_dry_staples_that_must_be_cooked_are_on_the_shelf(snapshot: Snapshot) -> None:
    stocked = {lot.food for lot in snapshot.lots}
    assert {"white_rice_dry", "wheat_flour_white", "pinto_beans_dry"} <= stocked


def test_no_household_put_up_what_its_own_allergy_rules_out(snapshot: Snapshot) -> None:
    foods = {food.id: food for food in snapshot.foods}
    allergies = {
        household.id: {rule.allergy for one in household.members for rule in one.restrictions}
        for household in snapshot.households
    }
    for lot in snapshot.lots:
        if lot.owner is not None:
            assert not foods[lot.food].facts.contains & allergies[lot.owner]


# --- days ---------------------------------------------------------------------------------------


SESAME_ON_LABELS = [day for day in DATES if day.year > 2023]
"""Days on which what stands on the shelves was packed when US labels had to declare sesame."""


@cache
def planned(as_of: date) -> Coverage:
    """Plan the neighbourhood of a day, once for all claims about it."""
    return plan_coverage(neighbourhood(as_of), as_of)


@pytest.fixture(params=SESAME_ON_LABELS, ids=str)
def coverage(request: pytest.FixtureRequest) -> Coverage:
    as_of: date = request.param
    return planned(as_of)


def test_everyone_is_fed_for_about_a_week(coverage: Coverage) -> None:
    assert 6 <= everyone_fed(coverage) <= 9


def test_the_home_with_a_peanut_allergy_alone_holds_everyone_down(coverage: Coverage) -> None:
    held = {mouth.household for item in coverage.held_by for mouth in item.members.mouths}
    assert held == {"H05"}


def test_the_next_level_is_clearly_above(coverage: Coverage) -> None:
    assert coverage.next_level_days is not None
    assert coverage.next_level_days > everyone_fed(coverage) + 1.5


def test_reading_labels_could_add_days(coverage: Coverage) -> None:
    assert coverage.everyone_fed_days_if_unread_suit is not None
    assert coverage.everyone_fed_days_if_unread_suit > everyone_fed(coverage) + 2


def test_there_are_ten_to_fourteen_days_for_each_person(coverage: Coverage) -> None:
    assert 700 <= coverage.person_days <= 1000
    assert 10 <= coverage.person_days / coverage.members_with_a_need <= 14


def test_there_is_clearly_more_on_paper(coverage: Coverage) -> None:
    assert coverage.person_days_on_paper > 1.25 * coverage.person_days


def test_water_is_near_and_does_not_bind_the_everyone_fed_days(coverage: Coverage) -> None:
    assert coverage.water.days is not None
    assert 12 <= coverage.water.days <= 16
    assert coverage.water.days > everyone_fed(coverage) + 3
    assert coverage.water.overdue_l > 0


def test_the_formula_fed_infant_is_not_the_worst_off(coverage: Coverage) -> None:
    infant = [
        item.days
        for item in coverage.classes
        for mouth in item.members.mouths
        if mouth.household == "H07" and mouth.energy_kcal < 700
    ]
    assert len(infant) == 1
    assert infant[0] >= everyone_fed(coverage)
    assert household_days(coverage, "H07") >= everyone_fed(coverage)


def test_what_the_peanut_allergy_home_keeps_helps_it_when_own_stock_counts() -> None:
    snapshot = neighbourhood(AN_ORDINARY_DAY)
    with_own = Scenario(stock=StockScope.ALL)
    shared = planned(AN_ORDINARY_DAY)
    own = plan_coverage(snapshot, AN_ORDINARY_DAY, scenario=with_own)
    assert household_days(own, "H05") > household_days(shared, "H05")


def test_the_answers_do_not_hang_on_the_day() -> None:
    found = [everyone_fed(planned(day)) for day in SESAME_ON_LABELS]
    assert max(found) - min(found) < 0.5


def test_while_no_label_had_to_declare_sesame_the_home_that_avoids_it_is_the_worst_off() -> None:
    before = date(2020, 1, 1)
    coverage = plan_coverage(neighbourhood(before), before)
    held = {mouth.household for item in coverage.held_by for mouth in item.members.mouths}
    assert held == {"H19"}


# --- dates --------------------------------------------------------------------------------------


@pytest.mark.parametrize("as_of", [date(2010, 1, 1), date(2090, 12, 31)], ids=str)
def test_the_neighbourhood_exists_from_2010_to_2090(as_of: date) -> None:
    assert neighbourhood(as_of).taken_on == as_of


@pytest.mark.parametrize("as_of", [date(2009, 12, 31), date(2091, 1, 1)], ids=str)
def test_a_date_outside_those_years_is_refused(as_of: date) -> None:
    with pytest.raises(DateRefused, match="2010 to 2090"):
        neighbourhood(as_of)


def test_all_generic_foods_come_with_it(snapshot: Snapshot) -> None:
    assert {food.group for food in snapshot.foods} == set(FoodGroup)
