"""Let writers race for the last units, through the whole service, on both databases.

Each race goes through real servers in processes of their own, over sockets.
"""

import asyncio
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import httpx
import pytest
from sqlalchemy import Engine

from daysworth.domain.entries import Role
from tests.databases import BOTH, migrated
from tests.grounds import (
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    lots_of,
    put_up,
    small_store,
    token_for,
    version_of,
)
from tests.servers import Server, serving

WRITERS = (2, 8, 64)


@dataclass(frozen=True)
class Raced:
    """A small store in a database, and two servers on it."""

    engine: Engine
    one: Server
    two: Server


@pytest.fixture(scope="module", params=BOTH)
def raced(request: pytest.FixtureRequest) -> Iterator[Raced]:
    """Serve one database from two processes, for all the races of this module."""
    engine = migrated(request.param)
    begin_ground(engine, small_store())
    token = token_for(engine, Role.VOLUNTEER)
    with serving(engine, token=token) as one, serving(engine, token=token) as two:
        yield Raced(engine, one, two)
    engine.dispose()


async def take(server: Server, lot: str, *, keys: Sequence[str]) -> list[int]:
    """Take one unit of a lot for each key, all at once, and give the statuses."""
    limits = httpx.Limits(max_connections=len(keys))
    async with httpx.AsyncClient(
        base_url=server.address, headers=server.headers, limits=limits, timeout=60
    ) as client:
        sent = [
            client.post(
                f"/v1/stores/{STORE_ID}/lots/{lot}/use",
                json={"units": 1},
                headers={"Idempotency-Key": key},
            )
            for key in keys
        ]
        return [answer.status_code for answer in await asyncio.gather(*sent)]


@pytest.mark.parametrize("writers", WRITERS)
def test_as_many_succeed_as_there_are_units(raced: Raced, writers: int) -> None:
    units = writers // 2
    engine = raced.engine
    (lot,) = put_up(engine, box(units))
    before = version_of(engine)
    keys = [f"{lot.id} {n}" for n in range(writers)]
    answers = asyncio.run(take(raced.one, lot.id, keys=keys))
    assert sorted(answers) == [201] * units + [409] * (writers - units)
    assert lots_of(engine)[lot.id].units == 0
    assert version_of(engine) == before + units
    assert books_balance(engine)


@pytest.mark.parametrize("writers", WRITERS)
def test_one_key_under_a_race_is_one_entry_and_one_answer(raced: Raced, writers: int) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(100))
    before = version_of(engine)
    answers = asyncio.run(take(raced.one, lot.id, keys=[lot.id] * writers))
    assert answers == [201] * writers
    assert lots_of(engine)[lot.id].units == 99
    assert version_of(engine) == before + 1


def test_two_servers_on_one_database_lose_and_double_nothing(raced: Raced) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(20))

    async def both() -> list[int]:
        found = await asyncio.gather(
            take(raced.one, lot.id, keys=[f"{lot.id} one {n}" for n in range(15)]),
            take(raced.two, lot.id, keys=[f"{lot.id} two {n}" for n in range(15)]),
        )
        return [*found[0], *found[1]]

    answers = asyncio.run(both())
    assert sorted(answers) == [201] * 20 + [409] * 10
    assert lots_of(engine)[lot.id].units == 0
    assert books_balance(engine)


def test_one_key_sent_to_two_servers_is_one_entry(raced: Raced) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(50))

    async def both() -> list[int]:
        sent = (take(server, lot.id, keys=[lot.id] * 8) for server in (raced.one, raced.two))
        found = await asyncio.gather(*sent)
        return [*found[0], *found[1]]

    assert asyncio.run(both()) == [201] * 16
    assert lots_of(engine)[lot.id].units == 49
