"""A warning's mark changes with all that it hangs on, and with nothing else."""

import subprocess
import sys
from dataclasses import replace
from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.restrictions import Reach, Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from tests.planners.one_home import home, lot, store, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import (
    BEANS,
    CLEAR,
    FISH,
    PEANUT,
    SPREAD,
    STEW,
    TRACES,
    VEGETARIAN,
    avoiding,
    of,
    peanut_home,
    read,
    warned,
)


def mark(snapshot: Snapshot, chosen: Food = SPREAD) -> str:
    return of(snapshot, chosen).mark


def test_a_mark_changes_with_the_food_its_label_its_handling_and_the_need() -> None:
    plain = peanut_home(lot(SPREAD, 1))
    other = replace(SPREAD, energy_kcal_100g=601)
    foods = tuple(other if one.id == SPREAD.id else one for one in plain.foods)
    opened = replace(plain.lots[0], opened_on=AS_OF)
    packed = replace(plain.lots[0], label_kind=LabelKind.PACKED_ON, printed="2025-03-01")
    accepts = replace(PEANUT, accepts_may_contain=True)
    alone = replace(PEANUT, reach=Reach.PERSON)
    marks = [
        mark(plain),
        mark(replace(plain, foods=foods)),
        mark(peanut_home(read(SPREAD))),
        mark(peanut_home(read(SPREAD, label=TRACES))),
        mark(replace(plain, lots=(opened,))),
        mark(replace(plain, lots=(packed,))),
        mark(store([home(avoiding(accepts))], [lot(SPREAD, 1)])),
        mark(store([home(avoiding(alone))], [lot(SPREAD, 1)])),
        mark(store([home(avoiding(PEANUT, VEGETARIAN))], [lot(SPREAD, 1)])),
    ]
    assert len(set(marks)) == len(marks)
    assert {len(one) for one in marks} == {32}


def test_a_mark_hangs_on_no_order_and_on_nothing_that_is_not_its_own() -> None:
    both = (CLEAR, TRACES)
    first = peanut_home(lot(SPREAD, 1, readings=both), lot(SPREAD, 2, readings=both[::-1]))
    (one,) = warned(first).warnings
    assert one.units == 3
    more = store(
        [home(woman("z"), id_="a"), home(avoiding(PEANUT, dislikes=("soup",)), pets=2)],
        [read(STEW), lot(SPREAD, 5, readings=both[::-1], place="attic", printed="2030")],
        grace_days={FoodGroup.PREPARED_MEALS: 9},
    )
    assert mark(more) == one.mark


def test_a_mark_stays_when_somebody_moves_in_whom_the_same_home_binds() -> None:
    alone = mark(peanut_home(lot(SPREAD, 1)))
    joined = store([home(woman("z"), avoiding(PEANUT))], [lot(SPREAD, 1)])
    assert mark(joined) == alone


def test_a_mark_changes_when_a_need_that_binds_no_home_is_another_members_too() -> None:
    alone = replace(PEANUT, reach=Reach.PERSON)
    one = (woman("z"), avoiding(alone))
    two = (avoiding(alone, id_="z"), avoiding(alone))
    marks = {mark(store([home(*people)], [lot(SPREAD, 1)])) for people in (one, two)}
    assert len(marks) == 2


IN_A_PROCESS: Final = """
from tests.planners.test_warning_marks import home_with_much
from daysworth.planners.warnings import plan_warnings
from tests.planners.small_stores import AS_OF
found = plan_warnings(home_with_much(), AS_OF, household="h")
print([(one.mark, one.instead and one.instead.lot.id) for one in found.warnings])
"""


def home_with_much() -> Snapshot:
    """Give a store in which sets of many things are told of."""
    many = frozenset({Substance.PEANUT, Substance.MILK, Substance.EGG, Substance.SOY})
    ticked = LabelReading(contains=many, may_contain=frozenset({Substance.FISH, Substance.SESAME}))
    needs = tuple(Restriction(allergy=one) for one in sorted(many))
    lots = [lot(SPREAD, 1, readings=(ticked, TRACES)), read(STEW), read(BEANS), lot(FISH, 3)]
    return store([home(avoiding(*needs, VEGETARIAN))], lots)


def test_marks_are_the_same_in_every_process() -> None:
    said = {
        subprocess.run(
            [sys.executable, "-c", IN_A_PROCESS],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4711")
    }
    assert len(said) == 1
    assert said.pop().count(b"(") == 2
