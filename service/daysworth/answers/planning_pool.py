"""Plan in few threads, with a queue of bounded length, for no longer than somebody waits.

Who asks what is being planned already waits for that plan, without a thread: one long question,
however often it is asked, takes one thread. A plan is stopped at its limit, and when everyone who
waited for it has gone. What does not fit into the queue is refused at once.
"""

import asyncio
from collections.abc import Awaitable, Callable, Hashable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from math import ceil, floor, inf
from threading import RLock
from time import monotonic
from typing import Final, Generic, TypeVar, cast

from daysworth.domain.errors import PlannersBusy, PlanningStopped
from daysworth.planners.stopping import heeding

Answer = TypeVar("Answer")
Told = TypeVar("Told")

LOOK_S: Final = 0.25
"""How often it is looked whether who asked is still there."""

_FIRST_GUESS_S: Final = 1.0
_OF_THE_LATEST: Final = 0.2
"""How much the latest plan counts in how long a plan usually takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPlan(Generic[Told]):
    """A question that is to be planned: what makes two the same, how, and how one asker is told."""

    question: Hashable
    compute: Callable[[], object]
    tell: Callable[[object], Told]


def to_plan(
    question: Hashable, *, compute: Callable[[], Answer], tell: Callable[[Answer], Told]
) -> ToPlan[Told]:
    """Put a question that is to be planned; `tell` is given what `compute` gives."""
    # What is computed goes from one to the other, so its type need not be known in between.
    told = cast("Callable[[object], Told]", tell)
    return ToPlan(question=question, compute=compute, tell=told)


def settled(ready: Told | ToPlan[Told]) -> Told:
    """Give an answer that is there, or plan it in this thread and without a limit."""
    return ready.tell(ready.compute()) if isinstance(ready, ToPlan) else ready


class _Signal:
    """The stop of one plan: asked for, or due at the limit, which counts from its beginning."""

    def __init__(self, limit_s: float) -> None:
        self._limit_s = limit_s
        self._ends_at = inf
        self.has_begun = False
        self.is_withdrawn = False

    def begin(self) -> None:
        """Begin to count."""
        self._ends_at = monotonic() + self._limit_s
        self.has_begun = True

    def withdraw(self) -> None:
        """Ask for the stop: nobody waits any more."""
        self.is_withdrawn = True

    def is_asked(self) -> bool:
        """Tell whether the plan is to be stopped."""
        return self.is_withdrawn or monotonic() >= self._ends_at


class _Job:
    """One question in the pool, and how many wait for its answer."""

    def __init__(self, question: Hashable, *, limit_s: float) -> None:
        self.question = question
        self.signal = _Signal(limit_s)
        self.askers = 0
        self.future: Future[object]


class PlanningPool:
    """Threads that plan, and the queue before them; safe for threads and for several loops."""

    def __init__(self, *, threads: int, most_waiting: int, limit_s: float) -> None:
        """Make a pool: each plan takes `limit_s` seconds at most, and waits as long at most."""
        self._threads, self._most_waiting, self._limit_s = threads, most_waiting, limit_s
        self._executor = ThreadPoolExecutor(threads, "plan")
        self._lock = RLock()
        self._jobs: dict[Hashable, _Job] = {}
        self._unfinished = 0
        self._usual_s = _FIRST_GUESS_S

    async def ask(
        self,
        question: Hashable,
        compute: Callable[[], Answer],
        *,
        is_gone: Callable[[], Awaitable[bool]],
    ) -> Answer:
        """Give what `compute` gives, run once for all who ask the same question meanwhile.

        `is_gone` tells whether who asks has gone. Raises PlannersBusy, PlanningStopped, and what
        `compute` raises, which everyone who waited is told.
        """
        job = self._joined(question, compute)
        try:
            await self._ended(job, is_gone=is_gone)
            # The question says what type its answer is of, and one question has one computation.
            return cast("Answer", job.future.result())
        except CancelledError:
            raise self._busy("the server is stopping") from None
        finally:
            self._leave(job)

    def shut_down(self, *, drop_waiting: bool) -> None:
        """End the threads; when what waits is dropped, what runs is stopped as well."""
        with self._lock:
            for job in self._jobs.values() if drop_waiting else ():
                job.signal.withdraw()
        self._executor.shutdown(wait=True, cancel_futures=drop_waiting)

    async def _ended(self, job: _Job, *, is_gone: Callable[[], Awaitable[bool]]) -> None:
        loop, ended, asked_at = asyncio.get_running_loop(), asyncio.Event(), monotonic()

        def wake(_: Future[object]) -> None:
            # A loop that was closed has nobody in it who waits.
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(ended.set)

        job.future.add_done_callback(wake)
        while not ended.is_set():
            with suppress(TimeoutError):
                async with asyncio.timeout(LOOK_S):
                    await ended.wait()
                return
            if await is_gone():
                raise PlanningStopped("whoever asked has gone")
            if not job.signal.has_begun and monotonic() - asked_at > self._limit_s:
                raise self._busy("this question has waited long for others, and was given up")

    def _joined(self, question: Hashable, compute: Callable[[], object]) -> _Job:
        with self._lock:
            job = self._jobs.get(question)
            if job is None:
                if self._unfinished >= self._threads + self._most_waiting:
                    raise self._busy("many questions about days are being worked out just now")
                job = _Job(question, limit_s=self._limit_s)
                self._unfinished += 1
                self._jobs[question] = job
                job.future = self._executor.submit(self._work, job, compute=compute)
                job.future.add_done_callback(lambda _: self._finished(job))
            job.askers += 1
            return job

    def _leave(self, job: _Job) -> None:
        """Have one fewer wait; a plan that nobody waits for is stopped, and joined by nobody."""
        with self._lock:
            job.askers -= 1
            if job.askers == 0:
                job.signal.withdraw()
                self._forget(job)
                job.future.cancel()

    def _finished(self, job: _Job) -> None:
        with self._lock:
            self._unfinished -= 1
            self._forget(job)

    def _forget(self, job: _Job) -> None:
        if self._jobs.get(job.question) is job:
            del self._jobs[job.question]

    def _work(self, job: _Job, *, compute: Callable[[], object]) -> object:
        began_at = monotonic()
        job.signal.begin()
        try:
            with heeding(job.signal):
                return compute()
        except PlanningStopped as stopped:
            if job.signal.is_withdrawn:
                raise
            raise self._too_long(stopped) from stopped
        finally:
            with self._lock:
                self._usual_s += _OF_THE_LATEST * (monotonic() - began_at - self._usual_s)

    def _busy(self, why: str) -> PlannersBusy:
        """Refuse a question until those that are here now will usually be through."""
        with self._lock:
            wait_s = ceil(self._usual_s * self._unfinished / self._threads)
        after_s = max(1, wait_s if self._limit_s == inf else min(wait_s, ceil(self._limit_s)))
        moments = "a moment" if after_s == 1 else f"{after_s} seconds"
        return PlannersBusy(f"{why}: ask again in {moments}", retry_after_s=after_s)

    def _too_long(self, stopped: PlanningStopped) -> PlanningStopped:
        return PlanningStopped(
            f"working this out took longer than {self._limit_s:g} seconds and was stopped, so "
            f"there is no answer{_proved(stopped)}",
            at_least=stopped.at_least,
            at_most=stopped.at_most,
        )


def _proved(stopped: PlanningStopped) -> str:
    """Say what was proved of everyone's days: at least rounded down, at most rounded up."""
    least, most = stopped.at_least, stopped.at_most
    said = []
    if least is not None:
        said.append(f"for at least {floor(least * 10) / 10:g} days")
    if most is not None:
        said.append(f"for at most {ceil(most * 10) / 10:g} days")
    return f"; proved so far is that everyone can eat {' and '.join(said)}" if said else ""
