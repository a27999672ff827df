"""Hold what every route needs: the database, the answers, the clock, and the threads they run in.

Writes of one process wait for their turn before they take a thread, never inside one: on SQLite
there is one thread for them, on PostgreSQL as many as may hold a connection.
"""

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from fastapi import Request
from sqlalchemy import Engine

from daysworth.answers.store_coverage import CoverageOffice
from daysworth.answers.store_notices import NoticeOffice
from daysworth.answers.store_suitability import SuitabilityOffice

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """What is running: one database, one cache of answers, one clock, four kinds of thread."""

    engine: Engine
    coverage: CoverageOffice
    notices: NoticeOffice
    suitability: SuitabilityOffice
    clock: Callable[[], datetime]
    writers: Executor
    readers: Executor
    planners: Executor
    hashers: Executor
    site: str = ""


def service_of(request: Request) -> Service:
    """Give the service behind a request."""
    service = request.app.state.service
    assert isinstance(service, Service)
    return service


async def run(executor: Executor, work: Callable[[], Result]) -> Result:
    """Run blocking work in a thread, and wait for it without holding one."""
    return await asyncio.get_running_loop().run_in_executor(executor, work)
