"""Answer with the notice of a week: as it was kept when first posted, or as it would be now."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Final

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.coverage import answer_coverage
from daysworth.answers.notice import (
    LastNoticeAnswer,
    NoticeAnswer,
    answer_notice,
    notice_from_json,
    notice_json,
)
from daysworth.answers.store_summary import waiting_lots
from daysworth.answers.waiting import WaitingAnswer
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

    def notice(self, store: StoreId, week: str, *, at: datetime) -> NoticeAnswer:
        """Give a week's notice: "2026-W48", or "current" for the week that it is in the store.

        Raises InputRefused for what is no week, NotThere for another week of which none was kept.
        """
        seen = self._look(store, week, at=at)
        if seen.kept is not None:
            return _kept(seen.kept)
        return self._made(seen, at=at)

    def keep(self, store: StoreId, week: str, *, at: datetime) -> NoticeAnswer:
        """Give a week's notice, and keep it as it is now if it was not kept before.

        Raises as `notice`.
        """
        seen = self._look(store, week, at=at)
        if seen.kept is None:
            made = self._made(seen, at=at)
            keep = partial(
                keep_notice,
                store=store,
                week=seen.week,
                version=made.version,
                body=notice_json(made),
                at=at,
            )
            write_beside(self._engine, keep, store=store)
            # Another process may have been quicker: what was kept first stands.
            seen = self._look(store, str(seen.week), at=at)
        assert seen.kept is not None
        return _kept(seen.kept)

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

    def _made(self, seen: _Seen, *, at: datetime) -> NoticeAnswer:
        if seen.week > seen.today_week:
            raise NotThere(f"the week {seen.week} has not begun, so there is no notice of it yet")
        if seen.week < seen.today_week:
            raise NotThere(f"no notice was posted in the week {seen.week}, so none was kept")
        day = day_there(seen.store.settings, at=at)
        asked = NoticeAsked(
            store=seen.store.id,
            version=seen.store.version,
            week=seen.week,
            day=day.isoformat(),
            last="" if seen.last is None else seen.last.week,
            rests_on=self._rests_on,
        )

        def compute() -> Sized[NoticeAnswer]:
            loaded = read(self._engine, partial(_load, at=at), store=seen.store.id)
            answer = answer_notice(
                loaded.snapshot,
                day,
                coverage=answer_coverage(loaded.snapshot, day, scenario=Scenario()),
                waiting=loaded.waiting,
                last=None if seen.last is None else _figures(seen.last),
            )
            return Sized(answer, len(notice_json(answer)))

        return self._cache.get(asked, compute=compute)


def _load(reading: Reading, *, at: datetime) -> _Loaded:
    return _Loaded(load_snapshot(reading, at=at), waiting_lots(reading, shared_only=True))


def _kept(kept: KeptNotice) -> NoticeAnswer:
    return replace(notice_from_json(kept.body), made_at=kept.made_at)


def _figures(kept: KeptNotice) -> LastNoticeAnswer:
    read_back = notice_from_json(kept.body)
    return LastNoticeAnswer(kept.week, read_back.everyone_fed_days, read_back.person_days)
