"""Say in words why food that could spoil is placed on no visit, and what a plan aims at."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Final

from daysworth.answers.acceptance_words import never_words, refusal_words
from daysworth.answers.kit_words import day_words
from daysworth.domain.acceptance import Refusal, printed_last_day
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import Partner
from daysworth.planners.surplus_plan import Staying, SurplusAim, SurplusPlan, WhyStays

AIM_WORDS: Final[Mapping[SurplusAim, str]] = {
    SurplusAim.ENERGY: "the most energy of what would spoil, in kcal",
    SurplusAim.VISITS: "the fewest visits",
    SurplusAim.EARLINESS: "the earliest hand-off, as the energy-weighted mean of days ahead",
}


def why_stays(one: Staying, *, partners: Mapping[PartnerId, Partner], floor_days: int) -> str:
    """Say why units that could spoil go nowhere."""
    match one.why:
        case WhyStays.NEVER_GOES:
            said = "" if one.never is None else never_words(one.never)
        case WhyStays.NO_WINDOW:
            said = f"no visit that can still be promised is before its date{_its_date(one)}"
        case WhyStays.REFUSED:
            said = "; ".join(
                refused_words(one, partners[partner], refusal=refusal)
                for partner, refusal in sorted(one.refused_by.items())
            )
        case WhyStays.CAPACITY:
            said = "there is no more room on the visits that could take it"
        case WhyStays.FLOOR:
            said = f"it is needed so that everyone is fed for {floor_days} days"
    return said


def floor_words(plan: SurplusPlan) -> str:
    """Say what the floor holds: everyone's days, or no fewer than they would be anyway."""
    if plan.floor_days == 0:
        return "nothing is held back for everyone to stay fed"
    last_day = day_words(plan.until_on - timedelta(days=1))
    if plan.below_floor_on is None:
        return f"everyone stays fed for {plan.floor_days} days on every day to {last_day}"
    return (
        f"from {day_words(plan.below_floor_on)} on there are days on which everyone is fed for "
        f"fewer than {plan.floor_days} days even if nothing goes; on those nothing goes that would "
        "leave them fewer"
    )


def refused_words(one: Staying, partner: Partner, *, refusal: Refusal) -> str:
    """Say who does not take a lot, and by which rule."""
    words = refusal_words(refusal, partner=partner, lot=one.item.lot, food=one.item.food)
    return f"{partner.name} {words}"


def _its_date(one: Staying) -> str:
    day = printed_last_day(one.item.lot, one.item.food)
    return "" if day is None else f", {day_words(day)}"
