"""Claims about wares: received, counted, never fewer than none, and entries that stay."""

from functools import partial

import pytest
from sqlalchemy import Engine, delete, update

from daysworth.db.tables import WARE_ENTRY
from daysworth.db.wares import (
    KeptWare,
    count_wares,
    list_ware_entries,
    list_wares,
    put,
    receive_wares,
)
from daysworth.domain.entries import WareEntryKind
from daysworth.domain.errors import FieldsRefused, NotThere, StockRefused
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.wares import WareKind
from tests.db.kit_grounds import kits_balance, wares_of
from tests.grounds import CELLAR, SHELF, change, look


def receive(engine: Engine, units: int, *, kind: WareKind = WareKind.FORK) -> KeptWare:
    return change(engine, partial(receive_wares, kind=kind, place=SHELF, units=units, why="bought"))


def test_wares_that_are_received_add_up_and_those_counted_are_what_is_there(engine: Engine) -> None:
    receive(engine, 10)
    assert receive(engine, 5).units == 15
    counted = change(engine, partial(count_wares, kind=WareKind.FORK, place=SHELF, units=12))
    assert counted == KeptWare(kind=WareKind.FORK, place=SHELF, units=12, revision=3)
    page = look(engine, partial(list_ware_entries, after=(0, -1), limit=2))
    assert [(one.kind, one.units, one.why) for one in page.items] == [
        (WareEntryKind.RECEIVED, 10, "bought"),
        (WareEntryKind.RECEIVED, 5, "bought"),
    ]
    assert page.next_after is not None
    version, line = page.next_after.split(".")
    rest = look(engine, partial(list_ware_entries, after=(int(version), int(line)), limit=2))
    assert [(one.kind, one.units, one.by) for one in rest.items] == [
        (WareEntryKind.COUNTED, -3, "a coordinator")
    ]
    assert kits_balance(engine)


def test_wares_are_listed_by_place_and_kind_those_that_ran_out_too(engine: Engine) -> None:
    receive(engine, 3)
    receive(engine, 3, kind=WareKind.BAG)
    change(engine, partial(count_wares, kind=WareKind.SPOON, place=CELLAR, units=0))
    assert list(wares_of(engine).items()) == [
        (("cellar", "spoon"), 0),
        (("shelf", "bag"), 3),
        (("shelf", "fork"), 3),
    ]
    of_shelf = look(engine, partial(list_wares, place=SHELF))
    assert {ware.place for ware in of_shelf} == {SHELF}


@pytest.mark.parametrize("units", [0, -1, 1_000_000])
def test_no_ware_is_received_by_less_than_one_or_beyond_the_most(
    engine: Engine, units: int
) -> None:
    receive(engine, 1)
    with pytest.raises(FieldsRefused, match="must be 1 or more"):
        receive(engine, units)
    assert wares_of(engine) == {("shelf", "fork"): 1}


@pytest.mark.parametrize("units", [-1, 1_000_001])
def test_no_ware_is_counted_below_nothing_or_beyond_the_most(engine: Engine, units: int) -> None:
    with pytest.raises(FieldsRefused, match="must be 0 or more"):
        change(engine, partial(count_wares, kind=WareKind.FORK, place=SHELF, units=units))
    assert wares_of(engine) == {}


def test_wares_stand_in_places_that_are_there(engine: Engine) -> None:
    attic = PlaceId("attic")
    for work in (receive_wares, count_wares):
        with pytest.raises(NotThere, match="no place 'attic'"):
            change(engine, partial(work, kind=WareKind.FORK, place=attic, units=1))


def test_no_more_is_taken_than_there_is(engine: Engine) -> None:
    receive(engine, 2)
    take = partial(put, kind=WareKind.FORK, place=SHELF, units=-3, entry=WareEntryKind.PACKED)
    with pytest.raises(StockRefused, match="too few of ware 'fork'"):
        change(engine, take)
    assert wares_of(engine) == {("shelf", "fork"): 2}


def test_no_line_of_a_ledger_is_changed_or_deleted(engine: Engine) -> None:
    receive(engine, 2)
    for statement in (update(WARE_ENTRY).values(units=9), delete(WARE_ENTRY)):
        with pytest.raises(StockRefused, match="a rule of the store"):
            change(engine, lambda writing: writing.connection.execute(statement))  # noqa: B023
    assert kits_balance(engine)
