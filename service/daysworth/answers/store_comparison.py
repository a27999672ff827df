"""Compare a store in the database with itself: two scenarios now, or a kept week and now.

A kept week is under pseudonyms. They are found for the households that the store has now, so that
these are shown, to coordinators, by their ids; a household that is no longer there stays one.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from typing import TypeVar

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.comparison import (
    ComparisonAnswer,
    Side,
    answer_comparison,
    comparison_json,
)
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.kept_weeks import snapshot_of
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan
from daysworth.db.kept_exports import (
    KeptExport,
    KeptWeek,
    find_key,
    read_export,
    read_kept_week,
)
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.identifiers import StoreId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.pseudonyms import recognised
from daysworth.planners.scenario import Scenario

Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class SideAsked:
    """One side as it is asked for; `as_of` None: its own day."""

    scenario: Scenario
    as_of: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonAsked:
    """What makes two comparisons the same; `kept` None: both sides are the store as it is."""

    store: StoreId
    version: int
    kept: KeptWeek | None
    before: SideAsked
    after: SideAsked
    rests_on: tuple[str, str]


class ComparisonOffice:
    """Compares, from one database and one cache.

    `rests_on` names the release and the reference data that answers rest on.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        snapshots: KeptSnapshots,
        cache: AnswerCache[ComparisonAnswer],
        rests_on: tuple[str, str],
    ) -> None:
        self._engine = engine
        self._snapshots = snapshots
        self._cache = cache
        self._rests_on = rests_on

    def compare(
        self,
        store: StoreId,
        week: Week | None = None,
        *,
        before: SideAsked,
        after: SideAsked,
        at: datetime,
        has: Callable[[str], bool],
    ) -> Given | ToPlan[Given]:
        """Compare a kept week with the store as it is, or without a week two scenarios of it.

        What is kept is answered at once; the rest is to be planned. `has` tells whether the reader
        has the answer of an entity tag already. Raises NotThere; planning raises ScenarioRefused,
        StoreUnsound and PlanningFailed.
        """
        asked = self._asked(store, week, before=before, after=after, at=at)
        tag = _tag(asked)
        if has(tag):
            return Given(tag=tag, json=None)
        return self._ready(asked, at=at, tell=partial(_given, asked))

    def comparison(
        self,
        store: StoreId,
        week: Week | None = None,
        *,
        before: SideAsked,
        after: SideAsked,
        at: datetime,
    ) -> ComparisonAnswer | ToPlan[ComparisonAnswer]:
        """Give the comparison itself. Raises as `compare`."""
        asked = self._asked(store, week, before=before, after=after, at=at)
        return self._ready(asked, at=at, tell=_as_it_is)

    def _ready(
        self, asked: ComparisonAsked, *, at: datetime, tell: Callable[[ComparisonAnswer], Told]
    ) -> Told | ToPlan[Told]:
        compute = partial(self._compute, asked, at=at)
        return ready(self._cache, asked, compute=compute, tell=tell)

    def _asked(
        self,
        store: StoreId,
        week: Week | None,
        *,
        before: SideAsked,
        after: SideAsked,
        at: datetime,
    ) -> ComparisonAsked:
        def ask(reading: Reading) -> ComparisonAsked:
            current = read_store(reading)
            kept = None if week is None else read_kept_week(reading, week)
            today = day_there(current.settings, at=at)
            own_day = today if kept is None else kept.taken_on
            return ComparisonAsked(
                store=current.id,
                version=current.version,
                kept=kept,
                before=replace(before, as_of=before.as_of or own_day),
                after=replace(after, as_of=after.as_of or today),
                rests_on=self._rests_on,
            )

        return read(self._engine, ask, store=store)

    def _compute(self, asked: ComparisonAsked, *, at: datetime) -> Sized[ComparisonAnswer]:
        current, today = self._snapshots.current(asked.store, at=at)
        after = Side(
            snapshot=current, as_of=asked.after.as_of or today, scenario=asked.after.scenario
        )
        before = replace(after, as_of=asked.before.as_of or today, scenario=asked.before.scenario)
        if asked.kept is not None:
            week = Week.read(asked.kept.week)
            export, key = read(self._engine, partial(_load, week=week), store=asked.store)
            kept = snapshot_of(export)
            before = replace(
                before,
                snapshot=kept if key is None else recognised(kept, of=current, key=key),
                week=export.kept.week,
                is_rewritten=export.kept.rewritten_at is not None,
            )
        answer = answer_comparison(before, after)
        return Sized(answer, len(comparison_json(answer)))


def _load(reading: Reading, *, week: Week) -> tuple[KeptExport, bytes | None]:
    return read_export(reading, week), find_key(reading)


def _as_it_is(answer: ComparisonAnswer) -> ComparisonAnswer:
    return answer


def _given(asked: ComparisonAsked, answer: ComparisonAnswer) -> Given:
    # The store may have changed between two reads: the answer says which version it is of.
    tag = _tag(replace(asked, version=answer.after.version))
    return Given(tag=tag, json=comparison_json(answer))


def _tag(asked: ComparisonAsked) -> str:
    kept = asked.kept
    return tag_of(
        "comparison",
        asked.store,
        asked.version,
        None if kept is None else (kept.week, kept.kept_at, kept.rewritten_at),
        _said(asked.before),
        _said(asked.after),
        asked.rests_on,
    )


def _said(side: SideAsked) -> tuple[object, ...]:
    return (str(side.as_of), *side.scenario.content())
