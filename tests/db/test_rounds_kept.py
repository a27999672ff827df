"""Claims about what a round became: all decisions are done and recorded, or none."""

from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import Final

import pytest
from sqlalchemy import Engine, delete, select, update

from daysworth.db.kits import KeptKit
from daysworth.db.ledger import custody, handling
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.kits import eat_kit
from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.rounds import RoundLine, RoundTotal, list_rounds, read_round
from daysworth.db.stock import list_entries
from daysworth.db.stores import change_store, read_store
from daysworth.db.tables import ROUND_LINE
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import EntryKind, RoundOutcome
from daysworth.domain.errors import FieldsRefused, StockRefused
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, KitId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from tests.db.kit_grounds import kit_of, kits_balance, pack, stock_wares, to_pack, with_wares
from tests.grounds import (
    NOON,
    PEANUT_HOME,
    SALMON,
    SHELF,
    books_balance,
    box,
    change,
    look,
    lots_of,
    put_up,
)

ROUND: Final = date(2026, 9, 1)
NEXT: Final = date(2027, 3, 1)
EATEN, GIVEN = RoundOutcome.EATEN, RoundOutcome.GIVEN
DISCARDED, UNPACKED = RoundOutcome.DISCARDED, RoundOutcome.UNPACKED
PAST: Final = {"printed": "2026-08"}


def on(lot: Held | str, outcome: RoundOutcome, units: int = 1) -> RoundDecision:
    """Decide on units of a lot, with a reason and a receiver where they are asked for."""
    return RoundDecision(
        lot=LotId(lot if isinstance(lot, str) else lot.id),
        outcome=outcome,
        units=units,
        why="past its date" if outcome is DISCARDED else None,
        to="the school kitchen" if outcome is GIVEN else None,
    )


def on_kit(kit: KeptKit, outcome: RoundOutcome) -> RoundDecision:
    return RoundDecision(kit=kit.id, outcome=outcome)


def settle(engine: Engine, *decisions: RoundDecision, round_on: date = ROUND) -> list[RoundLine]:
    return change(engine, partial(settle_round, round_on=round_on, decisions=decisions))


def refused(engine: Engine, *decisions: RoundDecision, round_on: date = ROUND) -> list[str]:
    """Give what is refused, in words, and see that nothing was changed."""
    before = lots_of(engine)
    with pytest.raises(FieldsRefused) as caught:
        settle(engine, *decisions, round_on=round_on)
    assert lots_of(engine) == before
    assert totals(engine) == {}
    return [str(fault) for fault in caught.value.faults]


def totals(engine: Engine) -> dict[tuple[date, RoundOutcome], RoundTotal]:
    return {(one.round_on, one.outcome): one for one in look(engine, list_rounds)}


def last_entry(engine: Engine, lot: str) -> tuple[str, int, dict[str, object]]:
    page = look(engine, partial(list_entries, lot=LotId(lot), after=(0, -1), limit=99))
    entry = page.items[-1]
    return entry.kind, entry.units, dict(entry.detail)


def test_each_decision_is_an_entry_and_a_line_of_the_round(engine: Engine) -> None:
    lot, old = put_up(engine, box(10, net_mass_g=170.0), box(4, **PAST))
    lines = settle(engine, on(lot, EATEN, 2), on(lot, GIVEN, 3), on(old, DISCARDED, 4))
    assert [lots_of(engine)[one.id].units for one in (lot, old)] == [5, 0]
    assert last_entry(engine, lot.id) == (
        EntryKind.HANDED_OFF,
        -3,
        {"round": "2026-09-01", "to": "the school kitchen"},
    )
    assert last_entry(engine, old.id) == (EntryKind.DISCARDED, -4, {"round": "2026-09-01"})
    salmon = generic_foods()[SALMON]
    assert [(one.lot, one.outcome, one.units, one.mass_g) for one in lines] == [
        (lot.id, EATEN, 2, 340.0),
        (lot.id, GIVEN, 3, 510.0),
        (old.id, DISCARDED, 4, 4 * salmon.net_mass_g),
    ]
    assert lines[0].energy_kcal == pytest.approx(2 * salmon.energy_kcal(170.0))
    kept = look(engine, partial(read_round, round_on=ROUND, limit=9))
    assert list(kept.items) == lines
    assert books_balance(engine)


