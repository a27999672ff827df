"""Planning is bounded: in threads, in who waits, and in time; and nobody waits for nobody's plan.

The threads here are real. Each plan waits for an event that the test sets, or solves a program that
is too hard, so that the order of things is the test's and not the machine's.
"""

import asyncio
from collections.abc import Awaitable, Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event
from typing import Final, TypeVar

import pytest

from daysworth.answers.planning_pool import PlanningPool, ToPlan, settled, to_plan
from daysworth.domain.errors import PlannersBusy, PlanningStopped, SolverTrouble
from daysworth.planners import stopping
from tests.planners.hard_programs import market_split

Result = TypeVar("Result")

LONG_S: Final = 30.0
"""After this a plan that should have gone on is given up, and the test fails."""


class Plan:
    """A plan that stands still until it is let go, and then, or when it is stopped, ends."""

    def __init__(self, answer: str = "planned", *, fault: Exception | None = None) -> None:
        self.began, self.let_go, self.was_stopped = Event(), Event(), Event()
        self.times = 0
        self._answer, self._fault = answer, fault

    def compute(self) -> str:
        """Plan."""
        self.times += 1
        self.began.set()
        for _ in range(int(LONG_S * 100)):
            if self.let_go.wait(0.01):
                break
            try:
                stopping.check(at_least=12.34, at_most=56.71)
            except PlanningStopped:
                self.was_stopped.set()
                raise
        assert self.let_go.is_set()
        if self._fault is not None:
            raise self._fault
        return self._answer


class Deaf(Plan):
    """A plan that looks at no signal until it is let go."""

    def compute(self) -> str:
        """Plan."""
        self.began.set()
        assert self.let_go.wait(LONG_S)
        return "planned"


class Asker:
    """Somebody who asks, and may go."""

    def __init__(self) -> None:
        self.has_gone = False

    async def is_gone(self) -> bool:
        """Tell whether they have."""
        return self.has_gone


async def still_here() -> bool:
    return False


@contextmanager
def pool(
    *, threads: int = 2, most_waiting: int = 4, limit_s: float = LONG_S
) -> Iterator[PlanningPool]:
    """Give a pool, whose plans are stopped at the end whatever has failed."""
    made = PlanningPool(threads=threads, most_waiting=most_waiting, limit_s=limit_s)
    try:
        yield made
    finally:
        made.shut_down(drop_waiting=True)


def asked(planners: PlanningPool, plan: Plan, *, by: Asker | None = None) -> asyncio.Task[str]:
    """Have somebody ask for a plan; the same plan is the same question."""
    is_gone: Callable[[], Awaitable[bool]] = still_here if by is None else by.is_gone
    return asyncio.create_task(planners.ask(plan, plan.compute, is_gone=is_gone))


async def happened(event: Event) -> None:
    """Wait for what another thread does, without keeping the loop."""
    assert await asyncio.to_thread(event.wait, LONG_S)


def run(test: Coroutine[object, object, Result]) -> Result:
    return asyncio.run(test)


async def works(planners: PlanningPool) -> bool:
    """Tell whether a pool still plans."""
    plan = Plan("at last")
    plan.let_go.set()
    return await planners.ask(plan, plan.compute, is_gone=still_here) == "at last"


def test_eight_who_ask_the_same_are_answered_by_one_plan() -> None:
    async def ask_all(planners: PlanningPool) -> list[str]:
        plan = Plan()
        tasks = [asked(planners, plan) for _ in range(8)]
        await happened(plan.began)
        plan.let_go.set()
        given = await asyncio.gather(*tasks)
        assert plan.times == 1
        return given

    with pool(threads=4) as planners:
        assert run(ask_all(planners)) == ["planned"] * 8


def test_those_who_wait_for_one_plan_take_one_thread() -> None:
    async def ask_beside(planners: PlanningPool) -> None:
        slow = Plan()
        waiting = [asked(planners, slow) for _ in range(8)]
        await happened(slow.began)
        assert await works(planners)
        assert not any(one.done() for one in waiting)
        slow.let_go.set()
        await asyncio.gather(*waiting)

    with pool(threads=2, most_waiting=1) as planners:
        run(ask_beside(planners))


