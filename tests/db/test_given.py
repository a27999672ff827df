"""Claims about what was given: by partner and month, and what went at rounds apart."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.partners import change_partner, remove_partner
from daysworth.db.promises import GivenTotal, given_totals
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.identifiers import LotId, PartnerId
from tests.db.promise_grounds import (
    KITCHEN,
    OPENS,
    PARTNER,
    VISIT_DAY,
    add_kitchen,
    hand_off,
    lapse,
    promise,
    visit,
)
from tests.grounds import (
    OTHER_STORE,
    SALMON,
    begin_ground,
    box,
    change,
    look,
    put_up,
    small_store,
)

SEPTEMBER, NOVEMBER = date(2026, 9, 1), date(2026, 11, 1)
EACH_KCAL = generic_foods()[SALMON].energy_kcal(500.0)


def given(
    engine: Engine, *, from_on: date = SEPTEMBER, to_on: date = date(2027, 12, 31)
) -> list[GivenTotal]:
    return look(engine, partial(given_totals, from_on=from_on, to_on=to_on))


def shown(totals: Sequence[GivenTotal]) -> list[tuple[str | None, date, int, int, float]]:
    return [(one.partner, one.month, one.hand_offs, one.units, one.mass_g) for one in totals]


def test_what_went_is_totalled_by_month_and_partner(engine: Engine) -> None:
    (lot,) = put_up(engine, box(40, net_mass_g=500.0))
    add_kitchen(engine)
    add_kitchen(engine, id=PartnerId("school"), name="A school (invented)")
    weeks = timedelta(days=14)
    first, second, november, school, gone = promise(
        engine,
        visit((lot, 4)),
        visit((lot, 3), opens_at=OPENS + weeks),
        visit((lot, 2), opens_at=OPENS + 4 * weeks),
        replace(visit((lot, 5)), partner=PartnerId("school")),
        visit((lot, 6), opens_at=OPENS + 5 * weeks),
    )
    hand_off(engine, first)
    hand_off(engine, second, at=VISIT_DAY + weeks, went={LotId(lot.id): 1}, why="no room")
    hand_off(engine, november, at=VISIT_DAY + 4 * weeks)
    hand_off(engine, school)
    lapse(engine, gone)
    found = given(engine)
    assert shown(found) == [
        ("school", SEPTEMBER, 1, 5, 2_500.0),
        (KITCHEN, SEPTEMBER, 2, 5, 2_500.0),
        (KITCHEN, NOVEMBER, 1, 2, 1_000.0),
    ]
    assert [one.energy_kcal for one in found] == pytest.approx(
        [5 * EACH_KCAL, 5 * EACH_KCAL, 2 * EACH_KCAL]
    )
    assert [one.partner_name for one in found][1:] == [PARTNER.name] * 2


def test_a_hand_off_at_which_nothing_went_is_none(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept, went={LotId(lot.id): 0}, why="closed")
    assert given(engine) == []


def test_only_what_went_in_the_period_counts_its_ends_included(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9, net_mass_g=500.0))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept)
    day, one = date(2026, 9, 8), timedelta(days=1)
    assert len(given(engine, from_on=day, to_on=day)) == 1
    assert given(engine, from_on=day + one) == []
    assert given(engine, to_on=day - one) == []


def test_what_went_at_rounds_stands_apart(engine: Engine) -> None:
    lot, unknown = put_up(engine, box(9, net_mass_g=500.0), box(4))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept)
    decisions = [
        RoundDecision(lot=LotId(lot.id), outcome=RoundOutcome.GIVEN, units=3, to="next door"),
        RoundDecision(lot=LotId(lot.id), outcome=RoundOutcome.EATEN, units=1),
        RoundDecision(lot=LotId(unknown.id), outcome=RoundOutcome.DISCARDED, units=4, why="old"),
    ]
    change(engine, partial(settle_round, round_on=date(2026, 9, 2), decisions=decisions))
    found = given(engine)
    assert shown(found) == [
        (KITCHEN, SEPTEMBER, 1, 2, 1_000.0),
        (None, SEPTEMBER, 1, 3, 1_500.0),
    ]
    assert found[-1].partner_name == "at rounds"


def test_a_partner_is_called_what_it_is_called_now_or_was_last(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept)
    renamed = replace(PARTNER, name="Moss Lane table")
    change(engine, partial(change_partner, id_=KITCHEN, partner=renamed, if_revision=1))
    assert [one.partner_name for one in given(engine)] == ["Moss Lane table"]
    change(engine, partial(remove_partner, id_=KITCHEN, if_revision=2))
    assert [one.partner_name for one in given(engine)] == [PARTNER.name]


def test_what_one_store_gave_is_not_anothers(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept)
    ask = partial(given_totals, from_on=SEPTEMBER, to_on=NOVEMBER)
    assert look(engine, ask, store=OTHER_STORE) == []
