"""Hold rounds against what is published and customary about putting food away and looking after it.

C   Common practice: two rounds a year, on the first day of March and of September; food that is put
    up at a round keeps for six months at least, to the next one.
R   FEMA / American Red Cross, Food and Water in an Emergency: the foods of a kit are gone over
    every six months.
L   Common practice, as GS1 (General Specifications, day 00) and Regulation (EU) 1169/2011, Annex X,
    have it: a date printed to the month is good to the month's last day.
"""

from datetime import date, timedelta

import pytest

from daysworth.domain.ages import months_after
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, MemberId, PlaceId, StoreId
from daysworth.domain.kit_rules import keeps_until_day
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.rounds import SPRING_AND_AUTUMN, next_round_day, round_days, round_held_on
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.rotation_round import plan_round

HALL = Place(id=PlaceId("hall"), name="Hall")
TIN = Food(
    id=FoodId("tin"),
    name="Tin",
    group=FoodGroup.PREPARED_MEALS,
    energy_kcal_100g=100,
    protein_g_100g=5,
    net_mass_g=400,
    shelf_life_months=9,
)
HOME = Household(
    id=HouseholdId("home"),
    members=(Member(id=MemberId("one"), age_band=AgeBand(from_years=30, to_years=40)),),
)


def due_on(as_of: date, *, printed: str, kind: LabelKind = LabelKind.BEST_BY) -> tuple[date, ...]:
    """Give the last good day of a tin where a store that keeps it finds it due on a day."""
    lot = Lot(
        id=LotId("tin"), food=TIN.id, place=HALL.id, units=1, label_kind=kind, printed=printed
    )
    snapshot = Snapshot(
        store=StoreId("store"),
        store_name="A store",
        taken_on=as_of,
        households=(HOME,),
        foods=(TIN,),
        places=(HALL,),
        lots=(lot,),
    )
    days = [found.item.last_good_day for found in plan_round(snapshot, as_of).lots]
    return tuple(day for day in days if day is not None)


def passes_the_six_months(day: date, *, put_up_on: date) -> bool:
    return day >= keeps_until_day(put_up_on, MealRules())


def test_a_store_that_decided_nothing_has_rounds_in_march_and_september() -> None:
    """C: on the first of the month, in every year there is."""
    assert StoreSettings().rounds_rule == SPRING_AND_AUTUMN
    found = round_days(SPRING_AND_AUTUMN, from_on=date(2026, 1, 1), to_on=date(2099, 12, 31))
    expected = [date(year, month, 1) for year in range(2026, 2100) for month in (3, 9)]
    assert list(found) == expected


def test_rounds_are_six_months_apart_by_the_calendar() -> None:
    """R: every six months; C."""
    day = date(2026, 3, 1)
    for _ in range(40):
        following = next_round_day(SPRING_AND_AUTUMN, after=day)
        assert following == months_after(day, 6)
        day = following


@pytest.mark.parametrize("put_up_on", [date(2027, 3, 1), date(2027, 9, 1)])
def test_food_that_passes_the_six_months_is_not_due_on_the_day_it_is_put_up(
    put_up_on: date,
) -> None:
    """C, R: it lasts to the next round; a day less, and it is due at once."""
    least = keeps_until_day(put_up_on, MealRules())
    assert due_on(put_up_on, printed=least.isoformat()) == ()
    short = least - timedelta(days=1)
    assert due_on(put_up_on, printed=short.isoformat()) == (short,)
    assert not passes_the_six_months(short, put_up_on=put_up_on)


def test_a_tin_good_for_nine_months_is_due_at_the_next_round_with_three_months_left() -> None:
    """C: worked by hand. Put up on 1 March 2027 it is good to 1 December."""
    spring, autumn = date(2027, 3, 1), date(2027, 9, 1)
    day = date(2027, 12, 1)
    assert passes_the_six_months(day, put_up_on=spring)
    assert due_on(spring, printed="2027-03-01", kind=LabelKind.PACKED_ON) == ()
    assert due_on(autumn, printed="2027-03-01", kind=LabelKind.PACKED_ON) == (day,)
    assert months_after(autumn, 3) == day


@pytest.mark.parametrize(
    ("printed", "at", "due"),
    [
        pytest.param("2027-08", date(2027, 3, 1), True, id="to the end of August"),
        pytest.param("2027-09", date(2027, 3, 1), False, id="to the end of September"),
        pytest.param("2027-09", date(2027, 9, 1), True, id="the round after"),
        pytest.param("2028-02", date(2027, 9, 1), True, id="to 29 February"),
        pytest.param("2028-02-29", date(2027, 9, 1), True, id="a leap day"),
        pytest.param("2028-03", date(2027, 9, 1), False, id="past the leap day"),
        pytest.param("2027-12", date(2027, 9, 1), True, id="to New Year's Eve"),
    ],
)
def test_a_date_printed_to_the_month_is_due_by_its_last_day(
    printed: str, at: date, due: bool
) -> None:
    """L, and the calendar: 2028 is a leap year."""
    assert bool(due_on(at, printed=printed)) is due


def test_six_months_from_a_long_month_end_on_the_last_day_of_a_short_one() -> None:
    """C: by the calendar. 31 August and six months is the end of February, in leap years too."""
    assert keeps_until_day(date(2026, 8, 31), MealRules()) == date(2027, 2, 28)
    assert keeps_until_day(date(2027, 8, 31), MealRules()) == date(2028, 2, 29)
    assert keeps_until_day(date(2028, 2, 29), MealRules()) == date(2028, 8, 29)


@pytest.mark.parametrize(
    ("on", "held_on"),
    [
        (date(2028, 2, 29), date(2027, 9, 1)),
        (date(2028, 3, 1), date(2028, 3, 1)),
        (date(2028, 8, 31), date(2028, 3, 1)),
        (date(2028, 12, 31), date(2028, 9, 1)),
    ],
)
def test_the_last_round_before_a_day_is_the_first_of_march_or_september(
    on: date, held_on: date
) -> None:
    """C: found by hand in a calendar."""
    assert round_held_on(SPRING_AND_AUTUMN, on=on) == held_on
