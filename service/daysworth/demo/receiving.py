"""Build the partners of the invented neighbourhood, with their windows and what they take.

None of them is a real place. A window begins on the first day of its choice from an offset of the
as-of date on, so that there are always visits behind and ahead.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from typing import Final

from daysworth.demo.offsets import offset
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.recurrence import Recurrence, first_that_fits
from daysworth.domain.window_choices import ChoiceKind, PlainChoice, Weekday, rule_of
from daysworth.reference.rows import listed, optional_int, optional_number, read_table, yes_no

SHARED_SHELF: Final = PartnerId("tansy-shelf")
"""The one that takes food past its best-by date, and that something is promised to already."""

GREEN_BEANS: Final = PromiseId("R-GREENBEANS")
"""What was promised to it before."""

_PACKAGE: Final = "daysworth.demo"
_MOST: Final = 1_000_000
_LOOKED_AT_DAYS: Final = 31


def partners(as_of: date, *, timezone: str) -> tuple[Partner, ...]:
    """Build the partners as they are on a date. Raises ReferenceDataError for a broken table."""
    rules = read_table("partner_rules.csv", _rule, package=_PACKAGE)
    built = partial(_window, as_of=as_of, timezone=timezone)
    windows = read_table("windows.csv", built, package=_PACKAGE)
    return read_table(
        "partners.csv", partial(_partner, rules=rules, windows=windows), package=_PACKAGE
    )


def promised(to: tuple[Partner, ...], as_of: date, *, lot: LotId, units: int) -> Promise:
    """Promise units of a lot to the shared shelf, for its first visit after a date."""
    partner = next(one for one in to if one.id == SHARED_SHELF)
    tomorrow = as_of + timedelta(days=1)
    window = partner.windows[0]
    opens = window.opens(from_on=tomorrow, to_on=as_of + timedelta(days=_LOOKED_AT_DAYS))
    return Promise(
        id=GREEN_BEANS,
        partner=partner.id,
        window=window.id,
        opens_at=opens[0].replace(tzinfo=None),
        items=(PromisedLot(lot=lot, units=units),),
    )


@dataclass(frozen=True, slots=True)
class _RuleOf:
    partner: PartnerId
    rule: AcceptanceRule


@dataclass(frozen=True, slots=True)
class _WindowOf:
    partner: PartnerId
    window: Window


def _partner(
    cells: Mapping[str, str], *, rules: tuple[_RuleOf, ...], windows: tuple[_WindowOf, ...]
) -> Partner:
    id_ = PartnerId(cells["partner"])
    return Partner(
        id=id_,
        name=cells["name"],
        is_nonprofit=yes_no(cells["is_nonprofit"]),
        asks_read_label=yes_no(cells["asks_read_label"]),
        contact=cells["contact"],
        notes=cells["notes"],
        rules=tuple(one.rule for one in rules if one.partner == id_),
        windows=tuple(one.window for one in windows if one.partner == id_),
    )


def _rule(cells: Mapping[str, str]) -> _RuleOf:
    rule = AcceptanceRule(
        group=FoodGroup(cells["group"]) if cells["group"] else None,
        takes=yes_no(cells["takes"]),
        least_days_left=int(cells["least_days_left"]),
        most_kg_per_visit=optional_number(cells["most_kg_per_visit"]),
        most_units_per_visit=optional_int(cells["most_units_per_visit"], most=_MOST),
    )
    return _RuleOf(PartnerId(cells["partner"]), rule)


def _window(cells: Mapping[str, str], *, as_of: date, timezone: str) -> _WindowOf:
    choice = PlainChoice(
        kind=ChoiceKind(cells["kind"]),
        every=int(cells["every"]),
        weekdays=tuple(Weekday(one) for one in sorted(listed(cells["weekdays"]))),
        nths=tuple(int(one) for one in sorted(listed(cells["nths"]))),
    )
    rule = rule_of(choice)
    if rule is None:
        raise ValueError("a window of the neighbourhood recurs")
    first = first_that_fits(rule, from_on=as_of + offset(cells["from_in"]))
    if first is None:
        raise ValueError("no day fits the choice")
    starts_at = datetime.combine(first, time.fromisoformat(cells["opens"]))
    window = Window(
        id=WindowId(cells["window"]),
        recurrence=Recurrence(starts_at=starts_at, timezone=timezone, rule=rule),
        minutes=int(cells["minutes"]),
        most_kg=optional_number(cells["most_kg"]),
        most_units=optional_int(cells["most_units"], most=_MOST),
        vehicle_kg=optional_number(cells["vehicle_kg"]),
        notice_days=int(cells["notice_days"]),
        driver=cells["driver"],
        appointment=cells["appointment"],
        contact=cells["contact"],
    )
    return _WindowOf(PartnerId(cells["partner"]), window)
