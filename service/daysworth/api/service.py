"""Hold what every route needs: the database, the answers, the clock, and the threads they run in.

A plan may take long, so nothing else waits for the planners' threads: short reads have theirs, and
so has what is reckoned in a moment, such as whom a food suits.

Writes of one process wait for their turn before they take a thread, never inside one: on SQLite
there is one thread for them, on PostgreSQL as many as may hold a connection.
"""

import asyncio
import re
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from datetime import datetime
from typing import Final, TypeVar

from fastapi import Request
from sqlalchemy import Engine

from daysworth.answers.planning_pool import PlanningPool, ToPlan
from daysworth.answers.store_calendar import CalendarOffice
from daysworth.answers.store_comparison import ComparisonOffice
from daysworth.answers.store_coverage import CoverageOffice
from daysworth.answers.store_kits import KitOffice
from daysworth.answers.store_notices import NoticeOffice
from daysworth.answers.store_packing import PackingOffice
from daysworth.answers.store_rounds import RoundOffice
from daysworth.answers.store_suitability import SuitabilityOffice
from daysworth.answers.store_surplus import SurplusOffice
from daysworth.answers.store_timeline import TimelineOffice
from daysworth.answers.store_wish_list import WishListOffice
from daysworth.domain.errors import InputRefused

Result = TypeVar("Result")
Told = TypeVar("Told")

_HOST: Final = re.compile(r"[A-Za-z0-9.\-\[\]:]{1,255}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """What is running: one database, one cache of answers, one clock, five kinds of thread."""

    engine: Engine
    calendars: CalendarOffice
    coverage: CoverageOffice
    comparisons: ComparisonOffice
    kits: KitOffice
    notices: NoticeOffice
    packing: PackingOffice
    rounds: RoundOffice
    suitability: SuitabilityOffice
    surplus: SurplusOffice
    timelines: TimelineOffice
    wishes: WishListOffice
    clock: Callable[[], datetime]
    writers: Executor
    readers: Executor
    planners: PlanningPool
    reckoners: Executor
    hashers: Executor
    site: str = ""


def service_of(request: Request) -> Service:
    """Give the service behind a request."""
    service = request.app.state.service
    assert isinstance(service, Service)
    return service


def site_of(request: Request) -> str:
    """Give where the service's pages are reached: as set, or as this request reached it.

    Raises InputRefused for a name that is none.
    """
    service = service_of(request)
    if service.site:
        return service.site
    if _HOST.fullmatch(request.headers.get("Host", "")) is None:
        raise InputRefused("this service was reached by no name that a link can have")
    return str(request.base_url).rstrip("/")


async def run(executor: Executor, work: Callable[[], Result]) -> Result:
    """Run blocking work in a thread, and wait for it without holding one."""
    return await asyncio.get_running_loop().run_in_executor(executor, work)


async def plan(request: Request, ask: Callable[[], Told | ToPlan[Told]]) -> Told:
    """Answer from what is kept, or plan; the plan is stopped when nobody waits for it any more.

    Raises what `ask` raises, PlannersBusy and PlanningStopped.
    """
    service = service_of(request)
    ready = await run(service.readers, ask)
    if not isinstance(ready, ToPlan):
        return ready
    answer = await service.planners.ask(
        ready.question, ready.compute, is_gone=request.is_disconnected
    )
    return await run(service.readers, lambda: ready.tell(answer))
