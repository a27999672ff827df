"""Turn a choice that people make (every second Tuesday, the first Saturday) into a rule, and back.

A rule is RFC 5545 (section 3.3.10). What no plain choice says stays a rule.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Le

from daysworth.domain.recurrence_rule import (
    WEEKDAY_CODES,
    Frequency,
    NumberedWeekday,
    RecurrenceRule,
    read_rule,
)

LAST: Final = -1
"""Of the weekdays, or the days, of a month: the last one."""


class ChoiceKind(StrEnum):
    """What recurs.

    `weekly`: on weekdays. `monthly_weekday`: on the first, second … or last of a weekday.
    `monthly_day`: on days of the month. `last_working_day`: on the last day of a month from Monday
    to Friday; no holiday is known. `once`: not again.
    """

    WEEKLY = "weekly"
    MONTHLY_WEEKDAY = "monthly_weekday"
    MONTHLY_DAY = "monthly_day"
    LAST_WORKING_DAY = "last_working_day"
    ONCE = "once"


class Weekday(StrEnum):
    """A day of the week, in its order."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


_IN_ORDER: Final = tuple(Weekday)
_WORKING: Final = frozenset(NumberedWeekday(weekday=number) for number in range(5))
_MOST_EVERY: Final = 99


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainChoice:
    """When a window opens, as people say it.

    `every` counts weeks or months. `nths` say which of a month's weekdays, 1 to 5 or -1 for the
    last; `month_days` which of its days, 1 to 31 or -1 for the last. Raises ValueError, in words,
    where something is left unsaid, cannot be, or belongs to another kind.
    """

    kind: ChoiceKind
    every: Annotated[int, Ge(1), Le(_MOST_EVERY)] = 1
    weekdays: tuple[Weekday, ...] = ()
    nths: tuple[int, ...] = ()
    month_days: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.every <= _MOST_EVERY:
            raise ValueError(f"it recurs every week or month, or every 2nd to {_MOST_EVERY}th")
        if self.kind is ChoiceKind.ONCE and self.every != 1:
            raise ValueError("what opens once does not recur")
        _check_said(self)
        if not all(nth == LAST or 1 <= nth <= 5 for nth in self.nths):
            raise ValueError("of a weekday a month has the 1st to the 5th, and the last (-1)")
        if not all(day == LAST or 1 <= day <= 31 for day in self.month_days):
            raise ValueError("a month has days 1 to 31, and a last one (-1)")


def _check_said(choice: PlainChoice) -> None:
    takes = _TAKES[choice.kind]
    for name, said, words in (
        ("weekdays", choice.weekdays, "weekdays"),
        ("nths", choice.nths, "which of the month's weekdays"),
        ("month_days", choice.month_days, "days of the month"),
    ):
        if name in takes and not said:
            raise ValueError(f"say on {words} it opens" if name == "nths" else f"name the {words}")
        if name not in takes and said:
            raise ValueError(f"leave out {words}: this choice does not go by them")
        if len(set(said)) < len(said):
            raise ValueError(f"in {words}, each is named once")


_TAKES: Final = {
    ChoiceKind.WEEKLY: {"weekdays"},
    ChoiceKind.MONTHLY_WEEKDAY: {"weekdays", "nths"},
    ChoiceKind.MONTHLY_DAY: {"month_days"},
    ChoiceKind.LAST_WORKING_DAY: set[str](),
    ChoiceKind.ONCE: set[str](),
}


