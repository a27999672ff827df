"""What a link just logged is listed for a day, and can be taken back until anybody sees to it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import Final

import pytest
from sqlalchemy import Engine, select

from daysworth.db.ledger import custody, handling, labels, taking
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.just_logged import MOST_LISTED, Logged, just_logged, take_back
from daysworth.db.tables import ENTRY
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import NotThere, StockRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from tests.grounds import (
    CELLAR,
    NOON,
    OTHER_STORE,
    SHELF,
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    change,
    entries_by_lot,
    look,
    lots_of,
    put_up,
    small_store,
    someone,
    version_of,
)

LINK: Final = replace(someone(Role.VOLUNTEER), id=CredentialId("V-one"), place=SHELF)
OTHER_LINK: Final = replace(LINK, id=CredentialId("V-two"))
DAY: Final = timedelta(hours=24)
MOMENT: Final = timedelta(microseconds=1)


def listed(engine: Engine, link: Credential = LINK, *, at: datetime = NOON) -> list[Logged]:
    """List what a link has just logged."""
    return look(engine, lambda reading: just_logged(reading, link.id, at=at))


def back(engine: Engine, lot: Held, *, by: Credential = LINK, at: datetime = NOON) -> Held:
    """Take a box back."""
    return change(engine, partial(take_back, lot=LotId(lot.id)), by=by, at=at)


def reasons(engine: Engine) -> list[str | None]:
    """Give why each entry of the ledger was written, in order."""
    chosen = select(ENTRY.c.why).where(ENTRY.c.store == STORE_ID).order_by(ENTRY.c.version)
    return look(engine, lambda reading: list(reading.connection.scalars(chosen)))


def test_a_box_is_listed_with_its_units_its_giver_and_what_was_said_of_it(engine: Engine) -> None:
    canned = box(3, giver="Elm Row", is_home_canned=True, is_label_unreadable=True)
    put_up(engine, canned, by=LINK)
    (one,) = listed(engine)
    assert (one.units, one.giver, one.at) == (3, "Elm Row", "2026-09-01T12:00:00.000000Z")
    assert (one.is_home_canned, one.is_label_unreadable) == (True, True)
    assert (one.is_taken_back, one.can_be_taken_back) == (False, True)
    put_up(engine, box(4), by=LINK)
    plain, _ = listed(engine)
    assert (plain.units, plain.giver) == (4, None)
    assert (plain.is_home_canned, plain.is_label_unreadable) == (False, False)


def test_boxes_are_listed_the_newest_first_and_no_more_than_fit(engine: Engine) -> None:
    for units in range(1, 4):
        put_up(engine, box(units), by=LINK)
    assert [one.units for one in listed(engine)] == [3, 2, 1]
    put_up(engine, *(box(9) for _ in range(MOST_LISTED)), by=LINK)
    assert [one.units for one in listed(engine)] == [9] * MOST_LISTED


def test_a_box_is_listed_for_the_link_that_logged_it_alone(engine: Engine) -> None:
    put_up(engine, by=LINK)
    put_up(engine, by=someone())
    assert len(listed(engine)) == 1
    assert listed(engine, OTHER_LINK) == []


def test_a_box_is_listed_and_can_be_taken_back_for_a_day(engine: Engine) -> None:
    (lot,) = put_up(engine, by=LINK)
    assert len(listed(engine, at=NOON + DAY)) == 1
    assert listed(engine, at=NOON + DAY + MOMENT) == []
    with pytest.raises(StockRefused, match="more than a day ago"):
        back(engine, lot, at=NOON + DAY + MOMENT)
    assert back(engine, lot, at=NOON + DAY).units == 0


def test_a_box_taken_back_is_an_entry_of_its_own_and_leaves_nothing(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6), by=LINK)
    before = version_of(engine)
    assert back(engine, lot).units == 0
    assert version_of(engine) == before + 1
    assert entries_by_lot(engine) == {lot.id: 0}
    (one,) = listed(engine)
    assert (one.units, one.is_taken_back, one.can_be_taken_back) == (6, True, False)
    assert reasons(engine) == [None, "taken back by whoever logged it"]
    assert books_balance(engine)


def test_reading_the_label_of_a_box_leaves_it_to_be_taken_back(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6), by=LINK)
    reading = LabelReading(text="Ingredients: rice, salt.", is_whole=True)
    change(engine, partial(labels.record, lot=LotId(lot.id), reading=reading), by=LINK)
    (one,) = listed(engine)
    assert one.can_be_taken_back
    assert back(engine, lot).units == 0


def test_a_box_is_taken_back_once(engine: Engine) -> None:
    (lot,) = put_up(engine, by=LINK)
    back(engine, lot)
    before = version_of(engine)
    with pytest.raises(StockRefused):
        back(engine, lot)
    assert version_of(engine) == before
    assert books_balance(engine)


SEEN_TO: Final[dict[str, Callable[..., object]]] = {
    "moved": partial(handling.move, place=CELLAR, units=None),
    "moved in part": partial(handling.move, place=CELLAR, units=2),
    "counted": lambda writing, lot: taking.count_place(writing, SHELF, units_by_lot={lot: 6}),
    "eaten": partial(taking.eat, units=1),
    "dated": partial(
        handling.redate, label_kind=LabelKind.USE_BY, printed="2028-01", if_revision=1
    ),
    "set aside": partial(custody.quarantine, why="a dent"),
}


def test_a_box_that_somebody_has_seen_to_stays_as_it_is(engine: Engine) -> None:
    for deed, do in SEEN_TO.items():
        (lot,) = put_up(engine, box(6), by=LINK)
        change(engine, partial(do, lot=LotId(lot.id)))
        after = lots_of(engine)
        one = listed(engine)[0]
        assert (one.is_taken_back, one.can_be_taken_back) == (False, False), deed
        with pytest.raises(StockRefused, match="ask a coordinator"):
            back(engine, lot)
        assert lots_of(engine) == after, deed
    assert books_balance(engine)


def test_a_box_that_somebody_else_logged_is_not_there_to_be_taken_back(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    (lot,) = put_up(engine, by=LINK)
    for other in (OTHER_LINK, someone(), replace(LINK, store=OTHER_STORE)):
        with pytest.raises(NotThere):
            back(engine, lot, by=other)
    assert lots_of(engine)[lot.id].units == lot.units
    with pytest.raises(NotThere):
        back(engine, replace(lot, id="L-nobody"))
