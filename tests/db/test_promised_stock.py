"""Claims about stock that is promised, and how promises are read: it waits where it stands."""

from dataclasses import replace
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger import handling, taking
from daysworth.db.promises import list_promises, open_promises
from daysworth.domain.errors import FieldsRefused, StockRefused
from daysworth.domain.identifiers import LotId, PartnerId
from daysworth.domain.promises import PromiseState
from tests.db.kit_grounds import kits_balance, pack, to_pack
from tests.db.promise_grounds import (
    FRIDAY,
    FRIDAYS,
    KITCHEN,
    add_kitchen,
    lapse,
    promise,
    told,
    visit,
)
from tests.grounds import (
    CELLAR,
    OTHER_STORE,
    SHELF,
    begin_ground,
    box,
    change,
    look,
    promises_balance,
    put_up,
    small_store,
)


def test_units_in_kits_are_promised_to_nobody_and_promised_units_go_in_no_kit(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    pack(engine, to_pack((lot, 2)), place=lot.place)  # type: ignore[arg-type]
    promise(engine, visit((lot, 3)))
    with pytest.raises(FieldsRefused, match="and 1 are free"):
        promise(engine, visit((lot, 2)))
    with pytest.raises(StockRefused, match="2 of lot"):
        pack(engine, to_pack((lot, 2)))
    assert kits_balance(engine)
    assert promises_balance(engine)


def test_what_is_promised_is_taken_by_nobody_else(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    promise(engine, visit((lot, 4)))
    for deed in (
        partial(taking.eat, units=3),
        partial(taking.discard, units=3, why="dented"),
        partial(handling.open_units, units=3, opened_on=None),
        partial(handling.move, place=CELLAR, units=3),
    ):
        with pytest.raises(StockRefused, match="kits or promised"):
            change(engine, lambda writing: deed(writing, lot=LotId(lot.id)))  # noqa: B023
    counting = partial(taking.count_place, place=SHELF, units_by_lot={LotId(lot.id): 3})
    with pytest.raises(FieldsRefused, match="kits or promised"):
        change(engine, counting)
    assert told(engine, lot) == [("received", 6), ("promised", 0)]
    assert promises_balance(engine)


def test_a_lot_moves_whole_with_what_is_promised_of_it_and_in_part_without(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    promise(engine, visit((lot, 4)))
    part = partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=2)
    left, moved = change(engine, part)
    assert (left.units, left.units_promised, moved.units, moved.units_promised) == (4, 4, 2, 0)
    whole = partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=None)
    (there,) = change(engine, whole)
    assert (there.place, there.units, there.units_promised) == (CELLAR, 4, 4)
    assert promises_balance(engine)


def test_promises_are_listed_by_their_visits_a_page_at_a_time(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    add_kitchen(engine)
    add_kitchen(engine, id=PartnerId("school"))
    at = {"window": FRIDAYS, "opens_at": FRIDAY}
    made = promise(
        engine,
        visit((lot, 1)),
        visit((lot, 1), **at),  # type: ignore[arg-type]
        replace(visit((lot, 2)), partner=PartnerId("school")),
    )
    lapse(engine, made[1])
    seen, after = [], ""
    while True:
        page = look(engine, partial(list_promises, after=after, limit=1))
        seen += [one.id for one in page.items]
        if page.next_after is None:
            break
        after = page.next_after
    assert seen == [made[1].id, *sorted((made[0].id, made[2].id))]
    ask = partial(list_promises, state=PromiseState.OPEN, partner=KITCHEN)
    assert [one.id for one in look(engine, ask).items] == [made[0].id]
    only = partial(list_promises, state=PromiseState.LAPSED)
    assert [one.id for one in look(engine, only).items] == [made[1].id]


def test_open_promises_are_those_of_the_store_in_the_order_they_were_made(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    first, second = put_up(engine, box(6), box(6))
    add_kitchen(engine)
    made = promise(engine, visit((second, 1), (first, 2)))
    found = look(engine, lambda reading: open_promises(reading.connection, reading.store))
    assert found == tuple(one.promise for one in made)
    other = look(
        engine,
        lambda reading: open_promises(reading.connection, reading.store),
        store=OTHER_STORE,
    )
    assert other == ()
