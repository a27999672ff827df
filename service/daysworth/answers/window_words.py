"""Say in words when a partner receives: "every second Tuesday at 09:00, for 2 hours (Europe/…)"."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Final

from daysworth.answers.kit_words import day_words, listed
from daysworth.domain.partners import MONTHS, Window
from daysworth.domain.recurrence import Recurrence, next_occurrences
from daysworth.domain.recurrence_rule import Frequency, RecurrenceRule, begun, read_rule
from daysworth.domain.window_choices import LAST, ChoiceKind, PlainChoice, Weekday, choice_within

DATES_SHOWN: Final = 5
"""How many dates are shown beside a window's words."""

_MOST_NAMED: Final = 3
_LOOKED_AT_ONCE: Final = 64
_NTHS: Final = ("first", "second", "third", "fourth", "fifth")
_WEEKDAYS: Final = tuple(day.capitalize() for day in Weekday)
_MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def recurrence_words(recurrence: Recurrence) -> str:
    """Say when it recurs, and in which zone: "every Tuesday at 09:00 (Europe/Berlin)"."""
    return f"{_times_words(recurrence)} ({recurrence.timezone})"


def window_words(window: Window) -> str:
    """Say when a window opens, for how long, in which zone, and in which months if not in all."""
    of = window.recurrence
    said = f"{_times_words(of)}, for {minutes_words(window.minutes)} ({of.timezone})"
    if window.open_months == MONTHS:
        return said
    return f"{said}, only in {_months_words(window.open_months)}"


def visit_words(opens_at: datetime, minutes: int) -> str:
    """Say when a visit is: "Tuesday 8 December 2026, 09:00 to 11:00", by the clock there."""
    closes_at = opens_at.replace(tzinfo=None) + timedelta(minutes=minutes)
    until = f"{closes_at:%H:%M}"
    if closes_at.date() != opens_at.date():
        until += f" on {_date_words(closes_at.date())}"
    return f"{_date_words(opens_at.date())}, {opens_at:%H:%M} to {until}"


def minutes_words(minutes: int) -> str:
    """Write how long something lasts: "2 hours", "1 hour and 30 minutes"."""
    hours, rest = divmod(minutes, 60)
    said = [(hours, "hour"), (rest, "minute")]
    return listed(f"{number} {unit}{'s' * (number != 1)}" for number, unit in said if number)


def next_visits(
    window: Window, after: datetime, *, most: int = DATES_SHOWN
) -> tuple[datetime, ...]:
    """Give the next instants at which a window opens, after one that carries an offset."""
    found: list[datetime] = []
    while len(found) < most:
        ahead = next_occurrences(window.recurrence, after=after, most=_LOOKED_AT_ONCE)
        if not ahead:
            break
        found.extend(at for at in ahead if at.month in window.open_months)
        after = ahead[-1]
    return tuple(found[:most])


def _times_words(of: Recurrence) -> str:
    clock = f"{of.starts_at:%H:%M}"
    if of.rule is None:
        said = f"on {_date_words(of.starts_at.date())} at {clock}"
        said = said if of.also_at else f"once, {said}"
    else:
        said = f"{_rule_words(of)} at {clock}{_end_words(read_rule(of.rule))}"
    if of.also_at:
        said += f", also on {_listed_words(of.also_at)}"
    return f"{said}, not on {_listed_words(of.except_at)}" if of.except_at else said


def _listed_words(at: tuple[datetime, ...]) -> str:
    if len(at) > _MOST_NAMED:
        return f"{len(at)} listed dates"
    return listed(f"{day_words(one.date())} at {one:%H:%M}" for one in sorted(at))


def _end_words(rule: RecurrenceRule) -> str:
    if rule.count is not None:
        return f", {rule.count} times" if rule.count > 1 else ", one time"
    until_on = rule.until_at.date() if rule.until_at is not None else rule.until_on
    return "" if until_on is None else f", until {day_words(until_on)}"


def _rule_words(of: Recurrence) -> str:
    assert of.rule is not None
    rule = begun(read_rule(of.rule), of.starts_at.date())
    if rule.frequency is Frequency.DAILY and not rule.weekdays:
        return f"{_every_words(rule.interval, 'day')}{_only_words(rule)}"
    if rule.frequency is Frequency.YEARLY and rule.interval > 1:
        said = _years_words(rule)
    else:
        said = _choice_words(_as_said(rule))
    return said or f"by the rule {of.rule}"


