"""What a plain choice says as a rule, what a rule says as a plain choice, and what is neither."""

from collections.abc import Callable
from datetime import date, datetime, time
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.recurrence import Recurrence, first_that_fits, occurrences
from daysworth.domain.window_choices import ChoiceKind, PlainChoice, Weekday, choice_of, rule_of
from tests.planners.how_many import times

TUESDAY, THURSDAY, SATURDAY = Weekday.TUESDAY, Weekday.THURSDAY, Weekday.SATURDAY


def weekly(*weekdays: Weekday, every: int = 1) -> PlainChoice:
    return PlainChoice(kind=ChoiceKind.WEEKLY, every=every, weekdays=weekdays)


def by_weekday(*nths: int, on: tuple[Weekday, ...] = (SATURDAY,), every: int = 1) -> PlainChoice:
    return PlainChoice(kind=ChoiceKind.MONTHLY_WEEKDAY, every=every, weekdays=on, nths=nths)


def by_day(*month_days: int, every: int = 1) -> PlainChoice:
    return PlainChoice(kind=ChoiceKind.MONTHLY_DAY, every=every, month_days=month_days)


LAST_WORKING: Final = PlainChoice(kind=ChoiceKind.LAST_WORKING_DAY)
ONCE: Final = PlainChoice(kind=ChoiceKind.ONCE)


@pytest.mark.parametrize(
    ("choice", "rule"),
    [
        (weekly(TUESDAY, every=2), "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU"),
        (weekly(TUESDAY, THURSDAY), "FREQ=WEEKLY;BYDAY=TU,TH"),
        (by_weekday(1), "FREQ=MONTHLY;BYDAY=1SA"),
        (by_weekday(1, 3), "FREQ=MONTHLY;BYDAY=1SA,3SA"),
        (by_weekday(2, -1, on=(TUESDAY, SATURDAY)), "FREQ=MONTHLY;BYDAY=2TU,2SA,-1TU,-1SA"),
        (by_day(2, 15, -1, every=3), "FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=2,15,-1"),
        (LAST_WORKING, "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"),
        (ONCE, None),
    ],
)
def test_a_choice_and_its_rule_say_the_same(choice: PlainChoice, rule: str | None) -> None:
    assert rule_of(choice) == rule
    assert choice_of(rule) == choice


def test_in_what_order_days_are_named_makes_no_other_rule() -> None:
    assert rule_of(weekly(THURSDAY, TUESDAY)) == rule_of(weekly(TUESDAY, THURSDAY))
    assert rule_of(by_day(-1, 15, 2)) == rule_of(by_day(2, 15, -1))


@pytest.mark.parametrize(
    ("rule", "choice"),
    [
        ("BYDAY=TH,TU;FREQ=WEEKLY;WKST=SU", weekly(TUESDAY, THURSDAY)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU;WKST=SU", weekly(TUESDAY, every=2)),
        ("FREQ=MONTHLY;BYDAY=-1SA,+1SA", by_weekday(1, -1)),
    ],
)
def test_a_rule_that_is_written_in_another_way_is_the_choice_it_means(
    rule: str, choice: PlainChoice
) -> None:
    assert choice_of(rule) == choice


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY",
        "FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1",
        "FREQ=WEEKLY",
        "FREQ=MONTHLY",
        "FREQ=WEEKLY;BYDAY=TU;COUNT=8",
        "FREQ=WEEKLY;BYDAY=TU;UNTIL=20271231",
        "FREQ=WEEKLY;BYDAY=TU;UNTIL=20271231T000000Z",
        "FREQ=WEEKLY;BYDAY=TU;BYMONTH=6",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=SU",
        "FREQ=MONTHLY;BYDAY=TU",
        "FREQ=MONTHLY;BYDAY=TU,1SA",
        "FREQ=MONTHLY;BYDAY=1TU,2SA",
        "FREQ=MONTHLY;BYDAY=-2SA",
        "FREQ=MONTHLY;BYMONTHDAY=-3",
        "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=1",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYMONTHDAY=30;BYSETPOS=-1",
        "FREQ=MONTHLY;BYDAY=SA,SU;BYSETPOS=-1",
    ],
)
def test_a_rule_that_says_more_or_other_than_a_choice_is_none(rule: str) -> None:
    assert choice_of(rule) is None


def test_what_is_no_rule_is_refused_and_no_choice() -> None:
    with pytest.raises(ValueError, match="give a daily, weekly, monthly or yearly RFC 5545 rule"):
        choice_of("every Tuesday")


def chosen(
    kind: ChoiceKind,
    *,
    weekdays: tuple[Weekday, ...] = (),
    nths: tuple[int, ...] = (),
    month_days: tuple[int, ...] = (),
) -> Callable[[], PlainChoice]:
    return lambda: PlainChoice(kind=kind, weekdays=weekdays, nths=nths, month_days=month_days)


