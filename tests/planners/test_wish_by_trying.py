"""Try every lighter list: none of them is enough, and the list that is given is."""

from collections import Counter
from functools import cache

import pytest

from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import fairest
from daysworth.planners.wish_list import WishList, WishOutcome, wish_list
from tests.planners.how_many import times
from tests.planners.small_stores import AS_OF
from tests.planners.wish_by_trying import NEARLY, days_at_home, trial, trial_at_home

TRIALS = times(125)
AT_HOME = times(100)
AT_ONCE = 25
MUCH = 400


@cache
def answered(seed: int) -> WishList:
    one = trial(seed)
    return wish_list(one.snapshot, AS_OF, scenario=one.scenario, wish=one.wish)


@pytest.mark.parametrize("first", range(0, TRIALS, AT_ONCE))
def test_no_lighter_list_is_enough_and_the_list_given_is(first: int) -> None:
    for seed in range(first, first + AT_ONCE):
        one = trial(seed)
        found = answered(seed)
        units, target = one.units_of(found), one.wish.target_days
        if found.days_before is None:
            continue
        days = one.days(units, found.lacking)
        assert days is not None, seed
        assert found.is_least, seed
        assert one.amount(units) == pytest.approx(found.amount)
        assert days >= target - NEARLY, seed
        for lighter in one.lighter(found.amount):
            fewer = one.days(lighter, found.lacking)
            assert fewer is None or fewer < target + NEARLY, (seed, lighter)


@pytest.mark.parametrize("first", range(0, TRIALS, AT_ONCE))
def test_who_is_lacking_is_not_fed_for_the_target_however_much_is_brought(first: int) -> None:
    for seed in range(first, first + AT_ONCE):
        one = trial(seed)
        found = answered(seed)
        assert (found.outcome is WishOutcome.SOME_LACK) == bool(found.lacking)
        if found.lacking:
            days = one.days([MUCH for _ in one.offered])
            assert days is not None
            assert days == pytest.approx(min(lack.days for lack in found.lacking), abs=NEARLY)
            assert days < one.wish.target_days


def test_the_trials_end_in_every_way_and_most_with_a_list() -> None:
    ends = Counter(answered(seed).outcome for seed in range(TRIALS))
    assert ends[WishOutcome.LISTED] >= 50
    assert min(ends[outcome] for outcome in WishOutcome) >= 6, ends


@pytest.mark.parametrize("first", range(0, AT_HOME, AT_ONCE))
def test_for_one_household_no_lighter_list_is_enough_while_all_others_keep_their_days(
    first: int,
) -> None:
    for seed in range(first, first + AT_ONCE):
        one, home = trial_at_home(seed)
        found = wish_list(one.snapshot, AS_OF, scenario=one.scenario, wish=one.wish)
        if found.outcome is not WishOutcome.LISTED:
            continue
        grounds = Grounds(one.snapshot, AS_OF, scenario=one.scenario)
        fair = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal).classes
        target = one.wish.target_days
        days = days_at_home(one, one.units_of(found), home=home, others=fair)
        assert days is not None, seed
        assert days >= target - NEARLY, seed
        assert found.is_least, seed
        for lighter in one.lighter(found.amount):
            fewer = days_at_home(one, lighter, home=home, others=fair)
            assert fewer is None or fewer < target + 1e-5 * target, (seed, lighter)