def test_rounds_are_told_by_outcome_the_newest_first(engine: Engine) -> None:
    lot, unknown = put_up(engine, box(10, net_mass_g=100.0), box(5, food=None, words="a tin"))
    settle(engine, on(lot, EATEN, 1), on(lot, EATEN, 2), on(unknown, DISCARDED, 5))
    settle(engine, on(lot, DISCARDED, 3), round_on=NEXT)
    found = look(engine, list_rounds)
    assert [(one.round_on, one.outcome, one.lines, one.units, one.mass_g) for one in found] == [
        (NEXT, DISCARDED, 1, 3, 300.0),
        (ROUND, DISCARDED, 1, 5, 0.0),
        (ROUND, EATEN, 2, 3, 300.0),
    ]
    each_kcal = generic_foods()[SALMON].energy_kcal(100.0)
    assert totals(engine)[ROUND, EATEN].energy_kcal == pytest.approx(3 * each_kcal)


def test_a_rounds_lines_are_read_a_page_at_a_time(engine: Engine) -> None:
    (lot,) = put_up(engine, box(10))
    settle(engine, *(on(lot, EATEN, units) for units in (1, 2, 3)))
    page = look(engine, partial(read_round, round_on=ROUND, limit=2))
    assert [one.units for one in page.items] == [1, 2]
    assert page.next_after is not None
    version, line = map(int, page.next_after.split("."))
    rest = look(engine, partial(read_round, round_on=ROUND, after=(version, line), limit=2))
    assert ([one.units for one in rest.items], rest.next_after) == ([3], None)


def test_a_kit_is_eaten_whole_or_unpacked_and_each_lot_in_it_is_a_line(engine: Engine) -> None:
    lot, other = put_up(engine, box(10, net_mass_g=100.0), box(10, net_mass_g=50.0))
    stock_wares(engine)
    eaten, unpacked = pack(engine, with_wares((lot, 2), (other, 1)), to_pack((lot, 3)))
    lines = settle(engine, on_kit(eaten, EATEN), on_kit(unpacked, UNPACKED))
    assert [(one.kit, one.outcome, one.units, one.mass_g) for one in lines] == [
        (eaten.id, EATEN, 2, 200.0),
        (eaten.id, EATEN, 1, 50.0),
        (unpacked.id, UNPACKED, 3, 300.0),
    ]
    assert [kit_of(engine, one.id).state for one in (eaten, unpacked)] == ["eaten", "unpacked"]
    packed = unpacked.kit.items[0].lot
    assert lots_of(engine)[packed].units_free == 3
    assert last_entry(engine, packed)[2]["round"] == "2026-09-01"
    assert kits_balance(engine)
    assert books_balance(engine)


