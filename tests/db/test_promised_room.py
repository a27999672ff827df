"""Claims about how much may be promised for a visit: what it takes, with what is promised."""

from datetime import timedelta

from sqlalchemy import Engine

from tests.db.promise_grounds import (
    FRIDAY,
    FRIDAYS,
    OPENS,
    add_kitchen,
    hand_off,
    lapse,
    promise,
    refused,
    visit,
)
from tests.grounds import NOON, box, put_up


def test_a_visit_takes_so_many_kilograms_with_what_is_promised_for_it(engine: Engine) -> None:
    first, second = put_up(engine, box(50, net_mass_g=1_000.0), box(50, net_mass_g=1_000.0))
    add_kitchen(engine)
    promise(engine, visit((first, 15)))
    promise(engine, visit((first, 20), (second, 5)))
    (fault,) = refused(engine, visit((second, 1)))
    assert fault == (
        "visits number 1 > items: a visit takes 40 kg, and 41 kg would be promised for it"
    )
    # On another visit there is room.
    next_time = visit((second, 1), opens_at=OPENS + timedelta(days=14))
    assert len(promise(engine, next_time)) == 1


def test_a_visit_takes_so_many_units_and_the_van_so_much(engine: Engine) -> None:
    light, heavy = put_up(engine, box(60, net_mass_g=10.0), box(3, net_mass_g=10_000.0))
    add_kitchen(engine)
    on = {"window": FRIDAYS, "opens_at": FRIDAY}
    (fault,) = refused(engine, visit((light, 51), **on))  # type: ignore[arg-type]
    assert "a visit takes 50 units, and 51 would be promised for it" in fault
    (fault,) = refused(engine, visit((heavy, 3), **on))  # type: ignore[arg-type]
    assert "a visit takes 20 kg, and 30 kg would be promised for it" in fault


def test_a_visit_takes_so_much_of_a_food_group(engine: Engine) -> None:
    (lot,) = put_up(engine, box(70, net_mass_g=10.0))
    add_kitchen(engine)
    promise(engine, visit((lot, 40)))
    (fault,) = refused(engine, visit((lot, 21)))
    assert "a visit, of fish, takes 60 units, and 61 would be promised for it" in fault
    assert len(promise(engine, visit((lot, 20)))) == 1


def test_the_same_visit_twice_is_counted_together(engine: Engine) -> None:
    (lot,) = put_up(engine, box(70, net_mass_g=10.0))
    add_kitchen(engine)
    (fault,) = refused(engine, visit((lot, 40)), visit((lot, 21)))
    assert fault.startswith("visits number 2 > items: ")


def test_what_was_handed_off_at_a_visit_takes_up_its_room(engine: Engine) -> None:
    (lot,) = put_up(engine, box(60, net_mass_g=1_000.0))
    add_kitchen(engine)
    on = {"window": FRIDAYS, "opens_at": FRIDAY}
    (kept,) = promise(engine, visit((lot, 18), **on))  # type: ignore[arg-type]
    friday = NOON + timedelta(days=3)
    hand_off(engine, kept, at=friday)
    (fault,) = refused(engine, visit((lot, 3), **on), at=friday)  # type: ignore[arg-type]
    assert "a visit takes 20 kg, and 21 kg would be promised for it" in fault


def test_a_lapsed_promise_takes_up_no_room(engine: Engine) -> None:
    (lot,) = put_up(engine, box(60, net_mass_g=1_000.0))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 40)))
    lapse(engine, kept)
    assert len(promise(engine, visit((lot, 40)))) == 1