def rule_of(choice: PlainChoice) -> str | None:
    """Give the rule that says a choice; None: it opens once."""
    codes = [WEEKDAY_CODES[number] for number in sorted(map(_IN_ORDER.index, choice.weekdays))]
    match choice.kind:
        case ChoiceKind.WEEKLY:
            return _rule(choice, frequency="WEEKLY", rest=f"BYDAY={','.join(codes)}")
        case ChoiceKind.MONTHLY_WEEKDAY:
            numbered = [f"{nth}{code}" for nth in _last_at_end(choice.nths) for code in codes]
            return _rule(choice, frequency="MONTHLY", rest=f"BYDAY={','.join(numbered)}")
        case ChoiceKind.MONTHLY_DAY:
            days = ",".join(map(str, _last_at_end(choice.month_days)))
            return _rule(choice, frequency="MONTHLY", rest=f"BYMONTHDAY={days}")
        case ChoiceKind.LAST_WORKING_DAY:
            working = ",".join(WEEKDAY_CODES[:5])
            return _rule(choice, frequency="MONTHLY", rest=f"BYDAY={working};BYSETPOS=-1")
        case ChoiceKind.ONCE:
            return None


def _rule(choice: PlainChoice, *, frequency: str, rest: str) -> str:
    every = f"INTERVAL={choice.every};" if choice.every > 1 else ""
    return f"FREQ={frequency};{every}{rest}"


def _last_at_end(numbers: tuple[int, ...] | frozenset[int]) -> tuple[int, ...]:
    return tuple(sorted(numbers, key=lambda number: (number < 0, number)))


def choice_of(rule: str | None) -> PlainChoice | None:
    """Give the plain choice that says all of a rule; None: there is none.

    Raises ValueError where the rule is none.
    """
    if rule is None:
        return PlainChoice(kind=ChoiceKind.ONCE)
    read = read_rule(rule)
    if read.count or read.until_on or read.until_at or read.months:
        return None
    return choice_within(read)


def choice_within(read: RecurrenceRule) -> PlainChoice | None:
    """Give the plain choice that a rule makes, its months and end apart; None: it makes none."""
    if read.frequency is Frequency.WEEKLY:
        return _weekly(read)
    return _monthly(read) if read.frequency is Frequency.MONTHLY else None


def _weekly(read: RecurrenceRule) -> PlainChoice | None:
    # Where weeks are left out, it matters on which day they begin; people say Monday.
    is_told_apart = read.interval > 1 and len(read.weekdays) > 1
    if not read.weekdays or (is_told_apart and read.week_starts != 0):
        return None
    return PlainChoice(
        kind=ChoiceKind.WEEKLY, every=read.interval, weekdays=_weekdays(read.weekdays)
    )


def _monthly(read: RecurrenceRule) -> PlainChoice | None:
    if read.picks:
        is_last_working = read.picks == {LAST} and read.weekdays == _WORKING
        if not is_last_working or read.month_days:
            return None
        return PlainChoice(kind=ChoiceKind.LAST_WORKING_DAY, every=read.interval)
    if bool(read.month_days) == bool(read.weekdays):
        return None
    if read.month_days:
        return _on_days(read)
    return _on_weekdays(read)


def _on_days(read: RecurrenceRule) -> PlainChoice | None:
    if any(day < LAST for day in read.month_days):
        return None
    days = _last_at_end(read.month_days)
    return PlainChoice(kind=ChoiceKind.MONTHLY_DAY, every=read.interval, month_days=days)


def _on_weekdays(read: RecurrenceRule) -> PlainChoice | None:
    """Give the choice where each weekday has the same numbers; people say no others."""
    nths = frozenset(one.nth for one in read.weekdays if one.nth is not None)
    weekdays = _weekdays(read.weekdays)
    is_each = len(read.weekdays) == len(nths) * len(weekdays)
    if not is_each or any(one.nth is None or one.nth < LAST for one in read.weekdays):
        return None
    return PlainChoice(
        kind=ChoiceKind.MONTHLY_WEEKDAY,
        every=read.interval,
        weekdays=weekdays,
        nths=_last_at_end(nths),
    )


def _weekdays(named: frozenset[NumberedWeekday]) -> tuple[Weekday, ...]:
    return tuple(_IN_ORDER[number] for number in sorted({one.weekday for one in named}))
