"""Gather what binds each member at the table: their own needs, and those that reach the home."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Final

from daysworth.domain.ages import Stage, age_of, stage_of
from daysworth.domain.demands import Demand, Eater, demand_of
from daysworth.domain.people import Household, Member

CHOKING_YEARS: Final = 4
"""Choking hazards are flagged for children under four (American Academy of Pediatrics, from
memory)."""


def eater_of(member: Member, *, household: Household, as_of: date) -> Eater:
    """Describe a member as an eater: their stage on that date, and every demand reaching them."""
    own = frozenset(demand_of(restriction) for restriction in member.restrictions)
    is_small = age_of(member, as_of).completed_years < CHOKING_YEARS
    stage = stage_of(member, as_of)
    return Eater(
        stage,
        strictest(own | home_demands(household)),
        is_under_four=is_small and stage is Stage.TABLE_FOOD,
    )


def home_demands(household: Household) -> frozenset[Demand]:
    """Give the demands that bind everything which enters a home, whoever eats it."""
    return frozenset(
        demand_of(restriction)
        for member in household.members
        for restriction in member.restrictions
        if restriction.binds_home
    )


def is_advised(household: Household) -> bool:
    """Tell whether a member follows a medical diet on which this tool only advises."""
    return any(
        demand_of(restriction).only_advises
        for member in household.members
        for restriction in member.restrictions
    )


def strictest(demands: Iterable[Demand]) -> frozenset[Demand]:
    """Drop a demand where the same one is made more strictly too."""
    given = frozenset(demands)
    if len(given) < 2:
        return given
    return frozenset(
        demand
        for demand in given
        if not any(other != demand and _is_stricter(other, demand) for other in given)
    )


def _is_stricter(one: Demand, other: Demand) -> bool:
    """Tell whether one demand is the other, made at least as strictly in every way."""
    as_strict = replace(
        other,
        accepts_may_contain=one.accepts_may_contain,
        is_certified_only=one.is_certified_only,
        is_excluding=one.is_excluding,
    )
    return (
        as_strict == one
        and one.accepts_may_contain <= other.accepts_may_contain
        and one.is_certified_only >= other.is_certified_only
        and one.is_excluding >= other.is_excluding
    )
