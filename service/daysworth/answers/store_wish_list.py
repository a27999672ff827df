"""Answer what to bring to a store in the database, from the cache where nothing has changed."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from typing import TypeVar

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.office import Given, ready, tag_of
from daysworth.answers.planning_pool import ToPlan
from daysworth.answers.redaction import view_of
from daysworth.answers.wish_list import (
    WishListAnswer,
    answer_wish_list,
    wish_list_json,
    wish_list_seen_by,
)
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import FoodId, HouseholdId, StoreId
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Least, Wish

Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class WishListAsked:
    """What makes two questions the same; the wish as something that can be looked up."""

    store: StoreId
    version: int
    as_of: date
    scenario: Scenario
    target_days: float
    least: Least
    foods: frozenset[FoodId] | None
    is_usual_only: bool
    keeps_past_target: bool
    household: HouseholdId | None
    prices: tuple[tuple[FoodId, float], ...]
    rests_on: tuple[str, str]

    @property
    def wish(self) -> Wish:
        """Give the wish."""
        return Wish(
            target_days=self.target_days,
            least=self.least,
            foods=self.foods,
            is_usual_only=self.is_usual_only,
            keeps_past_target=self.keeps_past_target,
            household=self.household,
            prices=dict(self.prices),
        )


class WishListOffice:
    """Answers about what to bring, from one database and one cache.

    `rests_on` names the release and the reference data that answers rest on.
    """

    def __init__(
        self, engine: Engine, *, cache: AnswerCache[WishListAnswer], rests_on: tuple[str, str]
    ) -> None:
        self._engine = engine
        self._cache = cache
        self._rests_on = rests_on

    def answer(
        self,
        reader: Credential,
        scenario: Scenario,
        *,
        wish: Wish,
        as_of: date | None,
        at: datetime,
        has: Callable[[str], bool],
    ) -> Given | ToPlan[Given]:
        """Answer for a reader at an instant, as of a date, today in the store when not given.

        What is kept is answered at once; the rest is to be planned. `has` tells whether the reader
        has the answer of an entity tag already. Raises NotThere; planning raises ScenarioRefused,
        StoreUnsound and PlanningFailed.
        """
        asked = self._asked(reader.store, scenario, wish=wish, as_of=as_of, at=at)
        tag = _tag(asked, reader)
        if has(tag):
            return Given(tag=tag, json=None)
        return self._ready(asked, at=at, tell=partial(_given, asked=asked, reader=reader))

    def wish_list(
        self, reader: Credential, scenario: Scenario, *, wish: Wish, at: datetime
    ) -> WishListAnswer | ToPlan[WishListAnswer]:
        """Give the answer itself as of today, as a reader may see it. Raises as `answer`."""
        asked = self._asked(reader.store, scenario, wish=wish, as_of=None, at=at)
        return self._ready(asked, at=at, tell=partial(wish_list_seen_by, reader))

    def _ready(
        self, asked: WishListAsked, *, at: datetime, tell: Callable[[WishListAnswer], Told]
    ) -> Told | ToPlan[Told]:
        compute = partial(self._compute, asked, at=at)
        return ready(self._cache, asked, compute=compute, tell=tell)

    def _asked(
        self,
        store: StoreId,
        scenario: Scenario,
        *,
        wish: Wish,
        as_of: date | None,
        at: datetime,
    ) -> WishListAsked:
        def ask(reading: Reading) -> WishListAsked:
            kept = read_store(reading)
            return WishListAsked(
                store=kept.id,
                version=kept.version,
                as_of=as_of or day_there(kept.settings, at=at),
                scenario=scenario,
                target_days=wish.target_days,
                least=wish.least,
                foods=wish.foods,
                is_usual_only=wish.is_usual_only,
                keeps_past_target=wish.keeps_past_target,
                household=wish.household,
                prices=tuple(sorted(wish.prices.items())),
                rests_on=self._rests_on,
            )

        return read(self._engine, ask, store=store)

    def _compute(self, asked: WishListAsked, *, at: datetime) -> Sized[WishListAnswer]:
        snapshot = read(self._engine, partial(load_snapshot, at=at), store=asked.store)
        answer = answer_wish_list(snapshot, asked.as_of, scenario=asked.scenario, wish=asked.wish)
        return Sized(answer, len(wish_list_json(answer)))


def _given(answer: WishListAnswer, *, asked: WishListAsked, reader: Credential) -> Given:
    # The store may have changed between two reads: the answer says which version it is of.
    tag = _tag(replace(asked, version=answer.version), reader)
    return Given(tag=tag, json=wish_list_json(wish_list_seen_by(reader, answer)))


def _tag(asked: WishListAsked, reader: Credential) -> str:
    return tag_of(
        "wish list",
        asked.store,
        asked.version,
        asked.as_of.isoformat(),
        *asked.scenario.content(),
        asked.target_days,
        str(asked.least),
        None if asked.foods is None else sorted(asked.foods),
        asked.is_usual_only,
        asked.keeps_past_target,
        asked.household,
        asked.prices,
        asked.rests_on,
        view_of(reader),
    )
