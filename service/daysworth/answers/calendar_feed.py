"""Write a calendar that other programs subscribe to (iCalendar, RFC 5545 and RFC 7986).

An event keeps its UID for as long as it is the same thing, and its SEQUENCE rises whenever what it
says has changed. The same events give the same bytes: an event is stamped with the instant at which
it last changed (section 3.8.7.2, for a calendar that carries no METHOD).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Final

from daysworth.answers.calendar_events import CalendarEvent
from daysworth.domain.identifiers import StoreId

if TYPE_CHECKING:
    from icalendar import Calendar, Event, Timezone

MEDIA_TYPE: Final = "text/calendar; charset=utf-8"

_WRITER: Final = "-//Daysworth//Calendar of a store//EN"
_ASK_AGAIN: Final = timedelta(hours=6)
_ZONES_REMEMBERED: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class EventState:
    """How often an event has changed since it was first shown, and the last instant it did."""

    sequence: int
    changed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedEvent:
    """An event, and how often what it says has changed."""

    uid: str
    event: CalendarEvent
    state: EventState


def uid_of(store: StoreId, event: CalendarEvent) -> str:
    """Name an event by what it is, so that its name tells nothing and never changes."""
    named = "\x1f".join((store, *event.key))
    return f"{sha256(named.encode()).hexdigest()[:32]}@daysworth"


def digest_of(event: CalendarEvent) -> str:
    """Give a digest of all that an event says."""
    said = (
        event.title,
        event.where,
        event.on_day.isoformat(),
        "" if event.opens_at is None else _in_zone(event.opens_at),
        str(event.minutes),
        str(event.is_busy),
        *event.lines,
    )
    return sha256("\x1f".join(said).encode()).hexdigest()[:32]


def _in_zone(at: datetime) -> str:
    return f"{at.isoformat()} {at.tzinfo}"


def feed(events: Iterable[StatedEvent], *, name: str) -> bytes:
    """Write the calendar of a store whose name is given."""
    from icalendar import Calendar

    given = list(events)
    calendar = Calendar()
    calendar.add("prodid", _WRITER)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    # The name as programs read it that are older than RFC 7986.
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", _ASK_AGAIN, parameters={"VALUE": "DURATION"})
    for one in given:
        calendar.add_component(_event(one))
    _describe_zones(calendar, days=[one.event.on_day for one in given])
    return bytes(calendar.to_ical())


def _event(stated: StatedEvent) -> "Event":
    from icalendar import Event

    event, written = stated.event, Event()
    written.add("uid", stated.uid)
    written.add("dtstamp", stated.state.changed_at)
    written.add("last-modified", stated.state.changed_at)
    written.add("sequence", stated.state.sequence)
    written.add("summary", event.title)
    written.add("class", "PRIVATE")
    written.add("transp", "OPAQUE" if event.is_busy else "TRANSPARENT")
    if event.opens_at is None:
        written.add("dtstart", event.on_day)
        written.add("dtend", event.on_day + timedelta(days=1))
    else:
        written.add("dtstart", event.opens_at)
        # Exact minutes, where an end on the clock may come twice (section 3.3.6).
        written.add("duration", timedelta(minutes=event.minutes))
    if event.where:
        written.add("location", event.where)
    if event.lines:
        written.add("description", "\n".join(event.lines))
    return written


def _describe_zones(calendar: "Calendar", *, days: list[date]) -> None:
    """Describe every zone that an event names, for all of its days (section 3.6.5)."""
    # In order, and before what names them: else the same events would not give the same bytes.
    calendar.subcomponents[:0] = [
        _zone(zone, from_year=min(days).year - 1, to_year=max(days).year + 1)
        for zone in sorted(calendar.get_missing_tzids())
    ]


@lru_cache(maxsize=_ZONES_REMEMBERED)
def _zone(zone: str, *, from_year: int, to_year: int) -> "Timezone":
    from icalendar import Timezone

    return Timezone.from_tzid(
        zone, first_date=date(from_year, 1, 1), last_date=date(to_year + 1, 1, 1)
    )
