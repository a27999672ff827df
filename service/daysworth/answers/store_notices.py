"""Answer with the notice of a week: as it was kept when first posted, or as it would be now."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Final

from sqlalchemy import Connection, Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.coverage import answer_coverage
from daysworth.answers.kept_weeks import export_of
from daysworth.answers.notice import (
    LastNoticeAnswer,
    NoticeAnswer,
    answer_notice,
    notice_from_json,
    notice_json,
)
from daysworth.answers.planning_pool import ToPlan, settled, to_plan
from daysworth.answers.store_summary import waiting_lots
from daysworth.answers.waiting import WaitingAnswer
from daysworth.db.kept_exports import has_all, keep_export, key_for_keeping
from daysworth.db.notices import KeptNotice, keep_notice, last_notice_before, read_notice
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import KeptStore, read_store
from daysworth.db.transactions import Reading, day_there, read, write_beside
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import StoreId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario

CURRENT: Final = "current"
"""How the week that it is now, where the store is, is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeAsked:
    """What makes two notices the same, before they are kept."""

    store: StoreId
    version: int
    week: Week
    day: str
    last: str
    rests_on: tuple[str, str]


@dataclass(frozen=True, slots=True)
class _Seen:
    week: Week
    today_week: Week
    kept: KeptNotice | None
    last: KeptNotice | None
    store: KeptStore


@dataclass(frozen=True, slots=True)
class _Loaded:
    snapshot: Snapshot
    waiting: list[WaitingAnswer]


class NoticeOffice:
    """Answers with weekly notices, from one database and one cache.

    `rests_on` names the release and the reference data that a notice rests on.
    """

    def __init__(
        self, engine: Engine, *, cache: AnswerCache[NoticeAnswer], rests_on: tuple[str, str]
    ) -> None:
        self._engine = engine
        self._cache = cache
        self._rests_on = rests_on

    def notice(
        self, store: StoreId, week: str, *, at: datetime
    ) -> NoticeAnswer | ToPlan[NoticeAnswer]:
        """Give a week's notice: "2026-W48", or "current" for the week that it is in the store.

        What is kept is given at once; the rest is to be planned. Raises InputRefused for what is
        no week, NotThere for another week of which none was kept.
        """
        seen = self._look(store, week, at=at)
        if seen.kept is not None:
            return _kept(seen.kept)
        return self._made(seen, at=at)

    def keeping(
        self, store: StoreId, week: str, *, at: datetime
    ) -> NoticeAnswer | ToPlan[NoticeAnswer]:
        """Give a week's notice that was kept, or what it takes to keep it. Raises as `notice`."""
        seen = self._look(store, week, at=at)
        if seen.kept is not None:
            return _kept(seen.kept)
        return to_plan(
            ("keep", store, seen.week),
            compute=partial(self.keep, store, week, at=at),
            tell=_as_it_is,
        )

    def keep(self, store: StoreId, week: str, *, at: datetime) -> NoticeAnswer:
        """Give a week's notice, and keep it as it is now if it was not kept before.

        Raises as `notice`.
        """
        seen = self._look(store, week, at=at)
        while seen.kept is None:
            # Another process may be quicker, and what was kept first stands. Where a household
            # was erased meanwhile nothing was kept, and it is made again without it.
            self._keep_as_it_is(seen, at=at)
            seen = self._look(store, str(seen.week), at=at)
        return _kept(seen.kept)

    def _keep_as_it_is(self, seen: _Seen, *, at: datetime) -> None:
        """Keep the notice, and the store's export of the same version with it."""
        store, day = seen.store.id, day_there(seen.store.settings, at=at)
        self._check_week(seen)
        loaded = read(self._engine, partial(_load, at=at), store=store)
        made = settled(self._made(seen, at=at, loaded=loaded))
        key = write_beside(self._engine, partial(key_for_keeping, store=store), store=store)
        export = export_of(loaded.snapshot, seen.week, key=key, taken_on=day, at=at)
        homes = {home.id for home in loaded.snapshot.households}

        def keep(connection: Connection) -> None:
            if has_all(connection, store, homes=homes):
                keep_notice(
                    connection,
                    store,
                    week=seen.week,
                    version=made.version,
                    body=notice_json(made),
                    at=at,
                )
                if export is not None:
                    keep_export(connection, store, export=export)

        write_beside(self._engine, keep, store=store)

    def _look(self, store: StoreId, week: str, *, at: datetime) -> _Seen:
        asked = None if week == CURRENT else Week.read(week)

        def look(reading: Reading) -> _Seen:
            kept = read_store(reading)
            today = Week.of(day_there(kept.settings, at=at))
            wanted = asked or today
            return _Seen(
                wanted,
                today,
                read_notice(reading, wanted),
                last_notice_before(reading, wanted),
                kept,
            )

        return read(self._engine, look, store=store)

    @staticmethod
    def _check_week(seen: _Seen) -> None:
        if seen.week > seen.today_week:
            raise NotThere(f"the week {seen.week} has not begun, so there is no notice of it yet")
        if seen.week < seen.today_week:
            raise NotThere(f"no notice was posted in the week {seen.week}, so none was kept")

    def _made(
        self, seen: _Seen, *, at: datetime, loaded: _Loaded | None = None
    ) -> NoticeAnswer | ToPlan[NoticeAnswer]:
        """Make the notice of what was loaded, or of the store as it is when its turn has come."""
        self._check_week(seen)
        day = day_there(seen.store.settings, at=at)
        asked = NoticeAsked(
            store=seen.store.id,
            version=seen.store.version if loaded is None else loaded.snapshot.version,
            week=seen.week,
            day=day.isoformat(),
            last="" if seen.last is None else seen.last.week,
            rests_on=self._rests_on,
        )

        def compute() -> Sized[NoticeAnswer]:
            found = loaded or read(self._engine, partial(_load, at=at), store=seen.store.id)
            answer = answer_notice(
                found.snapshot,
                day,
                coverage=answer_coverage(found.snapshot, day, scenario=Scenario()),
                waiting=found.waiting,
                last=None if seen.last is None else _figures(seen.last),
            )
            return Sized(answer, len(notice_json(answer)))

        plan = partial(self._cache.get, asked, compute=compute)
        return self._cache.find(asked) or to_plan(asked, compute=plan, tell=_as_it_is)


def _as_it_is(made: NoticeAnswer) -> NoticeAnswer:
    return made


def _load(reading: Reading, *, at: datetime) -> _Loaded:
    return _Loaded(load_snapshot(reading, at=at), waiting_lots(reading, shared_only=True))


def _kept(kept: KeptNotice) -> NoticeAnswer:
    return replace(notice_from_json(kept.body), made_at=kept.made_at)


def _figures(kept: KeptNotice) -> LastNoticeAnswer:
    read_back = notice_from_json(kept.body)
    return LastNoticeAnswer(kept.week, read_back.everyone_fed_days, read_back.person_days)
