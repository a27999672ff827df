"""An eater carries a member's own demands and the home's, each in its strictest form."""

from datetime import date, timedelta
from itertools import product

import pytest
from dateutil.relativedelta import relativedelta

from daysworth.domain.demands import Demand, demand_of
from daysworth.domain.eaters import eater_of, home_demands, strictest
from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.people import Household, Member
from daysworth.domain.restrictions import (
    Diet,
    DietLevel,
    FormulaKind,
    Reach,
    Restriction,
    Substance,
)

AS_OF = date(2026, 6, 15)
STRICT = Demand(allergy=Substance.MILK)
LENIENT = Demand(allergy=Substance.MILK, accepts_may_contain=True)
CERTIFIED = Demand(diet=Diet.HALAL, is_certified_only=True)
BY_INGREDIENTS = Demand(diet=Diet.HALAL)
EXCLUDING = Demand(diet=Diet.LOW_SODIUM, is_excluding=True)
ADVISED = Demand(diet=Diet.LOW_SODIUM)


def under_four(born_on: date) -> bool:
    member = Member(id=MemberId("m"), born_on=born_on)
    home = Household(id=HouseholdId("h"), members=(member,))
    return eater_of(member, household=home, as_of=AS_OF).is_under_four


def test_a_child_is_under_four_from_its_first_birthday_to_the_day_before_its_fourth() -> None:
    assert under_four(AS_OF - relativedelta(years=1))
    assert under_four(AS_OF - relativedelta(years=4) + timedelta(days=1))
    assert not under_four(AS_OF - relativedelta(years=4))
    assert not under_four(AS_OF - relativedelta(years=40))
    # Before that it eats no table food, so there is nothing to choke on.
    assert not under_four(AS_OF - relativedelta(years=1) + timedelta(days=1))


@pytest.mark.parametrize(
    ("strict", "lenient"),
    [(STRICT, LENIENT), (CERTIFIED, BY_INGREDIENTS), (EXCLUDING, ADVISED)],
    ids=["may contain", "level", "sodium"],
)
def test_of_one_demand_made_twice_the_stricter_is_kept(strict: Demand, lenient: Demand) -> None:
    assert strictest([strict, lenient]) == {strict}
    assert strictest([lenient, strict]) == {strict}
    assert strictest([lenient]) == {lenient}


def test_own_words_and_formula_are_kept_in_their_strictest_form_too() -> None:
    kiwi = Demand(words="kiwi")
    assert strictest([kiwi, Demand(words="kiwi", accepts_may_contain=True)]) == {kiwi}
    kinds = {Demand(formula=kind) for kind in FormulaKind}
    assert strictest(kinds) == kinds


def test_demands_about_different_things_are_all_kept() -> None:
    every = {
        *(Demand(allergy=substance) for substance in Substance),
        *(Demand(diet=diet) for diet in Diet),
        *(Demand(words="kiwi"), Demand(words="red dye", accepts_may_contain=True)),
    }
    assert strictest(every) == every


def test_a_demand_that_is_stricter_in_one_way_and_laxer_in_another_is_kept_beside_it() -> None:
    mixed = [
        Demand(diet=Diet.HALAL, is_certified_only=certified, is_excluding=excluding)
        for certified, excluding in product((False, True), (False, True))
    ]
    assert strictest(mixed) == {mixed[3]}
    assert strictest(mixed[1:3]) == set(mixed[1:3])


@pytest.mark.parametrize(
    ("restriction", "demand"),
    [
        (Restriction(allergy=Substance.MILK), STRICT),
        (Restriction(allergy=Substance.MILK, accepts_may_contain=True), LENIENT),
        (Restriction(words="kiwi"), Demand(words="kiwi")),
        (Restriction(formula=FormulaKind.SOY), Demand(formula=FormulaKind.SOY)),
        (Restriction(diet=Diet.HALAL), BY_INGREDIENTS),
        (Restriction(diet=Diet.HALAL, level=DietLevel.BY_INGREDIENTS), BY_INGREDIENTS),
        (Restriction(diet=Diet.HALAL, level=DietLevel.CERTIFIED), CERTIFIED),
        (Restriction(diet=Diet.LOW_SODIUM), ADVISED),
        (Restriction(diet=Diet.LOW_SODIUM, is_excluding=True), EXCLUDING),
    ],
)
def test_a_restriction_demands_what_it_says(restriction: Restriction, demand: Demand) -> None:
    assert demand_of(restriction) == demand


def test_only_medical_diets_that_are_not_told_to_exclude_only_advise() -> None:
    advising = {diet for diet in Diet if Demand(diet=diet).only_advises}
    assert advising == {Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM}
    assert not EXCLUDING.only_advises
    assert not STRICT.only_advises


def test_allergies_and_own_words_bind_the_home_and_diets_and_formula_do_not() -> None:
    bound = (Restriction(allergy=Substance.MILK), Restriction(words="kiwi"))
    free = (Restriction(diet=Diet.VEGAN), Restriction(formula=FormulaKind.SOY))
    member = Member(id=MemberId("m"), born_on=date(1990, 1, 1), restrictions=(*bound, *free))
    home = Household(id=HouseholdId("h"), members=(member,))
    assert home_demands(home) == {demand_of(one) for one in bound}
    personal = Restriction(words="kiwi", reach=Reach.PERSON)
    assert not personal.binds_home
    assert Restriction(formula=FormulaKind.SOY, reach=Reach.HOME).binds_home
