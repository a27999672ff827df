"""When a partner's windows open, and which windows cannot be."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Final

import pytest

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import PartnerId, WindowId
from daysworth.domain.partners import MOST_WINDOWS, AcceptanceRule, Partner, Window
from daysworth.domain.recurrence import MOST_LISTED, Recurrence
from tests.domain.looks import calls_of

ZONE: Final = "America/New_York"
MOST_CALLS: Final = 1_000_000
"""About thirty for each opening that is looked at, and for those of one window more."""

EARLY: Final = date(2026, 1, 1)
LATE: Final = date(2030, 12, 31)


def window(
    rule: str | None,
    start: str = "2026-12-01T09:00",
    *,
    minutes: int = 120,
    name: str = "tuesdays",
    zone: str = ZONE,
) -> Window:
    recurrence = Recurrence(starts_at=datetime.fromisoformat(start), timezone=zone, rule=rule)
    return Window(id=WindowId(name), recurrence=recurrence, minutes=minutes)


def partner(*windows: Window) -> Partner:
    return Partner(id=PartnerId("kitchen"), name="A kitchen", windows=windows)


TUESDAYS: Final = window("FREQ=WEEKLY;BYDAY=TU")


def test_a_window_opens_on_the_days_of_a_range_and_in_its_months() -> None:
    opened = TUESDAYS.opens(from_on=date(2026, 12, 1), to_on=date(2026, 12, 15))
    assert [f"{at:%m-%d %H:%M}" for at in opened] == ["12-01 09:00", "12-08 09:00", "12-15 09:00"]
    in_summer = replace(TUESDAYS, open_months=frozenset({6, 7, 8}))
    months = {at.month for at in in_summer.opens(from_on=EARLY, to_on=LATE)}
    assert months == {6, 7, 8}


def test_a_range_of_any_length_is_given_whole() -> None:
    """Twelve years of days, with as many dates beside them as there may be."""
    daily = window("FREQ=DAILY", "2026-12-01T09:00", minutes=30)
    first = datetime.fromisoformat("2026-12-01T18:00")
    also = tuple(first + timedelta(minutes=n) for n in range(MOST_LISTED))
    dense = replace(daily, recurrence=replace(daily.recurrence, also_at=also))
    opened = dense.opens(from_on=date(2026, 12, 1), to_on=date(2038, 12, 1))
    assert len(opened) == (date(2038, 12, 1) - date(2026, 12, 1)).days + 1 + MOST_LISTED


def test_a_visit_brings_no_more_than_the_window_takes_and_the_vehicle_carries() -> None:
    assert TUESDAYS.carried_kg is None
    assert replace(TUESDAYS, most_kg=100.0).carried_kg == 100
    assert replace(TUESDAYS, most_kg=100.0, vehicle_kg=60.0).carried_kg == 60


@pytest.mark.parametrize("minutes", [-5, 0, 4, 24 * 60 + 1, 365 * 24 * 60])
def test_a_window_of_no_time_or_of_more_than_a_day_is_refused(minutes: int) -> None:
    with pytest.raises(ValueError, match="a window lasts 5 minutes to 24 hours"):
        replace(TUESDAYS, minutes=minutes)


def test_a_window_that_opens_in_none_of_its_months_is_refused() -> None:
    with pytest.raises(ValueError, match="opens in one month of the year at least"):
        replace(TUESDAYS, open_months=frozenset())
    in_june = window("FREQ=YEARLY;BYMONTH=6;BYMONTHDAY=1", "2027-06-01T09:00")
    with pytest.raises(ValueError, match="its dates are all in months that it is closed in"):
        replace(in_june, open_months=frozenset({1, 12}))
    once = replace(in_june.recurrence, also_at=(datetime.fromisoformat("2026-12-05T09:00"),))
    open_once = replace(in_june, recurrence=once, open_months=frozenset({12}))
    assert len(open_once.opens(from_on=EARLY, to_on=LATE)) == 1


def test_two_windows_that_overlap_are_refused_with_the_day() -> None:
    first_ones = window("FREQ=MONTHLY;BYDAY=1TU", "2027-01-05T10:59", name="firsts")
    with pytest.raises(ValueError, match="two windows overlap on 2027-01-05: change one of them"):
        partner(TUESDAYS, first_ones)
    after = window("FREQ=MONTHLY;BYDAY=1TU", "2027-01-05T11:00", name="firsts")
    assert len(partner(TUESDAYS, after).windows) == 2


def test_windows_in_two_zones_are_held_against_one_another_as_instants() -> None:
    """09:00 to 11:00 in New York are 08:00 to 10:00 in Chicago."""
    before = window("FREQ=WEEKLY", "2026-12-01T10:00", name="west", zone="America/Chicago")
    assert len(partner(TUESDAYS, before).windows) == 2
    within = window("FREQ=WEEKLY", "2026-12-01T09:30", name="west", zone="America/Chicago")
    with pytest.raises(ValueError, match="two windows overlap on 2026-12-01"):
        partner(TUESDAYS, within)


def test_a_window_that_began_long_ago_is_held_against_one_that_begins_now() -> None:
    old = window("FREQ=DAILY", "2005-01-01T09:00", name="old")
    with pytest.raises(ValueError, match="two windows overlap on 2026-12-01"):
        partner(TUESDAYS, old)


def test_a_window_that_is_over_before_another_begins_does_not_overlap_it() -> None:
    old = window("FREQ=DAILY;UNTIL=20261130", "2005-01-01T09:00", name="old")
    assert len(partner(TUESDAYS, old).windows) == 2


def test_a_window_of_a_whole_day_every_day_does_not_overlap_itself() -> None:
    """Two days of the year have 23 and 25 hours."""
    always = window("FREQ=DAILY", "2026-12-01T00:00", minutes=24 * 60)
    assert partner(always).windows == (always,)


def test_a_date_beside_a_rule_while_the_window_is_open_is_refused() -> None:
    also = replace(TUESDAYS.recurrence, also_at=(datetime.fromisoformat("2026-12-08T10:00"),))
    with pytest.raises(ValueError, match="a window opens again on 2026-12-08 before it has closed"):
        partner(replace(TUESDAYS, recurrence=also))


def test_dates_before_the_first_one_are_looked_at_too() -> None:
    early = (datetime.fromisoformat("2020-02-03T09:00"), datetime.fromisoformat("2020-02-03T10:00"))
    also = replace(TUESDAYS.recurrence, also_at=early)
    with pytest.raises(ValueError, match="opens again on 2020-02-03"):
        partner(replace(TUESDAYS, recurrence=also))


def test_a_group_and_a_windows_name_stand_once() -> None:
    with pytest.raises(ValueError, match="a window stands once with a partner"):
        partner(TUESDAYS, window("FREQ=WEEKLY", "2026-12-02T09:00"))
    one = AcceptanceRule(group=FoodGroup.FISH)
    with pytest.raises(ValueError, match="a food group has one rule at most"):
        replace(partner(), rules=(one, replace(one, least_days_left=5)))
    with pytest.raises(ValueError, match="a food group has one rule at most"):
        replace(partner(), rules=(AcceptanceRule(), AcceptanceRule(takes=False)))


def test_a_partner_has_a_number_of_windows() -> None:
    each = tuple(
        window("FREQ=DAILY", f"2026-12-01T{n:02}:00", minutes=30, name=f"w{n}") for n in range(21)
    )
    assert len(partner(*each[:MOST_WINDOWS]).windows) == MOST_WINDOWS
    with pytest.raises(ValueError, match="a partner has at most 20 windows"):
        partner(*each)


def test_windows_are_held_against_one_another_once() -> None:
    """As many windows as there may be, each daily: what is read again is not looked at again."""
    each = tuple(
        window("FREQ=DAILY", f"2026-12-01T{n:02}:10", minutes=30, name=f"w{n}")
        for n in range(MOST_WINDOWS)
    )
    looked = calls_of(lambda: partner(*each))
    again = calls_of(lambda: partner(*each))
    assert again < looked / 100
    assert looked < MOST_CALLS


def test_windows_that_open_too_often_to_be_compared_are_refused_in_bounded_work() -> None:
    """Each daily, and begun a year after another: over 80,000 openings."""
    each = tuple(
        window("FREQ=DAILY", f"{2000 + n}-01-01T{n:02}:10", minutes=30, name=f"w{n}")
        for n in range(MOST_WINDOWS)
    )

    def refused() -> None:
        with pytest.raises(ValueError, match="open too often to be held against one another"):
            partner(*each)

    assert calls_of(refused) < MOST_CALLS
