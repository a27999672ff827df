"""Answer the question of coverage for a store in the database.

The question is everything that the answer depends on: the store and its version, the as-of date,
the options, this release and its reference data. Asked again while none of it has changed, it is
answered from the cache; a reader who has the answer already is told so before anything is planned.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.coverage import CoverageAnswer, answer_coverage, to_json
from daysworth.answers.redaction import seen_by, view_of
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import StoreId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageAsked:
    """What makes two questions the same."""

    store: StoreId
    version: int
    as_of: date
    scenario: Scenario
    release: str
    reference: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageGiven:
    """An answer for one reader: its entity tag, and its JSON, None where the reader has it."""

    tag: str
    json: str | None


class CoverageOffice:
    """Answers about coverage, from one database and one cache.

    `release` and `reference` name the release and the reference data that answers rest on.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        cache: AnswerCache[CoverageAnswer],
        release: str,
        reference: str,
    ) -> None:
        self._engine = engine
        self._cache = cache
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
    ) -> CoverageGiven:
        """Answer for a reader at an instant, as of a date, today in the store when not given.

        `has` tells whether the reader has the answer of an entity tag already. Raises NotThere,
        ScenarioRefused, StoreUnsound and PlanningFailed.
        """

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

        asked = read(self._engine, ask, store=reader.store)
        tag = _tag(asked, reader)
        if has(tag):
            return CoverageGiven(tag=tag, json=None)
        answer = self._cache.get(asked, compute=partial(self._compute, asked, at=at))
        # The store may have changed between the two reads: the answer says which version it is of.
        tag = _tag(replace(asked, version=answer.version), reader)
        return CoverageGiven(tag=tag, json=to_json(seen_by(reader, answer)))

    def _compute(self, asked: CoverageAsked, *, at: datetime) -> Sized[CoverageAnswer]:
        def load(reading: Reading) -> Snapshot:
            return load_snapshot(reading, at=at)

        snapshot = read(self._engine, load, store=asked.store)
        answer = answer_coverage(snapshot, asked.as_of, scenario=asked.scenario)
        return Sized(answer, len(to_json(answer)))


def _tag(asked: CoverageAsked, reader: Credential) -> str:
    scenario = asked.scenario
    said = (
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        scenario.heating,
        scenario.running_water,
        str(scenario.stock),
        sorted(scenario.places_lost),
        sorted(scenario.households_away),
        str(scenario.basis),
        scenario.ration,
        scenario.horizon_days,
        asked.release,
        asked.reference,
        "json",
        view_of(reader),
    )
    return hashlib.sha256(repr(said).encode()).hexdigest()[:32]
