"""A service whose plans for a store with a stove take as long as a test wants."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from threading import Event
from typing import Final

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.planning_pool import PlanningPool
from daysworth.answers.store_coverage import CoverageAsked, CoverageOffice
from daysworth.answers.store_summary import SummaryAnswer
from daysworth.api.service import Service
from daysworth.wiring import build_service, shut_down
from tests.api.clients import Clock
from tests.planners.hard_programs import market_split

SLOW: Final = "heating=true"
"""In a query: a question that takes long. With `horizon_days` there are as many as one likes."""

LONG_S: Final = 60.0
"""After this, what should have gone on has failed."""


class SlowOffice(CoverageOffice):
    """Answers as ever, and where there is a stove plans something else first."""

    def __init__(self, engine: Engine, *, first: Callable[[], object]) -> None:
        super().__init__(engine, cache=AnswerCache(), release="1.0", reference="figures")
        self._first = first
        self.began, self.ended = Event(), Event()
        self.times = 0

    def _compute(self, asked: CoverageAsked, *, at: datetime) -> Sized[SummaryAnswer]:
        self.times += 1
        try:
            if asked.scenario.heating:
                self.began.set()
                self._first()
            return super()._compute(asked, at=at)
        finally:
            if asked.scenario.heating:
                self.ended.set()


def hard_plan() -> float:
    """Solve what no test has the time to see solved."""
    return market_split(rows=4, columns=30).solve().proven().objective


@contextmanager
def slow_service(
    engine: Engine,
    *,
    clock: Clock,
    first: Callable[[], object] = hard_plan,
    threads: int = 2,
    most_waiting: int = 16,
    limit_s: float = LONG_S,
) -> Iterator[tuple[Service, SlowOffice]]:
    """Give a service around a database, and its office; at the end plans are stopped."""
    office = SlowOffice(engine, first=first)
    usual = build_service(engine, clock=clock.now)
    usual.planners.shut_down(drop_waiting=True)
    pool = PlanningPool(threads=threads, most_waiting=most_waiting, limit_s=limit_s)
    service = replace(usual, coverage=office, planners=pool)
    try:
        yield service, office
    finally:
        shut_down(service, drop_waiting=True)
