"""Gather what binds each member at the table: their own needs, and those that reach the home."""

from datetime import date

from daysworth.domain.ages import stage_of
from daysworth.domain.people import Household, Member
from daysworth.domain.restrictions import ADVISING, Restriction
from daysworth.domain.suitability import Demand, Eater


def eater_of(member: Member, *, household: Household, as_of: date) -> Eater:
    """Describe a member as an eater: their stage on that date, and every demand reaching them."""
    own = (_demand(restriction) for restriction in member.restrictions)
    home = (
        _demand(restriction)
        for other in household.members
        for restriction in other.restrictions
        if restriction.binds_home
    )
    return Eater(stage_of(member, as_of), _strictest(frozenset(own) | frozenset(home)))


def is_advised(household: Household) -> bool:
    """Tell whether a member follows a medical diet on which this tool only advises."""
    return any(
        restriction.diet in ADVISING
        for member in household.members
        for restriction in member.restrictions
    )


def _demand(restriction: Restriction) -> Demand:
    return Demand(restriction.allergy, restriction.diet, restriction.accepts_may_contain)


def _strictest(demands: frozenset[Demand]) -> frozenset[Demand]:
    """Drop a demand that accepts "may contain" where the same allergy does not accept it too."""
    return frozenset(
        demand
        for demand in demands
        if not demand.accepts_may_contain or Demand(demand.allergy, demand.diet) not in demands
    )
