"""May this go in the parcel? Yes, no or not known: by its label, and by whether it can be given."""

from dataclasses import replace
from typing import Final

import pytest

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.offers import Offer
from daysworth.domain.restrictions import Diet, Restriction, Substance
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Table, table_of
from daysworth.planners.parcels import (
    Candidate,
    MayGo,
    avoids_something,
    by_words,
    candidate,
    candidates,
    held_back,
    together,
)
from daysworth.planners.shelf import dated_lots
from tests.planners.one_home import home, lot, store, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, avoiding, infant, read

HERE: Final = HouseholdId("h")


def at(*needs: Restriction) -> Table:
    return table_of(home(avoiding(*needs)), AS_OF)


AVOIDS: Final = at(PEANUT)


def judged(*lots: Lot, table: Table = AVOIDS) -> Candidate:
    """Judge lots that have one label."""
    dated = dated_lots(store(lots=lots), AS_OF)
    offer = Offer(dated[0].food, lots[0].readings)
    return candidate(offer, dated, table=table, household=HERE)


def test_a_label_that_suits_may_go_one_that_does_not_may_not_and_an_unread_one_is_not_known() -> (
    None
):
    found = [judged(one).may_go for one in (read(STEW), lot(SPREAD, 1), lot(STEW, 1))]
    assert found == [MayGo.YES, MayGo.NO, MayGo.NOT_KNOWN]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (replace(read(STEW), printed="2020"), MayGo.NO),
        (replace(read(STEW), condition=Condition.QUARANTINED), MayGo.NO),
        (replace(read(STEW), condition=Condition.DAMAGED), MayGo.NO),
        (replace(read(STEW), units_promised=1), MayGo.NO),
        (replace(read(STEW), is_shared=False, owner=HouseholdId("h")), MayGo.YES),
    ],
)
def test_a_lot_that_can_not_be_given_does_not_go_in_whatever_its_label(
    changed: Lot, said: MayGo
) -> None:
    assert judged(changed).may_go is said
    assert judged(changed, read(STEW)).may_go is MayGo.YES


def test_what_another_household_keeps_is_held_back_from_this_one() -> None:
    (item,) = dated_lots(store(lots=[replace(read(STEW), is_shared=False, owner=HERE)]), AS_OF)
    assert held_back(item, HERE) is None
    back = held_back(item, HouseholdId("k"))
    assert back is not None
    assert (back.may_go, back.words) == (MayGo.NO, "a household keeps it for itself")


def test_each_label_of_a_food_is_a_candidate_and_they_must_agree() -> None:
    dated = dated_lots(store(lots=[read(STEW), lot(STEW, 1)]), AS_OF)
    stock = {Offer(STEW, item.lot.readings): [item] for item in dated}
    found = candidates([STEW], stock=stock, table=AVOIDS, household=HERE)
    assert [one.may_go for one in found] == [MayGo.YES, MayGo.NOT_KNOWN]
    assert together(found) is MayGo.NOT_KNOWN
    assert together(found[:1]) is MayGo.YES


def test_of_one_that_may_go_and_one_that_may_not_it_is_not_known_which() -> None:
    assert together([judged(read(STEW)), judged(lot(SPREAD, 1))]) is MayGo.NOT_KNOWN


def test_a_food_that_is_not_in_stock_is_judged_by_what_it_is() -> None:
    found = candidates([SPREAD, STEW], stock={}, table=AVOIDS, household=HERE)
    assert [(one.may_go, one.lots) for one in found] == [(MayGo.NO, ()), (MayGo.NOT_KNOWN, ())]


@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        ("peanut butter", Verdict.UNSUITABLE),
        ("PEANUTS, salted", Verdict.UNSUITABLE),
        ("butternut squash", Verdict.UNKNOWN),
        ("peanut-free bars", Verdict.UNKNOWN),
        ("rice", Verdict.UNKNOWN),
        ("???", Verdict.UNKNOWN),
        ("a" * 120, Verdict.UNKNOWN),
    ],
)
def test_words_alone_show_at_most_that_something_must_not_go_in(
    words: str, verdict: Verdict
) -> None:
    assert by_words(words, AVOIDS).verdict is verdict


def test_words_never_clear_a_food_of_any_allergen() -> None:
    for substance in Substance:
        table = at(Restriction(allergy=substance))
        assert by_words("plain boiled rice, free from everything", table).verdict is not (
            Verdict.SUITABLE
        )


def test_a_home_avoids_something_by_a_need_or_by_age_and_not_by_advice() -> None:
    advised = at(Restriction(diet=Diet.RENAL))
    with_infant = table_of(home(woman(), infant(3)), AS_OF)
    homes = (AVOIDS, with_infant, advised, table_of(home(), AS_OF))
    assert [avoids_something(one) for one in homes] == [True, True, False, False]