def _years_words(rule: RecurrenceRule) -> str | None:
    by_month = _as_said(replace(rule, interval=1))
    said = _choice_words(by_month)
    if said is None or by_month.frequency is not Frequency.MONTHLY:
        return None
    return f"{said.removesuffix(',')}, {_every_words(rule.interval, 'year')},"


def _as_said(rule: RecurrenceRule) -> RecurrenceRule:
    """Give a rule as people say it, where each of its periods counts: by week or by month."""
    if rule.interval > 1 or rule.picks:
        return rule
    is_each_week = not rule.month_days and all(one.nth is None for one in rule.weekdays)
    if is_each_week:
        return replace(rule, frequency=Frequency.WEEKLY)
    is_by_month = rule.frequency is Frequency.YEARLY and (rule.months or rule.month_days)
    return replace(rule, frequency=Frequency.MONTHLY) if is_by_month else rule


def _choice_words(rule: RecurrenceRule) -> str | None:
    choice = choice_within(rule)
    if choice is None:
        return None
    weekdays = listed(one.capitalize() for one in choice.weekdays)
    nths = listed(_nth_words(nth) for nth in choice.nths)
    match choice.kind:
        case ChoiceKind.WEEKLY:
            return f"{_weekly_words(choice)}{_only_words(rule)}"
        case ChoiceKind.MONTHLY_WEEKDAY:
            return _monthly_words(f"on the {nths} {weekdays}", rule)
        case ChoiceKind.MONTHLY_DAY:
            days = listed(f"the {_day_number_words(day)}" for day in choice.month_days)
            return _monthly_words(f"on {days}", rule)
        case ChoiceKind.LAST_WORKING_DAY:
            return _monthly_words("on the last working day", rule)
        case ChoiceKind.ONCE:
            return None


def _weekly_words(choice: PlainChoice) -> str:
    if choice.every == 1 and len(choice.weekdays) == len(Weekday):
        return "every day"
    weekdays = listed(one.capitalize() for one in choice.weekdays)
    if choice.every > 2 or (choice.every == 2 and len(choice.weekdays) > 1):
        return f"{_every_words(choice.every, 'week')} on {weekdays}"
    return f"every second {weekdays}" if choice.every == 2 else f"every {weekdays}"


def _monthly_words(days: str, rule: RecurrenceRule) -> str:
    numbers = [one.nth for one in rule.weekdays if one.nth is not None]
    is_in_each = max(rule.month_days, default=1) <= 28 and max(numbers, default=1) <= 4
    where = "" if is_in_each else ", where there is one,"
    if rule.interval == 1:
        return f"{days} of {_months_words(rule.months) if rule.months else 'every month'}{where}"
    said = f"{days} of the month{where.removesuffix(',')}, {_every_words(rule.interval, 'month')},"
    return f"{said.removesuffix(',')}{_only_words(rule)}" if rule.months else said


def _only_words(rule: RecurrenceRule) -> str:
    return f", only in {_months_words(rule.months)}," if rule.months else ""


def _every_words(every: int, period: str) -> str:
    if every > 2:
        return f"every {every} {period}s"
    return f"every second {period}" if every == 2 else f"every {period}"


def _nth_words(nth: int) -> str:
    return "last" if nth == LAST else _NTHS[nth - 1]


def _day_number_words(day: int) -> str:
    if day == LAST:
        return "last day"
    ending = "th" if 11 <= day <= 13 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
    return f"{day}{ending}"


def _months_words(months: frozenset[int]) -> str:
    """Name months; three or more in a row, over the new year too, by the first and the last."""
    first = next((one for one in sorted(months) if (one - 2) % 12 + 1 not in months), 1)
    in_row = [(first - 1 + n) % 12 + 1 for n in range(len(months))]
    if len(months) > 2 and set(in_row) == months:
        return f"{_MONTHS[in_row[0] - 1]} to {_MONTHS[in_row[-1] - 1]}"
    return listed(_MONTHS[one - 1] for one in sorted(months))


def _date_words(day: date) -> str:
    return f"{_WEEKDAYS[day.weekday()]} {day_words(day)}"
