"""Answer the question of coverage for a store in the database.

The question is everything that the answer depends on: the store and its version, the as-of date,
the options, this release and its reference data. Asked again while none of it has changed, it is
answered from the cache; a reader who has the answer already is told so before anything is planned.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum
from functools import partial
from typing import Final, TypeVar

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan
from daysworth.answers.redaction import seen_by, view_of
from daysworth.answers.store_summary import SummaryAnswer, summary_json, waiting_lots
from daysworth.answers.waiting import WaitingAnswer
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import StoreId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario

Told = TypeVar("Told")

WRITTEN_BYTES: Final = 32 * 1024 * 1024
"""How much is kept of answers as they were written, each by the entity tag it has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageAsked:
    """What makes two questions the same."""

    store: StoreId
    version: int
    as_of: date
    scenario: Scenario
    release: str
    reference: str


class Form(StrEnum):
    """What an answer is written as."""

    COVERAGE = "coverage"
    SUMMARY = "summary"


class CoverageOffice:
    """Answers about coverage, from one database and one cache.

    `release` and `reference` name the release and the reference data that answers rest on.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        cache: AnswerCache[SummaryAnswer],
        release: str,
        reference: str,
    ) -> None:
        self._engine = engine
        self._cache = cache
        # Writing a long answer takes longer than all else that is done for one that is kept.
        self._written: AnswerCache[str] = AnswerCache(most_bytes=WRITTEN_BYTES)
        self._release = release
        self._reference = reference

    def answer(
        self,
        reader: Credential,
        scenario: Scenario,
        *,
        as_of: date | None,
        at: datetime,
        has: Callable[[str], bool],
        form: Form = Form.COVERAGE,
    ) -> Given | ToPlan[Given]:
        """Answer for a reader at an instant, as of a date, today in the store when not given.

        What is kept is answered at once; the rest is to be planned. `has` tells whether the reader
        has the answer of an entity tag already. Raises NotThere; planning raises ScenarioRefused,
        StoreUnsound and PlanningFailed.
        """
        asked = self._asked(reader, scenario, as_of=as_of, at=at)
        tag = _tag(asked, reader, form=form)
        if has(tag):
            return Given(tag=tag, json=None)
        written = self._written.find(tag)
        if written is not None:
            return Given(tag=tag, json=written)

        def given(answer: SummaryAnswer) -> Given:
            # The store may have changed between two reads: the answer says which version it is of.
            tag = _tag(replace(asked, version=answer.coverage.version), reader, form=form)
            written = self._written.get(tag, compute=partial(_write, reader, answer, form=form))
            return Given(tag=tag, json=written)

        return self._ready(asked, at=at, tell=given)

    def summary(
        self, reader: Credential, scenario: Scenario, *, as_of: date | None, at: datetime
    ) -> SummaryAnswer | ToPlan[SummaryAnswer]:
        """Give the summary itself, as a reader may see it. Raises as `answer`."""
        asked = self._asked(reader, scenario, as_of=as_of, at=at)
        return self._ready(asked, at=at, tell=partial(_seen_by, reader))

    def _asked(
        self, reader: Credential, scenario: Scenario, *, as_of: date | None, at: datetime
    ) -> CoverageAsked:
        def ask(reading: Reading) -> CoverageAsked:
            kept = read_store(reading)
            return CoverageAsked(
                store=kept.id,
                version=kept.version,
                as_of=as_of or day_there(kept.settings, at=at),
                scenario=scenario,
                release=self._release,
                reference=self._reference,
            )

        return read(self._engine, ask, store=reader.store)

    def _ready(
        self, asked: CoverageAsked, *, at: datetime, tell: Callable[[SummaryAnswer], Told]
    ) -> Told | ToPlan[Told]:
        compute = partial(self._compute, asked, at=at)
        return ready(self._cache, asked, compute=compute, tell=tell)

    def _compute(self, asked: CoverageAsked, *, at: datetime) -> Sized[SummaryAnswer]:
        def load(reading: Reading) -> tuple[Snapshot, list[WaitingAnswer]]:
            return load_snapshot(reading, at=at), waiting_lots(reading)

        snapshot, waiting = read(self._engine, load, store=asked.store)
        coverage = answer_coverage(snapshot, asked.as_of, scenario=asked.scenario)
        answer = SummaryAnswer(coverage, waiting)
        return Sized(answer, len(summary_json(answer)))


def _seen_by(reader: Credential, answer: SummaryAnswer) -> SummaryAnswer:
    return replace(answer, coverage=seen_by(reader, answer.coverage))


def _write(reader: Credential, answer: SummaryAnswer, *, form: Form) -> Sized[str]:
    seen = _seen_by(reader, answer)
    written = to_json(seen.coverage) if form is Form.COVERAGE else summary_json(seen)
    return Sized(written, len(written))


def _tag(asked: CoverageAsked, reader: Credential, *, form: Form) -> str:
    return tag_of(
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        *asked.scenario.content(),
        asked.release,
        asked.reference,
        "json",
        str(form),
        view_of(reader),
    )
