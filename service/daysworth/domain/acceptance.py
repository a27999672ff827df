"""Say whether a partner takes a lot at a visit, and if not, by which rule.

A partner's rules measure the date that is printed, never the store's grace. Published practice
varies widely between food banks; with no rule stated, nothing goes past its date, and formula and
baby food have at least 30 days left (the rule of one network, a month before the date). Never past
a use-by date; and none that was opened, repacked, filled or damaged here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.partners import AcceptanceRule, Partner

INFANTS_LEAST_DAYS: Final = 30
"""The days that formula and baby food have left at least where no rule is stated."""

_MAY_BE_PAST: Final = (LabelKind.BEST_BY, LabelKind.SELL_BY)


class Refusal(StrEnum):
    """Why a lot is not handed off. Those up to `NOT_DATED` hold for every partner on every day."""

    NOT_SHARED = "not_shared"
    NOT_SOUND = "not_sound"
    OPENED_HERE = "opened_here"
    REPACKED_HERE = "repacked_here"
    FILLED_HERE = "filled_here"
    NOT_DATED = "not_dated"
    GROUP_NOT_TAKEN = "group_not_taken"
    LABEL_NOT_READ = "label_not_read"
    PAST_SAFETY_DATE = "past_safety_date"
    TOO_FEW_DAYS_LEFT = "too_few_days_left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The most that one visit takes of a food group; None: no bound."""

    most_kg: float | None = None
    most_units: int | None = None


def never_goes(lot: Lot, food: Food) -> Refusal | None:
    """Say why a lot goes to no partner at all; None: it may."""
    if not lot.is_shared:
        return Refusal.NOT_SHARED
    if lot.condition is not Condition.SOUND:
        return Refusal.NOT_SOUND
    if lot.opened_on is not None:
        return Refusal.OPENED_HERE
    if lot.repacked_on is not None:
        return Refusal.REPACKED_HERE
    if food.is_water and lot.label_kind is LabelKind.PACKED_ON:
        return Refusal.FILLED_HERE
    return Refusal.NOT_DATED if printed_last_day(lot, food) is None else None


def printed_last_day(lot: Lot, food: Food) -> date | None:
    """Give the last day by the label alone, without the store's grace; None: undated."""
    return lot.last_good_day(food, grace_days={})


def rule_for(partner: Partner, group: FoodGroup) -> AcceptanceRule | None:
    """Find a partner's rule for a group: its own, else that for all; None: none is stated."""
    rules: Mapping[FoodGroup | None, AcceptanceRule] = {rule.group: rule for rule in partner.rules}
    return rules.get(group, rules.get(None))


def least_days_left(partner: Partner, food: Food, *, kind: LabelKind) -> int:
    """Give the days that a date must be ahead at the hand-off at least.

    Below 0: so many days past it are taken. Formula, baby food and what is not best-by or sell-by
    are never taken past their date, whatever the rule; without a rule of a group's own, formula
    and baby food need 30 days.
    """
    rule = rule_for(partner, food.group)
    asked = 0 if rule is None else rule.least_days_left
    if food.is_for_infants:
        is_own = rule is not None and rule.group is not None
        return max(asked, 0 if is_own else INFANTS_LEAST_DAYS)
    return asked if kind in _MAY_BE_PAST else max(asked, 0)


def last_day_to_go(partner: Partner, lot: Lot, *, food: Food) -> date | None:
    """Give the last day on which a partner takes a lot by its date; None: it is undated."""
    day = printed_last_day(lot, food)
    if day is None:
        return None
    return date.fromordinal(day.toordinal() - least_days_left(partner, food, kind=lot.label_kind))


def refusal(partner: Partner, lot: Lot, *, food: Food, on: date) -> Refusal | None:
    """Say by which rule a partner does not take a lot on a day; None: it does."""
    never = never_goes(lot, food)
    if never is not None:
        return never
    rule = rule_for(partner, food.group)
    if rule is not None and not rule.takes:
        return Refusal.GROUP_NOT_TAKEN
    if partner.asks_read_label and not any(reading.is_whole for reading in lot.readings):
        return Refusal.LABEL_NOT_READ
    last = last_day_to_go(partner, lot, food=food)
    printed = printed_last_day(lot, food)
    assert last is not None, "what is undated never goes"
    assert printed is not None, "what is undated never goes"
    if on <= last:
        return None
    is_safety = lot.label_kind is LabelKind.USE_BY or food.is_for_infants
    return Refusal.PAST_SAFETY_DATE if is_safety and on > printed else Refusal.TOO_FEW_DAYS_LEFT


def limits(partner: Partner, group: FoodGroup) -> Limits:
    """Give the most that a visit takes of a group by the rule that is for it."""
    rule = rule_for(partner, group)
    if rule is None:
        return Limits()
    return Limits(most_kg=rule.most_kg_per_visit, most_units=rule.most_units_per_visit)
