"""What a calendar shows of a store, and what it never shows."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from daysworth.answers.calendar_events import (
    OPENINGS_AHEAD_DAYS,
    CalendarEvent,
    calendar_events,
)
from daysworth.domain.identifiers import KitId, LotId, PlaceId, PromiseId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.snapshot import Snapshot
from tests.grounds import CELLAR, NOON, PEANUT_HOME, SALMON, SHELF, small_store
from tests.partner_grounds import FIRST_TUESDAY, KITCHEN_ID, TUESDAYS, kitchen

TODAY = NOON.date()
HOME_PLACE = PlaceId("peanut-house")


def lot(id_: str, *, place: PlaceId = SHELF, units: int = 10, **changed: object) -> Lot:
    said: dict[str, object] = {
        "food": SALMON,
        "label_kind": LabelKind.BEST_BY,
        "printed": "2027-03-14",
        **changed,
    }
    return Lot(id=LotId(id_), place=place, units=units, **said)  # type: ignore[arg-type]


def promise(id_: str, *items: tuple[str, int], on: date = FIRST_TUESDAY) -> Promise:
    return Promise(
        id=PromiseId(id_),
        partner=KITCHEN_ID,
        window=TUESDAYS,
        opens_at=datetime.combine(on, time(9)),
        items=tuple(PromisedLot(lot=LotId(one), units=units) for one, units in items),
    )


def store(**changed: object) -> Snapshot:
    return replace(small_store(), partners=(kitchen(),), **changed)  # type: ignore[arg-type]


def events(snapshot: Snapshot, kind: str, *, today: date = TODAY) -> list[CalendarEvent]:
    return [event for event in calendar_events(snapshot, today) if event.key[0] == kind]


def test_a_window_is_shown_for_twelve_weeks_and_takes_no_one_s_time() -> None:
    shown = events(store(), "visit")
    assert [event.on_day for event in shown] == [
        FIRST_TUESDAY + timedelta(weeks=week) for week in range(12)
    ]
    assert max(event.on_day for event in shown) <= TODAY + timedelta(days=OPENINGS_AHEAD_DAYS)
    assert {event.title for event in shown} == {"Lantern Kitchen (invented) receives"}
    assert not any(event.is_busy for event in shown)


def test_a_visit_keeps_its_hour_on_the_clock_when_the_clocks_are_put_back() -> None:
    shown = events(store(), "visit")
    begins = [event.opens_at for event in shown if event.opens_at is not None]
    assert {at.time() for at in begins} == {time(9)}
    assert {at.utcoffset() for at in begins} == {timedelta(hours=1), timedelta(hours=2)}


def test_a_promised_visit_says_what_to_bring_place_by_place_as_one_walks() -> None:
    snapshot = store(
        places=(
            Place(id=SHELF, name="Shelf", walk_position=2),
            Place(id=CELLAR, name="Cellar", walk_position=1),
        ),
        lots=(
            lot("L-1", units_promised=4),
            lot("L-2", place=CELLAR, units_promised=3, printed="2027-02"),
        ),
        promises=(promise("R-1", ("L-1", 4)), promise("R-2", ("L-2", 3))),
    )
    visit = events(snapshot, "visit")[0]
    grams = next(food.net_mass_g for food in snapshot.foods if food.id == SALMON)
    assert visit.is_busy
    assert visit.title == (
        f"Bring 7 units ({7 * grams / 1000:.1f} kg net) to Lantern Kitchen (invented)"
    )
    name = next(food.name for food in snapshot.foods if food.id == SALMON)
    assert visit.lines[visit.lines.index("To bring:") :] == (
        "To bring:",
        "Cellar:",
        f"- {name}: 3, best by 2027-02 (lot L-2)",
        "Shelf:",
        f"- {name}: 4, best by 2027-03-14 (lot L-1)",
    )
    assert visit.where == "Lantern Kitchen (invented), Side door, 4 Mill Row"
    assert "Appointment: Ref. 8812" in visit.lines


def test_a_promised_visit_is_shown_however_far_it_is_and_when_it_is_over() -> None:
    far = FIRST_TUESDAY + timedelta(weeks=40)
    snapshot = store(
        lots=(lot("L-1", units_promised=2),),
        promises=(promise("R-1", ("L-1", 1)), promise("R-2", ("L-1", 1), on=far)),
    )
    later = events(snapshot, "visit", today=FIRST_TUESDAY + timedelta(days=1))
    assert [event.on_day for event in later if event.is_busy] == [FIRST_TUESDAY, far]


def test_rounds_are_shown_by_the_store_s_own_rule_for_a_year() -> None:
    shown = events(store(), "round", today=date(2026, 9, 2))
    assert [event.on_day for event in shown] == [date(2027, 3, 1), date(2027, 9, 1)]
    assert all(event.opens_at is None for event in shown)


def kits_store() -> Snapshot:
    def kit(id_: str, *, of: str, **changed: object) -> MealKit:
        return MealKit(
            id=KitId(id_),
            persons=2,
            packed_on=TODAY,
            items=(KitItem(lot=LotId(of), units=1),),
            **changed,  # type: ignore[arg-type]
        )

    return replace(
        small_store(),
        places=(*small_store().places, Place(id=HOME_PLACE, name="Quimby's garage")),
        lots=(
            lot("L-1", units_in_kits=1),
            lot("L-2", units_in_kits=1, place=HOME_PLACE),
            lot("L-3", units_in_kits=1, printed="2027-01-31"),
        ),
        kits=(
            kit("K-1", of="L-1", name="Fish for two", place=SHELF),
            kit("K-2", of="L-2", name="For the Quimbys", place=HOME_PLACE, household=PEANUT_HOME),
            kit("K-3", of="L-3", name="Fish", place=SHELF),
        ),
    )


def test_kits_due_on_one_day_are_one_entry_of_that_day() -> None:
    first, second = events(kits_store(), "kits")
    assert (first.on_day, first.title) == (date(2027, 1, 31), "Last day of 1 kit: eat or renew")
    assert (second.on_day, second.title) == (date(2027, 3, 14), "Last day of 2 kits: eat or renew")
    assert second.lines == ("- K-1: Fish for two (Shelf)", "- K-2")


def test_of_a_kit_for_a_home_neither_its_name_nor_its_place_nor_the_home_is_told() -> None:
    said = repr(calendar_events(kits_store(), TODAY))
    assert "K-2" in said
    for private in ("Quimby", HOME_PLACE, PEANUT_HOME, "peanut"):
        assert private not in said


def test_the_owner_of_a_lot_is_not_told() -> None:
    snapshot = store(
        lots=(lot("L-1", units_promised=4, owner=PEANUT_HOME),),
        promises=(promise("R-1", ("L-1", 4)),),
    )
    assert PEANUT_HOME not in repr(calendar_events(snapshot, TODAY))


def test_a_store_without_partners_kits_and_rounds_has_an_empty_calendar() -> None:
    settings = replace(small_store().settings, rounds_rule="FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29")
    assert calendar_events(replace(small_store(), settings=settings), date(2025, 1, 1)) == ()
