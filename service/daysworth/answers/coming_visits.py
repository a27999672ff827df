"""Write the visits of the coming two weeks for the weekly notice: what goes, who else receives.

The names here are the names in JSON. Nothing in it is of any household. A notice that is kept is
read back by later releases: a field that is added later needs a default.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Final

from daysworth.answers.packing_list import in_walking_order
from daysworth.answers.partners import local_time
from daysworth.answers.rounding import figure
from daysworth.answers.window_words import visit_words
from daysworth.domain.acceptance import refusal
from daysworth.domain.lots import Place
from daysworth.planners.surplus_plan import Going, PlannedVisit, Visit

MOST_OTHERS: Final = 100
"""How many visits that nothing is promised for are listed before the rest are only counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BringAnswer:
    """So many units of a food, of whatever date, from one place."""

    food: str
    units: int
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisedVisitAnswer:
    """A visit with all that is promised for it, in the order in which somebody walks round.

    `opens_at` is on the clock at the partner's, for `minutes`; `words` say it. Of its units,
    `units_not_to_go` are damaged, set aside or by then too old for the partner.
    """

    partner_name: str
    opens_at: str
    minutes: int
    visit_on: date
    words: str
    units: int
    units_not_to_go: int
    mass_g: float
    energy_kcal: float
    contents: list[BringAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherVisitAnswer:
    """A visit that nothing is promised for yet; it can be promised up to `promise_by_day`."""

    partner_name: str
    opens_at: str
    minutes: int
    visit_on: date
    words: str
    promise_by_day: date


def promised_visits(
    visits: Sequence[PlannedVisit], *, places: Sequence[Place]
) -> list[PromisedVisitAnswer]:
    """Write the visits that something is promised for."""
    return [_promised(one, places=places) for one in visits]


def other_visits(visits: Sequence[Visit]) -> list[OtherVisitAnswer]:
    """Write the first of the visits that nothing is promised for."""
    return [
        OtherVisitAnswer(
            partner_name=one.partner.name,
            opens_at=local_time(one.opens_at),
            minutes=one.window.minutes,
            visit_on=one.on,
            words=visit_words(one.opens_at, one.window.minutes),
            promise_by_day=one.on - timedelta(days=one.window.notice_days),
        )
        for one in visits[:MOST_OTHERS]
    ]


def _promised(one: PlannedVisit, *, places: Sequence[Place]) -> PromisedVisitAnswer:
    visit = one.visit
    grouped = in_walking_order(one.going, places=places, place_of=lambda each: each.item.lot.place)
    return PromisedVisitAnswer(
        partner_name=visit.partner.name,
        opens_at=local_time(visit.opens_at),
        minutes=visit.window.minutes,
        visit_on=visit.on,
        words=visit_words(visit.opens_at, visit.window.minutes),
        units=one.units,
        units_not_to_go=sum(each.units for each in one.going if _is_refused(each, visit)),
        mass_g=figure(one.mass_g),
        energy_kcal=figure(one.energy_kcal),
        contents=[
            BringAnswer(food=food, units=sum(each.units for each in same), place=place.name)
            for place, going in grouped
            for food, same in groupby(going, key=_food_name)
        ],
    )


def _is_refused(one: Going, visit: Visit) -> bool:
    lot, food = one.item.lot, one.item.food
    return refusal(visit.partner, lot, food=food, on=visit.on) is not None


def _food_name(one: Going) -> str:
    return one.item.food.name
