"""A restriction binds its own member, or everything that enters the home, and no other home."""

from datetime import date, timedelta

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand
from daysworth.domain.eaters import eater_of, is_advised
from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.restrictions import ADVISING, Diet, Reach, Restriction, Substance
from tests.domain.offers import ACCEPTS, AVOIDS

AS_OF = date(2026, 6, 15)


def member(name: str, *restrictions: Restriction, age: int = 35) -> Member:
    band = AgeBand(from_years=age, to_years=age)
    return Member(id=MemberId(name), age_band=band, restrictions=restrictions)


def demands_on(one: Member, *others: Member) -> frozenset[Demand]:
    home = Household(id=HouseholdId("h01"), members=(one, *others))
    return eater_of(one, household=home, as_of=AS_OF).demands


@pytest.mark.parametrize(
    ("reach", "binds"), [(None, True), (Reach.HOME, True), (Reach.PERSON, False)]
)
def test_an_allergy_binds_the_home_unless_it_is_one_persons(
    reach: Reach | None, *, binds: bool
) -> None:
    has_it = member("has it", Restriction(allergy=Substance.PEANUT, reach=reach))
    assert demands_on(has_it, member("other")) == {AVOIDS}
    assert demands_on(member("other"), has_it) == ({AVOIDS} if binds else set())


@pytest.mark.parametrize(
    ("reach", "binds"), [(None, False), (Reach.HOME, True), (Reach.PERSON, False)]
)
def test_a_diet_binds_one_person_unless_it_is_the_homes(
    reach: Reach | None, *, binds: bool
) -> None:
    follows = member("follows", Restriction(diet=Diet.VEGAN, reach=reach))
    vegan = Demand(diet=Diet.VEGAN)
    assert demands_on(follows, member("other")) == {vegan}
    assert demands_on(member("other"), follows) == ({vegan} if binds else set())


def test_no_restriction_reaches_another_home() -> None:
    has_it = member("has it", Restriction(allergy=Substance.PEANUT))
    assert demands_on(has_it) == {AVOIDS}
    assert demands_on(member("next door")) == frozenset()


def test_the_stricter_holds_where_two_in_a_home_have_the_same_allergy() -> None:
    strict = member("strict", Restriction(allergy=Substance.PEANUT))
    lenient = member("lenient", Restriction(allergy=Substance.PEANUT, accepts_may_contain=True))
    for one, other in ((strict, lenient), (lenient, strict)):
        assert demands_on(one, other) == {AVOIDS}
    assert demands_on(lenient, member("other")) == {ACCEPTS}


def test_a_stricter_allergy_of_one_person_does_not_bind_the_others() -> None:
    strict = member("strict", Restriction(allergy=Substance.PEANUT, reach=Reach.PERSON))
    lenient = member("lenient", Restriction(allergy=Substance.PEANUT, accepts_may_contain=True))
    assert demands_on(strict, lenient) == {AVOIDS}
    assert demands_on(lenient, strict) == {ACCEPTS}


def test_an_eaters_stage_is_that_of_the_date() -> None:
    born_on = AS_OF - timedelta(days=170)
    baby = Member(id=MemberId("baby"), born_on=born_on)
    home = Household(id=HouseholdId("h01"), members=(baby,))
    stages = [
        eater_of(baby, household=home, as_of=day).stage
        for day in (AS_OF, AS_OF + timedelta(days=60), AS_OF + timedelta(days=300))
    ]
    assert stages == [Stage.FORMULA, Stage.BABY_FOOD, Stage.TABLE_FOOD]


@pytest.mark.parametrize("diet", Diet)
def test_a_home_is_advised_where_a_member_follows_a_medical_diet(diet: Diet) -> None:
    follows = member("follows", Restriction(diet=diet))
    home = Household(id=HouseholdId("h01"), members=(member("other"), follows))
    assert is_advised(home) is (diet in ADVISING)