def test_what_is_unpacked_at_a_round_is_free_for_its_other_decisions(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    (kept,) = pack(engine, to_pack((lot, 4)), place=SHELF)
    words = refused(engine, on(lot, GIVEN, 5))
    assert words == [
        f"decisions number 1 > units: 5 asked for, and 1 are free to be taken from lot '{lot.id}'"
    ]
    settle(engine, on(lot, GIVEN, 5), on_kit(kept, UNPACKED))
    assert lots_of(engine)[lot.id].units == 0
    assert kits_balance(engine)


def test_decisions_on_one_lot_are_taken_together(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    words = refused(engine, on(lot, EATEN, 3), on(lot, GIVEN, 3))
    assert words == [
        f"decisions number 2 > units: 3 asked for, and 2 are free to be taken from lot '{lot.id}'"
    ]


def test_every_fault_is_named_by_number_and_nothing_is_done(engine: Engine) -> None:
    lot, other = put_up(engine, box(5), box(5))
    ended, kept = pack(engine, to_pack((other, 1)), to_pack((other, 1)))
    change(engine, lambda w: custody.quarantine(w, LotId(other.id), why="recalled?"))
    change(engine, partial(eat_kit, kit=ended.id))
    words = refused(
        engine,
        on(lot, EATEN, 0),
        replace(on(lot, GIVEN), to=None),
        replace(on(lot, DISCARDED), why=""),
        on(lot, UNPACKED),
        on("L-none", EATEN),
        on_kit(ended, EATEN),
        on_kit(kept, GIVEN),
        replace(on_kit(kept, EATEN), units=1),
        RoundDecision(kit=KitId("K-none"), outcome=EATEN),
        RoundDecision(outcome=EATEN),
        replace(on(lot, EATEN), kit=kept.id),
        on(lot, EATEN, 1),
    )
    assert words == [
        f"decisions number 7 > kit: kit '{kept.id}' is decided on 3 times",
        f"decisions number 8 > kit: kit '{kept.id}' is decided on 3 times",
        f"decisions number 11 > kit: kit '{kept.id}' is decided on 3 times",
        "decisions number 1 > units: say how many units, 1 or more",
        "decisions number 2 > to: say who is given it",
        "decisions number 3 > why: say why it is thrown away",
        "decisions number 4 > outcome: a lot is eaten, given or discarded",
        "decisions number 5 > lot: there is no lot 'L-none'",
        f"decisions number 6 > kit: kit '{ended.id}' was eaten already",
        "decisions number 7 > outcome: a kit is eaten whole, or unpacked",
        "decisions number 8 > units: a kit is taken whole: give no units",
        "decisions number 9 > kit: there is no kit 'K-none'",
        "decisions number 10: is on a lot or on a kit, one of them",
        "decisions number 11: is on a lot or on a kit, one of them",
    ]


def test_a_round_of_nothing_and_of_no_day_that_can_be_is_refused(engine: Engine) -> None:
    assert refused(engine) == ["decisions: there is nothing to record"]
    (lot,) = put_up(engine)
    for day in (date(1999, 12, 31), NOON.date() + timedelta(days=732)):
        (words,) = refused(engine, on(lot, EATEN), round_on=day)
        assert words.startswith("round_on: must be the day of a round")


@pytest.mark.parametrize(
    ("changed", "eaten", "given"),
    [
        ({}, True, True),
        ({"printed": "2026-09-01"}, True, True),
        ({"printed": "2026-08-31"}, True, False),
        ({"printed": "2026-08-31", "label_kind": LabelKind.USE_BY}, False, False),
        ({"printed": None, "label_kind": LabelKind.UNLABELLED}, True, True),
        ({"condition": Condition.DAMAGED}, False, False),
        ({"is_home_canned": True}, False, False),
        ({"food": None, "words": "a tin"}, False, False),
        ({"food": FoodId("infant_formula_milk_powder"), **PAST}, False, False),
    ],
)
def test_nothing_past_its_day_or_unsound_is_given_and_only_past_best_by_is_eaten(
    engine: Engine, changed: dict[str, object], *, eaten: bool, given: bool
) -> None:
    (lot,) = put_up(engine, box(9, **changed))
    for outcome, may_be in ((EATEN, eaten), (GIVEN, given)):
        if not may_be:
            (words,) = refused(engine, on(lot, outcome))
            assert words.startswith("decisions number 1 > lot: ")
    allowed = [one for one, may_be in ((EATEN, eaten), (GIVEN, given)) if may_be]
    lines = settle(engine, *(on(lot, one) for one in [*allowed, DISCARDED]))
    assert [one.outcome for one in lines] == [*allowed, DISCARDED]


def test_the_stores_grace_makes_a_best_by_date_later(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9, printed="2026-08-31"))
    kept = look(engine, read_store)
    graced = replace(kept.settings, grace_days={FoodGroup.FISH: 30})
    change(
        engine,
        partial(change_store, name=kept.name, settings=graced, if_revision=kept.revision),
    )
    assert [one.outcome for one in settle(engine, on(lot, GIVEN))] == [GIVEN]


def test_what_was_opened_is_not_handed_off_and_not_eaten_past_its_day(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    day = NOON.date() - timedelta(days=60)
    work = partial(handling.open_units, lot=LotId(lot.id), units=2, opened_on=day)
    _, opened = change(engine, work)
    assert "was opened on" in refused(engine, on(opened, GIVEN))[0]
    assert "was good until" in refused(engine, on(opened, EATEN))[0]


def test_a_kit_with_something_in_it_that_nobody_is_to_eat_is_unpacked_instead(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(9, printed="2026-08-31", label_kind=LabelKind.USE_BY))
    (kept,) = pack(engine, to_pack((lot, 2)))
    packed = kept.kit.items[0].lot
    assert refused(engine, on_kit(kept, EATEN)) == [
        f"decisions number 1 > kit: unpack it: lot '{packed}' was good until 2026-08-31: "
        "it can only be thrown away"
    ]
    settle(engine, on_kit(kept, UNPACKED), on(packed, DISCARDED, 2))
    assert lots_of(engine)[packed].units == 0


def test_a_round_names_no_household(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9, owner=PEANUT_HOME, is_shared=False))
    (kept,) = pack(engine, to_pack((lot, 2), household=HouseholdId(PEANUT_HOME)))
    settle(engine, on(lot, EATEN), on_kit(kept, EATEN))
    rows = look(engine, lambda r: r.connection.execute(select(ROUND_LINE)).all())
    assert len(rows) == 2
    assert PEANUT_HOME not in repr(rows)


def test_no_line_of_a_round_is_changed_or_deleted(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    settle(engine, on(lot, EATEN, 2))
    for statement in (update(ROUND_LINE).values(units=9), delete(ROUND_LINE)):
        with pytest.raises(StockRefused, match="a rule of the store"):
            change(engine, lambda writing: writing.connection.execute(statement))  # noqa: B023
    assert totals(engine)[ROUND, EATEN].units == 2
