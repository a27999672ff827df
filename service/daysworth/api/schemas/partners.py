"""Say how partners come in: their windows, by a plain choice or by a rule, and what they take.

Shapes and bounds are checked as a request is read. Whether a window ever opens, and whether two of
them overlap, takes longer to find out: `NewPartnerIn.partner` does it, away from whoever else asks.
"""

import re
from datetime import date, datetime
from typing import Annotated, Final, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)

from daysworth.api.schemas.patterns import NewId
from daysworth.api.schemas.plain import Input, Words
from daysworth.api.schemas.words_of_lists import FoodGroupIn
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.identifiers import PartnerId, WindowId, is_plain
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR
from daysworth.domain.partners import (
    LONGEST_MINUTES,
    MONTHS,
    MOST_WINDOWS,
    SHORTEST_MINUTES,
    AcceptanceRule,
    Partner,
    Window,
)
from daysworth.domain.recurrence import MOST_LISTED, Recurrence, first_that_fits
from daysworth.domain.window_choices import ChoiceKind, PlainChoice, Weekday, rule_of

_LOCAL_TIME: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}")
_MOST_RULES: Final = 40
_HEAVIEST_KG: Final = 100_000
_MOST_UNITS: Final = 1_000_000


def _local_time(written: object) -> object:
    if not isinstance(written, str):
        return written
    if _LOCAL_TIME.fullmatch(written) is None:
        raise ValueError(
            "must be a time on the clock there, written YYYY-MM-DDTHH:MM, without an offset"
        )
    try:
        at = datetime.fromisoformat(written)
    except ValueError:
        raise ValueError("there is no such day or time") from None
    if not FIRST_YEAR <= at.year <= LAST_YEAR:
        raise ValueError(f"is not between {FIRST_YEAR} and {LAST_YEAR}")
    return at


LocalTime = Annotated[
    datetime,
    BeforeValidator(_local_time),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": f"^{_LOCAL_TIME.pattern}$",
            "examples": ["2026-12-08T09:00"],
        }
    ),
]
"""A time on the clock at a partner's, YYYY-MM-DDTHH:MM, without an offset."""


def _printable(text: str) -> str:
    if not is_plain(text):
        raise ValueError("must be plain words on one line")
    return text


LineIn = Annotated[
    str,
    StringConstraints(strip_whitespace=True, max_length=200),
    AfterValidator(_printable),
]
"""Words on one line; empty where there is nothing to say."""

KilogramsIn = Annotated[float, Field(gt=0, le=_HEAVIEST_KG)]
UnitsAVisitIn = Annotated[int, Field(ge=1, le=_MOST_UNITS)]
MonthIn = Annotated[int, Field(ge=1, le=12)]


class PlainChoiceIn(Input):
    """When a window opens, in plain choices: every second Tuesday, the first Saturday.

    `every` counts weeks or months; `nths` are 1 to 5, or -1 for the last of a month.
    """

    kind: Annotated[ChoiceKind, Field(strict=False)]
    every: Annotated[int, Field(ge=1, le=99)] = 1
    weekdays: Annotated[list[Annotated[Weekday, Field(strict=False)]], Field(max_length=7)] = Field(
        default_factory=list
    )
    nths: Annotated[list[Annotated[int, Field(ge=-1, le=5)]], Field(max_length=6)] = Field(
        default_factory=list
    )
    month_days: Annotated[list[Annotated[int, Field(ge=-1, le=31)]], Field(max_length=31)] = Field(
        default_factory=list
    )

    def choice(self) -> PlainChoice:
        """Give the choice. Raises ValueError, in words, where it cannot be."""
        return PlainChoice(
            kind=self.kind,
            every=self.every,
            weekdays=tuple(self.weekdays),
            nths=tuple(self.nths),
            month_days=tuple(self.month_days),
        )


class RecurrenceIn(Input):
    """When a window opens: a plain choice or an RFC 5545 rule, or neither: once.

    Times are on the clock in the zone, an IANA name. With a choice the window first opens on the
    first fitting day from `starts_at` on; a rule's start must be a day that it gives. `also_at`
    are times beside it, `except_at` times that are left out.
    """

    starts_at: LocalTime
    timezone: Annotated[str, Field(max_length=64, examples=["America/Chicago"])]
    rule: Annotated[str, Field(max_length=200, examples=["FREQ=WEEKLY;BYDAY=TU"])] | None = None
    choice: PlainChoiceIn | None = None
    also_at: Annotated[list[LocalTime], Field(max_length=MOST_LISTED)] = Field(default_factory=list)
    except_at: Annotated[list[LocalTime], Field(max_length=MOST_LISTED)] = Field(
        default_factory=list
    )

    @model_validator(mode="after")
    def _one_of_them(self) -> Self:
        if self.rule is not None and self.choice is not None:
            raise ValueError("give a plain choice or a rule, one of them")
        return self

    def recurrence(self) -> Recurrence:
        """Give the recurrence. Raises ValueError, in words, where it cannot be."""
        rule, starts_at = self.rule, self.starts_at
        if self.choice is not None:
            rule = rule_of(self.choice.choice())
            starts_at = datetime.combine(_first_on(rule, starts_at.date()), starts_at.time())
        return Recurrence(
            starts_at=starts_at,
            timezone=self.timezone,
            rule=rule,
            also_at=tuple(self.also_at),
            except_at=tuple(self.except_at),
        )


