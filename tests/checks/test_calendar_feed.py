"""The calendar is iCalendar as RFC 5545 has it, read by parsers that are not the writer's.

Instants: recurring-ical-events expands the calendar, and dateutil's own parser of VTIMEZONE says
what each zone's clock shows (both apart from the library that writes the calendar's zones). Lines:
RFC 5545, section 3.1: CRLF, at most 75 octets, UTF-8. What an event and a zone must have: sections
3.6.1 and 3.6.5. Zones: the IANA database, by zoneinfo.
"""

import re
from datetime import UTC, date, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events
from dateutil import tz

from daysworth.answers.calendar_events import CalendarEvent
from daysworth.answers.calendar_feed import EventState, StatedEvent, feed, uid_of
from daysworth.domain.identifiers import StoreId

CHANGED_AT = datetime(2026, 9, 1, 12, 0, tzinfo=UTC)
STORE = StoreId("fernhollow")
ZONES = (
    "Europe/Berlin",
    "America/New_York",
    "Australia/Lord_Howe",
    "Africa/Casablanca",
    "Asia/Kathmandu",
    "America/Sao_Paulo",
    "Pacific/Apia",
    "Etc/GMT+5",
    "UTC",
    "Africa/Abidjan",
)


def visit(opens_at: datetime, *, minutes: int = 120, title: str = "Bring food") -> CalendarEvent:
    return CalendarEvent(
        key=("visit", "p", str(opens_at.tzinfo), opens_at.isoformat()),
        title=title,
        lines=("To bring:", "- Salmon; pink, in a tin: 3 (lot L-1) \\ “für zwei”") * 3,
        where="Lantern Kitchen (invented), 4 Mill Row",
        on_day=opens_at.date(),
        opens_at=opens_at,
        minutes=minutes,
        is_busy=True,
    )


def written(*events: CalendarEvent, sequence: int = 0) -> bytes:
    state = EventState(sequence=sequence, changed_at=CHANGED_AT)
    stated = [StatedEvent(uid=uid_of(STORE, event), event=event, state=state) for event in events]
    return feed(stated, name="Fernhollow (invented)")


def unfolded(body: bytes) -> list[str]:
    return body.decode("utf-8").replace("\r\n ", "").split("\r\n")


def expanded(body: bytes) -> dict[str, tuple[datetime, datetime]]:
    """Give the begin and end of every event between 2025 and 2028, as an independent expander."""
    calendar = icalendar.Calendar.from_ical(body)
    found = recurring_ical_events.of(calendar).between(date(2025, 1, 1), date(2028, 12, 31))
    return {str(one["UID"]): (one.start, one.end) for one in found}


def local(zone: str, *parts: int) -> datetime:
    return datetime(*parts, tzinfo=ZoneInfo(zone))  # type: ignore[arg-type,misc]


@pytest.mark.parametrize("zone", ZONES)
def test_an_independent_expander_finds_every_visit_at_its_instant(zone: str) -> None:
    visits = [visit(local(zone, 2026, month, 8, 9, 0)) for month in range(1, 13)]
    found = expanded(written(*visits))
    assert len(found) == len(visits)
    for one in visits:
        begins, ends = found[uid_of(STORE, one)]
        assert one.opens_at is not None
        assert begins.astimezone(UTC) == one.opens_at.astimezone(UTC)
        assert ends.astimezone(UTC) == one.opens_at.astimezone(UTC) + timedelta(minutes=120)


@pytest.mark.parametrize("zone", ZONES)
def test_the_zone_that_is_described_shows_the_clock_that_the_database_has(zone: str) -> None:
    visits = [visit(local(zone, 2026, month, 20, 9, 0)) for month in range(1, 13)]
    body = written(*visits).decode("utf-8")
    if "TZID" not in body:
        # A clock that is UTC's is written as UTC, which needs no zone (section 3.3.5, form 2).
        assert {one.opens_at and one.opens_at.utcoffset() for one in visits} == {timedelta()}
        return
    described = tz.tzical(StringIO(body.replace("\r\n ", "").replace("\r\n", "\n"))).get(zone)
    for one in visits:
        assert one.opens_at is not None
        there = one.opens_at.replace(tzinfo=described)
        assert there.utcoffset() == one.opens_at.utcoffset(), one.opens_at


