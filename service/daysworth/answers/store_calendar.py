"""Answer whoever subscribes to a store's calendar by its secret address."""

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Final

from sqlalchemy import Connection, Engine

from daysworth.answers.calendar_events import CalendarEvent, calendar_events
from daysworth.answers.calendar_feed import EventState, StatedEvent, digest_of, feed, uid_of
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.db.calendar_links import follow_calendar_link
from daysworth.db.calendar_shown import Showing, Shown, is_as_shown, note_shown, shown_before
from daysworth.db.transactions import read, write_beside
from daysworth.domain.identifiers import StoreId

_TAG_SIGNS: Final = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarDraft:
    """What a store's calendar shows, by UID, and how it was shown before."""

    store: StoreId
    store_name: str
    events: dict[str, CalendarEvent]
    before: dict[str, Shown]

    @property
    def showing(self) -> list[Showing]:
        """Give what is about to be shown."""
        return [
            Showing(uid=uid, digest=digest_of(event), on_day=event.on_day)
            for uid, event in self.events.items()
        ]

    @property
    def is_as_shown(self) -> bool:
        """Tell whether it was all shown before just so, so that nothing need be kept."""
        return is_as_shown(self.showing, self.before)


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarFeed:
    """A calendar as it is sent, and its entity tag."""

    body: bytes
    tag: str


class CalendarOffice:
    """The calendars of one database's stores."""

    def __init__(self, engine: Engine, *, snapshots: KeptSnapshots) -> None:
        self._engine = engine
        self._snapshots = snapshots

    def draft(self, secret: str, *, at: datetime) -> CalendarDraft:
        """Gather what the calendar at an address shows.

        Raises NotThere for an address that opens nothing, and as `load_snapshot`.
        """
        store = follow_calendar_link(self._engine, secret, at=at)
        snapshot, today = self._snapshots.current(store, at=at)
        events = {uid_of(store, event): event for event in calendar_events(snapshot, today)}
        before = read(
            self._engine,
            lambda reading: shown_before(reading.connection, store),
            store=store,
        )
        return CalendarDraft(
            store=store, store_name=snapshot.store_name, events=events, before=before
        )

    def keep(self, draft: CalendarDraft, *, at: datetime) -> dict[str, Shown]:
        """Keep what is about to be shown, and give every event as it is shown now."""

        def note(connection: Connection) -> dict[str, Shown]:
            return note_shown(connection, draft.showing, store=draft.store, at=at)

        return write_beside(self._engine, note, store=draft.store)


def written_feed(draft: CalendarDraft, *, shown: dict[str, Shown]) -> CalendarFeed:
    """Write a calendar, its events as they are shown now."""
    stated = (
        StatedEvent(
            uid=uid,
            event=event,
            state=EventState(sequence=shown[uid].sequence, changed_at=shown[uid].changed_at),
        )
        for uid, event in draft.events.items()
    )
    body = feed(stated, name=draft.store_name)
    return CalendarFeed(body=body, tag=sha256(body).hexdigest()[:_TAG_SIGNS])
