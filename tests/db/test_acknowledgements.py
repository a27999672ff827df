"""Claims about acknowledged warnings: the first stands, and goes with its household alone."""

from datetime import timedelta
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.acknowledgements import (
    Acknowledged,
    acknowledge,
    acknowledged,
    all_acknowledged,
)
from daysworth.db.households import read_household
from daysworth.db.leaving import erase_household
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId
from tests.grounds import (
    NOON,
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    SALMON,
    begin_ground,
    change,
    look,
    small_store,
    someone,
    version_of,
)

WARNING = "peanut:salmon"
ACK = partial(acknowledge, household=PEANUT_HOME, warning=WARNING, food=SALMON, why="asked them")


def kept(engine: Engine, household: HouseholdId = PEANUT_HOME) -> dict[str, Acknowledged]:
    return look(engine, partial(acknowledged, household=household))


def test_a_warning_is_acknowledged_with_who_when_and_why(engine: Engine) -> None:
    made = change(engine, ACK)
    assert made == Acknowledged(
        warning=WARNING,
        food=SALMON,
        why="asked them",
        by="a coordinator",
        at="2026-09-01T12:00:00.000000Z",
    )
    assert kept(engine) == {WARNING: made}
    assert kept(engine, OTHER_HOME) == {}


def test_the_first_acknowledgement_stands(engine: Engine) -> None:
    first = change(engine, ACK)
    again = change(engine, partial(ACK, why="other words"), at=NOON + timedelta(days=1))
    assert again == first
    assert kept(engine) == {WARNING: first}


def test_an_acknowledgement_raises_the_version(engine: Engine) -> None:
    before = version_of(engine)
    change(engine, ACK)
    assert version_of(engine) == before + 1


def test_each_household_and_each_warning_has_its_own(engine: Engine) -> None:
    change(engine, ACK)
    change(engine, partial(ACK, household=OTHER_HOME))
    change(engine, partial(ACK, warning="another", food=None))
    found = look(engine, all_acknowledged)
    assert {home: set(warnings) for home, warnings in found.items()} == {
        PEANUT_HOME: {WARNING, "another"},
        OTHER_HOME: {WARNING},
    }


def test_a_household_that_is_not_there_has_nothing_to_acknowledge(engine: Engine) -> None:
    before = version_of(engine)
    with pytest.raises(NotThere):
        change(engine, partial(ACK, household=HouseholdId("H-none")))
    assert version_of(engine) == before


def test_an_erased_household_takes_its_acknowledgements_along(engine: Engine) -> None:
    change(engine, ACK)
    change(engine, partial(ACK, household=OTHER_HOME))
    home = look(engine, partial(read_household, household=PEANUT_HOME))
    change(
        engine,
        partial(erase_household, household=home.id, own_stock=None, if_revision=home.revision),
    )
    assert set(look(engine, all_acknowledged)) == {OTHER_HOME}


def test_another_stores_acknowledgements_are_not_seen(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    change(engine, ACK, by=someone(store=OTHER_STORE))
    assert look(engine, all_acknowledged) == {}
    assert set(look(engine, all_acknowledged, store=OTHER_STORE)) == {PEANUT_HOME}
