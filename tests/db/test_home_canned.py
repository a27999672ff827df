"""No home-canned food comes to count, by whatever way (CDC, botulism; safety cautions)."""

from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger.custody import Correction, correct, release
from daysworth.db.ledger.handling import move
from daysworth.domain.errors import StockRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.lots import Condition
from tests.grounds import CELLAR, box, change, lots_of, put_up


def test_it_is_set_aside_and_cannot_be_let_count_again(engine: Engine) -> None:
    (lot,) = put_up(engine, box(is_home_canned=True))
    assert lot.condition == Condition.QUARANTINED
    with pytest.raises(StockRefused, match="home-canned"):
        change(engine, partial(release, lot=LotId(lot.id), why="looks fine"))
    assert lots_of(engine)[lot.id] == lot


def test_neither_can_a_part_of_it_that_was_moved(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6, is_home_canned=True))
    _, part = change(engine, partial(move, lot=LotId(lot.id), place=CELLAR, units=2))
    with pytest.raises(StockRefused, match="home-canned"):
        change(engine, partial(release, lot=LotId(part.id), why="looks fine"))


def test_damaged_by_mistake_it_is_still_set_aside(engine: Engine) -> None:
    (lot,) = put_up(engine, box(is_home_canned=True, condition=Condition.DAMAGED))
    mend = partial(
        correct,
        lot=LotId(lot.id),
        correction=Correction(is_damaged=False),
        why="no dent",
        if_revision=1,
    )
    assert change(engine, mend).condition == Condition.QUARANTINED