def test_new_york_s_visits_shift_in_utc_when_its_clocks_do() -> None:
    # 2027-03-14 and 2027-11-07: Energy Policy Act of 2005, second Sunday in March and first in
    # November; 09:00 local is 14:00Z before, 13:00Z in between and 14:00Z after.
    days = ((2027, 3, 13), (2027, 3, 14), (2027, 11, 6), (2027, 11, 7))
    visits = [visit(local("America/New_York", *day, 9, 0)) for day in days]
    found = expanded(written(*visits))
    hours = [found[uid_of(STORE, one)][0].astimezone(UTC).hour for one in visits]
    assert hours == [14, 13, 13, 14]


def test_a_visit_across_a_clock_that_is_put_back_lasts_as_long_as_it_lasts() -> None:
    # Berlin, 2026-10-25: 01:30 summer time, two hours later it is 02:30 winter time.
    one = visit(local("Europe/Berlin", 2026, 10, 25, 1, 30), minutes=120)
    lines = unfolded(written(one))
    assert "DTSTART;TZID=Europe/Berlin:20261025T013000" in lines
    assert "DURATION:PT2H" in lines


def test_a_round_is_a_whole_day() -> None:
    a_round = CalendarEvent(key=("round", "2027-03-01"), title="Round", on_day=date(2027, 3, 1))
    ((begins, ends),) = expanded(written(a_round)).values()
    assert (begins, ends) == (date(2027, 3, 1), date(2027, 3, 2))


def test_every_line_is_as_long_as_the_standard_lets_it_be_and_ends_as_it_must() -> None:
    body = written(visit(local("Asia/Kathmandu", 2026, 12, 8, 9, 0), title="Überfluß " * 30))
    assert body.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"")
    for line in body.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")


def test_a_calendar_has_what_the_standard_requires_of_it_and_of_its_events() -> None:
    lines = unfolded(written(visit(local("Europe/Berlin", 2026, 12, 8, 9, 0)), sequence=3))
    assert lines[0] == "BEGIN:VCALENDAR"
    assert "VERSION:2.0" in lines
    assert any(line.startswith("PRODID:") for line in lines)
    # No METHOD, so DTSTAMP is when the event was last changed (3.8.7.2).
    assert not any(line.startswith("METHOD") for line in lines)
    event = lines[lines.index("BEGIN:VEVENT") : lines.index("END:VEVENT")]
    names = [re.split("[:;]", line)[0] for line in event]
    for once in ("UID", "DTSTAMP", "DTSTART", "DURATION", "SEQUENCE", "SUMMARY", "LAST-MODIFIED"):
        assert names.count(once) == 1, once
    assert "SEQUENCE:3" in event
    assert "DTSTAMP:20260901T120000Z" in event
    assert "TRANSP:OPAQUE" in event


def test_text_with_signs_that_mean_something_comes_back_as_it_was() -> None:
    one = visit(local("UTC", 2026, 12, 8, 9, 0), title="A; b, c\\n: d")
    calendar = icalendar.Calendar.from_ical(written(one))
    (event,) = calendar.walk("VEVENT")
    assert event["SUMMARY"] == "A; b, c\\n: d"
    assert event["DESCRIPTION"] == "\n".join(one.lines)
    described = next(line for line in unfolded(written(one)) if line.startswith("DESCRIPTION:"))
    # Section 3.3.11: backslash, semicolon and comma are escaped, a line break is \\n.
    assert "Salmon\\; pink\\, in a tin" in described
    assert "\\\\ “für zwei”\\nTo bring:" in described


def test_the_same_events_in_any_zones_give_the_same_bytes() -> None:
    visits = [visit(local(zone, 2026, 12, 8, 9, 0)) for zone in ZONES]
    assert written(*visits) == written(*visits)
    named = [line for line in unfolded(written(*visits)) if line.startswith("TZID:")]
    assert named == sorted(named)
    assert len(named) == len(ZONES) - 2


def test_an_empty_calendar_is_read_as_one() -> None:
    assert expanded(written()) == {}
