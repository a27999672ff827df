"""The labels to read first are told with exactly the days that each would add."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count, islice
from typing import Final

import pytest

from daysworth.domain.demands import Eater
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.offers import Offer
from daysworth.domain.restrictions import Reach, Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge
from daysworth.domain.verdicts import Judgement, Reason, Verdict
from daysworth.planners.coverage import Coverage, plan_coverage, plan_days
from daysworth.planners.labels_to_read import MOST_TRIED
from daysworth.planners.scenario import Scenario
from tests.planners.how_many import times
from tests.planners.one_home import BREAD, OIL, STARCH, asked, home, lot, store, woman
from tests.planners.small_stores import AS_OF, small_store
from tests.planners.warned_homes import CLEAR, PEANUT, avoiding, read

NEARLY: Final = 1e-6
EATS_ANYTHING: Final = woman("z")


def supposing(labels: Iterable[Offer], offer: Offer, eater: Eater) -> Judgement:
    """Judge, taking it that these labels suit wherever that is not known."""
    found = judge(offer, eater)
    if found.verdict is Verdict.UNKNOWN and offer in labels:
        return Judgement((Reason(verdict=Verdict.SUITABLE, words="supposed"),))
    return found


def test_a_label_is_worth_what_planning_with_it_read_gives() -> None:
    lots = [read(BREAD, 4), lot(STARCH, 6)]
    snapshot = store([home(avoiding(PEANUT)), home(EATS_ANYTHING, id_="k")], lots)
    (one,) = asked(snapshot).labels_to_read
    assert one.offer.food == STARCH
    assert one.energy_kcal == pytest.approx(6_000)
    assert [item.lot.units for item in one.lots] == [6]
    was_read = tuple(replace(held, readings=(CLEAR,)) for held in snapshot.lots)
    then = asked(replace(snapshot, lots=was_read)).everyone_fed_days
    assert one.everyone_fed_days == pytest.approx(then, rel=NEARLY)


def test_nothing_is_named_where_nothing_would_be_gained() -> None:
    for snapshot in (
        store([home(avoiding(PEANUT))], [read(BREAD, 4)]),
        store([home()], [lot(BREAD, 4)]),
        store([home(avoiding(PEANUT))], [read(BREAD, 900), lot(STARCH, 5)]),
        store([home(avoiding(PEANUT))], []),
    ):
        assert asked(snapshot).labels_to_read == ()


def test_what_a_plan_has_room_for_a_little_of_is_named_after_other_food() -> None:
    snapshot = store([home(avoiding(PEANUT))], [read(BREAD, 9), lot(OIL, 90), lot(STARCH, 2)])
    tried = [one.offer.food.id for one in asked(snapshot).labels_to_read]
    assert sorted(tried) == ["oil", "starch"]
    many = [
        replace(lot(OIL, 90), readings=(LabelReading(free_from=frozenset({one})),))
        for one in sorted(Substance)[:MOST_TRIED]
    ]
    crowded = store([home(avoiding(PEANUT))], [read(BREAD, 9), *many, lot(BREAD, 2)])
    named = [one.offer.food for one in asked(crowded).labels_to_read]
    assert len(named) == MOST_TRIED
    assert named[0] == BREAD
    held = store([home(avoiding(PEANUT))], [lot(OIL, 90), lot(BREAD, 2)])
    found = asked(held).labels_to_read
    assert [one.offer.food for one in found] == [BREAD, OIL]
    assert found[-1].everyone_fed_days == asked(held).everyone_fed_days == 0


def stores_that_name_labels(how_many: int) -> Iterator[tuple[Snapshot, Scenario, Coverage]]:
    """The first of the small stores whose coverage names labels to read, with that coverage."""
    every = (small_store(seed) for seed in count())
    planned = ((*one, plan_coverage(one[0], AS_OF, scenario=one[1])) for one in every)
    return islice((one for one in planned if one[2].labels_to_read), how_many)


def test_each_label_named_adds_exactly_what_it_says_and_no_more_than_all_of_them() -> None:
    for snapshot, scenario, coverage in stores_that_name_labels(times(6)):
        assert_labels_add_what_they_say(snapshot, scenario, coverage)


def assert_labels_add_what_they_say(
    snapshot: Snapshot, scenario: Scenario, coverage: Coverage
) -> None:
    """Plan anew with each label named, supposing that it suits."""
    now, most = coverage.everyone_fed_days, coverage.everyone_fed_days_if_unread_suit
    assert now is not None
    assert most is not None
    assert len(coverage.labels_to_read) <= MOST_TRIED
    for one in coverage.labels_to_read:
        alone = plan_days(
            snapshot,
            AS_OF,
            scenario=scenario,
            judge=lambda offer, eater, one=one: supposing({one.offer}, offer, eater),  # type: ignore[misc]
        ).everyone_fed_days
        assert one.everyone_fed_days == pytest.approx(alone, rel=NEARLY, abs=NEARLY)
        assert now - NEARLY <= one.everyone_fed_days <= most + NEARLY
    days = [one.everyone_fed_days for one in coverage.labels_to_read]
    assert days == sorted(days, reverse=True)


def test_a_label_that_is_unknown_only_to_those_who_last_longer_is_not_named() -> None:
    avoids_milk = avoiding(Restriction(allergy=Substance.MILK, reach=Reach.PERSON), id_="b")
    first_out, last_out = home(avoiding(PEANUT)), home(avoids_milk, id_="k")
    milk_unread = LabelReading(
        not_declared=frozenset({Substance.PEANUT}), is_whole=True, regime=Regime.US_FDA
    )
    peanut_unread = replace(milk_unread, not_declared=frozenset({Substance.MILK}))
    lots = [
        read(BREAD, 8, label=peanut_unread),
        read(BREAD, 2, label=milk_unread),
        read(STARCH, 1, label=milk_unread),
    ]
    found = asked(store([first_out, last_out], lots))
    assert found.everyone_fed_days == pytest.approx(1.5)
    assert [one.offer.readings for one in found.labels_to_read] == [(peanut_unread,)]
