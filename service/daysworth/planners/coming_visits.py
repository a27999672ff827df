"""Find the visits of the coming two weeks: those that something is promised for, and the others.

Given an as-of date `D`, the visits from `D` to `D + 13` are looked at, by the date there.

    promised   the visits that an open promise is for, with all that is promised for them; those
               whose day is past too, for nobody has said what became of them
    other      the visits for which notice can still be given and nothing is promised

Each list is by when the visits open.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from daysworth.domain.identifiers import LotId
from daysworth.domain.partners import Window
from daysworth.domain.promises import Promise
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.visits import VisitKey, opening
from daysworth.planners.shelf import DatedLot, dated_lots
from daysworth.planners.surplus_plan import Going, PlannedVisit, Visit
from daysworth.planners.surplus_visits import visits_of

AHEAD_DAYS: Final = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingVisits:
    """Visits with what is promised for them, and those that something could be promised for."""

    promised: tuple[PlannedVisit, ...]
    others: tuple[Visit, ...]


def plan_coming_visits(snapshot: Snapshot, as_of: date) -> ComingVisits:
    """List the visits from a date on, the earliest first."""
    until_on = as_of + timedelta(days=AHEAD_DAYS)
    lots = {item.lot.id: item for item in dated_lots(snapshot, as_of)}
    found = visits_of(snapshot, as_of, until_on=until_on, partners=None, lots=lots)
    promised = _promised(snapshot, until_on=until_on, lots=lots)
    return ComingVisits(
        promised=tuple(sorted(promised, key=lambda one: _by_opening(one.visit))),
        others=tuple(visit for visit in found if not visit.promised),
    )


def _promised(
    snapshot: Snapshot, *, until_on: date, lots: Mapping[LotId, DatedLot]
) -> Iterator[PlannedVisit]:
    by_visit: dict[VisitKey, list[Promise]] = {}
    for one in snapshot.promises:
        if one.on < until_on:
            by_visit.setdefault((one.partner, one.window, one.opens_at), []).append(one)
    partners = {one.id: one for one in snapshot.partners}
    for (partner_id, window_id, opens_at), promises in by_visit.items():
        partner = partners[partner_id]
        window = next(one for one in partner.windows if one.id == window_id)
        at = _instant(window, opens_at)
        visit = Visit(partner=partner, window=window, opens_at=at)
        yield PlannedVisit(visit=visit, going=tuple(_going(promises, lots=lots)))


def _going(promises: Iterable[Promise], *, lots: Mapping[LotId, DatedLot]) -> list[Going]:
    """Give what goes, by food and last good day, each lot once."""
    units: dict[LotId, int] = {}
    for part in (part for promise in promises for part in promise.items):
        units[part.lot] = units.get(part.lot, 0) + part.units
    return sorted((Going(lots[lot], each) for lot, each in units.items()), key=_by_food)


def _instant(window: Window, opens_at: datetime) -> datetime:
    """Give the instant of a visit, also of one at which the window opens no longer."""
    zone = ZoneInfo(window.recurrence.timezone)
    return opening(window, opens_at) or opens_at.replace(tzinfo=zone)


def _by_opening(visit: Visit) -> tuple[datetime, str, str]:
    return visit.opens_at.astimezone(UTC), visit.partner.id, visit.window.id


def _by_food(one: Going) -> tuple[str, date, str]:
    return one.item.food.name, one.item.last_good_day or date.max, one.item.lot.id