MONTHLY: Final = ChoiceKind.MONTHLY_WEEKDAY


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (chosen(ChoiceKind.WEEKLY), "name the weekdays"),
        (chosen(MONTHLY, weekdays=(TUESDAY,)), "say on which of the month's weekdays it opens"),
        (chosen(MONTHLY, nths=(1,)), "name the weekdays"),
        (chosen(ChoiceKind.MONTHLY_DAY), "name the days of the month"),
        (
            chosen(ChoiceKind.WEEKLY, weekdays=(TUESDAY,), nths=(1,)),
            "leave out which of the month's weekdays",
        ),
        (chosen(ChoiceKind.LAST_WORKING_DAY, weekdays=(TUESDAY,)), "leave out weekdays"),
        (chosen(ChoiceKind.ONCE, month_days=(1,)), "leave out days of the month"),
        (
            chosen(ChoiceKind.WEEKLY, weekdays=(TUESDAY, TUESDAY)),
            "in weekdays, each is named once",
        ),
        (chosen(MONTHLY, weekdays=(TUESDAY,), nths=(0,)), "the 1st to the 5th"),
        (chosen(MONTHLY, weekdays=(TUESDAY,), nths=(6,)), "the 1st to the 5th"),
        (chosen(ChoiceKind.MONTHLY_DAY, month_days=(32,)), "a month has days 1 to 31"),
        (chosen(ChoiceKind.MONTHLY_DAY, month_days=(0,)), "a month has days 1 to 31"),
    ],
)
def test_a_choice_that_is_not_whole_or_says_too_much_is_refused_in_words(
    made: Callable[[], PlainChoice], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        made()


@pytest.mark.parametrize("every", [0, -1, 100])
def test_a_choice_recurs_every_week_to_every_ninety_ninth(every: int) -> None:
    with pytest.raises(ValueError, match="every 2nd to 99th"):
        weekly(TUESDAY, every=every)
    with pytest.raises(ValueError, match="what opens once does not recur"):
        PlainChoice(kind=ChoiceKind.ONCE, every=2)


def subsets(of: list[int]) -> st.SearchStrategy[tuple[int, ...]]:
    chosen = st.lists(st.sampled_from(of), min_size=1, max_size=4, unique=True)
    return chosen.map(lambda some: tuple(sorted(some, key=of.index)))


WEEKDAYS: Final = subsets(list(range(7))).map(lambda ns: tuple(list(Weekday)[n] for n in ns))
EVERY: Final = st.integers(1, 12)
CHOICES: Final = st.one_of(
    st.builds(PlainChoice, kind=st.just(ChoiceKind.WEEKLY), every=EVERY, weekdays=WEEKDAYS),
    st.builds(
        PlainChoice,
        kind=st.just(ChoiceKind.MONTHLY_WEEKDAY),
        every=EVERY,
        weekdays=WEEKDAYS,
        nths=subsets([1, 2, 3, 4, 5, -1]),
    ),
    st.builds(
        PlainChoice,
        kind=st.just(ChoiceKind.MONTHLY_DAY),
        every=EVERY,
        month_days=subsets([*range(1, 32), -1]),
    ),
    st.builds(PlainChoice, kind=st.just(ChoiceKind.LAST_WORKING_DAY), every=EVERY),
)


@settings(max_examples=times(60), deadline=None)
@given(CHOICES, st.dates(date(2025, 1, 1), date(2030, 12, 31)))
def test_every_choice_comes_back_from_its_rule_and_occurs(
    choice: PlainChoice, from_on: date
) -> None:
    rule = rule_of(choice)
    assert rule is not None
    assert choice_of(rule) == choice
    first = first_that_fits(rule, from_on=from_on)
    assert first is not None
    of = Recurrence(starts_at=datetime.combine(first, time(9)), timezone="Europe/Berlin", rule=rule)
    found = occurrences(of, from_on=first, to_on=date(2040, 12, 31)).at
    assert found[0].date() == first
    for at in found:
        assert is_meant(choice, at.date()), at


def is_meant(choice: PlainChoice, day: date) -> bool:
    """Tell whether a choice means a day, its weeks and months that count apart."""
    month = [date.fromordinal(day.toordinal() - day.day + 1)]
    while (after := date.fromordinal(month[-1].toordinal() + 1)).month == day.month:
        month.append(after)
    alike = [one for one in month if one.weekday() == day.weekday()]
    nth, is_last = alike.index(day) + 1, alike[-1] == day
    is_weekday = list(Weekday)[day.weekday()] in choice.weekdays
    match choice.kind:
        case ChoiceKind.WEEKLY:
            return is_weekday
        case ChoiceKind.MONTHLY_WEEKDAY:
            return is_weekday and (nth in choice.nths or (is_last and -1 in choice.nths))
        case ChoiceKind.MONTHLY_DAY:
            is_end = day == month[-1] and -1 in choice.month_days
            return day.day in choice.month_days or is_end
        case ChoiceKind.LAST_WORKING_DAY:
            return day == [one for one in month if one.weekday() < 5][-1]
        case ChoiceKind.ONCE:
            return True
