"""Claims about promising: it reserves free units for a visit that is, all of it or nothing."""

from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.ledger import promises as deeds
from daysworth.db.promises import PromiseLine, list_promises
from daysworth.db.stock import list_entries
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.promises import PromisedLot, PromiseState
from tests.db.promise_grounds import (
    FRIDAY,
    FRIDAYS,
    KITCHEN,
    OPENS,
    add_kitchen,
    promise,
    promise_of,
    refused,
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


def test_a_promise_reserves_units_and_leaves_them_where_they_are(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(9))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((second, 4), (first, 2)), by=someone())
    assert kept.state is PromiseState.OPEN
    assert (kept.revision, kept.made_by, kept.ended_at) == (1, "a coordinator", None)
    assert kept.made_at == "2026-09-01T12:00:00.000000Z"
    assert kept.lines == (
        PromiseLine(lot=LotId(second.id), units=4),
        PromiseLine(lot=LotId(first.id), units=2),
    )
    held = lots_of(engine)
    assert [(held[one.id].units, held[one.id].units_promised) for one in (first, second)] == [
        (6, 2),
        (9, 4),
    ]
    assert promise_of(engine, kept.id) == kept
    assert promises_balance(engine)
    assert books_balance(engine)


def test_each_lot_of_a_promise_has_its_entry(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    assert told(engine, lot) == [("received", 6), ("promised", 0)]
    page = look(engine, partial(list_entries, lot=LotId(lot.id), after=(0, -1), limit=9))
    assert page.items[-1].detail == {
        "promise": kept.id,
        "partner": KITCHEN,
        "units_promised": 2,
    }


def test_one_lot_may_be_promised_for_several_visits(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    before = version_of(engine)
    made = promise(engine, visit((lot, 2), window=FRIDAYS, opens_at=FRIDAY), visit((lot, 4)))
    assert [one.promise.opens_at for one in made] == [FRIDAY, OPENS]
    assert version_of(engine) == before + 1
    assert lots_of(engine)[lot.id].units_promised == 6
    assert refused(engine, visit((lot, 1))) == [
        f"visits number 1 > items number 1 > units: 1 asked for, and 0 are free of lot '{lot.id}'"
    ]
    assert promises_balance(engine)


def test_of_several_visits_all_are_promised_or_none(engine: Engine) -> None:
    first, second = put_up(engine, box(6), box(3))
    add_kitchen(engine)
    faults = refused(
        engine,
        visit((first, 4)),
        visit((first, 3), (second, 2), window=FRIDAYS, opens_at=FRIDAY),
    )
    assert faults == [
        f"visits number 2 > items number 1 > units: 3 asked for, and 2 are free of lot '{first.id}'"
    ]


@pytest.mark.parametrize(
    ("changed", "where", "what"),
    [
        ({"partner": PartnerId("moon")}, "partner", "there is no partner 'moon'"),
        ({"window": WindowId("mondays")}, "window", "has no window 'mondays'"),
        (
            {"opens_at": OPENS + timedelta(days=7)},
            "opens_at",
            "window 'tuesdays' does not open on 2026-09-15 at 09:00",
        ),
        ({"opens_at": OPENS + timedelta(hours=1)}, "opens_at", "does not open on 2026-09-08"),
        # It is open on no day in October.
        ({"opens_at": datetime.fromisoformat("2026-10-06T09:00")}, "opens_at", "does not open"),
        ({"opens_at": datetime.fromisoformat("2026-12-29T09:00")}, "opens_at", "does not open"),
        ({"opens_at": datetime.fromisoformat("2026-08-25T09:00")}, "opens_at", "does not open"),
        (
            {"opens_at": datetime.fromisoformat("2026-09-08T09:00+02:00")},
            "opens_at",
            "without an offset",
        ),
        (
            {"opens_at": datetime.fromisoformat("2026-09-08T09:00:30")},
            "opens_at",
            "hours and minutes",
        ),
        (
            {"opens_at": datetime.fromisoformat("0001-01-01T00:00")},
            "opens_at",
            "is not between 2000 and",
        ),
        ({"opens_at": datetime.fromisoformat("9999-12-31T23:59")}, "opens_at", "is not between"),
        ({"items": ()}, "items", "there is nothing to promise"),
        (
            {"items": tuple(PromisedLot(lot=LotId(f"L{n}"), units=1) for n in range(2_001))},
            "items",
            "2000 lots at most",
        ),
        ({"items": (PromisedLot(lot=LotId("L-none"), units=1),)}, "lot", "there is no lot"),
        ({"items": (PromisedLot(lot=LotId("L-none"), units=0),)}, "items", "1 or more"),
        ({"items": (PromisedLot(lot=LotId("L-none"), units=1),) * 2}, "items", "once"),
    ],
)
def test_a_visit_that_is_none_is_refused_in_words(
    engine: Engine, changed: dict[str, object], where: str, what: str
) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (fault,) = refused(engine, replace(visit((lot, 1)), **changed))  # type: ignore[arg-type]
    said_where, _, said = fault.partition(": ")
    assert said_where.startswith("visits number 1 > ")
    assert said_where.endswith(where)
    assert what in said


def test_a_date_beside_the_rule_is_a_visit_too(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 1), opens_at=datetime.fromisoformat("2026-09-10T18:30")))
    assert kept.promise.on == datetime.fromisoformat("2026-09-10").date()


def test_nothing_is_no_promise(engine: Engine) -> None:
    add_kitchen(engine)
    assert refused(engine) == ["visits: there is nothing to promise"]


def test_notice_is_kept_to_the_day(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    sunday = NOON + timedelta(days=5)
    assert len(promise(engine, visit((lot, 1)), at=sunday)) == 1
    (fault,) = refused(engine, visit((lot, 1)), at=sunday + timedelta(days=1))
    assert "asks for 2 days' notice, and has 1" in fault


def test_a_visit_may_be_promised_for_until_it_is_over(engine: Engine) -> None:
    # 14:00 to 15:00 in Berlin is 12:00 to 13:00 in UTC, in summer.
    (lot,) = put_up(engine)
    add_kitchen(engine)
    asked = visit((lot, 1), window=FRIDAYS, opens_at=FRIDAY)
    friday = NOON + timedelta(days=3)
    assert len(promise(engine, asked, at=friday + timedelta(minutes=59))) == 1
    (fault,) = refused(engine, asked, at=friday + timedelta(minutes=60))
    assert "the visit on 2026-09-04 at 14:00 is over" in fault


def test_every_fault_of_every_visit_is_named(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    faults = refused(
        engine,
        replace(visit((lot, 3)), window=WindowId("mondays")),
        visit((lot, 4)),
        replace(visit((lot, 1)), partner=PartnerId("moon")),
    )
    assert [fault.partition(": ")[0] for fault in faults] == [
        "visits number 1 > window",
        "visits number 3 > partner",
        "visits number 2 > items number 1 > units",
        "visits number 3 > items number 1 > units",
    ]


def test_a_promise_that_is_not_there_is_not_there(engine: Engine) -> None:
    with pytest.raises(NotThere, match="there is no promise 'R-none'"):
        promise_of(engine, PromiseId("R-none"))


def test_a_promise_that_fails_late_leaves_nothing(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    add_kitchen(engine)
    before = lots_of(engine)

    def fails(writing: object) -> None:
        deeds.promise(writing, [visit((lot, 2))])  # type: ignore[arg-type]
        raise RuntimeError("the machine went dark")

    with pytest.raises(RuntimeError):
        change(engine, fails)
    assert lots_of(engine) == before
    assert look(engine, list_promises).items == []