def test_askers_in_several_loops_share_a_plan() -> None:
    plan = Plan()
    with pool() as planners, ThreadPoolExecutor(3) as threads:

        def ask() -> str:
            return run(planners.ask(plan, plan.compute, is_gone=still_here))

        given = [threads.submit(ask) for _ in range(3)]
        assert plan.began.wait(LONG_S)
        plan.let_go.set()
        assert [one.result(LONG_S) for one in given] == ["planned"] * 3
    # Whoever came when it was through already has had it planned again.
    assert plan.times <= 3


def test_what_is_beyond_the_threads_waits_its_turn() -> None:
    async def ask_in_turn(planners: PlanningPool) -> None:
        first, second = Plan("first"), Plan("second")
        one, other = asked(planners, first), asked(planners, second)
        await happened(first.began)
        assert not second.began.is_set()
        first.let_go.set()
        second.let_go.set()
        assert [await one, await other] == ["first", "second"]

    with pool(threads=1) as planners:
        run(ask_in_turn(planners))


def test_a_full_queue_refuses_at_once_and_says_when_to_come_back() -> None:
    async def fill(planners: PlanningPool) -> None:
        plans = [Plan(str(number)) for number in range(4)]
        tasks = [asked(planners, plan) for plan in plans]
        await happened(plans[1].began)
        with pytest.raises(PlannersBusy, match=r"ask again in \d+ seconds|in a moment") as refused:
            await asked(planners, Plan("one too many"))
        assert 1 <= refused.value.retry_after_s <= LONG_S
        # Who asks what is being planned already takes no place.
        again = asked(planners, plans[3])
        for plan in plans:
            plan.let_go.set()
        assert await asyncio.gather(*tasks, again) == ["0", "1", "2", "3", "3"]
        assert await works(planners)

    with pool(threads=2, most_waiting=2) as planners:
        run(fill(planners))


def test_the_more_is_waiting_the_later_one_is_told_to_come_back() -> None:
    async def later(planners: PlanningPool, waiting: int) -> int:
        plans = [Plan() for _ in range(1 + waiting)]
        tasks = [asked(planners, plan) for plan in plans]
        await happened(plans[0].began)
        with pytest.raises(PlannersBusy) as refused:
            await asked(planners, Plan())
        for plan in plans:
            plan.let_go.set()
        await asyncio.gather(*tasks)
        return refused.value.retry_after_s

    told = []
    for waiting in (1, 9):
        with pool(threads=1, most_waiting=waiting) as planners:
            told.append(run(later(planners, waiting)))
    assert told[0] < told[1]


def test_a_plan_is_stopped_at_its_limit_with_what_was_proved_and_the_pool_works_on() -> None:
    async def ask_too_much(planners: PlanningPool) -> None:
        plan = Plan()
        with pytest.raises(PlanningStopped) as stopped:
            await asked(planners, plan)
        assert plan.was_stopped.is_set()
        assert (stopped.value.at_least, stopped.value.at_most) == (12.34, 56.71)
        # At least rounded down, at most rounded up: neither says more than was proved.
        assert "longer than 0.2 seconds" in str(stopped.value)
        assert "for at least 12.3 days and for at most 56.8 days" in str(stopped.value)
        assert await works(planners)

    with pool(threads=1, limit_s=0.2) as planners:
        run(ask_too_much(planners))


def test_a_program_that_is_too_hard_is_stopped_at_the_limit() -> None:
    async def ask_too_much(planners: PlanningPool) -> None:
        def solve() -> float:
            return market_split(rows=4, columns=30).solve().proven().objective

        with pytest.raises(PlanningStopped, match="no answer") as stopped:
            await planners.ask("hard", solve, is_gone=still_here)
        assert (stopped.value.at_least, stopped.value.at_most) == (None, None)
        assert "proved so far" not in str(stopped.value)
        assert await works(planners)

    with pool(threads=1, limit_s=0.3) as planners:
        run(ask_too_much(planners))


def test_a_plan_that_nobody_waits_for_any_more_is_stopped() -> None:
    async def go_away(planners: PlanningPool) -> None:
        plan, asker = Plan(), Asker()
        task = asked(planners, plan, by=asker)
        await happened(plan.began)
        asker.has_gone = True
        await happened(plan.was_stopped)
        with pytest.raises(PlanningStopped, match="gone"):
            await task
        assert await works(planners)

    with pool(threads=1) as planners:
        run(go_away(planners))


