"""Lay out a summary for reading: households by name, days rounded down, lists in one order."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from daysworth.answers.coverage import CoverageAnswer, LotAnswer, ScenarioAsked
from daysworth.domain.identifiers import HouseholdId
from daysworth.pages.coverage_shown import Said
from daysworth.printing.figures import is_short_of, tenths, whole


@dataclass(frozen=True, slots=True)
class Home:
    """A household as it is shown; days None: nobody in it has a need of their own."""

    name: str
    parcel_number: int | None
    members: int
    days: float | None
    at_least: bool
    is_below_floor: bool


@dataclass(frozen=True, slots=True)
class LotList:
    """Lots under one heading: the key of its message, and what to do about them."""

    key: str
    lots: list[LotAnswer]


def homes_shown(
    answer: CoverageAnswer, names: Mapping[HouseholdId, tuple[int, str]], *, floor_days: int
) -> list[Home]:
    """Name an answer's households, worst first; one that left meanwhile keeps its id."""
    shown = []
    for home in answer.households:
        number, name = names.get(HouseholdId(home.household), (None, home.household))
        days = home.days
        is_below = days is not None and not home.at_least and is_short_of(days, floor_days)
        shown.append(Home(name, number, home.members, days, home.at_least, is_below))
    return shown


def lists_shown(answer: CoverageAnswer) -> list[LotList]:
    """Give the lists of lots that need a hand, those that are not empty."""
    aside = answer.set_aside
    every = (
        LotList("past", aside.past),
        LotList("damaged", aside.damaged),
        LotList("undated", aside.undated),
        LotList("quarantined", aside.quarantined),
    )
    return [one for one in every if one.lots]


def scene(asked: ScenarioAsked) -> Iterator[tuple[str, dict[str, str | int | float]]]:
    """Say what the days are counted with, each part as a message's key and its values."""
    yield ("scene-heating" if asked.heating else "scene-no-heating"), {}
    yield ("scene-running-water" if asked.running_water else "scene-no-running-water"), {}
    yield ("scene-all-stock" if asked.stock == "all" else "scene-shared"), {}
    if asked.ration < 1:
        yield "scene-ration", {"percent": round(asked.ration * 100)}
    else:
        yield "scene-full", {}
    if asked.basis == "flat":
        yield "scene-flat", {}
    if asked.places_lost:
        yield "scene-places-lost", {"places": len(asked.places_lost)}
    if asked.households_away:
        yield "scene-away", {"homes": len(asked.households_away)}


def fed_through(answer: CoverageAnswer) -> date | None:
    """Give the last day on which everyone is fed in full; None: not one, or nobody has a need."""
    days = answer.everyone_fed_days
    if days is None or whole(days) < 1:
        return None
    return answer.as_of + timedelta(days=whole(days) - 1)


def days_short(answer: CoverageAnswer, *, floor_days: int) -> float | None:
    """Give the days by which everyone falls short of the floor, rounded up; None: they do not."""
    days = answer.everyone_fed_days
    if days is None or answer.everyone_fed_at_least or not is_short_of(days, floor_days):
        return None
    return round(floor_days - tenths(days), 1)


def next_out(answer: CoverageAnswer) -> Said | None:
    """Say when the others run out, as a message's key and its values; None: there are none."""
    after = answer.next_level_days
    if after is None:
        return None
    if after >= answer.scenario.horizon_days:
        return "summary-others-at-least", {"days": answer.scenario.horizon_days}
    return "summary-next-level", {"days": tenths(after)}


def if_all_read(answer: CoverageAnswer) -> Said | None:
    """Say what reading every label may be worth; None: nothing that would be seen."""
    days, unread = answer.everyone_fed_days, answer.everyone_fed_days_if_unread_suit
    if days is None or unread is None or tenths(unread) == tenths(days):
        return None
    return "summary-if-read", {"days": tenths(unread)}


def if_enough_water(answer: CoverageAnswer) -> Said | None:
    """Say what holds everyone down where it is the stored water; None: it is not."""
    days, wet = answer.everyone_fed_days, answer.everyone_fed_days_if_enough_to_drink
    if days is None or wet is None or tenths(wet) == tenths(days):
        return None
    return "summary-held-by-water", {"days": tenths(wet)}