class OpeningIn(RecurrenceIn):
    """When a window opens, and for how many minutes; in months outside `open_months` it does not.

    Without months it opens all year.
    """

    minutes: Annotated[int, Field(ge=SHORTEST_MINUTES, le=LONGEST_MINUTES)]
    open_months: Annotated[list[MonthIn], Field(min_length=1, max_length=12)] = Field(
        default_factory=lambda: sorted(MONTHS)
    )

    def window(self) -> Window:
        """Give the window. Raises ValueError, in words, where it cannot be."""
        return self._window(WindowId("preview"))

    def _window(self, id_: WindowId) -> Window:
        return Window(
            id=id_,
            recurrence=self.recurrence(),
            minutes=self.minutes,
            open_months=frozenset(self.open_months),
        )


class WindowIn(OpeningIn):
    """A partner's window: when it opens, how much it takes, and what to know before driving there.

    `most_kg` and `most_units` bound a visit, `vehicle_kg` is what our vehicle carries on a trip;
    null: no bound. It must be promised `notice_days` before the day.
    """

    id: Annotated[NewId, Field(examples=["tuesdays"])]
    most_kg: KilogramsIn | None = None
    most_units: UnitsAVisitIn | None = None
    vehicle_kg: KilogramsIn | None = None
    notice_days: Annotated[int, Field(ge=0, le=365)] = 0
    driver: LineIn = ""
    appointment: LineIn = ""
    contact: LineIn = ""

    def window(self) -> Window:
        """Give the window. Raises ValueError, in words, where it cannot be."""
        return Window(
            id=WindowId(self.id),
            recurrence=self.recurrence(),
            minutes=self.minutes,
            most_kg=self.most_kg,
            most_units=self.most_units,
            vehicle_kg=self.vehicle_kg,
            notice_days=self.notice_days,
            open_months=frozenset(self.open_months),
            driver=self.driver,
            appointment=self.appointment,
            contact=self.contact,
        )


class AcceptanceRuleIn(Input):
    """What a partner takes of a food group; without a group, of all with no rule of their own.

    `least_days_left` is how many days the printed date must be ahead; below 0, how many days past
    a best-by or sell-by date may be. Never past a use-by date, nor for formula or baby food.
    """

    group: FoodGroupIn | None = None
    takes: bool = True
    least_days_left: Annotated[int, Field(ge=-3_650, le=3_650)] = 0
    most_kg_per_visit: KilogramsIn | None = None
    most_units_per_visit: UnitsAVisitIn | None = None

    def rule(self) -> AcceptanceRule:
        """Give the rule."""
        return AcceptanceRule(
            group=self.group,
            takes=self.takes,
            least_days_left=self.least_days_left,
            most_kg_per_visit=self.most_kg_per_visit,
            most_units_per_visit=self.most_units_per_visit,
        )


class PartnerIn(Input):
    """Who takes food for people in need, when, and what; given whole.

    Where no rule is stated for a food, nothing goes past its date, and formula and baby food with
    at least 30 days left. With `asks_read_label` only food goes whose whole label was read here.
    """

    name: Words
    is_nonprofit: bool = True
    contact: LineIn = ""
    notes: LineIn = ""
    asks_read_label: bool = False
    rules: Annotated[list[AcceptanceRuleIn], Field(max_length=_MOST_RULES)] = Field(
        default_factory=list
    )
    windows: Annotated[list[WindowIn], Field(max_length=MOST_WINDOWS)] = Field(default_factory=list)

    def partner(self, id_: PartnerId) -> Partner:
        """Give the partner under an id. Raises FieldsRefused for windows that cannot be."""
        windows = self._windows()
        try:
            return Partner(
                id=id_,
                name=self.name,
                is_nonprofit=self.is_nonprofit,
                contact=self.contact,
                notes=self.notes,
                asks_read_label=self.asks_read_label,
                rules=tuple(one.rule() for one in self.rules),
                windows=windows,
            )
        except ValueError as fault:
            raise FieldsRefused((Fault("", str(fault)),)) from fault

    def _windows(self) -> tuple[Window, ...]:
        made, faults = [], []
        for number, one in enumerate(self.windows, start=1):
            try:
                made.append(one.window())
            except ValueError as fault:
                faults.append(Fault(f"windows number {number}", str(fault)))
        if faults:
            raise FieldsRefused(tuple(faults))
        return tuple(made)


class NewPartnerIn(PartnerIn):
    """A partner under an id of the store's choice that stands in its address."""

    id: Annotated[NewId, Field(examples=["harbour-kitchen"])]


def _first_on(rule: str | None, from_on: date) -> date:
    """Give the first day from one on that a plain choice falls on; once: that day."""
    first = from_on if rule is None else first_that_fits(rule, from_on=from_on)
    if first is None:
        raise ValueError("this never occurs: no day fits the choice")
    return first
