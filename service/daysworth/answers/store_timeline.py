"""Answer with the timeline of a store in the database, from the cache where nothing has changed."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from typing import Final

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan
from daysworth.answers.redaction import view_of
from daysworth.answers.timeline import (
    PlannedTimeline,
    planned_timeline,
    timeline_for,
    timeline_json,
)
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import HouseholdId, StoreId
from daysworth.planners.scenario import Scenario
from daysworth.planners.timeline import plan_timeline

_RUN_BYTES: Final = 300
_OTHER_BYTES: Final = 100_000
"""What keeping one is reckoned at beside its runs: its members and the foods that it names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineAsked:
    """What makes two questions the same."""

    store: StoreId
    version: int
    as_of: date
    scenario: Scenario
    months: int
    rests_on: tuple[str, str]


class TimelineOffice:
    """Answers with timelines, from one database and one cache.

    `rests_on` names the release and the reference data that answers rest on.
    """

    def __init__(
        self, engine: Engine, *, cache: AnswerCache[PlannedTimeline], rests_on: tuple[str, str]
    ) -> None:
        self._engine = engine
        self._cache = cache
        self._rests_on = rests_on

    def answer(
        self,
        reader: Credential,
        scenario: Scenario,
        *,
        months: int,
        household: HouseholdId | None,
        as_of: date | None,
        at: datetime,
        has: Callable[[str], bool],
    ) -> Given | ToPlan[Given]:
        """Answer for a reader at an instant, as of a date, today in the store when not given.

        `household` is whose line is asked for. What is kept is answered at once; the rest is to be
        planned. `has` tells whether the reader has the answer of an entity tag already. Raises
        NotThere and, as planning does, ScenarioRefused; planning raises StoreUnsound and
        PlanningFailed.
        """
        asked = self._asked(reader.store, scenario, months=months, as_of=as_of, at=at)
        tag = _tag(asked, reader, household=household)
        if has(tag):
            return Given(tag=tag, json=None)
        return ready(
            self._cache,
            asked,
            compute=partial(self._compute, asked, at=at),
            tell=partial(_given, asked, reader=reader, household=household),
        )

    def _asked(
        self, store: StoreId, scenario: Scenario, *, months: int, as_of: date | None, at: datetime
    ) -> TimelineAsked:
        def ask(reading: Reading) -> TimelineAsked:
            kept = read_store(reading)
            return TimelineAsked(
                store=kept.id,
                version=kept.version,
                as_of=as_of or day_there(kept.settings, at=at),
                scenario=scenario,
                months=months,
                rests_on=self._rests_on,
            )

        return read(self._engine, ask, store=store)

    def _compute(self, asked: TimelineAsked, *, at: datetime) -> Sized[PlannedTimeline]:
        snapshot = read(self._engine, partial(load_snapshot, at=at), store=asked.store)
        timeline = plan_timeline(
            snapshot, asked.as_of, scenario=asked.scenario, months=asked.months
        )
        planned = planned_timeline(timeline, snapshot)
        return Sized(planned, _OTHER_BYTES + _RUN_BYTES * planned.runs)


def _given(
    asked: TimelineAsked,
    planned: PlannedTimeline,
    *,
    reader: Credential,
    household: HouseholdId | None,
) -> Given:
    # The store may have changed between two reads: the answer says which version it is of.
    tag = _tag(replace(asked, version=planned.version), reader, household=household)
    answer = timeline_for(reader, planned, household=household)
    return Given(tag=tag, json=timeline_json(answer))


def _tag(asked: TimelineAsked, reader: Credential, *, household: HouseholdId | None) -> str:
    return tag_of(
        "timeline",
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        *asked.scenario.content(),
        asked.months,
        household,
        asked.rests_on,
        view_of(reader),
    )
