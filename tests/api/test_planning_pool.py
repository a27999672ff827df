"""A long plan keeps nobody else from an answer, and none goes on for longer than it may."""

import asyncio
from collections.abc import Callable, Coroutine, Iterator, MutableMapping
from contextlib import ExitStack
from threading import Event
from typing import Final, TypeVar

import httpx
import pytest
from fastapi import FastAPI, Request
from sqlalchemy import Engine

from daysworth.api.service import service_of
from daysworth.db.engine import open_engine
from daysworth.domain.entries import Role
from daysworth.planners import stopping
from daysworth.wiring import build_app, build_service
from tests.api.clients import Clock
from tests.api.slow_planning import LONG_S, SLOW, SlowOffice, hard_plan, slow_service
from tests.databases import SQLITE, migrated
from tests.grounds import STORE_ID, begin_ground, box, put_up, small_store, token_for

Result = TypeVar("Result")
Message = MutableMapping[str, object]

STORE: Final = f"/v1/stores/{STORE_ID}"


class Served:
    """A service whose plans are slow, and a way to ask it several things at once."""

    def __init__(self, app: FastAPI, *, office: SlowOffice, token: str) -> None:
        self.app, self.office = app, office
        self.headers = {"Authorization": f"Bearer {token}"}

    async def get(self, path: str, **headers: str) -> httpx.Response:
        """Ask for something in the store."""
        transport = httpx.ASGITransport(self.app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://store.test") as client:
            return await client.get(f"{STORE}/{path}", headers={**self.headers, **headers})

    def begun(self, query: str = SLOW) -> asyncio.Task[httpx.Response]:
        """Ask about coverage, and do not wait for the answer."""
        return asyncio.create_task(self.get(f"coverage?{query}"))


Opens = Callable[..., Served]


@pytest.fixture
def store() -> Iterator[Engine]:
    engine = migrated(SQLITE)
    begin_ground(engine, small_store())
    put_up(engine, box(60))
    yield engine
    engine.dispose()


@pytest.fixture
def opens(store: Engine) -> Iterator[Opens]:
    """Give the way to a service around a small store, as slow and as full as is told."""
    with ExitStack() as open_ones:

        def opened(
            *,
            first: Callable[[], object] = hard_plan,
            threads: int = 2,
            most_waiting: int = 16,
            limit_s: float = LONG_S,
        ) -> Served:
            service, office = open_ones.enter_context(
                slow_service(
                    store,
                    clock=Clock(),
                    first=first,
                    threads=threads,
                    most_waiting=most_waiting,
                    limit_s=limit_s,
                )
            )
            app = build_app(service)
            return Served(app, office=office, token=token_for(store, Role.COORDINATOR))

        yield opened


async def still_here() -> bool:
    return False


async def happened(event: Event) -> None:
    assert await asyncio.to_thread(event.wait, LONG_S)


def run(test: Coroutine[object, object, Result]) -> Result:
    return asyncio.run(test)


def test_everything_else_is_answered_while_long_plans_take_every_thread(opens: Opens) -> None:
    async def ask() -> None:
        served = opens(threads=1)
        slow = served.begun()
        await happened(served.office.began)
        for path in (
            "lots",
            "places",
            "households",
            "parcels",
            "foods?words=salmon",
            "households/H-peanut/warnings",
            "foods/salmon_pink_tinned/suitability",
            "parcels/1/check?words=salmon",
            "snapshot",
            "ledger",
        ):
            answer = await served.get(path)
            assert answer.status_code == 200, (path, answer.text)
        assert not slow.done()
        slow.cancel()

    run(ask())


def test_a_question_is_planned_beside_a_long_one(opens: Opens) -> None:
    async def ask() -> None:
        served = opens(threads=2)
        slow = served.begun()
        await happened(served.office.began)
        assert (await served.get("coverage")).status_code == 200
        assert not slow.done()
        slow.cancel()

    run(ask())


def test_eight_who_ask_the_same_long_question_leave_room_for_another(opens: Opens) -> None:
    async def ask() -> None:
        let_go = Event()
        served = opens(threads=2, first=lambda: let_go.wait(LONG_S))
        waiting = [served.begun() for _ in range(8)]
        await happened(served.office.began)
        assert (await served.get("coverage")).status_code == 200
        let_go.set()
        given = await asyncio.gather(*waiting)
        assert {one.status_code for one in given} == {200}
        assert len({one.content for one in given}) == 1
        # One for the eight, and one beside them.
        assert served.office.times == 2

    run(ask())


def test_a_full_queue_is_a_503_that_says_when_to_ask_again(opens: Opens) -> None:
    async def ask() -> None:
        served = opens(threads=1, most_waiting=0)
        slow = served.begun()
        await happened(served.office.began)
        refused = await served.get("coverage")
        assert refused.status_code == 503
        assert 1 <= int(refused.headers["retry-after"]) <= LONG_S
        assert refused.headers["content-type"] == "application/problem+json"
        said = refused.json()
        assert said["type"] == "/v1/problems/planners-busy"
        assert said["detail"].startswith("Many questions about days are being worked out")
        assert set(said) == {"type", "title", "status", "detail", "faults"}
        slow.cancel()

    run(ask())


def test_what_is_kept_is_answered_though_the_queue_is_full(opens: Opens) -> None:
    async def ask() -> None:
        served = opens(threads=1, most_waiting=0)
        kept = await served.get("coverage")
        summary = await served.get("summary")
        slow = served.begun()
        await happened(served.office.began)
        assert (await served.get("coverage?horizon_days=9")).status_code == 503
        assert (await served.get("coverage")).content == kept.content
        assert (await served.get("summary")).content == summary.content
        tag = kept.headers["etag"]
        assert (await served.get("coverage", **{"If-None-Match": tag})).status_code == 304
        assert not slow.done()
        slow.cancel()

    run(ask())


def test_a_plan_that_takes_too_long_is_a_problem_of_its_own_and_gives_no_number(
    opens: Opens,
) -> None:
    async def ask() -> None:
        served = opens(threads=1, limit_s=0.3)
        stopped = await served.get(f"coverage?{SLOW}")
        assert stopped.status_code == 503
        assert stopped.headers["content-type"] == "application/problem+json"
        # Asked again it would take as long again.
        assert "retry-after" not in stopped.headers
        said = stopped.json()
        assert said["type"] == "/v1/problems/plan-stopped"
        assert said["detail"].startswith("Working this out took longer than 0.3 seconds")
        assert said["everyone_fed_days_at_least"] is None
        assert said["everyone_fed_days_at_most"] is None
        assert set(said) & {"everyone_fed_days", "person_days"} == set()
        # The one thread is free again.
        planners = service_of(Request({"type": "http", "app": served.app})).planners
        assert await planners.ask("quick", lambda: "planned", is_gone=still_here) == "planned"

    run(ask())


def test_what_was_proved_before_the_stop_is_told_and_never_rounded_beyond_the_proof(
    opens: Opens,
) -> None:
    def proves_a_little() -> None:
        asked = Event()
        while not asked.wait(0.01):
            stopping.check(at_least=12.34567891, at_most=20.12345612)

    async def ask() -> None:
        served = opens(threads=1, limit_s=0.3, first=proves_a_little)
        said = (await served.get(f"summary?{SLOW}")).json()
        assert said["everyone_fed_days_at_least"] == 12.345678
        assert said["everyone_fed_days_at_most"] == 20.123457
        assert "for at least 12.3 days and for at most 20.2 days" in said["detail"]

    run(ask())


def test_a_plan_is_stopped_when_who_asked_for_it_has_gone(opens: Opens) -> None:
    async def ask() -> None:
        served = opens(threads=1, most_waiting=0)
        gone = asyncio.Event()
        task = asyncio.create_task(request_until(gone, served))
        await happened(served.office.began)
        assert not served.office.ended.is_set()
        gone.set()
        await happened(served.office.ended)
        await task
        assert served.office.times == 1
        answer = await served.get("coverage")
        while answer.status_code == 503:
            # The thread has ended its plan, and is about to be free.
            answer = await served.get("coverage")
        assert answer.status_code == 200

    run(ask())


async def request_until(gone: asyncio.Event, served: Served) -> None:
    """Ask for a long plan over a connection that is closed at some time."""
    sent: list[Message] = [{"type": "http.request", "body": b"", "more_body": False}]

    async def receive() -> Message:
        if sent:
            return sent.pop()
        await gone.wait()
        return {"type": "http.disconnect"}

    async def send(_: Message) -> None:
        """Send nowhere."""

    path = f"{STORE}/coverage"
    headers = [(name.lower().encode(), value.encode()) for name, value in served.headers.items()]
    scope: Message = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": SLOW.encode(),
        "root_path": "",
        "headers": headers,
        "client": ("127.0.0.1", 1),
        "server": ("store.test", 80),
    }
    await served.app(scope, receive, send)


def test_the_description_tells_of_what_may_keep_a_plan_from_being_made() -> None:
    described = build_app(build_service(open_engine("sqlite:///never-opened.db"))).openapi()
    stopped = described["components"]["schemas"]["StoppedOut"]
    assert {"everyone_fed_days_at_least", "everyone_fed_days_at_most"} <= set(stopped["required"])
    for path, method in (
        ("coverage", "get"),
        ("summary", "get"),
        ("notices/{week}", "get"),
        ("notices/{week}/postings/{channel}", "put"),
    ):
        operation = described["paths"][f"/v1/stores/{{store}}/{path}"][method]
        answer = operation["responses"]["503"]
        assert "Retry-After" in answer["headers"]
        kinds = answer["content"]["application/problem+json"]["schema"]["anyOf"]
        assert {one["$ref"].rpartition("/")[2] for one in kinds} == {"StoppedOut", "ProblemOut"}
