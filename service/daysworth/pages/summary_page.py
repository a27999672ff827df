"""Lay out a summary for reading: households by name, days rounded down, lists in one order."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from daysworth.answers.coverage import CoverageAnswer, LotAnswer, ScenarioAsked
from daysworth.domain.identifiers import HouseholdId
from daysworth.printing.figures import is_short_of, tenths, whole

HOLDERS_NAMED = 3


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


def held_down(answer: CoverageAnswer) -> Iterator[tuple[str, dict[str, str | int | float]]]:
    """Give the sentences on what holds the days down, each as a message's key and its values."""
    days = answer.everyone_fed_days
    if days is None:
        return
    if not answer.everyone_fed_at_least:
        yield from _holding(answer, days)
    unread = answer.everyone_fed_days_if_unread_suit
    if unread is not None and tenths(unread) != tenths(days):
        yield "summary-if-read", {"days": tenths(unread)}
    after = answer.next_level_days
    if after is not None and after >= answer.scenario.horizon_days:
        yield "summary-others-at-least", {"days": answer.scenario.horizon_days}
    elif after is not None:
        yield "summary-next-level", {"days": tenths(after)}


def _holding(
    answer: CoverageAnswer, days: float
) -> Iterator[tuple[str, dict[str, str | int | float]]]:
    wet = answer.everyone_fed_days_if_enough_to_drink
    if wet is not None and tenths(wet) != tenths(days):
        yield "summary-held-by-water", {"days": tenths(wet)}
        return
    if sum(one.members for one in answer.held_by) == answer.members_with_a_need:
        yield "summary-held-by-all", {}
        return
    for one in answer.held_by[:HOLDERS_NAMED]:
        yield "summary-held-by", {"members": one.members, "need": one.need}
    if len(answer.held_by) > HOLDERS_NAMED:
        yield "summary-held-by-more", {"groups": len(answer.held_by) - HOLDERS_NAMED}
