"""A food is judged for a whole home: what binds it, for whom it is not, and what is shown."""

from dataclasses import replace
from datetime import timedelta
from typing import Final

from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.offers import offer_of
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from daysworth.domain.suitability import judge
from daysworth.domain.verdicts import Shown, Verdict
from daysworth.planners.household_fit import WORST_FIRST, Fit, fit, table_of
from tests.planners import small_stores
from tests.planners.one_home import home, lot, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, TRACES, avoiding, infant, read

few = settings(max_examples=60, deadline=None, derandomize=True, database=None)
ALONE: Final = replace(PEANUT, reach=Reach.PERSON)
UNSUITABLE, SUITABLE = Verdict.UNSUITABLE, Verdict.SUITABLE


def spread_for(*homes: Household) -> list[Fit]:
    """Judge a spread of peanuts for homes."""
    return [fit(offer_of(lot(SPREAD, 1), SPREAD), table_of(one, AS_OF)) for one in homes]


def test_what_binds_the_home_keeps_a_food_out_whoever_would_eat_it() -> None:
    homes = (home(woman("b"), avoiding(PEANUT)), home(woman("b"), avoiding(ALONE)))
    assert [one.verdict for one in spread_for(*homes)] == [UNSUITABLE, SUITABLE]


def test_a_food_that_no_member_may_eat_does_not_go_in() -> None:
    nobody = home(avoiding(ALONE), avoiding(ALONE, id_="b"))
    assert spread_for(nobody)[0].verdict is UNSUITABLE


def test_a_food_that_one_member_may_not_eat_is_told_with_the_finding() -> None:
    (found,) = spread_for(home(woman("b"), avoiding(ALONE)))
    assert found.shown is Shown.SUITABLE
    assert [(one.shown, one.members) for one in found.findings] == [(Shown.UNSUITABLE, ("a",))]


def test_the_home_is_bound_as_strictly_as_its_strictest_member() -> None:
    accepts = replace(PEANUT, accepts_may_contain=True)
    offer = offer_of(read(STEW, label=TRACES), STEW)
    for people in ((PEANUT, accepts), (accepts, PEANUT)):
        members = [avoiding(one, id_=f"{n}") for n, one in enumerate(people)]
        assert fit(offer, table_of(home(*members), AS_OF)).verdict is UNSUITABLE
    (alone,) = fit(offer, table_of(home(avoiding(accepts)), AS_OF)).findings
    assert (alone.reason.verdict, alone.reason.is_warning) == (SUITABLE, True)


def test_a_member_bound_more_strictly_than_the_home_takes_nothing_from_what_binds_it() -> None:
    lax = Restriction(allergy=Substance.PEANUT, accepts_may_contain=True)
    both = home(avoiding(lax, replace(ALONE, accepts_may_contain=False)))
    (found,) = spread_for(both)
    assert found.verdict is UNSUITABLE
    assert {one.binds_home for one in found.findings} == {True, False}


def test_what_binds_a_home_holds_though_nobody_there_is_born_yet() -> None:
    coming = home(avoiding(PEANUT, born_on=AS_OF + timedelta(days=9)))
    assert spread_for(coming)[0].verdict is UNSUITABLE


def test_a_home_that_is_advised_is_never_shown_that_a_food_suits() -> None:
    for diet in (Diet.DIABETIC, Diet.RENAL, Diet.LOW_SODIUM):
        (found,) = spread_for(home(avoiding(Restriction(diet=diet)), woman("b")))
        assert found.shown is Shown.ASK_CARE_TEAM
        assert [one.shown for one in found.findings] == [Shown.ASK_CARE_TEAM]


def test_table_food_goes_to_a_home_with_an_infant_and_not_to_an_infant_alone() -> None:
    assert [one.verdict for one in spread_for(home(woman(), infant(3)), home(infant(3)))] == [
        SUITABLE,
        UNSUITABLE,
    ]


@few
@given(st.integers(0, 10**6))
def test_no_home_gets_what_binds_it_and_none_is_cleared_that_nobody_in_it_may_eat(
    seed: int,
) -> None:
    snapshot, _ = small_stores.small_store(seed)
    foods = {one.id: one for one in snapshot.foods}
    for one in snapshot.households:
        table = table_of(one, AS_OF)
        for held in snapshot.lots:
            offer = offer_of(held, foods[held.food])
            found = fit(offer, table)
            verdicts = [judge(offer, eater).verdict for _, eater in table.eaters]
            at_best = max(verdicts, key=WORST_FIRST.index)
            bound = [each.reason.verdict for each in found.findings if each.binds_home]
            expected = min([at_best, *bound], key=WORST_FIRST.index)
            assert found.verdict is expected
            ranks = [WORST_FIRST.index(each.reason.verdict) for each in found.findings]
            assert ranks == sorted(ranks)
