"""Answer what a store in the database can spare, from the cache where nothing has changed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from typing import TypeVar

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan, to_plan
from daysworth.answers.surplus import SurplusAnswer, answer_surplus, surplus_json
from daysworth.answers.surplus_floors import FloorsAnswer, floors_answer, floors_json
from daysworth.db.partners import partners_of
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.identifiers import StoreId
from daysworth.domain.visits import visits_over
from daysworth.planners.surplus_plan import SurplusAsked

Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreSurplusAsked:
    """What makes two questions the same."""

    store: StoreId
    version: int
    as_of: date
    surplus: SurplusAsked
    rests_on: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorsAsked:
    """Some floors, each in a question of its own, beside the store's own; the lowest first."""

    own: StoreSurplusAsked
    floors_days: tuple[int, ...]

    @property
    def others(self) -> list[StoreSurplusAsked]:
        """Give the question of each floor that is asked for."""
        surplus = self.own.surplus
        return [
            replace(self.own, surplus=replace(surplus, floor_days=days))
            for days in self.floors_days
        ]


class SurplusOffice:
    """Answers what can be spared, from one database and one cache.

    `rests_on` names the release and the reference data that answers rest on.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        snapshots: KeptSnapshots,
        cache: AnswerCache[SurplusAnswer],
        rests_on: tuple[str, str],
    ) -> None:
        self._engine = engine
        self._snapshots = snapshots
        self._cache = cache
        self._rests_on = rests_on

    def answer(
        self,
        store: StoreId,
        surplus: SurplusAsked,
        *,
        at: datetime,
        has: Callable[[str], bool],
    ) -> Given | ToPlan[Given]:
        """Plan as of today. Whoever may read it is told the same.

        `has` tells whether the reader has the answer of an entity tag already. Raises NotThere;
        planning raises ScenarioRefused, StoreUnsound and PlanningFailed.
        """
        asked = self._asked(store, surplus, at=at)
        tag = _tag(asked)
        if has(tag):
            return Given(tag=tag, json=None)
        return self._ready(asked, at=at, tell=partial(_given, asked=asked))

    def plan(
        self, store: StoreId, surplus: SurplusAsked, *, at: datetime
    ) -> SurplusAnswer | ToPlan[SurplusAnswer]:
        """Give the plan itself. Raises as `answer`."""
        return self._ready(self._asked(store, surplus, at=at), at=at, tell=_itself)

    def floors(
        self,
        store: StoreId,
        surplus: SurplusAsked,
        *,
        floors_days: Sequence[int],
        at: datetime,
    ) -> ToPlan[str]:
        """Plan with each of some floors, and write what could go with it. Raises as `answer`."""
        own = self._asked(store, replace(surplus, floor_days=None), at=at)
        asked = FloorsAsked(own=own, floors_days=tuple(sorted(set(floors_days))))
        return to_plan(asked, compute=partial(self._floors, asked, at=at), tell=floors_json)

    def _ready(
        self,
        asked: StoreSurplusAsked,
        *,
        at: datetime,
        tell: Callable[[SurplusAnswer], Told],
    ) -> Told | ToPlan[Told]:
        return ready(self._cache, asked, compute=partial(self._compute, asked, at=at), tell=tell)

    def _asked(self, store: StoreId, surplus: SurplusAsked, *, at: datetime) -> StoreSurplusAsked:
        def ask(reading: Reading) -> StoreSurplusAsked:
            kept = read_store(reading)
            today = day_there(kept.settings, at=at)
            partners = partners_of(reading.connection, store)
            return StoreSurplusAsked(
                store=kept.id,
                version=kept.version,
                as_of=today,
                # What is over is named one by one: so the question is the same until the next is.
                surplus=replace(surplus, over=visits_over(partners, on=today, at=at)),
                rests_on=self._rests_on,
            )

        return read(self._engine, ask, store=store)

    def _compute(self, asked: StoreSurplusAsked, *, at: datetime) -> Sized[SurplusAnswer]:
        snapshot, today = self._snapshots.current(asked.store, at=at)
        answer = answer_surplus(snapshot, today, asked=asked.surplus)
        return Sized(answer, len(surplus_json(answer)))

    def _floors(self, asked: FloorsAsked, *, at: datetime) -> FloorsAnswer:
        """Plan floor by floor; a plan that is kept already is not made again."""
        own, *others = (
            self._cache.get(one, compute=partial(self._compute, one, at=at))
            for one in (asked.own, *asked.others)
        )
        return floors_answer(own, others)


def _given(answer: SurplusAnswer, *, asked: StoreSurplusAsked) -> Given:
    # The store may have changed between two reads: the answer says which version it is of.
    tag = _tag(replace(asked, version=answer.version))
    return Given(tag=tag, json=surplus_json(answer))


def _itself(answer: SurplusAnswer) -> SurplusAnswer:
    return answer


def _tag(asked: StoreSurplusAsked) -> str:
    surplus = asked.surplus
    return tag_of(
        "surplus",
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        surplus.floor_days,
        str(surplus.until_on),
        None if surplus.partners is None else sorted(surplus.partners),
        sorted((*names, opens_at.isoformat()) for *names, opens_at in surplus.over),
        asked.rests_on,
    )
