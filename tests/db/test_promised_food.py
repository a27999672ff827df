"""Claims about what may be promised: what the partner takes, and nothing that is unsound."""

from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger import custody, handling
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.partners import AcceptanceRule
from tests.db.promise_grounds import (
    add_kitchen,
    promise,
    refused,
    visit,
)
from tests.grounds import PEANUT_HOME, box, change, put_up

BEANS = FoodId("black_beans_tinned")


@pytest.mark.parametrize(
    ("changed", "what"),
    [
        ({"printed": "2026-09-30"}, "goes to Moss Lane kitchen (invented) until 2026-08-31"),
        ({"label_kind": LabelKind.USE_BY, "printed": "2026-09-07"}, "past a date after which"),
        ({"food": BEANS}, "is of a food group that Moss Lane kitchen (invented) does not take"),
        ({"label_kind": LabelKind.UNLABELLED, "printed": None}, "has no date"),
        ({"food": None, "words": "a tin"}, "waits for somebody to say what food it is"),
        ({"owner": PEANUT_HOME, "is_shared": False}, "is kept by a household for itself"),
    ],
)
def test_what_the_partner_does_not_take_is_refused_by_which_rule(
    engine: Engine, changed: dict[str, object], what: str
) -> None:
    (lot,) = put_up(engine, box(6, **changed))
    add_kitchen(engine)
    (fault,) = refused(engine, visit((lot, 1)))
    assert fault.startswith(f"visits number 1 > items number 1 > lot: lot '{lot.id}'")
    assert what in fault


def test_what_was_opened_or_set_aside_is_refused(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(6))
    add_kitchen(engine)
    opening = partial(handling.open_units, lot=LotId(first.id), units=1, opened_on=None)
    _, opened = change(engine, opening)
    change(engine, partial(custody.quarantine, lot=LotId(second.id), why="recalled?"))
    faults = refused(engine, visit((opened, 1), (second, 1)))
    assert len(faults) == 2
    assert "was opened here" in faults[0]
    assert "is quarantined" in faults[1]


def test_only_labels_that_were_read_whole_go_where_that_is_asked(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine, asks_read_label=True)
    (fault,) = refused(engine, visit((lot, 1)))
    assert "has had no whole label read" in fault


def test_past_its_best_by_date_food_goes_where_the_rule_takes_it(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6, printed="2026-09-01"))
    rules = (AcceptanceRule(group=FoodGroup.FISH, least_days_left=-10),)
    add_kitchen(engine, rules=rules)
    assert len(promise(engine, visit((lot, 1)))) == 1
