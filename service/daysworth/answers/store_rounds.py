"""Answer about the rounds of a store in the database: what is due, and what became of it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import partial
from itertools import islice
from typing import Final, TypeVar

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan
from daysworth.answers.redaction import view_of
from daysworth.answers.round_plan import (
    RoundPlanAnswer,
    answer_round,
    round_json,
    round_seen_by,
)
from daysworth.answers.round_record import RoundRecordAnswer, RoundsAnswer, round_records
from daysworth.db.households import household_names
from daysworth.db.rounds import list_rounds
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, Writing, day_there, read
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import StoreId
from daysworth.domain.rounds import LOOK_AHEAD_DAYS, round_days, round_held_on

Told = TypeVar("Told")

MOST_COMING: Final = 8
"""How many rounds to come are listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundAsked:
    """What makes two questions about a round the same; `round_on` None: the latest."""

    store: StoreId
    version: int
    as_of: date
    round_on: date | None
    rests_on: tuple[str, str]


class RoundOffice:
    """Answers about rounds, from one database and one cache.

    `rests_on` names the release and the reference data that answers rest on.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        snapshots: KeptSnapshots,
        cache: AnswerCache[RoundPlanAnswer],
        rests_on: tuple[str, str],
    ) -> None:
        self._engine = engine
        self._snapshots = snapshots
        self._cache = cache
        self._rests_on = rests_on

    def answer(
        self,
        reader: Credential,
        round_on: date | None,
        *,
        at: datetime,
        has: Callable[[str], bool],
    ) -> Given | ToPlan[Given]:
        """Plan a round for a reader as of today, the latest when no day is given.

        `has` tells whether the reader has the answer of an entity tag already. Raises NotThere;
        planning raises ScenarioRefused and StoreUnsound.
        """
        asked = self._asked(reader.store, round_on, at=at)
        tag = _tag(asked, reader)
        if has(tag):
            return Given(tag=tag, json=None)
        return self._ready(asked, at=at, tell=partial(_given, asked=asked, reader=reader))

    def plan(
        self, reader: Credential, round_on: date | None, *, at: datetime
    ) -> RoundPlanAnswer | ToPlan[RoundPlanAnswer]:
        """Give the plan itself, as a reader may see it. Raises as `answer`."""
        asked = self._asked(reader.store, round_on, at=at)
        return self._ready(asked, at=at, tell=partial(round_seen_by, reader))

    def rounds(self, store: StoreId, *, at: datetime) -> RoundsAnswer:
        """List the rounds to come, and the records of those there were. Raises NotThere."""

        def look(reading: Reading) -> RoundsAnswer:
            kept = read_store(reading)
            today = day_there(kept.settings, at=at)
            rule = kept.settings.rounds_rule
            until = today + timedelta(days=LOOK_AHEAD_DAYS)
            coming = round_days(rule, from_on=today + timedelta(days=1), to_on=until)
            return RoundsAnswer(
                store=kept.id,
                version=kept.version,
                as_of=today,
                rounds_rule=rule,
                latest_on=round_held_on(rule, on=today),
                coming=list(islice(coming, MOST_COMING)),
                records=round_records(list_rounds(reading)),
            )

        return read(self._engine, look, store=store)

    def _ready(
        self, asked: RoundAsked, *, at: datetime, tell: Callable[[RoundPlanAnswer], Told]
    ) -> Told | ToPlan[Told]:
        return ready(self._cache, asked, compute=partial(self._compute, asked, at=at), tell=tell)

    def _asked(self, store: StoreId, round_on: date | None, *, at: datetime) -> RoundAsked:
        def ask(reading: Reading) -> RoundAsked:
            kept = read_store(reading)
            return RoundAsked(
                store=kept.id,
                version=kept.version,
                as_of=day_there(kept.settings, at=at),
                round_on=round_on,
                rests_on=self._rests_on,
            )

        return read(self._engine, ask, store=store)

    def _compute(self, asked: RoundAsked, *, at: datetime) -> Sized[RoundPlanAnswer]:
        snapshot, today = self._snapshots.current(asked.store, at=at)
        names = read(self._engine, household_names, store=asked.store)
        answer = answer_round(
            snapshot,
            today,
            round_on=asked.round_on,
            parcel_numbers={home: number for home, (number, _) in names.items()},
        )
        return Sized(answer, len(round_json(answer)))


def record_of(reading: Reading | Writing, round_on: date) -> RoundRecordAnswer | None:
    """Give a round's record beside the one before it; None: nothing was recorded."""
    plain = Reading(connection=reading.connection, store=reading.store)
    found = [one for one in round_records(list_rounds(plain)) if one.round_on == round_on]
    return found[0] if found else None


def _given(answer: RoundPlanAnswer, *, asked: RoundAsked, reader: Credential) -> Given:
    # The store may have changed between two reads: the answer says which version it is of.
    tag = _tag(replace(asked, version=answer.version), reader)
    return Given(tag=tag, json=round_json(round_seen_by(reader, answer)))


def _tag(asked: RoundAsked, reader: Credential) -> str:
    return tag_of(
        "round",
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        str(asked.round_on),
        asked.rests_on,
        view_of(reader),
    )
