"""Write partners: their windows in words with the next dates, and what they take.

The names here are the names in JSON. Times are on the clock at the partner's, without an offset.
"""

from dataclasses import dataclass
from datetime import datetime

from daysworth.answers.acceptance_words import DONATION_LAW, WITHOUT_RULE, rule_words
from daysworth.answers.rounding import figure_or_none
from daysworth.answers.window_words import next_visits, visit_words, window_words
from daysworth.db.partners import KeptPartner
from daysworth.domain.partners import AcceptanceRule, Window
from daysworth.domain.window_choices import choice_of


@dataclass(frozen=True, slots=True, kw_only=True)
class NextVisitAnswer:
    """One opening of a window to come; `opens_at` names it when something is promised for it."""

    opens_at: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainChoiceAnswer:
    """A rule as a plain choice; `nths` are 1 to 5, -1 the last of a month."""

    kind: str
    every: int
    weekdays: list[str]
    nths: list[int]
    month_days: list[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningAnswer:
    """When a window opens, in words and as a rule, and its next five visits.

    `rule` null: once, and at the times beside it. `choice` null: the rule is no plain choice.
    """

    words: str
    starts_at: str
    timezone: str
    rule: str | None
    choice: PlainChoiceAnswer | None
    also_at: list[str]
    except_at: list[str]
    minutes: int
    open_months: list[int]
    next_visits: list[NextVisitAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowAnswer:
    """A partner's window. Kilograms or units null: no bound."""

    id: str
    opening: OpeningAnswer
    most_kg: float | None
    most_units: int | None
    vehicle_kg: float | None
    notice_days: int
    driver: str
    appointment: str
    contact: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptanceRuleAnswer:
    """What a partner takes of a food group; `group` null: of every group with no rule of its own.

    `least_days_left` below 0: so many days past a best-by or sell-by date.
    """

    group: str | None
    words: str
    takes: bool
    least_days_left: int
    most_kg_per_visit: float | None
    most_units_per_visit: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartnerAnswer:
    """A partner, with all there is to know before something goes there.

    `without_rule` says what holds for food that no rule is stated for; `law` is told of a partner
    that is no nonprofit.
    """

    id: str
    etag: str
    name: str
    is_nonprofit: bool
    law: str | None
    contact: str
    notes: str
    asks_read_label: bool
    rules: list[AcceptanceRuleAnswer]
    without_rule: str | None
    windows: list[WindowAnswer]


def partner_answer(kept: KeptPartner, *, at: datetime) -> PartnerAnswer:
    """Write a partner, with the visits that open after an instant."""
    partner = kept.partner
    has_rule_for_all = any(rule.group is None for rule in partner.rules)
    return PartnerAnswer(
        id=partner.id,
        etag=f'"r{kept.revision}"',
        name=partner.name,
        is_nonprofit=partner.is_nonprofit,
        law=None if partner.is_nonprofit else DONATION_LAW,
        contact=partner.contact,
        notes=partner.notes,
        asks_read_label=partner.asks_read_label,
        rules=[_rule(one) for one in partner.rules],
        without_rule=None if has_rule_for_all else WITHOUT_RULE,
        windows=[_window(one, at=at) for one in partner.windows],
    )


def opening_answer(window: Window, *, at: datetime) -> OpeningAnswer:
    """Write when a window opens, with the next visits after an instant."""
    recurrence = window.recurrence
    choice = choice_of(recurrence.rule)
    return OpeningAnswer(
        words=window_words(window),
        starts_at=local_time(recurrence.starts_at),
        timezone=recurrence.timezone,
        rule=recurrence.rule,
        choice=None
        if choice is None
        else PlainChoiceAnswer(
            kind=choice.kind,
            every=choice.every,
            weekdays=list(choice.weekdays),
            nths=list(choice.nths),
            month_days=list(choice.month_days),
        ),
        also_at=[local_time(one) for one in recurrence.also_at],
        except_at=[local_time(one) for one in recurrence.except_at],
        minutes=window.minutes,
        open_months=sorted(window.open_months),
        next_visits=[
            NextVisitAnswer(
                opens_at=local_time(opens_at), words=visit_words(opens_at, window.minutes)
            )
            for opens_at in next_visits(window, at)
        ],
    )


def local_time(at: datetime) -> str:
    """Write a time as it is on the clock there: 2026-12-08T09:00."""
    return f"{at:%Y-%m-%dT%H:%M}"


def _window(window: Window, *, at: datetime) -> WindowAnswer:
    return WindowAnswer(
        id=window.id,
        opening=opening_answer(window, at=at),
        most_kg=figure_or_none(window.most_kg),
        most_units=window.most_units,
        vehicle_kg=figure_or_none(window.vehicle_kg),
        notice_days=window.notice_days,
        driver=window.driver,
        appointment=window.appointment,
        contact=window.contact,
    )


def _rule(rule: AcceptanceRule) -> AcceptanceRuleAnswer:
    return AcceptanceRuleAnswer(
        group=rule.group,
        words=rule_words(rule),
        takes=rule.takes,
        least_days_left=rule.least_days_left,
        most_kg_per_visit=figure_or_none(rule.most_kg_per_visit),
        most_units_per_visit=rule.most_units_per_visit,
    )