def test_a_request_that_is_cancelled_has_gone_too() -> None:
    async def cancel(planners: PlanningPool) -> None:
        plan = Plan()
        task = asked(planners, plan)
        await happened(plan.began)
        task.cancel()
        await happened(plan.was_stopped)

    with pool(threads=1) as planners:
        run(cancel(planners))


def test_a_plan_goes_on_while_anybody_waits_for_it() -> None:
    async def one_goes_away(planners: PlanningPool) -> None:
        plan, asker = Plan(), Asker()
        one, other = asked(planners, plan, by=asker), asked(planners, plan)
        await happened(plan.began)
        asker.has_gone = True
        with pytest.raises(PlanningStopped, match="gone"):
            await one
        assert not plan.was_stopped.is_set()
        plan.let_go.set()
        assert await other == "planned"
        assert plan.times == 1

    with pool() as planners:
        run(one_goes_away(planners))


def test_what_was_given_up_before_its_turn_is_never_planned_and_gives_its_place_up() -> None:
    async def go_before_the_turn(planners: PlanningPool) -> None:
        running, waiting, asker = Plan(), Plan(), Asker()
        first = asked(planners, running)
        await happened(running.began)
        second = asked(planners, waiting, by=asker)
        asker.has_gone = True
        with pytest.raises(PlanningStopped, match="gone"):
            await second
        third = asked(planners, Plan("in its place"))
        await asyncio.sleep(0)
        assert not third.done()
        running.let_go.set()
        assert await first == "planned"
        third.cancel()
        assert waiting.times == 0

    with pool(threads=1, most_waiting=1) as planners:
        run(go_before_the_turn(planners))


def test_who_asks_again_after_a_plan_was_given_up_gets_a_plan_of_their_own() -> None:
    async def ask_again(planners: PlanningPool) -> None:
        first, asker = Deaf(), Asker()
        task = asked(planners, first, by=asker)
        await happened(first.began)
        asker.has_gone = True
        with pytest.raises(PlanningStopped, match="gone"):
            await task
        again = planners.ask(first, lambda: "planned anew", is_gone=still_here)
        assert await again == "planned anew"
        first.let_go.set()

    with pool(threads=2) as planners:
        run(ask_again(planners))


def test_a_question_whose_turn_does_not_come_within_the_limit_is_given_up() -> None:
    async def wait_long(planners: PlanningPool) -> None:
        deaf, waiting = Deaf(), Plan()
        first = asked(planners, deaf)
        await happened(deaf.began)
        with pytest.raises(PlannersBusy, match="waited long"):
            await asked(planners, waiting)
        deaf.let_go.set()
        assert await first == "planned"
        assert await works(planners)
        assert waiting.times == 0

    with pool(threads=1, limit_s=0.3) as planners:
        run(wait_long(planners))


def test_a_failure_is_told_to_all_who_waited_and_the_pool_works_on() -> None:
    async def fail(planners: PlanningPool) -> None:
        plan = Plan(fault=SolverTrouble("no proof"))
        tasks = [asked(planners, plan) for _ in range(3)]
        await happened(plan.began)
        plan.let_go.set()
        told = await asyncio.gather(*tasks, return_exceptions=True)
        assert [type(one) for one in told] == [SolverTrouble] * 3
        assert plan.times == 1
        assert await works(planners)

    with pool(threads=1) as planners:
        run(fail(planners))


def test_shutting_down_stops_what_runs_and_refuses_what_waits() -> None:
    async def shut_down(planners: PlanningPool) -> None:
        running, waiting = Plan(), Plan()
        first, second = asked(planners, running), asked(planners, waiting)
        await happened(running.began)
        await asyncio.to_thread(planners.shut_down, drop_waiting=True)
        with pytest.raises(PlanningStopped):
            await first
        with pytest.raises(PlannersBusy, match="stopping"):
            await second
        assert running.was_stopped.is_set()
        assert waiting.times == 0

    run(shut_down(PlanningPool(threads=1, most_waiting=4, limit_s=LONG_S)))


def test_what_is_planned_outside_of_a_pool_has_no_limit_and_heeds_nobody() -> None:
    def compute() -> str:
        stopping.check()
        assert stopping.heeded() is None
        return "planned"

    planned: str | ToPlan[str] = to_plan("a", compute=compute, tell=str.upper)
    kept: str | ToPlan[str] = "kept"
    assert [settled(planned), settled(kept)] == ["PLANNED", "kept"]
