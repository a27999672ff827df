"""Say in words what a partner takes, and by which rule it does not take a lot."""

from collections.abc import Mapping
from typing import Final

from daysworth.answers.kit_words import group_words, number_words
from daysworth.domain.acceptance import INFANTS_LEAST_DAYS, Refusal, least_days_left
from daysworth.domain.foods import Food
from daysworth.domain.lots import Lot
from daysworth.domain.partners import AcceptanceRule, Partner

DONATION_LAW: Final = (
    "A congregation or a household is not a qualified direct donor (Pub. L. 117-362, 2023): give "
    "through a nonprofit. Not legal advice."
)

WITHOUT_RULE: Final = (
    "where no rule is stated: nothing past its date, formula and baby food with at least "
    f"{INFANTS_LEAST_DAYS} days left"
)

_NEVER: Final[Mapping[Refusal, str]] = {
    Refusal.NOT_SHARED: "a household keeps it for itself",
    Refusal.NOT_SOUND: "it is damaged, or was set aside",
    Refusal.OPENED_HERE: "it was opened here",
    Refusal.REPACKED_HERE: "it was repacked here",
    Refusal.FILLED_HERE: "it was filled here",
    Refusal.NOT_DATED: "it has no date",
}


def never_words(refusal: Refusal) -> str:
    """Say why a lot goes to no partner at all."""
    return _NEVER[refusal]


def refusal_words(refusal: Refusal, *, partner: Partner, lot: Lot, food: Food) -> str:
    """Say by which of its rules a partner does not take a lot; the partner is not named."""
    match refusal:
        case Refusal.GROUP_NOT_TAKEN:
            return f"takes no {group_words(food.group)}"
        case Refusal.LABEL_NOT_READ:
            return "takes only what has had its whole label read here"
        case Refusal.PAST_SAFETY_DATE:
            return "takes nothing past a use-by date, and no formula or baby food past its date"
        case Refusal.TOO_FEW_DAYS_LEFT:
            days = least_days_left(partner, food, kind=lot.label_kind)
            return f"takes it {days_left_words(days)}"
        case _:
            return never_words(refusal)


def rule_words(rule: AcceptanceRule) -> str:
    """Say what a rule takes of its group."""
    of = "everything else" if rule.group is None else group_words(rule.group)
    if not rule.takes:
        return f"{of}: none of it"
    bounds = [days_left_words(rule.least_days_left)]
    if rule.most_kg_per_visit is not None:
        bounds.append(f"at most {number_words(rule.most_kg_per_visit)} kg a visit")
    if rule.most_units_per_visit is not None:
        bounds.append(f"at most {number_words(rule.most_units_per_visit)} units a visit")
    return f"{of}: {', '.join(bounds)}"


def days_left_words(days: int) -> str:
    """Say how many days the printed date must be ahead, or may be past."""
    if days > 0:
        return f"with at least {_days(days)} left"
    return "up to its date" if days == 0 else f"up to {_days(-days)} past a best-by or sell-by date"


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"
