"""Claims about hand-offs and lapses: what went has left, what did not is free, once and for all."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine, delete, update

from daysworth.db.ledger import custody, handling
from daysworth.db.ledger import promises as deeds
from daysworth.db.ledger.held import Held, find
from daysworth.db.promises import PromiseLine
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stock import list_entries
from daysworth.db.tables import HAND_OFF_LINE
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import FieldsRefused, NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import LotId, PromiseId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.promises import PromiseState
from tests.db.promise_grounds import (
    FRIDAY,
    FRIDAYS,
    KITCHEN,
    OPENS,
    PARTNER,
    VISIT_DAY,
    add_kitchen,
    hand_off,
    lapse,
    promise,
    promise_of,
    told,
    visit,
)
from tests.grounds import (
    NOON,
    books_balance,
    box,
    change,
    look,
    lots_of,
    promises_balance,
    put_up,
    someone,
    version_of,
)


def of(lot: Held) -> LotId:
    return LotId(lot.id)


def balance(engine: Engine) -> bool:
    return promises_balance(engine) and books_balance(engine)


def left(engine: Engine, *lots: Held) -> list[tuple[int, int]]:
    """Give the units on hand and promised of each lot."""
    held = lots_of(engine)
    return [(held[lot.id].units, held[lot.id].units_promised) for lot in lots]


def refused(engine: Engine, deed: Callable[[], object]) -> list[str]:
    """Give what is refused, in words, and see that nothing was changed."""
    before, version = lots_of(engine), version_of(engine)
    with pytest.raises(FieldsRefused) as caught:
        deed()
    assert (lots_of(engine), version_of(engine)) == (before, version)
    return [str(fault) for fault in caught.value.faults]


def test_all_of_a_promise_goes_where_nobody_says_otherwise(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(9))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 6), (second, 4)))
    ended = hand_off(engine, kept)
    assert ended.state is PromiseState.KEPT
    assert (ended.revision, ended.ended_by, ended.why) == (2, "a coordinator", None)
    assert ended.handed_on == date(2026, 9, 8)
    assert ended.ended_at == "2026-09-08T12:00:00.000000Z"
    assert ended.lines == (
        PromiseLine(lot=of(first), units=6, went=6),
        PromiseLine(lot=of(second), units=4, went=4),
    )
    assert left(engine, first, second) == [(0, 0), (5, 0)]
    assert told(engine, second) == [("received", 9), ("promised", 0), ("handed_off", -4)]
    assert promise_of(engine, kept.id) == ended
    assert balance(engine)


def test_the_entry_says_to_whom_it_went_and_when(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    hand_off(engine, kept)
    page = look(engine, partial(list_entries, lot=of(lot), after=(0, -1), limit=9))
    assert page.items[-1].detail == {
        "promise": kept.id,
        "partner": KITCHEN,
        "to": PARTNER.name,
        "on": "2026-09-08",
    }


def test_what_did_not_go_is_free_with_its_reason(engine: Engine) -> None:
    first, second, third = put_up(engine, box(6), box(6), box(6))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 5), (second, 4), (third, 3)))
    ended = hand_off(
        engine,
        kept,
        went={of(first): 2, of(second): 0},
        whys={of(first): "no room"},
        why="they had enough",
    )
    assert ended.state is PromiseState.KEPT_IN_PART
    assert ended.why == "they had enough"
    assert ended.lines == (
        PromiseLine(lot=of(first), units=5, went=2, why="no room"),
        PromiseLine(lot=of(second), units=4, went=0, why="they had enough"),
        PromiseLine(lot=of(third), units=3, went=3),
    )
    assert left(engine, first, second, third) == [(4, 0), (6, 0), (3, 0)]
    assert told(engine, first)[2:] == [("handed_off", -2), ("lapsed", 0)]
    assert told(engine, second)[2:] == [("lapsed", 0)]
    page = look(engine, partial(list_entries, lot=of(first), after=(0, -1), limit=9))
    assert (page.items[-1].why, page.items[-1].detail["units_freed"]) == ("no room", 3)
    assert balance(engine)


def test_a_promise_of_which_nothing_went_was_refused(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    ended = hand_off(engine, kept, went={of(lot): 0}, why="closed for a holiday")
    assert ended.state is PromiseState.REFUSED
    assert ended.lines == (PromiseLine(lot=of(lot), units=2, went=0, why="closed for a holiday"),)
    assert left(engine, lot) == [(6, 0)]
    assert balance(engine)


def test_less_than_was_promised_needs_a_reason(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    (fault,) = refused(engine, lambda: hand_off(engine, kept, went={of(lot): 1}))
    assert "1 of 2 went of lot" in fault
    assert "say why" in fault
    assert promise_of(engine, kept.id) == kept


def test_more_than_was_promised_does_not_go(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(6))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 2), (second, 2)))
    went = {of(first): 3, of(second): -1}
    more, fewer = refused(engine, lambda: hand_off(engine, kept, went=went, why="x"))
    assert f"3 are said to have gone of lot '{first.id}', and 2 were promised" in more
    assert "0 or more" in fewer


def test_a_lot_that_was_not_promised_does_not_go(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(6))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 2)))
    (fault,) = refused(engine, lambda: hand_off(engine, kept, went={of(second): 1}))
    assert f"lot '{second.id}' is not in promise '{kept.id}'" in fault


def quarantined(writing: Writing, lot: LotId) -> object:
    return custody.quarantine(writing, lot, why="recalled?")


def damaged(writing: Writing, lot: LotId) -> object:
    said = custody.Correction(is_damaged=True)
    revision = find(writing, lot).revision
    return custody.correct(writing, lot, correction=said, why="bulging", if_revision=revision)


def redated(writing: Writing, lot: LotId) -> object:
    kind, revision = LabelKind.USE_BY, find(writing, lot).revision
    return handling.redate(
        writing, lot, label_kind=kind, printed="2026-09-07", if_revision=revision
    )


@pytest.mark.parametrize(
    ("deed", "what"),
    [
        (quarantined, "is quarantined"),
        (damaged, "is damaged"),
        (redated, "is past a date after which it goes to nobody"),
    ],
)
def test_what_may_no_longer_go_is_named_with_what_to_do(
    engine: Engine, deed: Callable[[Writing, LotId], object], what: str
) -> None:
    first, second = put_up(engine, box(6), box(6))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 2), (second, 2)))
    change(engine, lambda writing: deed(writing, of(first)))
    (fault,) = refused(engine, lambda: hand_off(engine, kept))
    assert f"lot '{first.id}'" in fault
    assert what in fault
    assert "give 0 of it, with the reason" in fault
    ended = hand_off(engine, kept, went={of(first): 0}, whys={of(first): "not fit to go"})
    assert ended.state is PromiseState.KEPT_IN_PART
    assert left(engine, first, second) == [(6, 0), (4, 0)]
    assert balance(engine)


def test_what_expired_since_its_visit_does_not_go_today(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6, printed="2026-10-08"))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    late = VISIT_DAY + timedelta(days=1)
    (fault,) = refused(engine, lambda: hand_off(engine, kept, at=late))
    assert "until 2026-09-08, and not on 2026-09-09" in fault
    # It did go on the day, and is only written down today.
    ended = hand_off(engine, kept, at=late, handed_on=date(2026, 9, 8))
    assert (ended.state, ended.handed_on) == (PromiseState.KEPT, date(2026, 9, 8))


@pytest.mark.parametrize("handed_on", [date(2026, 8, 31), date(2026, 9, 9)])
def test_a_hand_off_is_between_its_promise_and_today(engine: Engine, handed_on: date) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    (fault,) = refused(engine, lambda: hand_off(engine, kept, handed_on=handed_on))
    assert fault == ("handed_on: must be a day from 2026-09-01, when it was promised, to today")


def test_a_lapse_frees_all_of_it(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(9))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((first, 6), (second, 4)))
    ended = lapse(engine, kept, why="no driver")
    assert (ended.state, ended.why, ended.handed_on) == (PromiseState.LAPSED, "no driver", None)
    assert [line.went for line in ended.lines] == [None, None]
    assert left(engine, first, second) == [(6, 0), (9, 0)]
    assert told(engine, first) == [("received", 6), ("promised", 0), ("lapsed", 0)]
    assert balance(engine)


@pytest.mark.parametrize("first", [hand_off, lapse])
def test_a_promise_ends_once(engine: Engine, first: Callable[..., object]) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    first(engine, kept)
    before = lots_of(engine)
    for deed in (hand_off, lapse):
        with pytest.raises(StockRefused, match=r"was (kept|lapsed) on 2026-09-0\d already"):
            deed(engine, kept)
    assert lots_of(engine) == before
    assert balance(engine)


def test_a_promise_ends_as_it_was_looked_at_or_not_at_all(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    for deed in (hand_off, lapse):
        with pytest.raises(NotAsItWas):
            deed(engine, replace(kept, revision=7))
    assert promise_of(engine, kept.id) == kept


def test_what_is_not_promised_can_be_neither_handed_off_nor_lapse(engine: Engine) -> None:
    for deed in (
        partial(deeds.hand_off, went=None, if_revision=1),
        partial(deeds.lapse, why=None, if_revision=1),
    ):
        with pytest.raises(NotThere, match="there is no promise 'R-none'"):
            change(engine, partial(deed, promise=PromiseId("R-none")))


def test_a_volunteer_signs_for_a_hand_off(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    asked = partial(deeds.hand_off, promise=kept.id, went=None, if_revision=1)
    ended = change(engine, asked, by=someone(Role.VOLUNTEER), at=VISIT_DAY)
    assert ended.ended_by == "a volunteer"


def test_a_promise_lapses_by_itself_when_its_visit_is_over_for_two_days(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    friday, tuesday = promise(
        engine, visit((lot, 1), window=FRIDAYS, opens_at=FRIDAY), visit((lot, 2))
    )
    # The visit ends on Friday at 15:00 in Berlin, 13:00 in UTC.
    over = NOON + timedelta(days=3, hours=1)
    for at in (over, over + timedelta(days=2, microseconds=-1)):
        assert change(engine, deeds.lapse_overdue, at=at) == []
    (lapsed,) = change(engine, deeds.lapse_overdue, at=over + timedelta(days=2))
    assert (lapsed.id, lapsed.state) == (friday.id, PromiseState.LAPSED)
    assert lapsed.why == "its visit was over for more than 2 days"
    assert promise_of(engine, tuesday.id).state is PromiseState.OPEN
    assert left(engine, lot) == [(6, 2)]
    assert balance(engine)


def test_lapsing_what_is_overdue_twice_lapses_it_once(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    promise(engine, visit((lot, 1)), visit((lot, 2), opens_at=OPENS + timedelta(days=14)))
    late = VISIT_DAY + timedelta(days=30)
    assert len(change(engine, deeds.lapse_overdue, at=late)) == 2
    assert change(engine, deeds.lapse_overdue, at=late) == []
    assert told(engine, lot)[-2:] == [("lapsed", 0), ("lapsed", 0)]
    assert balance(engine)


def test_a_snapshot_has_the_open_promises_and_no_others(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    add_kitchen(engine)
    first, second, third = promise(
        engine,
        visit((lot, 1)),
        visit((lot, 2), opens_at=OPENS + timedelta(days=14)),
        visit((lot, 3), window=FRIDAYS, opens_at=FRIDAY),
    )
    hand_off(engine, first)
    lapse(engine, third)
    found = look(engine, partial(load_snapshot, at=VISIT_DAY))
    assert found.promises == (second.promise,)
    assert found.partners == (PARTNER,)
    assert [(one.units, one.units_promised) for one in found.lots] == [(8, 2)]


def test_the_record_of_hand_offs_stays_as_it_was_written(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    ended = hand_off(engine, kept)
    for statement in (update(HAND_OFF_LINE).values(units=1), delete(HAND_OFF_LINE)):
        with pytest.raises(StockRefused, match="a rule of the store"):
            change(engine, lambda writing: writing.connection.execute(statement))  # noqa: B023
    assert promise_of(engine, kept.id) == ended


def test_a_hand_off_that_fails_late_leaves_everything_as_it_was(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    before = lots_of(engine)

    def fails(writing: Writing) -> None:
        deeds.hand_off(writing, kept.id, went=None, if_revision=1)
        raise RuntimeError("the machine went dark")

    with pytest.raises(RuntimeError):
        change(engine, fails, at=VISIT_DAY)
    assert lots_of(engine) == before
    assert promise_of(engine, kept.id) == kept
    assert balance(engine)
